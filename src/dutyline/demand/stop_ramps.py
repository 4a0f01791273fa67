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
from dutyline.core.errors import Fault, InputError, RangeError
from dutyline.demand.instants import instants
from dutyline.demand.output import OutputDemand
from dutyline.demand.ways import placed
from dutyline.motion.pieces import Cycle, Phase, Piece
from dutyline.train.records import Train

Array = NDArray[np.float64]

JUDGED = (
    "peak-torque",
    "drive-peak-current",
    "gear-emergency",
    "traction",
    "follower-contact",
    "belt-force",
    "belt-teeth",
    "belt-slack",
    "pinion-force",
    "screw-buckling",
    "screw-static",
    "guide-static",
    "coupling-torque",
    "hub-slip",
    "key-pressure",
    "shaft-stop-load",
    "regen-capacitor",
    "resistor-peak",
    "resistor-pulse",
    "stop-distance",
)
"""Checks of a stop; the others are of the settled cycle."""
POINTS = 8
"""Places looked at inside each smooth piece, besides its ends."""
NEAR = 0.9
"""Share of the largest score from which a piece is looked at more closely."""
LEVEL = 1e-9
"""Share of the largest score within which scores count as equal."""
CLOSER = 6
"""Times that the surroundings of a largest score inside a piece are looked at again: each time less
than a fifth of them is left."""
WAY = np.linspace(-1.0, 1.0, 9)
"""Places of a ramp at which it is scored where weight or inertia depend on the place."""
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
    return tuple(
        _axis(axis, stop, states, k)
        for stop in ramps
        for states, k in _worst(axis, stop, list(out.pieces))
    )


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


def _worst(axis: Axis, stop: StopRamp, pieces: list[Piece]) -> list[tuple[_States, int]]:
    """States with the largest torque, torque against the motion, effort, speed and power."""
    fast = max((float(np.abs(p.speed(_ends(p))).max()) for p in pieces), default=0.0)
    if stop.start != "worst":
        own = {k for k, p in enumerate(axis.cycle.phases) if p.name == stop.start}
        pieces = [p for p in pieces if p.phase in own]
    if not pieces or fast == 0.0:
        return []
    first = _states(axis, pieces)
    scores = _scores(axis, stop, first, fast)
    found: dict[float, tuple[_States, int]] = {}
    for number, score in enumerate(scores):
        states, k = _closely(axis, stop, pieces, number, (first, score), fast)
        if k >= 0:
            found.setdefault(float(states.time[k]), (states, k))
    if stop.means == "bus":
        for k in _fastest_of_each(axis, first, fast):
            found.setdefault(float(first.time[k]), (first, k))
    return [found[time] for time in sorted(found)]


def _fastest_of_each(axis: Axis, states: _States, fast: float) -> list[int]:
    """The fastest state with every payload and force in every direction.

    What a ramp draws from the bus may be most where it is light; from less speed it draws what is
    left of the same ramp.
    """
    best: dict[tuple[object, ...], int] = {}
    for k in np.argsort(-np.abs(states.speed), kind="stable"):
        if abs(states.speed[k]) <= SLOW * fast:
            break
        phase = axis.cycle.phases[int(states.phase[k])]
        forced = phase.name if axis.train.forces else ""
        key = (phase.carry, phase.force, forced, float(np.sign(states.speed[k])))
        best.setdefault(key, int(k))
    return list(best.values())


def _ends(piece: Piece) -> Array:
    return np.linspace(0.0, piece.duration, POINTS)


def _closely(
    axis: Axis,
    stop: StopRamp,
    pieces: list[Piece],
    number: int,
    first: tuple[_States, Array],
    fast: float,
) -> tuple[_States, int]:
    """Where one score is largest: inside a piece by looking ever closer at its surroundings."""
    states, score = first
    k = _largest(score, np.abs(states.speed))
    best = (states, k if np.isfinite(score[k]) else -1)
    top = float(score[k])
    for _ in range(CLOSER):
        pieces = _around(pieces, score, top)
        if not pieces:
            break
        states = _states(axis, pieces)
        scores = _scores(axis, stop, states, fast)
        if not scores:
            break
        score = scores[number]
        k = _largest(score, np.abs(states.speed))
        if score[k] > top * (1 + LEVEL):
            best, top = (states, k), float(score[k])
    return best


def _around(pieces: list[Piece], score: Array, top: float) -> list[Piece]:
    """The surroundings of the largest score of every piece that comes near the top inside it."""
    inner, _ = series.gauss(POINTS)
    z = np.concatenate([[-1.0], inner, [1.0]])
    found = []
    for piece, own in zip(pieces, score.reshape(len(pieces), -1), strict=True):
        j = int(np.argmax(own))
        level = own >= own[j] - LEVEL * abs(own[j])
        if not 0 < j < z.size - 1 or own[j] < NEAR * top or level[0] or level[-1]:
            continue
        cuts = (z[[j - 1, j + 1]] + 1) / 2 * piece.duration
        parts = piece.split(cuts)
        found.append(parts[0] if j == 1 else parts[1])
    return found


def _scores(axis: Axis, stop: StopRamp, states: _States, fast: float) -> list[Array]:
    """What a ramp from each state asks for; minus infinity where the axis hardly moves."""
    rows = np.nonzero(np.abs(states.speed) > SLOW * fast)[0]
    if rows.size == 0:
        return []
    ramps = [_ramp(stop, states, int(k)) for k in rows]
    idle = replace(axis.cycle, phases=tuple(replace(p, force=0.0) for p in axis.cycle.phases))
    bare = _unresisted(axis.train)
    z = WAY if placed(axis.train) else WAY[:1]
    found = [np.abs(states.speed[rows])]
    for train, cycle in ((replace(bare, forces=axis.train.forces), axis.cycle), (bare, idle)):
        try:
            state, _ = instants(ramps, train, cycle, z)
        except RangeError as error:
            raise _leaves(axis, stop, error) from None
        torque = state.effort.total
        against = torque * np.sign(state.motion.acceleration)
        power = torque * state.motion.speed
        returned = np.maximum(-power, 0.0) * np.repeat([p.duration for p in ramps], z.size)
        rows_of = [np.abs(torque), against, np.abs(power), returned]
        if state.contacts.size and placed(axis.train):
            rows_of.append(np.abs(state.contacts[0]))
        found += [v.reshape(len(ramps), z.size).max(axis=1) for v in rows_of]
    whole = [np.full(states.speed.size, -np.inf) for _ in found]
    for score, value in zip(whole, found, strict=True):
        score[rows] = value
    return whole


def _leaves(axis: Axis, stop: StopRamp, error: RangeError) -> InputError:
    """The fault of a stop that, begun at some instant, drives the mechanism beyond its end."""
    subject = axis.file or axis.title
    read = f"begun at some instant of the cycle, this stop goes so far that {error}"
    remedy = "Let it stop in less, let the motion go less far, or name the phase it starts from."
    return InputError(subject, [Fault(subject, f"phase.{stop.name}", read, remedy)])


def _ramp(stop: StopRamp, states: _States, k: int) -> Piece:
    """The ramp from one state, at its own time of the cycle."""
    speed = float(states.speed[k])
    decel = _decel(stop, speed)
    poly = (float(states.position[k]), speed, -np.sign(speed) * decel / 2)
    return Piece(float(states.time[k]), abs(speed) / decel, poly, phase=int(states.phase[k]))


def _largest(score: Array, speed: Array) -> int:
    """The fastest, then the first, of the largest values; rounding makes no difference."""
    top = float(score.max())
    if not np.isfinite(top):
        return 0
    among = np.where(score >= top - LEVEL * abs(top), speed, -1.0)
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
        judged=(*JUDGED, "bus-stop") if stop.means == "bus" else JUDGED,
    )


def _called(kind: str, name: str) -> str:
    """A name, or what a number that stands for one counts."""
    return f"{kind} {name}" if name.isdigit() else name
