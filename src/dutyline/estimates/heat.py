"""Thermal data of a motor from its ratings, or from the other motors of the line."""

from __future__ import annotations

import numpy as np

from dutyline.catalogue.motor_constants import ambient_of
from dutyline.catalogue.parts import Motor, ProductLine
from dutyline.estimates.family import LEAST, Find, by_law
from dutyline.estimates.records import Guess, Method
from dutyline.estimates.windings import COMMON, OWN_FAMILY
from dutyline.physics.continuous_duty import copper_loss
from dutyline.physics.heat_ratings import (
    class_limit,
    heat_capacity,
    iron_loss_of_ratings,
    whole_thermal_resistance,
)

SHARE = (0.2, 0.3, 0.4)
"""Share of the thermal resistance between winding and housing: least, usual, most (common
practice)."""
STALL = 0.3
"""Share by which the loss at the stall current departs from what heats to the limit (common
practice)."""
WINDING_TIME = (20.0, 30.0, 120.0)
"""[s] of servo motors from 50 W to 5 kW: least, usual, most (common practice)."""
HOUSING_TIME = (600.0, 1200.0, 3600.0)
"""[s] likewise."""
CAPACITY = 0.05
"""Stated time constants are rounded (common practice)."""

NETWORK = "two-node network, copper loss alone at standstill"
CLASSES = (
    "classes of IEC 60085 less 15 K for the hottest spot, common practice; 5 K more would take "
    "some 0.2 % off the torque at the voltage limit"
)


def _limit(m: Motor, _: ProductLine) -> Guess | None:
    found = class_limit(m.insulation_class)
    if np.isnan(found):
        return None
    how = f"class {m.insulation_class} less 15\u202fK for the hottest spot"
    return Guess(found, found, found + 5.0, how)


def _whole(m: Motor) -> float | None:
    """Winding to ambient [K/W], from the loss of the stall current."""
    if m.resistance is None or m.winding_limit is None:
        return None
    current = m.current_stall
    if current is None and m.torque_stall is not None and m.torque_constant is not None:
        current = m.torque_stall / m.torque_constant
    rise = m.winding_limit - ambient_of(m)
    if current is None or rise <= 0:
        return None
    loss = float(copper_loss(current, m.resistance, m.winding_limit))
    return float(whole_thermal_resistance(rise, loss))


def _share(line: ProductLine) -> tuple[tuple[float, float, float], str]:
    """Least, usual and largest share of the winding's own resistance, and whose it is."""
    own = [
        m.rth_winding_housing / (m.rth_winding_housing + m.rth_housing_ambient)
        for m in line.motors
        if m.rth_winding_housing is not None and m.rth_housing_ambient is not None
    ]
    if len(own) >= LEAST:
        found = (min(own), float(np.median(own)), max(own))
        return found, f"shared as in {len(own)} motors of the line"
    return SHARE, "shared as usual"


def _stated(m: Motor, line: ProductLine) -> Motor:
    """The motor without what was estimated on the way here."""
    return line.motors[line.motor_index[m.name]]


def _rest(whole: float, other: float, how: str) -> Guess | None:
    """What one of the two resistances leaves to the other."""
    left = whole - other
    if left <= 0:
        return None
    return Guess(left, max(left - STALL * whole, 0.1 * left), left + STALL * whole, how)


def _winding_resistance(m: Motor, line: ProductLine) -> Guess | None:
    whole = _whole(m)
    if whole is None:
        return None
    how = "from the loss at the stall current"
    other = _stated(m, line).rth_housing_ambient
    if other is not None:
        return _rest(whole, other, how)
    (least, usual, most), whose = _share(line)
    low, high = least * whole * (1 - STALL), most * whole * (1 + STALL)
    return Guess(usual * whole, low, high, f"{how}, {whose}")


def _housing_resistance(m: Motor, line: ProductLine) -> Guess | None:
    whole = _whole(m)
    if whole is None:
        return None
    how = "from the loss at the stall current"
    other = _stated(m, line).rth_winding_housing
    if other is not None:
        return _rest(whole, other, how)
    (least, usual, most), whose = _share(line)
    how = f"{how}, {whose}"
    low, high = (1 - most) * whole * (1 - STALL), (1 - least) * whole * (1 + STALL)
    return Guess((1 - usual) * whole, low, high, how)


def _iron(m: Motor, _: ProductLine) -> Guess | None:
    rth, limit = m.rth_housing_ambient, m.winding_limit
    if None in (m.torque_rated, m.torque_stall) or rth is None or limit is None:
        return None
    rise = limit - ambient_of(m)
    if rise <= 0 or (m.torque_rated or 0.0) >= (m.torque_stall or 0.0):
        return None
    found = float(iron_loss_of_ratings(m.torque_rated or 0.0, m.torque_stall or 0.0, rise, rth))
    how = "as far as the rated torque lies below the stall torque"
    return Guess(found, found * (1 - STALL), found * (1 + STALL), how)


def _usual_time(times: tuple[float, float, float]) -> Find:
    def find(_: Motor, __: ProductLine) -> Guess:
        least, usual, most = times
        return Guess(usual, least, most, "as the least that is usual")

    return find


def _capacity(time: str, resistance: str) -> Find:
    def find(m: Motor, _: ProductLine) -> Guess | None:
        tau, rth = getattr(m, time), getattr(m, resistance)
        if tau is None or rth is None:
            return None
        found = float(heat_capacity(tau, rth))
        how = "time constant over thermal resistance"
        return Guess(found, found * (1 - CAPACITY), found * (1 + CAPACITY), how)

    return find


def _timed(field: str, times: tuple[float, float, float]) -> tuple[Method, ...]:
    law = by_law("motor", field, ("torque_stall",), ("series",))
    return (
        Method("motor", field, "by the power law of the line", "low", OWN_FAMILY, law),
        Method("motor", field, "as the least that is usual", "low", COMMON, _usual_time(times)),
    )


METHODS: tuple[Method, ...] = (
    Method("motor", "winding_limit", "from the class of insulation", "low", CLASSES, _limit),
    Method("motor", "rth_housing_ambient", "from the loss at the stall current", "high", NETWORK,
           _housing_resistance),
    Method("motor", "rth_winding_housing", "from the loss at the stall current", "high", NETWORK,
           _winding_resistance),
    Method("motor", "iron_loss_rated", "from rated and stall torque", "high", NETWORK, _iron),
    *_timed("tau_winding", WINDING_TIME),
    *_timed("tau_housing", HOUSING_TIME),
    Method("motor", "cth_winding", "from time constant and thermal resistance", "low", "tau = R C",
           _capacity("tau_winding", "rth_winding_housing")),
    Method("motor", "cth_housing", "from time constant and thermal resistance", "low", "tau = R C",
           _capacity("tau_housing", "rth_housing_ambient")),
)  # fmt: skip
"""In the order in which they are tried; later ones may use what earlier ones gave."""
