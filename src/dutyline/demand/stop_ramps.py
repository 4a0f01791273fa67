"""Emergency ramps kept by the drive: the worst states of the cycle to begin them in.

A ramp becomes an axis of its own with an open cycle, so that the same demand and the same checks
judge it. Friction and losses count as in the cycle; a process force counts where it drives the
motion on, and is left out where it would help to stop.

Source: stop distance v t + v^2/(2 d) and the recursion of the drive train; derived here.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.build_stops import RAMPED
from dutyline.axis.model import MAIN, Axis, StopRamp
from dutyline.core import series
from dutyline.demand.instants import instants
from dutyline.demand.loading import burden_of
from dutyline.demand.output import OutputDemand
from dutyline.motion.pieces import Cycle, Phase, Piece
from dutyline.train.recursion import Motion, inverse, load_motion

Array = NDArray[np.float64]

JUDGED = ("peak-torque", "drive-peak-current", "stop-distance")
"""Checks of a stop; the others are of the settled cycle."""
POINTS = 8
"""Places looked at inside each smooth piece, besides its ends."""
SLOW = 1e-3
"""Share of the top speed below which no stop is looked at [1]."""


@dataclass(frozen=True, slots=True)
class _States:
    """Instants of the cycle, flat."""

    time: Array
    phase: NDArray[np.intp]
    position: Array
    speed: Array
    centre: Array
    """Place in the middle of the piece"""
    way: Array
    """Sign of the load's speed"""
    process: Array
    """At the load"""


def stop_axes(axis: Axis, out: OutputDemand) -> tuple[Axis, ...]:
    """Every emergency ramp of an axis from the states that ask most of it.

    Parameters
    ----------
    axis : Axis
        One case.
    out : OutputDemand
        Of that case.

    Returns
    -------
    tuple of Axis
        With an open cycle: reaction at speed, then the ramp; ``judged`` names their checks.
    """
    ramps = [stop for stop in axis.stops if stop.means in RAMPED]
    if not ramps:
        return ()
    states = _states(axis, out)
    return tuple(_axis(axis, stop, states, k) for stop in ramps for k in _worst(axis, stop, states))


def _states(axis: Axis, out: OutputDemand) -> _States:
    inner, _ = series.gauss(POINTS)
    z = np.concatenate([[-1.0], inner, [1.0]])
    pieces = list(out.pieces)
    tau = [(z + 1) / 2 * p.duration for p in pieces]
    phase = np.repeat(np.array([p.phase for p in pieces], dtype=np.intp), z.size)
    time = np.concatenate([p.start + t for p, t in zip(pieces, tau, strict=True)])
    centre = np.repeat([float(p.position(p.duration / 2)) for p in pieces], z.size)
    position, speed = (
        np.concatenate([p.derivative(k, t) for p, t in zip(pieces, tau, strict=True)])
        for k in (0, 1)
    )
    state, process = instants(pieces, axis.train, axis.cycle, z)
    return _States(time, phase, position, speed, centre, state.load.direction, process)


def _worst(axis: Axis, stop: StopRamp, states: _States) -> list[int]:
    """States with the largest torque, torque against the motion, speed and power."""
    moving = np.abs(states.speed) > SLOW * np.abs(states.speed).max(initial=0.0)
    if stop.start != "worst":
        own = [k for k, p in enumerate(axis.cycle.phases) if p.name == stop.start]
        moving &= np.isin(states.phase, own)
    rows = np.nonzero(moving)[0]
    if rows.size == 0:
        return []
    speed, facing = states.speed[rows], np.sign(states.speed[rows])
    stated = Motion(states.position[rows], speed, -facing * _decel(stop, speed), facing)
    motion, driven = load_motion(axis.train, stated, states.centre[rows])
    burden = burden_of(axis.train, axis.cycle, states.phase[rows])
    process = _pulling(states.process[rows], states.way[rows])
    state = inverse(axis.train, burden, motion, process, driven)
    torque = state.effort.total
    against = torque * np.sign(state.motion.acceleration)
    scores = (np.abs(torque), against, np.abs(speed), np.abs(torque * state.motion.speed))
    return sorted({int(rows[_largest(score, np.abs(speed))]) for score in scores})


def _largest(score: Array, speed: Array) -> int:
    """The fastest, then the first, of the largest values; rounding makes no difference."""
    top = float(score.max())
    among = np.where(score >= top - 1e-9 * abs(top), speed, -1.0)
    return int(np.argmax(among >= among.max() * (1 - 1e-9)))


def _decel(stop: StopRamp, speed: Array) -> Array:
    if stop.decel is not None:
        return np.full_like(speed, stop.decel)
    return np.asarray(np.abs(speed) / (stop.time or np.inf))


def _pulling(process: Array, way: Array) -> Array:
    """Process effort where it drives the load on."""
    return np.where(process * way < 0, process, 0.0)


def _axis(axis: Axis, stop: StopRamp, states: _States, k: int) -> Axis:
    source = axis.cycle.phases[int(states.phase[k])]
    place, speed = float(states.position[k]), float(states.speed[k])
    way = np.sign(speed)
    decel = float(_decel(stop, np.array([speed]))[0])
    pieces: list[Piece] = []
    if stop.reaction > 0:
        pieces.append(Piece(0.0, stop.reaction, (place, speed)))
    ramp = abs(speed) / decel
    from_ = place + speed * stop.reaction
    pieces.append(Piece(stop.reaction, ramp, (from_, speed, -way * decel / 2)))
    distance = speed * stop.reaction + speed * ramp / 2
    phase = Phase(
        name=stop.name,
        do="stop",
        start=0.0,
        duration=stop.reaction + ramp,
        distance=distance,
        top_speed=abs(speed),
        top_acceleration=decel,
        carry=source.carry,
        force=float(_pulling(states.process[k : k + 1], states.way[k : k + 1])[0]),
    )
    cycle = Cycle(tuple(pieces), (phase,), phase.duration, distance, closed=False)
    before = "" if axis.case == MAIN else f"{axis.case}, "
    return replace(
        axis,
        cycle=cycle,
        train=replace(axis.train, forces=()),
        case=f"{before}{stop.name} from {source.name} at {states.time[k]:.4g} s",
        cases=(),
        stops=(),
        variants=(),
        judged=JUDGED,
    )
