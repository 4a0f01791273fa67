"""Phases in a row become one closed cycle of smooth pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import fsum, isclose, isfinite

from dutyline.core.numbers import bare
from dutyline.core.reader import Reader, reader
from dutyline.motion.extremes import extremes
from dutyline.motion.faults import MotionFault, MotionFaults, said
from dutyline.motion.follow import complete_follow, synchronous_speed
from dutyline.motion.moves import complete_move
from dutyline.motion.pieces import Cycle, Phase, Piece
from dutyline.motion.runs import complete_run
from dutyline.motion.specs import PhaseSpec
from dutyline.motion.tabled import complete_table, first_speed
from dutyline.motion.wanted import AGREEMENT
from dutyline.motion.worked import Move

CLOSED = 1e-9
"""Gap allowed between end and start, as share of the range of places [1]."""
SMALLEST, LARGEST = 1e-12, 1e12
"""Numbers beyond these are slips of unit; they also keep every product finite [SI]."""
SHORTEST = 1e-6
"""[s] of anything stated; less is lost in the rounding of places."""
SLIVER = 1e-8
"""[s] of any part that follows from what is stated."""
_TIMES = ("time", "ramp", "accel_time", "decel_time", "window")


@dataclass(slots=True)
class _Walk:
    """Where the cycle stands while its phases are worked out."""

    place: float | None = 0.0
    """None once a faulty phase left it unknown."""
    speed: float | None = 0.0
    moves: list[Move | None] = field(default_factory=list)
    """None: a dwell that waits for its time, or a faulty phase."""
    faults: list[MotionFault] = field(default_factory=list)


def build_cycle(
    specs: Sequence[PhaseSpec],
    *,
    linear: bool,
    endless: bool = False,
    period: float | None = None,
    cycle_time: float | None = None,
    travel: float | None = None,
) -> Cycle:
    """One cycle from its phases, checked for everything that would make it meaningless.

    Parameters
    ----------
    specs : sequence of PhaseSpec
        The phases in order; the last one leads back to the first.
    linear : bool
        True for m, False for rad; decides the units of messages only.
    endless : bool
        End and start may differ: by any amount, or by whole periods where ``period`` is given.
    period : float, optional [m or rad]
        What one of ``turns`` means, and after what travel the axis repeats itself.
    cycle_time : float, optional [s]
        Dwells without a time share what it leaves.
    travel : float, optional [m or rad]
        Available travel: no two places of the cycle may be farther apart.

    Raises
    ------
    MotionFaults
        Everything found wrong, phase by phase.
    """
    if not specs:
        raise MotionFaults([MotionFault("no phase is stated.", "State at least one [[phase]].")])
    return _built(tuple(specs), linear, endless, period, cycle_time, travel, reader())


@lru_cache(maxsize=8)
def _built(
    specs: tuple[PhaseSpec, ...],
    linear: bool,
    endless: bool,
    period: float | None,
    cycle_time: float | None,
    travel: float | None,
    _written_for: Reader,
) -> Cycle:
    """Kept, since most changes of an axis leave its motion as it is; notes are words for a reader.

    See :func:`build_cycle`.
    """
    walk = _Walk(speed=_known_start(specs, linear=linear))
    for index in range(len(specs)):
        _step(walk, specs, index, period=period, linear=linear)
    if walk.faults:
        raise MotionFaults(walk.faults)
    moves = _with_dwells(specs, walk, cycle_time)
    cycle = _assemble(specs, moves)
    faults = [
        *_travel_faults(cycle, travel, linear=linear),
        *_closure_faults(cycle, endless=endless, period=period, linear=linear),
    ]
    if faults:
        raise MotionFaults(faults)
    return cycle


def _start_speed(specs: Sequence[PhaseSpec], *, linear: bool) -> float:
    """Speed at the end of the cycle, with which it starts again [m/s or rad/s]."""
    last = specs[-1]
    if last.do == "run":
        return last.speed or 0.0
    if last.do == "follow":
        return synchronous_speed(last, linear=linear)
    if last.do == "table":
        return first_speed(last, alone=len(specs) == 1, linear=linear)
    return last.end_speed or 0.0 if last.do == "move" else 0.0


def _known_start(specs: Sequence[PhaseSpec], *, linear: bool) -> float | None:
    """The same; None where the last phase is faulty, which is told at its turn."""
    try:
        return _start_speed(specs, linear=linear)
    except MotionFault:
        return None


def _step(
    walk: _Walk,
    specs: Sequence[PhaseSpec],
    index: int,
    *,
    period: float | None,
    linear: bool,
) -> None:
    """Work out one phase and go on to its end, or note what is wrong with it."""
    spec = specs[index]
    move: Move | None = None
    try:
        _standstill(walk, specs, index, linear=linear)
        _plausible(spec)
        move = _complete(walk, spec, period, alone=len(specs) == 1, linear=linear)
        _long_enough(move)
    except MotionFault as fault:
        fault.phase_index = index
        fault.args = (fault.text(),)
        walk.faults.append(fault)
        move = None
    walk.moves.append(move)
    _advance(walk, spec, move)


def _complete(
    walk: _Walk, spec: PhaseSpec, period: float | None, *, alone: bool, linear: bool
) -> Move | None:
    if spec.do == "dwell":
        return None if spec.time is None else _dwell(spec.time)
    if spec.do == "table":
        return complete_table(spec, walk.speed, alone=alone, linear=linear)
    if spec.do == "follow":
        way = spec.by if spec.to is None or walk.place is None else spec.to - walk.place
        return complete_follow(spec, way, walk.speed, linear=linear)
    if walk.speed is None or (spec.to is not None and walk.place is None):
        return None  # follows from a phase that is faulty itself
    left = None if spec.to is None else spec.to - (walk.place or 0.0)
    if spec.do == "run":
        return complete_run(spec, left, walk.speed, period, linear=linear)
    if spec.by is not None and left is not None:
        raise MotionFault(
            "by and to state the distance twice.", "Leave one of them out.", field="to"
        )
    return complete_move(spec, spec.by if left is None else left, walk.speed, linear=linear)


def _long_enough(move: Move | None) -> None:
    """Refuse ramps that follow from the numbers and are too short; slivers of rounding pass."""
    if move is None:
        return
    short = [p.duration for p in move.pieces if 1e-12 * move.duration < p.duration < SLIVER]
    if short:
        raise MotionFault(
            f"a part of it lasts {bare(min(short), 3)} s; no machine moves as short as that.",
            "Check speed, acceleration and jerk, and their powers of ten.",
        )


def _dwell(time: float) -> Move:
    return Move((Piece(0.0, time, (0.0,)),), time, 0.0)


def _advance(walk: _Walk, spec: PhaseSpec, move: Move | None) -> None:
    """Place and speed after the phase, as far as they are known."""
    if move is not None:
        if walk.place is not None:
            walk.place = spec.to if spec.to is not None else walk.place + move.distance
        walk.speed = move.end_speed
        return
    if spec.do == "dwell":
        walk.speed = 0.0
        return
    if spec.to is not None:
        walk.place = spec.to
    elif spec.do == "move" and spec.by is not None and walk.place is not None:
        walk.place += spec.by
    else:
        walk.place = None
    walk.speed = spec.speed if spec.do == "run" else spec.end_speed or 0.0
    if spec.do == "follow":
        walk.speed = None


def _standstill(walk: _Walk, specs: Sequence[PhaseSpec], index: int, *, linear: bool) -> None:
    """Dwells, and changes of what is carried, need an axis at rest."""
    if not walk.speed:
        return
    told = said(walk.speed, "speed", linear=linear)
    remedy = "Bring the axis to rest first: end_speed 0, or a run to speed 0 with a ramp."
    if specs[index].do == "dwell":
        raise MotionFault(
            f"a dwell needs standstill, but the phase before it ends at {told}.",
            remedy,
            field="do",
        )
    if set(specs[index].carry or ()) != set(specs[index - 1].carry or ()):
        raise MotionFault(
            f"what is carried changes while the axis moves at {told}.", remedy, field="carry"
        )


def _plausible(spec: PhaseSpec) -> None:
    """Refuse what is no number, or one no machine moves by; and times that are not above 0."""
    for name in PhaseSpec.__dataclass_fields__:
        value = getattr(spec, name)
        if value is None or not isinstance(value, float | int) or value == 0:
            continue
        if not isfinite(value):
            raise MotionFault(f"{name} is {value}; a number is needed.", field=name)
        if name in _TIMES and 0 < value < SHORTEST:
            raise MotionFault(
                f"{name} is {bare(value)} s; nothing shorter than {bare(SHORTEST)} s is computed.",
                "Check the unit and the power of ten.",
                field=name,
            )
        if not SMALLEST <= abs(value) <= LARGEST:
            raise MotionFault(
                f"{name} is {bare(value)} in SI units, which no machine does.",
                "Check the unit and the power of ten.",
                field=name,
            )
    if spec.time is not None and (spec.time < 0 or (spec.time == 0 and spec.do != "run")):
        raise MotionFault(
            f"time is {bare(spec.time)} s; it must be above 0.",
            "Leave the phase out if it takes no time.",
            field="time",
        )


def _with_dwells(specs: Sequence[PhaseSpec], walk: _Walk, cycle_time: float | None) -> list[Move]:
    """All phases worked out; dwells without a time share what the cycle time leaves."""
    taken = fsum(move.duration for move in walk.moves if move is not None)
    waiting = [i for i, move in enumerate(walk.moves) if move is None]
    if cycle_time is not None and not (cycle_time > 0 and isfinite(cycle_time)):
        raise MotionFaults(
            [MotionFault(f"the cycle time is {bare(cycle_time)} s; it must be above 0.")]
        )
    if not waiting:
        if cycle_time is not None and not isclose(taken, cycle_time, rel_tol=AGREEMENT):
            raise MotionFaults([_sum_fault(taken, cycle_time)])
        return [move for move in walk.moves if move is not None]
    if cycle_time is None:
        raise MotionFaults(
            MotionFault(
                "the dwell has no time and no cycle time is stated.",
                "State the time of the dwell, or the time of the whole cycle.",
                field="time",
                phase_index=i,
            )
            for i in waiting
        )
    share = (cycle_time - taken) / len(waiting)
    if share <= 1e-12 * cycle_time:
        raise MotionFaults([_sum_fault(taken, cycle_time)])
    note = "time from what the cycle leaves"
    return [replace(_dwell(share), note=note) if m is None else m for m in walk.moves]


def _sum_fault(taken: float, cycle_time: float) -> MotionFault:
    if taken >= cycle_time:
        return MotionFault(
            f"the phases take {bare(taken)} s, more than the cycle of {bare(cycle_time)} s leaves.",
            f"Shorten them by {bare(taken - cycle_time)} s, or allow a longer cycle.",
        )
    return MotionFault(
        f"the phases take {bare(taken)} s, the cycle {bare(cycle_time)} s: "
        f"{bare(cycle_time - taken)} s are not accounted for.",
        "Add a dwell, or leave out the time of one.",
    )


def _assemble(specs: Sequence[PhaseSpec], moves: Sequence[Move]) -> Cycle:
    """Pieces and phases in order of time, places counted from the start of the cycle."""
    start, place = 0.0, 0.0
    pieces: list[Piece] = []
    phases: list[Phase] = []
    for index, (spec, move) in enumerate(zip(specs, moves, strict=True)):
        for piece in move.pieces:
            poly = (piece.poly[0] + place, *piece.poly[1:])
            pieces.append(Piece(piece.start + start, piece.duration, poly, piece.waves, index))
        phases.append(_phase(index, spec, move, start))
        start += move.duration
        place = spec.to if spec.to is not None else place + move.distance
    return Cycle(tuple(pieces), tuple(phases), start, place)


def _phase(index: int, spec: PhaseSpec, move: Move, start: float) -> Phase:
    return Phase(
        name=spec.name or str(index + 1),
        do=spec.do,
        start=start,
        duration=move.duration,
        distance=move.distance,
        law=move.law,
        top_speed=move.top_speed,
        top_acceleration=move.top_acceleration,
        carry=spec.carry or (),
        force=spec.force or 0.0,
        hold=spec.hold or "ideal",
        note=move.note,
        warning=move.warning,
    )


def _range(cycle: Cycle) -> float:
    """Distance between the farthest places of the cycle [m or rad]."""
    ends = [extremes(piece) for piece in cycle.pieces]
    return max(high for _, high in ends) - min(low for low, _ in ends)


def _travel_faults(cycle: Cycle, travel: float | None, *, linear: bool) -> list[MotionFault]:
    if travel is None or _range(cycle) <= travel * (1 + CLOSED):
        return []
    low = high = 0.0
    for piece in cycle.pieces:
        ends = extremes(piece)
        low, high = min(low, ends[0]), max(high, ends[1])
        if high - low > travel * (1 + CLOSED):
            break
    span = said(_range(cycle), "by", linear=linear)
    return [
        MotionFault(
            f"the cycle needs a travel of {span}, but {said(travel, 'by', linear=linear)} is "
            "available.",
            "Shorten the moves, or state a longer travel.",
            field="by",
            phase_index=piece.phase,
        )
    ]


def _closure_faults(
    cycle: Cycle, *, endless: bool, period: float | None, linear: bool
) -> list[MotionFault]:
    gap = cycle.net_travel
    allowed = CLOSED * max(_range(cycle), abs(gap))
    if endless and period is None:
        return []
    if endless and period is not None:
        rest = abs(gap - round(gap / period) * period)
        if rest <= max(allowed, CLOSED * period):
            return []
        return [
            MotionFault(
                f"the cycle moves on by {said(gap, 'by', linear=linear)}, which is not a whole "
                f"number of periods of {said(period, 'by', linear=linear)}.",
                f"Let it move on by {said(round(gap / period) * period, 'by', linear=linear)}, "
                "or state as many phases as it takes to come round.",
            )
        ]
    if abs(gap) <= allowed:
        return []
    return [
        MotionFault(
            f"the cycle ends {said(gap, 'by', linear=linear)} from where it started.",
            "Let the last move go back to = 0, or state endless = true in [mechanism].",
        )
    ]
