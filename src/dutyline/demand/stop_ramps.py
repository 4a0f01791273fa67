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
from dutyline.demand.output import OutputDemand
from dutyline.motion.pieces import Cycle, Phase, Piece
from dutyline.train.records import Train

Array = NDArray[np.float64]

JUDGED = ("peak-torque", "drive-peak-current", "gear-peak", "traction", "stop-distance")
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
    process: Array
    """At the load"""
    way: Array
    """Sign of the load's speed"""


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
    states = _states(axis, list(out.pieces))
    return tuple(_axis(axis, stop, states, k) for stop in ramps for k in _worst(axis, stop, states))


def _states(axis: Axis, pieces: list[Piece]) -> _States:
    inner, _ = series.gauss(POINTS)
    z = np.concatenate([[-1.0], inner, [1.0]])
    tau = [(z + 1) / 2 * p.duration for p in pieces]
    position, speed = (
        np.concatenate([p.derivative(k, t) for p, t in zip(pieces, tau, strict=True)])
        for k in (0, 1)
    )
    state, process = instants(pieces, _whole(axis.train), axis.cycle, z)
    return _States(
        time=np.concatenate([p.start + t for p, t in zip(pieces, tau, strict=True)]),
        phase=np.repeat(np.array([p.phase for p in pieces], dtype=np.intp), z.size),
        position=position,
        speed=speed,
        process=process,
        way=state.load.direction,
    )


def _whole(train: Train) -> Train:
    """The train with the forces of the file alone at its load, whole and without what a speed asks.

    A resistance that follows the speed helps to stop and is left out.
    """
    load = replace(train.chain.load, resistance=None, share=1.0)
    return replace(train, chain=replace(train.chain, load=load))


def _unresisted(train: Train) -> Train:
    load = replace(train.chain.load, resistance=None)
    return replace(train, forces=(), chain=replace(train.chain, load=load))


def _worst(axis: Axis, stop: StopRamp, states: _States) -> list[int]:
    """States with the largest torque, torque against the motion, speed and power."""
    moving = np.abs(states.speed) > SLOW * np.abs(states.speed).max(initial=0.0)
    if stop.start != "worst":
        own = [k for k, p in enumerate(axis.cycle.phases) if p.name == stop.start]
        moving &= np.isin(states.phase, own)
    rows = np.nonzero(moving)[0]
    if rows.size == 0:
        return []
    speed = np.abs(states.speed[rows])
    ramps = [_ramp(stop, states, int(k)) for k in rows]
    idle = replace(axis.cycle, phases=tuple(replace(p, force=0.0) for p in axis.cycle.phases))
    scores = [speed]
    bare = _unresisted(axis.train)
    for train, cycle in ((replace(bare, forces=axis.train.forces), axis.cycle), (bare, idle)):
        state, _ = instants(ramps, train, cycle, np.array([-1.0]))
        torque = state.effort.total
        against = torque * np.sign(state.motion.acceleration)
        scores += [np.abs(torque), against, np.abs(torque * state.motion.speed)]
    return sorted({int(rows[_largest(score, speed)]) for score in scores})


def _ramp(stop: StopRamp, states: _States, k: int) -> Piece:
    """The ramp from one state, at its own time of the cycle."""
    speed = float(states.speed[k])
    decel = _decel(stop, speed)
    poly = (float(states.position[k]), speed, -np.sign(speed) * decel / 2)
    return Piece(float(states.time[k]), abs(speed) / decel, poly, phase=int(states.phase[k]))


def _largest(score: Array, speed: Array) -> int:
    """The fastest, then the first, of the largest values; rounding makes no difference."""
    top = float(score.max())
    among = np.where(score >= top - 1e-9 * abs(top), speed, -1.0)
    return int(np.argmax(among >= among.max() * (1 - 1e-9)))


def _decel(stop: StopRamp, speed: float) -> float:
    if stop.decel is not None:
        return stop.decel
    return abs(speed) / (stop.time or np.inf)


def _axis(axis: Axis, stop: StopRamp, states: _States, k: int) -> Axis:
    source = axis.cycle.phases[int(states.phase[k])]
    place, speed, process = (float(v[k]) for v in (states.position, states.speed, states.process))
    way = float(states.way[k])
    ramp, before_ramp = _ramp(stop, states, k), speed * stop.reaction
    poly = (place + before_ramp, *ramp.poly[1:])
    pieces = [replace(ramp, start=stop.reaction, poly=poly, phase=0)]
    if stop.reaction > 0:
        pieces.insert(0, Piece(0.0, stop.reaction, (place, speed)))
    distance = before_ramp + speed * ramp.duration / 2
    phase = Phase(
        name=stop.name,
        do="stop",
        start=0.0,
        duration=stop.reaction + ramp.duration,
        distance=distance,
        top_speed=abs(speed),
        top_acceleration=_decel(stop, speed),
        carry=source.carry,
        force=process if process * way < 0 else 0.0,
    )
    cycle = Cycle(tuple(pieces), (phase,), phase.duration, distance, closed=False)
    before = "" if axis.case == MAIN else f"{axis.case}, "
    return replace(
        axis,
        cycle=cycle,
        train=_unresisted(axis.train),
        case=f"{before}{_called('stop', stop.name)} from {_called('phase', source.name)} "
        f"at {states.time[k]:.4g} s",
        cases=(),
        stops=(),
        variants=(),
        judged=JUDGED,
    )


def _called(kind: str, name: str) -> str:
    """A name, or what a number that stands for one counts."""
    return f"{kind} {name}" if name.isdigit() else name
