"""What belt, teeth, rope or load put on the shaft to which gearhead or motor is fitted.

Only forces whose seat on that shaft is told by the file are worked out. Magnitudes are added where
directions are not known, so that the sum is never too small.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.core import series
from dutyline.demand.loading import burden_of
from dutyline.demand.output import OutputDemand
from dutyline.physics.friction_drives import helical_forces, wrap_angle
from dutyline.physics.shaft_forces import belt_branches, belt_shaft_force, whirled_force
from dutyline.train.parameters import (
    BeltParams,
    BeltReductionParams,
    ConveyorParams,
    DirectParams,
    HoistParams,
    MechanismParams,
    RackParams,
    ReductionParams,
    RotaryTableParams,
    ScrewParams,
    StageParams,
)
from dutyline.train.wheels import wheel_diameter

Array = NDArray[np.float64]

GEAR_PRESSURE_ANGLE = np.radians(20.0)
"""[rad] of the teeth of a stage, spur teeth (ISO 53 basic rack)."""
NAN = float("nan")


@dataclass(frozen=True, slots=True)
class Forces:
    """On the shaft, magnitudes; arrays of one shape."""

    radial: Array
    """[N] at the overhang"""
    axial: Array
    """[N]"""
    moment: Array
    """[N*m] of axial forces beside the axis"""

    def largest(self, other: Forces) -> Forces:
        """Element by element the larger of two."""
        return Forces(*(np.maximum(getattr(self, n), getattr(other, n)) for n in NAMES))


NAMES = ("radial", "axial", "moment")


@dataclass(frozen=True, slots=True)
class Seat:
    """What sits on a shaft, and how far before its shoulder."""

    name: str
    """``belt``, ``pinion``, ``rope``, ``table``, or the name of a stage"""
    overhang: float | None
    """[m]"""
    path: str
    """Where the file would state it."""
    forces: Callable[[Array], Forces]
    """Of the effort that passes the seat [N or N*m, as at the output of its stage]."""
    stage: int
    """Index into :attr:`OutputDemand.stages`"""
    turning: RotaryTableParams | DirectParams | None = None
    """The load itself sits on the shaft: its weight and its whirl, not its effort, load it."""
    missing: tuple[str, ...] = ()
    """What the file does not say, in words."""


def seat_of(axis: Axis, number: int | None = None) -> Seat | None:
    """What sits on the motor side of a stage of the axis; None where nothing presses on a shaft.

    Parameters
    ----------
    axis : Axis
    number : int
        Index into the stages as stated, -1 for the mechanism; left out: the last of all, whose
        motor side is the output shaft of gearhead or motor.

    Notes
    -----
    Couplings and shafts hand on nothing but torque. Of gears in a housing of their own, cranks,
    rolls, cams and driven loads something sits on the shaft only where the file states an overhang.
    """
    mechanism = axis.mechanism
    first = len(axis.train.chain.stages) - len(axis.stages)
    number = len(axis.stages) - 1 if number is None else number
    if number >= 0:
        seat = _stage_seat(axis.stages[number], first + number)
        return None if seat is None else _with_losses(seat, axis)
    if mechanism is None:
        return None
    return _mechanism_seat(mechanism, axis)


def _with_losses(seat: Seat, axis: Axis) -> Seat:
    """The loss of belt, teeth or rope counts as force on the shaft, as while it drives."""
    least, inner = axis.train.chain.stages[seat.stage].efficiency, seat.forces
    return replace(seat, forces=lambda effort: inner(effort / least))


def _stage_seat(stage: StageParams, number: int) -> Seat | None:
    if isinstance(stage, BeltReductionParams):
        return _belt_reduction(stage, number)
    if type(stage) is ReductionParams and stage.overhang is not None:
        return _teeth(stage, number)
    return None


def _belt_reduction(stage: BeltReductionParams, number: int) -> Seat:
    wheels = stage.diameters
    if wheels is None and stage.teeth is not None and stage.pitch is not None:
        first, second = (wheel_diameter(z, stage.pitch) for z in stage.teeth)
        wheels = first, second
    missing = []
    if wheels is None:
        missing.append("diameters of the pulleys, mm")
        wheels = NAN, NAN
    held = stage.pretension
    if held is None:
        held = 0.0 if stage.element == "chain" else NAN
        if stage.element != "chain":
            missing.append("pretension of the belt, N")
    wrap = np.pi
    if stage.centre_distance is not None:
        small = float(wrap_angle(min(wheels), max(wheels), stage.centre_distance))
        wrap = small if wheels[0] <= wheels[1] else 2 * np.pi - small
    share = 1.0 if stage.element == "chain" else 0.5

    def forces(torque: Array) -> Forces:
        tight, slack = _branches(held, torque / (wheels[1] / 2), share)
        return _radial(belt_shaft_force(tight, slack, wrap))

    name = stage.name or "belt reduction"
    return Seat(name, stage.overhang, _path(stage), forces, number, missing=tuple(missing))


def _teeth(stage: ReductionParams, number: int) -> Seat:
    missing = () if stage.diameters is not None else ("diameters of the wheels, mm",)
    radius = NAN if stage.diameters is None else stage.diameters[1] / 2
    rolled = stage.traction
    pressed = None if rolled is None else rolled.normal_force
    if rolled is not None and pressed is None:
        missing = (*missing, "force that presses the wheels together, N")

    def forces(torque: Array) -> Forces:
        along = np.abs(torque) / radius
        if rolled is not None:
            return _radial(np.hypot(along, NAN if pressed is None else pressed))
        across, _ = helical_forces(along, GEAR_PRESSURE_ANGLE)
        return _radial(np.hypot(along, across))

    name = stage.name or "reduction"
    return Seat(name, stage.overhang, _path(stage), forces, number, missing=missing)


def _path(stage: StageParams) -> str:
    return f"stage.{stage.name}.overhang" if stage.name else "stage.overhang"


def _mechanism_seat(mechanism: MechanismParams, axis: Axis) -> Seat | None:
    if isinstance(mechanism, BeltParams | ConveyorParams):
        seat = _with_losses(_belt(mechanism), axis)
    elif isinstance(mechanism, RackParams):
        seat = _with_losses(_pinion(mechanism), axis)
    elif isinstance(mechanism, HoistParams):
        seat = _with_losses(_rope(mechanism), axis)
    elif isinstance(mechanism, RotaryTableParams | DirectParams) and not axis.linear:
        own = isinstance(mechanism, RotaryTableParams) and (
            mechanism.friction is not None or mechanism.bearing_diameter is not None
        )
        if own and mechanism.overhang is None:
            return None
        weighs = axis.train.chain.load.base.mass > 0
        if isinstance(mechanism, DirectParams) and mechanism.overhang is None and not weighs:
            return None
        missing = () if weighs else ("mass of the load, kg",)
        seat = Seat("load", mechanism.overhang, PATH, _none, 0, mechanism, missing)
    elif mechanism.overhang is None:
        return None
    elif isinstance(mechanism, ScrewParams):
        seat = _stated_radial(mechanism, "screw", lambda effort: np.abs(effort))
    else:
        seat = _stated_radial(mechanism, mechanism.kind, np.zeros_like)
    return _with_stated(seat, mechanism, axis)


PATH = "mechanism.overhang"


def _none(effort: Array) -> Forces:
    zero = np.zeros_like(effort)
    return Forces(zero, zero, zero)


def _radial(force: Array) -> Forces:
    zero = np.zeros_like(force)
    return Forces(force, zero, zero)


def _branches(held: float, effort: Array, share: float) -> tuple[Array, Array]:
    if np.isnan(held):
        open_ = np.full_like(effort, np.nan)
        return open_, open_
    return belt_branches(held, effort, share)


def _belt(mechanism: BeltParams | ConveyorParams) -> Seat:
    chain = isinstance(mechanism, BeltParams) and mechanism.element == "chain"
    held = mechanism.pretension
    missing = () if chain or held is not None else ("pretension of the belt, N",)
    held = (0.0 if chain else NAN) if held is None else held

    fold = 2.0 if isinstance(mechanism, BeltParams) and mechanism.layout == "reeved" else 1.0

    def forces(effort: Array) -> Forces:
        return _radial(belt_shaft_force(*_branches(held, effort / fold, 1.0)))

    return Seat("belt", mechanism.overhang, PATH, forces, 0, missing=missing)


def _pinion(mechanism: RackParams) -> Seat:
    rolled = mechanism.traction
    pressed = None if rolled is None else rolled.normal_force
    missing = ("force that presses the wheel, N",) if rolled is not None and pressed is None else ()
    diameter = mechanism.diameter
    if diameter is None and mechanism.teeth is not None and mechanism.module is not None:
        diameter = mechanism.teeth * mechanism.module / np.cos(mechanism.helix)

    def forces(effort: Array) -> Forces:
        along = np.abs(effort)
        if rolled is not None:
            return _radial(np.hypot(along, NAN if pressed is None else pressed))
        across, axial = helical_forces(along, mechanism.pressure_angle, mechanism.helix)
        radius = (NAN if diameter is None else diameter) / 2
        axial = np.abs(axial)
        return Forces(np.hypot(along, across), axial, axial * radius)

    return Seat("pinion", mechanism.overhang, PATH, forces, 0, missing=missing)


def _rope(mechanism: HoistParams) -> Seat:
    """The rope at the drum: the load by the rope parts."""

    def forces(effort: Array) -> Forces:
        return _radial(np.abs(effort) / mechanism.parts)

    return Seat("rope", mechanism.overhang, PATH, forces, 0)


def _stated_radial(mechanism: MechanismParams, name: str, thrust: Callable[[Array], Array]) -> Seat:
    """A seat of which the radial force has to be stated."""
    missing = () if mechanism.radial_force is not None else ("radial force on the shaft, N",)
    radial = 0.0 if mechanism.radial_force is not None else NAN

    def forces(effort: Array) -> Forces:
        zero = np.zeros_like(effort)
        return Forces(zero + radial, thrust(effort), zero)

    return Seat(name, mechanism.overhang, PATH, forces, 0, missing=missing)


def _with_stated(seat: Seat, mechanism: MechanismParams, axis: Axis) -> Seat:
    """The further forces of the file, and those of joined loads that cannot be told."""
    inner = seat.forces
    radial, axial = mechanism.radial_force or 0.0, mechanism.axial_force or 0.0
    lever = axial * mechanism.axial_arm

    def forces(effort: Array) -> Forces:
        own = inner(effort)
        return Forces(own.radial + radial, own.axial + axial, own.moment + lever)

    missing = seat.missing
    if any(stage.joined for stage in axis.train.chain.stages):
        missing = (*missing, "force of branch or counterweight on the shaft, which is not told")
    return replace(seat, forces=forces, missing=missing)


@dataclass(frozen=True, slots=True)
class SeatLoads:
    """Forces of a seat over the cycle; ``K`` pieces, ``n`` Gauss points each."""

    seat: Seat
    over: Forces
    """(K, n)"""
    peak: Forces
    """() largest of the cycle, each by itself"""
    whirl: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Largest lever [kg*m] and speed [rad/s], least inertia of the load [kg*m^2]: for a stop"""

    def in_stop(self, effort: Array) -> Forces:
        """Largest while an effort stops the axis, at top speed; each by itself."""
        if self.seat.turning is None:
            return self.seat.forces(effort)
        lever, speed, inertia = self.whirl
        more = np.zeros_like(effort)
        if lever > 0:
            more = whirled_force(lever, speed, effort / inertia) - whirled_force(lever, speed, 0.0)
        peak = self.peak
        return Forces(peak.radial + more, peak.axial + 0 * more, peak.moment + 0 * more)


def seat_loads(out: OutputDemand, seat: Seat) -> SeatLoads:
    """Forces of a seat at every instant of the cycle."""
    if seat.turning is not None:
        return _turning(out, seat, seat.turning)
    use = out.stages[seat.stage]
    over = seat.forces(use.effort)
    return SeatLoads(seat, over, seat.forces(np.asarray(use.peak)))


def _turning(
    out: OutputDemand, seat: Seat, mechanism: RotaryTableParams | DirectParams
) -> SeatLoads:
    """A load that sits on the shaft: weight along and across it, whirl of its centre of mass.

    The radial parts are added as if they pointed the same way. Of a direct drive the file does not
    say how its axis lies: the weight counts both ways.
    """
    axis = out.axis
    burden = burden_of(axis.train, axis.cycle, out.phase)
    mass, lever = np.asarray(burden.mass), np.hypot(burden.lever_cos, burden.lever_sin)
    upright, level = 1.0, 1.0
    if isinstance(mechanism, RotaryTableParams):
        upright, level = abs(np.cos(mechanism.tilt)), abs(np.sin(mechanism.tilt))
    weight = mass * axis.gravity

    def forces(speed: Array, acceleration: Array) -> Forces:
        extra = seat.forces(np.zeros_like(speed))
        shape = (-1,) + (1,) * (speed.ndim - 1)
        m, r = weight.reshape(shape), lever.reshape(shape)
        return Forces(
            m * level + whirled_force(r, speed, acceleration) + extra.radial,
            m * upright + extra.axial,
            r * axis.gravity * upright + extra.moment,
        )

    quick = _crest(out.acceleration, out.ends.acceleration)
    at_most = forces(out.moments.top_speed, quick)
    peak = Forces(*(np.asarray(getattr(at_most, n).max()) for n in NAMES))
    whirl = (float(lever.max()), out.peak_speed, out.inertia_min)
    return SeatLoads(seat, forces(out.speed, out.acceleration), peak, whirl)


def _crest(inner: Array, ends: Array) -> Array:
    """Largest magnitude on every piece."""
    count = inner.shape[0]
    highest = np.abs(ends[: 2 * count]).reshape(count, 2).max(axis=1)
    coefficient = series.coefficients(inner)
    row, place = series.roots(series.slope(coefficient))
    np.maximum.at(highest, row, np.abs(series.at(coefficient[row], place[:, None])[:, 0]))
    found: Array = highest
    return found
