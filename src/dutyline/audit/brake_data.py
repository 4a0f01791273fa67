"""Rules of brakes, on the motors that carry them and by themselves, and of braking resistors."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from dutyline.audit.look import Look
from dutyline.audit.records import Tested


def brake_holds_rated_torque(look: Look) -> Iterator[Tested]:
    """``T_B / T_N``"""
    motor, brake = look.motor_brakes
    yield Tested(
        look.at("brakes", "torque_static", brake) / look.at("motors", "torque_rated", motor),
        (look.side("brakes", "torque_static", 1, brake),
         look.side("motors", "torque_rated", -1, motor)),
    )  # fmt: skip


def brake_inertia_adds_to_rotor(look: Look) -> Iterator[Tested]:
    """``(J_mb - J_m) / J_B``, and ``(J_mb - J_m) / J_m``."""
    motor, brake = look.motor_brakes
    alone = look.at("motors", "inertia", motor)
    both = look.at("motors", "inertia_with_brake", motor)
    own = look.at("brakes", "inertia", brake)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = (both - alone) / own
    yield Tested(
        share,
        (
            look.side("motors", "inertia_with_brake", rows=motor, expected=alone + own),
            look.side("motors", "inertia", rows=motor, expected=_positive(both - own)),
            look.side("brakes", "inertia", -1, brake),
        ),
        band="sum",
        nominal=1.0,
    )
    rows = look.stating("motors", "inertia", "inertia_with_brake")
    rotor, with_brake = (look.at("motors", f, rows) for f in ("inertia", "inertia_with_brake"))
    yield Tested(
        (with_brake - rotor) / rotor,
        (look.side("motors", "inertia_with_brake", rows=rows),
         look.side("motors", "inertia", rows=rows)),
        band="share",
    )  # fmt: skip


def brake_adds_mass(look: Look) -> Iterator[Tested]:
    """``m_b / m``, and ``(m_b - m)`` over the mass of the brake."""
    rows = look.stating("motors", "mass", "mass_with_brake")
    alone, both = look.at("motors", "mass", rows), look.at("motors", "mass_with_brake", rows)
    yield Tested(
        both / alone,
        (look.side("motors", "mass_with_brake", 1, rows), look.side("motors", "mass", -1, rows)),
    )
    motor, brake = look.motor_brakes
    alone, both = (look.at("motors", f, motor) for f in ("mass", "mass_with_brake"))
    own = look.at("brakes", "mass", brake)
    yield Tested(
        (both - alone) / own,
        (
            look.side("motors", "mass_with_brake", rows=motor, expected=alone + own),
            look.side("motors", "mass", rows=motor, expected=_positive(both - own)),
            look.side("brakes", "mass", -1, brake),
        ),
        band="brake",
        nominal=1.0,
    )


def coil_power_is_v2_over_r(look: Look) -> Iterator[Tested]:
    """``P R / V**2``"""
    volt, watt, ohm = (look.column("brakes", f"coil_{x}") for x in
                       ("voltage", "power", "resistance"))  # fmt: skip
    yield Tested(
        watt * ohm / volt**2,
        (look.side("brakes", "coil_power", 1), look.side("brakes", "coil_resistance", 1),
         look.side("brakes", "coil_voltage", -2)),
        nominal=1.0,
    )  # fmt: skip


def brake_work_order(look: Look) -> Iterator[Tested]:
    """``W_total / W_stop``"""
    with np.errstate(divide="ignore", invalid="ignore"):
        stops = look.column("brakes", "work_total") / look.column("brakes", "work_per_stop")
    yield Tested(
        stops, (look.side("brakes", "work_total", 1), look.side("brakes", "work_per_stop", -1))
    )


def resistor_peak_power_is_v2_over_r(look: Look) -> Iterator[Tested]:
    """``P_peak R / V_chopper**2`` with the drives that it is paired with, else of its class."""
    resistor, drive = _drives_of_resistors(look)
    volt = look.at("drives", "chopper_on", drive)
    power, ohm = (look.at("resistors", f, resistor) for f in ("power_peak", "resistance"))
    yield Tested(
        power * ohm / volt**2,
        (look.side("resistors", "resistance", 1, resistor),
         look.side("resistors", "power_peak", 1, resistor),
         look.side("drives", "chopper_on", -2, drive)),
        nominal=1.0,
    )  # fmt: skip


def resistor_mean_below_peak(look: Look) -> Iterator[Tested]:
    """``P_mean / P_peak``"""
    yield Tested(
        look.column("resistors", "power_mean") / look.column("resistors", "power_peak"),
        (look.side("resistors", "power_mean", 1), look.side("resistors", "power_peak", -1)),
    )


def resistor_pulse_within_its_heat(look: Look) -> Iterator[Tested]:
    """``E_pulse / (P_mean tau)``: what the resistor stores at its steady rise is ``P_mean tau``."""
    mean, tau = look.column("resistors", "power_mean"), look.column("resistors", "tau")
    yield Tested(
        look.column("resistors", "pulse_energy") / (mean * tau),
        (look.side("resistors", "pulse_energy", 1), look.side("resistors", "tau", -1),
         look.side("resistors", "power_mean", -1)),
    )  # fmt: skip


def _drives_of_resistors(look: Look) -> tuple[np.ndarray, np.ndarray]:
    _, drive, resistor = look.pairs("drive-resistor")
    pairs = {(int(r), int(d)) for r, d in zip(resistor, drive, strict=True)}
    paired = {r for r, _ in pairs}
    for r, own in enumerate(look.line.resistors):
        if r not in paired and own.supply_class:
            pairs |= {(r, d) for d, other in enumerate(look.line.drives)
                      if other.supply_class == own.supply_class}  # fmt: skip
    both = np.array(sorted(pairs), dtype=np.intp).reshape(-1, 2)
    return both[:, 0], both[:, 1]


def _positive(values: np.ndarray) -> np.ndarray:
    return np.where(values > 0, values, np.nan)
