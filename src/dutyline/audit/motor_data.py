"""Rules of one motor: power, torque, current, constants, heat, shaft and flange."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from dutyline.audit.look import Look
from dutyline.audit.records import Array, Side, Tested
from dutyline.physics.continuous_torque import continuous_torque
from dutyline.physics.slender import torsion_stress
from dutyline.physics.torque_speed import hot_resistance, torque_constant_of_emf

USUAL_AMBIENT = 40.0
"""[degC] to which ratings refer where none is stated (IEC 60034-1, from memory)."""


class _Motors:
    """Columns of those motors that state all of some data."""

    def __init__(self, look: Look, *needed: str) -> None:
        self.look = look
        self.rows = look.stating("motors", *needed)

    def __getitem__(self, name: str) -> Array:
        found: Array = self.look.column("motors", name)[self.rows]
        return found

    def side(self, name: str, power: float = 0.0, expected: Array | None = None) -> Side:
        return Side("motors", name, self.rows, power, expected)


def power_is_torque_times_speed(look: Look) -> Iterator[Tested]:
    """``T_N w_N / P_N``"""
    m = _Motors(look, "torque_rated", "speed_rated", "power_rated")
    yield Tested(
        m["torque_rated"] * m["speed_rated"] / m["power_rated"],
        (m.side("torque_rated", 1), m.side("power_rated", -1), m.side("speed_rated", 1)),
        nominal=1.0,
    )


def torque_from_current(look: Look) -> Iterator[Tested]:
    """``K_t I_N / T_N`` and ``K_t I_0 / T_0``"""
    for name in ("rated", "stall"):
        torque, current = f"torque_{name}", f"current_{name}"
        m = _Motors(look, "torque_constant", current, torque)
        yield Tested(
            m["torque_constant"] * m[current] / m[torque],
            (m.side("torque_constant", 1), m.side(current, 1), m.side(torque, -1)),
            nominal=1.0,
        )


def torque_constant_matches_back_emf(look: Look) -> Iterator[Tested]:
    """``K_t / (sqrt(3) K_e)``, the relation of a sinusoidal machine."""
    m = _Motors(look, "torque_constant", "voltage_constant")
    yield Tested(
        m["torque_constant"] / torque_constant_of_emf(m["voltage_constant"]),
        (m.side("voltage_constant", -1), m.side("torque_constant", 1)),
        nominal=1.0,
    )


def peak_to_rated_band(look: Look) -> Iterator[Tested]:
    """``T_pk / T_N``"""
    yield _share(look, "torque_peak", "torque_rated")


def stall_not_below_rated(look: Look) -> Iterator[Tested]:
    """``T_0 / T_N``"""
    yield _share(look, "torque_stall", "torque_rated")


def peak_current_gives_peak_torque(look: Look) -> Iterator[Tested]:
    """``T_pk / (K_t I_pk)``, and against the saturation stated."""
    needed = ("torque_peak", "current_peak", "torque_constant")
    for band, more in (("ratio", ()), ("saturation", ("saturation_peak",))):
        m = _Motors(look, *needed, *more)
        sides: tuple[Side, ...] = (
            m.side("torque_peak", 1), m.side("current_peak", -1), m.side("torque_constant", -1)
        )  # fmt: skip
        share = m["torque_peak"] / (m["torque_constant"] * m["current_peak"])
        if more:
            stated = m["saturation_peak"]
            sides = (m.side("saturation_peak", -1), *sides)
            yield Tested(share / stated, sides, band, nominal=1.0)
        else:
            yield Tested(share, sides, band)


def max_speed_band(look: Look) -> Iterator[Tested]:
    """``n_max / n_N``"""
    yield _share(look, "speed_max", "speed_rated")


def back_emf_below_bus_at_max_speed(look: Look) -> Iterator[Tested]:
    """``sqrt(2) K_e w_max / (sqrt(2) V_mains)``: the crest of the emf against the bus."""
    m = _Motors(look, "voltage_constant", "speed_max", "mains_max")
    yield Tested(
        m["voltage_constant"] * m["speed_max"] / m["mains_max"],
        (m.side("voltage_constant", 1), m.side("speed_max", 1), m.side("mains_max", -1)),
    )


def electrical_time_constant_band(look: Look) -> Iterator[Tested]:
    """``L / R`` [s]"""
    yield _share(look, "inductance", "resistance")


def stall_loss_gives_rise_limit(look: Look) -> Iterator[Tested]:
    """``1.5 R_ll(hot) I_0**2 (R_wh + R_ha) / rise``"""
    m = _Motors(look, "resistance", "current_stall", "winding_limit", "rth_winding_housing",
                "rth_housing_ambient")  # fmt: skip
    rise = _rise(m)
    loss = 1.5 * hot_resistance(m["resistance"], m["winding_limit"]) * m["current_stall"] ** 2
    winding, housing = m["rth_winding_housing"], m["rth_housing_ambient"]
    yield Tested(
        loss * (winding + housing) / rise,
        (
            m.side("resistance", 1),
            m.side("current_stall", 2),
            m.side("rth_housing_ambient", expected=_positive(rise / loss - winding)),
            m.side("rth_winding_housing", expected=_positive(rise / loss - housing)),
            m.side("winding_limit"),
        ),
        nominal=1.0,
    )


def rated_torque_follows_iron_loss(look: Look) -> Iterator[Tested]:
    """``T_0 sqrt(1 - R_ha P_fe / rise) / T_N``"""
    m = _Motors(look, "torque_stall", "torque_rated", "iron_loss_rated", "rth_housing_ambient",
                "winding_limit")  # fmt: skip
    rise, loss, path = _rise(m), m["iron_loss_rated"], m["rth_housing_ambient"]
    stall, rated = m["torque_stall"], m["torque_rated"]
    left = np.full(rise.shape, np.nan)
    some = rise > 0
    left[some] = continuous_torque(loss[some], stall[some], rise[some], path[some])
    taken = _positive((1.0 - (rated / stall) ** 2) * rise)
    with np.errstate(divide="ignore"):
        other = taken / loss
    yield Tested(
        left / rated,
        (
            m.side("iron_loss_rated", expected=taken / path),
            m.side("rth_housing_ambient", expected=other),
            m.side("torque_stall", 1),
            m.side("torque_rated", -1),
            m.side("winding_limit"),
        ),
        nominal=1.0,
    )


def thermal_time_constant_product(look: Look) -> Iterator[Tested]:
    """``R_th C_th / tau`` of winding and housing."""
    for node, path in (("winding", "winding_housing"), ("housing", "housing_ambient")):
        resistance, capacity, tau = f"rth_{path}", f"cth_{node}", f"tau_{node}"
        m = _Motors(look, resistance, capacity, tau)
        yield Tested(
            m[resistance] * m[capacity] / m[tau],
            (m.side(tau, -1), m.side(capacity, 1), m.side(resistance, 1)),
            nominal=1.0,
        )


def flange_proportions(look: Look) -> Iterator[Tested]:
    """Pilot over bolt circle, pilot over side, bolt circle over side."""
    yield _share(look, "pilot", "bolt_circle", "pilot_in_circle")
    yield _share(look, "pilot", "flange", "pilot_in_side")
    yield _share(look, "bolt_circle", "flange", "circle_in_side")


def shaft_stress_band(look: Look) -> Iterator[Tested]:
    """``16 T_pk / (pi d**3)`` [Pa]"""
    m = _Motors(look, "torque_peak", "shaft")
    yield Tested(
        torsion_stress(m["torque_peak"], m["shaft"]),
        (m.side("shaft", -3), m.side("torque_peak", 1)),
    )


def _share(look: Look, top: str, bottom: str, band: str = "ratio") -> Tested:
    """One column over another, each suspected."""
    m = _Motors(look, top, bottom)
    return Tested(m[top] / m[bottom], (m.side(top, 1), m.side(bottom, -1)), band)


def _rise(motors: _Motors) -> Array:
    """Permitted rise of the winding over the ambient of the ratings [K], nan where none."""
    ambient = motors["ambient_max"]
    rise = motors["winding_limit"] - np.where(np.isnan(ambient), USUAL_AMBIENT, ambient)
    return _positive(rise)


def _positive(values: Array) -> Array:
    return np.where(values > 0, values, np.nan)
