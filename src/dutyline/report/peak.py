"""The instant of the peak torque, followed from the load to the motor shaft one part at a time."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.checks.fitted import Chosen, chosen
from dutyline.checks.records import Verdict
from dutyline.demand.loading import burden_of, process_effort
from dutyline.demand.output import OutputDemand
from dutyline.motion.pieces import Piece
from dutyline.physics.gears import mesh_efficiency
from dutyline.train.records import Chain, Stage
from dutyline.train.recursion import (
    FRICTION,
    GRAVITY,
    INERTIA,
    PROCESS,
    Effort,
    Motion,
    chain_effort,
    load_effort,
    load_motion,
    through_stage,
)

Array = NDArray[np.float64]

_SAME = 1e-6
"""Relative difference up to which the followed torque is the peak of the verdict."""


@dataclass(frozen=True, slots=True)
class MemberShare:
    """Rods, webs and other bodies of a mechanism at the instant, as the train counts them."""

    inertia: float
    """[kg*m^2]"""
    slope: float
    """``J'(q)/2`` [kg*m^2]"""
    weight: float
    process: float
    friction: float
    """[N*m] signed"""


@dataclass(frozen=True, slots=True)
class StagePoint:
    """One stage at the instant: what goes in and out of it."""

    stage: Stage
    ratio: float
    """Output travel over input travel [m/rad or 1]."""
    gain: float
    """1/efficiency when driving, the backward efficiency when driven, 1 at rest."""
    effort_out: float
    """[N or N*m] taken over from the load side, its own output side not yet in it."""
    effort_in: float
    """[N*m] at its input, everything of this stage in it."""
    acceleration_out: float
    acceleration_in: float
    speed_out: float
    speed_in: float
    sense_out: float
    sense_in: float
    joined: float
    """[N*m] from further loads on its input shaft"""
    inertia_out: float
    """Inertia taken over from the load side [kg or kg*m^2]."""
    inertia_in: float
    """Inertia at its input, everything in it [kg*m^2]."""
    bodies: float = 0.0
    """[N*m] at its input from rods, webs and other bodies whose share depends on the place"""
    change: float = 0.0
    """Derivative of the ratio by the input."""
    share: MemberShare | None = None
    """What those bodies consist of; None without any."""
    stated: bool = False
    """True where the motion of its input is the stated one."""


@dataclass(frozen=True, slots=True)
class Gear:
    """The gearhead of the product line at the instant."""

    ratio: float
    mesh: float
    """Mesh efficiency, drag taken out; 1 without a gearhead."""
    gain: float
    drag: float
    """[N*m] signed, at the input"""
    inertia: float
    """[kg*m^2] at the input"""


@dataclass(frozen=True, slots=True)
class PeakPoint:
    """Everything about the instant of the peak torque."""

    time: float
    phase: int
    acceleration: float
    """Of the load [m/s^2 or rad/s^2]."""
    mass: float
    """Mass or inertia of the load with what it carries [kg or kg*m^2]."""
    gravity: float
    friction: float
    process: float
    effort: float
    """[N or N*m] at the load"""
    stages: tuple[StagePoint, ...]
    output_torque: float
    output_acceleration: float
    gear: Gear
    rotor: float
    """[kg*m^2]"""
    hub: float
    """[kg*m^2] brake"""
    torque: float
    """[N*m] at the motor"""


def peak_point(verdict: Verdict) -> PeakPoint | None:
    """The peak of a verdict followed part by part; None where it cannot be followed.

    It cannot without a trace and a known motor inertia, and where the peak is a break-away, which
    has no place on the smooth cycle.
    """
    out, trace, parts = verdict.extra.get("output"), verdict.trace, chosen(verdict)
    if not isinstance(out, OutputDemand) or trace is None or parts.motor is None:
        return None
    if parts.motor.inertia is None or not verdict.axis.train.chain.stages:
        return None
    wanted = verdict.demand.get("motor", {}).get("peak_torque")
    if wanted is None:
        return None
    mesh = _mesh(parts)
    best, least = None, math.inf
    for piece in _pieces_at(out, trace.peak_time):
        found = _point(verdict.axis, piece, trace.peak_time, parts, mesh)
        off = abs(abs(found.torque) - wanted)
        if off < least:
            best, least = found, off
        if off == 0:
            break
    return best if least <= _SAME * max(wanted, 1e-12) else None


def _pieces_at(out: OutputDemand, time: float) -> list[Piece]:
    """Pieces that contain or touch the instant."""
    tiny = 1e-9 * out.cycle_time
    times = (time, time + out.cycle_time)
    return [
        piece
        for piece in out.pieces
        if any(piece.start - tiny <= t <= piece.end + tiny for t in times)
    ]


def _point(axis: Axis, piece: Piece, time: float, parts: Chosen, mesh: float) -> PeakPoint:
    tau = np.array([min(max(time - piece.start, 0.0), piece.duration)])
    middle = np.array([piece.duration / 2])
    speed, sense = _speed(piece, tau)
    place = piece.position(np.concatenate([tau, middle]))
    stated = Motion(place[:1], speed, piece.acceleration(tau), sense)
    motion, driven = load_motion(axis.train, stated, place[1:])
    phases = np.array([piece.phase], dtype=np.intp)
    cycle, train = axis.cycle, axis.train
    burden = burden_of(train, cycle, phases)
    at = np.array([piece.start]) + tau
    process = process_effort(train, cycle, phases, at, motion, piece.start + middle)
    effort = load_effort(train.chain.load, burden, motion, process)
    causes, total_out = effort.causes[:, 0], _total(effort)
    stages = []
    here = motion
    for count, stage in enumerate(train.chain.stages):
        inside = driven if driven is not None and count == 0 else here.through(stage)
        own, through, _ = through_stage(stage, effort, here, inside)
        total = own
        own_in = total_in = lean_in = _total(own)
        if stage.joined:
            part = Chain(train.chain.load, train.chain.stages[: count + 1])
            total = chain_effort(part, burden, motion, process, driven).effort
            total_in = _total(total)
        if stage.members is not None:
            lean, _, _ = through_stage(replace(stage, members=None), effort, here, inside)
            lean_in = _total(lean)
        ratio, change = (float(part[0]) for part in stage.ratio.at(inside.position))
        power = float(through[0]) * float(here.direction[0])
        gain = 1.0
        if power > 0:
            gain = 1 / stage.efficiency
        elif power < 0:
            gain = stage.efficiency_back
        stages.append(
            StagePoint(
                stage,
                ratio,
                gain,
                total_out,
                total_in,
                float(here.acceleration[0]),
                float(inside.acceleration[0]),
                float(here.speed[0]),
                float(inside.speed[0]),
                float(here.direction[0]),
                float(inside.direction[0]),
                total_in - own_in,
                float(effort.inertia[0]),
                float(total.inertia[0]),
                own_in - lean_in,
                change,
                _share(stage, inside),
                driven is not None and count == 0,
            )
        )
        here, effort, total_out = inside, total, total_in
    output = stages[-1].effort_in
    alpha = float(here.acceleration[0])
    facing = float(here.direction[0])
    gear = _gear(parts, output * facing, facing, mesh)
    rotor, hub = _rotor(parts)
    own_inertia = rotor + hub + gear.inertia
    torque = output * gear.gain / gear.ratio + gear.drag + own_inertia * alpha * gear.ratio
    return PeakPoint(
        time,
        piece.phase,
        float(motion.acceleration[0]),
        float(np.atleast_1d(burden.inertia)[0]),
        float(causes[GRAVITY]),
        float(causes[FRICTION]),
        float(causes[PROCESS]),
        float(causes[[INERTIA, GRAVITY, FRICTION, PROCESS]].sum()),
        tuple(stages),
        output,
        alpha,
        gear,
        rotor,
        hub,
        torque,
    )


def _total(effort: Effort) -> float:
    return float(effort.total[0])


def _speed(piece: Piece, tau: Array) -> tuple[Array, Array]:
    """Speed at an instant and its sense in the piece.

    The speed is exactly zero where the motion comes to rest but for the last digit.
    """
    now, *others = piece.speed([tau[0], 0.0, piece.duration / 2, piece.duration])
    top = max(abs(speed) for speed in others)
    speed = np.zeros(1) if abs(now) < 1e-12 * top else np.array([now])
    return speed, np.zeros(1) if piece.at_rest else np.sign(others[1:2])


def _share(stage: Stage, inside: Motion) -> MemberShare | None:
    if stage.members is None:
        return None
    own = stage.members.at(inside.position)
    friction = own.friction * inside.direction
    found = (own.inertia, own.slope, own.weight, own.process, friction)
    return MemberShare(*(float(np.atleast_1d(part)[0]) for part in found))


def _mesh(parts: Chosen) -> float:
    """Mesh efficiency of the gearhead, drag taken out; 1 without one or where it is not known."""
    gear = parts.gearhead
    if gear is None or gear.efficiency is None or gear.torque_rated is None:
        return 1.0
    return _meshed(gear.efficiency, gear.ratio, gear.no_load_torque or 0.0, gear.torque_rated)


@lru_cache(maxsize=256)
def _meshed(efficiency: float, ratio: float, drag: float, rated: float) -> float:
    return float(mesh_efficiency(efficiency, ratio, drag, rated))


def _gear(parts: Chosen, power: float, facing: float, mesh: float) -> Gear:
    gear = parts.gearhead
    if gear is None:
        return Gear(1.0, 1.0, 1.0, 0.0, 0.0)
    gain = 1.0 if facing == 0 else 1 / mesh if power >= 0 else mesh
    drag = (gear.no_load_torque or 0.0) * facing
    return Gear(gear.ratio, mesh, gain, drag, gear.inertia_in or 0.0)


def _rotor(parts: Chosen) -> tuple[float, float]:
    """Inertia of rotor and of brake hub [kg*m^2]."""
    motor = parts.motor
    rotor = 0.0 if motor is None else motor.inertia or 0.0
    if parts.brake is None or motor is None:
        return rotor, 0.0
    if motor.inertia_with_brake is not None:
        return rotor, motor.inertia_with_brake - rotor
    return rotor, parts.brake.inertia or 0.0
