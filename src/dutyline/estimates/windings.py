"""Constants of a motor's winding from its ratings, or from another winding of the same size."""

from __future__ import annotations

from dutyline.catalogue.parts import Motor, ProductLine
from dutyline.estimates.family import by_law
from dutyline.estimates.records import Guess, Method, exactly, within
from dutyline.physics.motor_ratings import (
    emf_constant_of_torque,
    other_winding,
    peak_current,
    speed_of_power,
    torque_constant_of_point,
)
from dutyline.physics.torque_speed import torque_constant_of_emf

EMF = 0.08
"""Share by which torque and voltage constant differ from their relation: temperature of the
magnets, friction inside the torque constant (common practice)."""
SATURATION = (0.8, 1.0)
"""Share of the unsaturated torque that is left at the peak (common practice)."""
POWER = 0.03
"""Rated powers are rounded (common practice)."""
WINDINGS = 0.15
"""Share by which windings of one size depart from the square of their turns (common practice)."""

DEFINITION = "definition of the torque constant"
SINUSOIDAL = "sinusoidal emf and current; machine textbooks, from memory"
SCALING = "scaling of windings in one iron; machine textbooks, from memory"
COMMON = "common practice, no source"
OWN_FAMILY = "power law of the line's own products; machine textbooks, from memory"


def _kt_of_stall(m: Motor, _: ProductLine) -> Guess | None:
    if m.torque_stall is None or m.current_stall is None:
        return None
    return exactly(
        float(torque_constant_of_point(m.torque_stall, m.current_stall)),
        "stall torque over stall current",
    )


def _kt_of_rated(m: Motor, _: ProductLine) -> Guess | None:
    if m.torque_rated is None or m.current_rated is None:
        return None
    least = float(torque_constant_of_point(m.torque_rated, m.current_rated))
    how = "rated torque over rated current, which is not more"
    return Guess(least, least, least * (1 + EMF), how)


def _kt_of_emf(m: Motor, _: ProductLine) -> Guess | None:
    if m.voltage_constant is None:
        return None
    return within(
        float(torque_constant_of_emf(m.voltage_constant)),
        EMF,
        "root of 3 times the voltage constant",
    )


def _emf_of_kt(m: Motor, _: ProductLine) -> Guess | None:
    if m.torque_constant is None:
        return None
    found = float(emf_constant_of_torque(m.torque_constant))
    return within(found, EMF, "torque constant over the root of 3")


def _saturation(m: Motor, _: ProductLine) -> Guess | None:
    told = m.torque_peak is not None and m.current_peak is not None
    if told or (m.torque_peak is None and m.current_peak is None):
        return None
    low, high = SATURATION
    return Guess((low + high) / 2, low, high, "usual share of the torque left at the peak")


def _peak_current(m: Motor, _: ProductLine) -> Guess | None:
    if m.torque_peak is None or m.torque_constant is None or m.saturation_peak is None:
        return None
    found = float(peak_current(m.torque_peak, m.torque_constant, m.saturation_peak))
    return exactly(found, "peak torque over torque constant and saturation")


def _peak_torque(m: Motor, _: ProductLine) -> Guess | None:
    if m.current_peak is None or m.torque_constant is None or m.saturation_peak is None:
        return None
    found = m.torque_constant * m.current_peak * m.saturation_peak
    return exactly(found, "peak current times torque constant and saturation")


def _rated_speed(m: Motor, _: ProductLine) -> Guess | None:
    if m.power_rated is None or m.torque_rated is None:
        return None
    found = float(speed_of_power(m.power_rated, m.torque_rated))
    return within(found, POWER, "rated power over rated torque")


def _sibling(field: str) -> Method:
    """Another winding of the same size that states the datum and a constant of both."""

    def find(m: Motor, line: ProductLine) -> Guess | None:
        for other in line.motors:
            value = getattr(other, field)
            if not m.size or other.size != m.size or other.name == m.name or value is None:
                continue
            for constant in ("voltage_constant", "torque_constant"):
                here, there = getattr(m, constant), getattr(other, constant)
                if here is not None and there is not None:
                    found = float(other_winding(value, there, here))
                    return within(found, WINDINGS, f"by the turns from {other.name}")
        return None

    name = "by the turns from another winding of its size"
    return Method("motor", field, name, "high", SCALING, find)


METHODS: tuple[Method, ...] = (
    Method("motor", "speed_rated", "from rated power and rated torque", "low", "P = T w",
           _rated_speed),
    Method("motor", "torque_constant", "from stall torque and stall current", "low", DEFINITION,
           _kt_of_stall),
    Method("motor", "torque_constant", "from rated torque and rated current", "low", DEFINITION,
           _kt_of_rated),
    Method("motor", "torque_constant", "from the voltage constant", "low", SINUSOIDAL, _kt_of_emf),
    Method("motor", "voltage_constant", "from the torque constant", "high", SINUSOIDAL,
           _emf_of_kt),
    Method("motor", "saturation_peak", "as the usual least", "low", COMMON, _saturation),
    Method("motor", "current_peak", "from peak torque and torque constant", "high", COMMON,
           _peak_current),
    Method("motor", "torque_peak", "from peak current and torque constant", "low", COMMON,
           _peak_torque),
    _sibling("resistance"),
    _sibling("inductance"),
    Method("motor", "resistance", "by the power law of the line", "high", OWN_FAMILY,
           by_law("motor", "resistance", ("torque_stall",), ("series",), "torque_constant")),
    Method("motor", "inductance", "by the power law of the line", "high", OWN_FAMILY,
           by_law("motor", "inductance", ("torque_stall",), ("series", "pole_pairs"),
                  "torque_constant")),
)  # fmt: skip
"""In the order in which they are tried; later ones may use what earlier ones gave."""
