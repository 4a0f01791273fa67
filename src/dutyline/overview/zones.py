"""Torque over speed of motors, alone and behind gearheads, with what limits each."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from dutyline.catalogue.boundaries import (
    COMPUTED,
    Boundary,
    Place,
    boundary_limit,
    continuous_boundary,
    continuous_gap,
    peak_boundary,
    peak_gap,
)
from dutyline.catalogue.pairing import partners
from dutyline.catalogue.parts import Gearhead, Motor, ProductLine
from dutyline.core.errors import Fault, InputError
from dutyline.overview.records import Geared, Output, Zone
from dutyline.physics.gears import mesh_efficiency, output_torque

MOST_GEARED = 100_000
"""Motors on gearheads that an overview holds, some 5 kB each."""
_SAME = 1e-9
READING = 0.01
"""Share of a tabulated torque that reading off a plot and rounding take; common practice."""


def zones(line: ProductLine, mains: float | None, phases: int | None) -> tuple[Zone, ...]:
    """Zones of every motor, at a supply [V] or each at the best one of its own."""
    tabulated: dict[str, tuple[float, int]] = {}
    for curve in line.curves:
        supply = curve.mains, curve.phases
        tabulated[curve.motor] = max(supply, tabulated.get(curve.motor, supply))
    own = (tabulated.get(m.name) or _supply(line, k) for k, m in enumerate(line.motors))
    return tuple(_zone(line, k, supply, mains, phases) for k, supply in enumerate(own))


def _zone(
    line: ProductLine,
    index: int,
    own: tuple[float | None, int | None],
    mains: float | None,
    phases: int | None,
) -> Zone:
    motor = line.motors[index]
    own_mains, own_phases = own
    volts = own_mains if mains is None else mains
    count = own_phases if phases is None else phases
    if volts is None or count is None:
        return Zone(motor.name, volts, count, None, None, None, "no mains is stated for it")
    refused = _refused(motor, volts)
    if refused:
        return Zone(motor.name, volts, count, None, None, None, refused)
    peak = peak_boundary(line, index, volts, count)
    continuous = continuous_boundary(line, index, volts, count)
    gaps = [] if peak is not None else [peak_gap(line, index, volts, count)]
    if continuous is None:
        gaps.append(continuous_gap(line, index, volts, count, Place()))
    told = "; ".join(dict.fromkeys(gaps))
    return Zone(motor.name, volts, count, peak, continuous, _corner(peak), told)


def _refused(motor: Motor, mains: float) -> str:
    low, high = motor.mains_min, motor.mains_max
    if (low is not None and mains < low) or (high is not None and mains > high):
        ends = f"{low or 0:g} to {high:g} V" if high is not None else f"from {low:g} V"
        return f"its winding is for {ends}"
    return ""


def _supply(line: ProductLine, index: int) -> tuple[float | None, int | None]:
    """Supply of a motor without curves: what it and its drives state."""
    drives = [line.drives[k] for k in partners(line, "motor-drive").get(index, ())]
    phases = [p for drive in drives for p in drive.phases]
    return line.motors[index].mains_max, max(phases, default=3)


def _corner(peak: Boundary | None) -> float | None:
    """The last speed with all of the torque at the first [rad/s]; a table's within its reading."""
    if peak is None:
        return None
    share = _SAME if peak.origin == COMPUTED else READING
    full = np.flatnonzero(peak.torque >= peak.torque[0] * (1.0 - share))
    return float(peak.speed[full[-1]])


def geared(line: ProductLine, found: tuple[Zone, ...]) -> tuple[Geared, ...]:
    """Every motor on every gearhead that it goes on, in the order of the line.

    Raises
    ------
    InputError
        They are more than :data:`MOST_GEARED`.
    """
    pairs = partners(line, "motor-gearhead")
    count = sum(map(len, pairs.values()))
    if count > MOST_GEARED:
        read = (
            f"leaves {count} pairs of a motor and a gearhead; at most {MOST_GEARED} are gone "
            "through one by one."
        )
        remedy = "Write which go together (rows motor-gearhead), or split the line."
        raise InputError(
            f"product line {line.folder or line.name}", [Fault("pairings.csv", "", read, remedy)]
        )
    trains = [_Train.of(gear) for gear in line.gearheads]
    return tuple(
        _geared(motor, line.gearheads[g], trains[g], found[m])
        for m, motor in enumerate(line.motors)
        for g in pairs.get(m, ())
    )


def _geared(motor: Motor, gear: Gearhead, train: _Train, zone: Zone) -> Geared:
    rated_in = _rated(motor, zone)
    peak_in = motor.torque_peak if zone.peak is None else float(zone.peak.torque[0])
    ends = motor.speed_max, gear.speed_in_max
    gaps = ("" if train.mesh is not None else f"{gear.name} lacks {train.lacks}", zone.gap)
    return Geared(
        motor=motor.name,
        gearhead=gear.name,
        ratio=gear.ratio_exact,
        rated=_least(train.torque(rated_in), gear.torque_rated),
        peak=_least(train.torque(peak_in), gear.torque_acceleration),
        top=_least(*(None if speed is None else speed / gear.ratio for speed in ends)),
        rated_speed=None if motor.speed_rated is None else motor.speed_rated / gear.ratio,
        peak_zone=train.boundary(zone.peak),
        continuous_zone=train.boundary(zone.continuous),
        gap="; ".join(gap for gap in gaps if gap),
    )


@dataclass(frozen=True, slots=True)
class _Train:
    """A gearhead as seen by a driving motor."""

    ratio: float
    mesh: float | None
    drag: float
    lacks: str = ""

    @classmethod
    def of(cls, gear: Gearhead) -> _Train:
        """The train of a gearhead; without a mesh where a datum is missing."""
        eta, drag, rated = gear.efficiency, gear.no_load_torque, gear.torque_rated
        if eta is None or drag is None or rated is None:
            known = {"efficiency": eta, "no-load torque": drag, "rated torque": rated}
            lacks = " and ".join(name for name, value in known.items() if value is None)
            return cls(gear.ratio, None, 0.0, lacks)
        return cls(gear.ratio, float(mesh_efficiency(eta, gear.ratio, drag, rated)), drag)

    def torque(self, motor: float | None) -> float | None:
        """Output torque that a motor torque leaves [N*m]."""
        if self.mesh is None or motor is None:
            return None
        return float(output_torque(motor, self.ratio, self.mesh, self.drag))

    def boundary(self, motor: Boundary | None) -> Boundary | None:
        """A boundary of the motor carried to the output."""
        if self.mesh is None or motor is None:
            return None
        torque = output_torque(motor.torque, self.ratio, self.mesh, self.drag)
        return Boundary(motor.speed / self.ratio, torque, motor.origin)


def _rated(motor: Motor, zone: Zone) -> float | None:
    """Continuous torque at the rated speed [N*m], at the supply of the zone where it is known."""
    if zone.continuous is None or motor.speed_rated is None:
        return motor.torque_rated
    return float(boundary_limit(zone.continuous, motor.speed_rated))


def _least(motor: float | None, gearhead: float | None) -> Output | None:
    """The smaller of two limits and whose it is; None where either is not known."""
    if motor is None or gearhead is None:
        return None
    if math.isclose(motor, gearhead, rel_tol=_SAME):
        return Output(motor, "both")
    return Output(min(motor, gearhead), "motor" if motor < gearhead else "gearhead")
