"""Rules of parts that go together: geared figures, supply, currents, fit, resistors."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from dutyline.audit.look import Look
from dutyline.audit.records import Array, Index, Side, Tested

EFFICIENCY_FORGOTTEN = "Was the efficiency of the gearhead forgotten?"
EFFICIENCY_TWICE = "Was the efficiency of the gearhead counted twice?"
LIMIT_FORGOTTEN = "Was the limit of the gearhead forgotten?"


def geared_torque_product(look: Look) -> Iterator[Tested]:
    """Geared torque over ``min(T i eta, limit of the gearhead)``, rated and peak."""
    rows, motor, gear = look.pairs("motor-gearhead")
    ratio, efficiency = (look.at("gearheads", f, gear) for f in ("ratio", "efficiency"))
    for out, torque, limit in (
        ("torque_rated_out", "torque_rated", "torque_rated"),
        ("torque_peak_out", "torque_peak", "torque_acceleration"),
    ):
        stated = look.at("pairings", out, rows)
        product = look.at("motors", torque, motor) * ratio * efficiency
        most = look.at("gearheads", limit, gear)
        by_gear = most < product
        by_motor = ~by_gear & ~np.isnan(most + product)
        at = np.nonzero(by_motor)[0]
        yield Tested(
            stated[at] / product[at],
            (
                look.side("pairings", out, 1, rows[at]),
                look.side("motors", torque, -1, motor[at]),
                look.side("gearheads", "efficiency", -1, gear[at]),
                look.side("gearheads", "ratio", -1, gear[at]),
                look.side("gearheads", limit, rows=gear[at]),
            ),
            nominal=1.0,
            usual=((1 / efficiency[at], EFFICIENCY_FORGOTTEN), (efficiency[at], EFFICIENCY_TWICE)),
        )
        at = np.nonzero(by_gear)[0]
        yield Tested(
            stated[at] / most[at],
            (
                look.side("pairings", out, 1, rows[at]),
                look.side("gearheads", limit, -1, gear[at]),
                look.side("motors", torque, rows=motor[at]),
                look.side("gearheads", "ratio", rows=gear[at]),
                look.side("gearheads", "efficiency", rows=gear[at]),
            ),
            nominal=1.0,
            usual=((product[at] / most[at], LIMIT_FORGOTTEN),),
        )


def geared_speed_quotient(look: Look) -> Iterator[Tested]:
    """Geared speed over ``min(n_max, n_1B) / i``"""
    rows, motor, gear = look.pairs("motor-gearhead")
    own, most = look.at("motors", "speed_max", motor), look.at("gearheads", "speed_in_max", gear)
    ratio, stated = look.at("gearheads", "ratio", gear), look.at("pairings", "speed_max_out", rows)
    by_gear = most < own
    for mask, kind, index, field, limit in (
        (~by_gear & ~np.isnan(own + most), "motors", motor, "speed_max", own),
        (by_gear, "gearheads", gear, "speed_in_max", most),
    ):
        at = np.nonzero(mask)[0]
        yield Tested(
            stated[at] * ratio[at] / limit[at],
            (
                look.side("pairings", "speed_max_out", 1, rows[at]),
                look.side(kind, field, -1, index[at]),
                look.side("gearheads", "ratio", 1, gear[at]),
            ),
            nominal=1.0,
        )


def pair_same_supply_class(look: Look) -> Iterator[Tested]:
    """1 where both parts name one supply class, 0 where two; and the mains that they state."""
    for pairing, left_kind, right_kind in (
        ("motor-drive", "motors", "drives"), ("drive-resistor", "drives", "resistors"),
    ):  # fmt: skip
        _, left, right = look.pairs(pairing)
        both = [
            (getattr(look.line, left_kind)[a].supply_class,
             getattr(look.line, right_kind)[b].supply_class)
            for a, b in zip(left, right, strict=True)
        ]  # fmt: skip
        same = [float(a == b) if a and b else np.nan for a, b in both]
        yield Tested(
            np.array(same),
            (look.side(left_kind, "supply_class", rows=left),
             look.side(right_kind, "supply_class", rows=right)),
            band="same",
        )  # fmt: skip
    _, motor, drive = look.pairs("motor-drive")
    for name in ("mains_min", "mains_max"):
        yield _pair(look, ("motors", name, motor), ("drives", name, drive), "mains")


def pair_drive_carries_stall_current(look: Look) -> Iterator[Tested]:
    """``I_N`` of the drive over ``I_0`` of the motor."""
    _, motor, drive = look.pairs("motor-drive")
    yield _pair(look, ("drives", "current_rated", drive), ("motors", "current_stall", motor))


def pair_drive_carries_peak_current(look: Look) -> Iterator[Tested]:
    """``I_pk`` of the drive over that of the motor."""
    _, motor, drive = look.pairs("motor-drive")
    yield _pair(look, ("drives", "current_peak", drive), ("motors", "current_peak", motor))


pair_drive_not_oversized = pair_drive_carries_peak_current


def pair_flange_and_shaft_fit(look: Look) -> Iterator[Tested]:
    """Flange over the nearest that the gearhead takes; shaft over the largest."""
    _, motor, gear = look.pairs("motor-gearhead")
    flange = look.at("motors", "flange", motor)
    sides = [look.line.gearheads[b].input_flanges for b in gear]
    wanted = list(zip(flange.tolist(), sides, strict=True))
    near = {(a, own): min(own, key=lambda side: abs(side - a), default=np.nan)
            for a, own in set(wanted)}  # fmt: skip
    nearest = np.array([near[key] for key in wanted])
    yield Tested(
        flange / nearest,
        (Side("motors", "flange", motor, 1), Side("gearheads", "input_flanges", gear)),
        band="flange",
    )
    yield _pair(look, ("motors", "shaft", motor), ("gearheads", "shaft_in_max", gear), "shaft")


def pair_resistor_not_below_minimum(look: Look) -> Iterator[Tested]:
    """``R / R_min``, and the voltage of the resistor over the overvoltage trip."""
    _, drive, resistor = look.pairs("drive-resistor")
    yield _pair(look, ("resistors", "resistance", resistor), ("drives", "resistor_min", drive))
    yield _pair(look, ("resistors", "voltage_max", resistor),
                ("drives", "overvoltage_trip", drive), "voltage")  # fmt: skip


def _pair(
    look: Look, top: tuple[str, str, Index], bottom: tuple[str, str, Index], band: str = "ratio"
) -> Tested:
    """A value of one part over that of the other."""
    above: Array = look.at(*top)
    return Tested(
        above / look.at(*bottom),
        (Side(top[0], top[1], top[2], 1), Side(bottom[0], bottom[1], bottom[2], -1)),
        band,
    )
