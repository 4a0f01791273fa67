"""Phases that follow a running line: rotary knife, flying cut, registration.

Each lasts the length from cut to cut over the line speed. A knife begins in the middle of its
synchronous section (travel 0 is the cut), a flying cut at rest, a registration at line speed.

Source: mechanics of the three tools from their closed forms; the superposed return of the knife
is derived here.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf, isclose, pi

from dutyline.core.numbers import bare, quantity
from dutyline.motion.faults import MotionFault, said
from dutyline.motion.laws import coefficients
from dutyline.motion.moves import RAMPED, complete_move
from dutyline.motion.pieces import Piece
from dutyline.motion.ramps import Limits, Profile, fastest
from dutyline.motion.specs import PhaseSpec
from dutyline.motion.wanted import AGREEMENT, JERK_SHARE
from dutyline.motion.worked import Move

TOOLS = ("rotary-knife", "flying-cut", "registration")
NEEDED: dict[str, tuple[str, ...]] = {
    "rotary-knife": ("line_speed", "length", "diameter"),
    "flying-cut": ("line_speed", "length", "sync", "accel"),
    "registration": ("line_speed", "length", "correction"),
}
"""What each tool cannot do without."""
OWN: dict[str, tuple[str, ...]] = {
    "rotary-knife": ("sync", "diameter", "blades", "law"),
    "flying-cut": ("sync", "accel", "decel", "law"),
    "registration": ("correction", "window", "diameter", "law"),
}
"""What each tool may state besides line speed and length."""
_NOTHING = 1e-12
"""Share of the travel below which a superposed way is none."""


def complete_follow(
    spec: PhaseSpec, left: float | None, before: float | None, *, linear: bool
) -> Move:
    """Work out a phase that follows a line.

    Parameters
    ----------
    spec : PhaseSpec
        As stated; ``sync`` is an angle of a knife [rad], else a way along the line [m].
    left : float or None [m or rad]
        Distance that is stated besides, and has to agree.
    before : float or None [m/s or rad/s]
        Signed speed at the start; None where it is not known.

    Raises
    ------
    MotionFault
        Data are missing, the product is too short, or the tool would have to turn back.
    """
    _check_fields(spec)
    make = {"rotary-knife": _knife, "flying-cut": _flying, "registration": _registration}
    move = make[spec.tool or ""](spec, linear=linear)
    wanted = synchronous_speed(spec, linear=linear)
    if before is not None and abs(before - wanted) > AGREEMENT * max(abs(wanted), abs(before)):
        speeds = [said(v, "speed", linear=linear) for v in (wanted, before)]
        remedy = "Run to that speed first: a run with a ramp."
        raise MotionFault(
            f"the phase begins at {speeds[0]}, but the one before it ends at {speeds[1]}.",
            remedy if wanted else "Bring the axis to rest first.",
            field="line_speed",
        )
    if left is not None and not isclose(left, move.distance, rel_tol=AGREEMENT, abs_tol=1e-12):
        told = [said(v, "by", linear=linear) for v in (left, move.distance)]
        raise MotionFault(
            f"the distance stated is {told[0]}, but the phase moves by {told[1]}.",
            "Leave by and to out.",
            field="by" if spec.by is not None else "to",
        )
    return move


def synchronous_speed(spec: PhaseSpec, *, linear: bool) -> float:
    """Speed at both ends of the phase [m/s or rad/s]; a flying cut begins and ends at rest."""
    if spec.tool == "flying-cut":
        return 0.0
    return (spec.line_speed or 0.0) / (1.0 if linear else _radius(spec))


def _radius(spec: PhaseSpec) -> float:
    if spec.diameter is None:
        raise MotionFault(
            "diameter is missing; it tells how far the line runs with a turn.",
            'Add it, as in diameter = "160 mm".',
            field="diameter",
        )
    return spec.diameter / 2


def _check_fields(spec: PhaseSpec) -> None:
    if spec.tool not in TOOLS:
        raise MotionFault("tool is missing.", f"State one of {', '.join(TOOLS)}.", field="tool")
    for name in NEEDED[spec.tool]:
        if getattr(spec, name) is None:
            raise MotionFault(f"{name} is missing; a {spec.tool} needs it.", "Add it.", field=name)
    every = {name for names in OWN.values() for name in names}
    for name in sorted(every - set(OWN[spec.tool])):
        if getattr(spec, name) is not None:
            having = [tool for tool, names in OWN.items() if name in names]
            raise MotionFault(
                f"a {spec.tool} has no {name}.", f"{' and '.join(having)} may have it.", field=name
            )


def _period(spec: PhaseSpec) -> float:
    return (spec.length or 0.0) / (spec.line_speed or 1.0)


def _knife(spec: PhaseSpec, *, linear: bool) -> Move:
    if linear:
        raise MotionFault(
            "a rotary knife turns, but the load of this axis moves along.",
            "Take a mechanism whose load turns, such as direct with load.inertia.",
            field="tool",
        )
    radius, blades, sync = _radius(spec), spec.blades or 1, spec.sync or 0.0
    speed, whole = (spec.line_speed or 0.0) / radius, _period(spec)
    apart = 2 * pi / blades
    if sync >= apart:
        raise MotionFault(
            f"sync of {said(sync, 'by', linear=False)} is not less than from blade to blade, "
            f"{said(apart, 'by', linear=False)}.",
            "State a smaller sync, or fewer blades.",
            field="sync",
        )
    back = whole - sync / speed
    if back <= 0:
        raise _too_short(spec, sync * radius, "the synchronous section alone is as long")
    extra = apart - speed * whole
    if abs(extra) <= _NOTHING * apart:
        note = "the length is that of the circumference from blade to blade: constant speed"
        return Move((Piece(0.0, whole, (0.0, speed)),), whole, apart, speed, "", speed, 0.0, note)
    law = spec.law or "trapezoid"
    move = complete_move(PhaseSpec(do="move", law=law, time=back), extra, 0.0, linear=False)
    if extra < 0 and move.top_speed > speed * (1 + _NOTHING):
        peak = move.top_speed * back / abs(extra)
        longest = (sync + peak / (peak - 1) * (apart - sync)) * radius
        raise MotionFault(
            f"for a length of {quantity(spec.length or 0.0, 'm')} the knife would turn back "
            f"between the cuts; {quantity(longest, 'm', n=5)} is the longest with {law}.",
            "State a shorter length, or let it stop in phases of their own: run, move to rest, "
            "dwell, move with end_speed.",
            field="length",
        )
    edge = sync / speed / 2
    pieces = _with_ends(_superposed(move, speed, edge, sync / 2), speed, edge, whole)
    extreme = speed + (move.top_speed if extra > 0 else -move.top_speed)
    kind = "short" if extra > 0 else "long"
    note = f"{kind} cut: {said(extreme, 'speed', linear=False)} between the cuts"
    return Move(pieces, whole, apart, speed, law, max(speed, extreme), move.top_acceleration, note)


def _registration(spec: PhaseSpec, *, linear: bool) -> Move:
    scale = 1.0 if linear else _radius(spec)
    if linear and spec.diameter is not None:
        raise MotionFault(
            "diameter has no meaning where the load moves along.", "Leave it out.", field="diameter"
        )
    speed, whole = (spec.line_speed or 0.0) / scale, _period(spec)
    window = whole if spec.window is None else spec.window
    if window > whole * (1 + AGREEMENT):
        raise MotionFault(
            f"window {bare(window)} s is longer than from mark to mark, {bare(whole)} s.",
            "State a shorter window.",
            field="window",
        )
    extra = (spec.correction or 0.0) / scale
    if extra == 0.0:
        piece = Piece(0.0, whole, (0.0, speed))
        return Move((piece,), whole, speed * whole, speed, "", speed, 0.0, "no correction")
    law = spec.law or "trapezoid"
    move = complete_move(PhaseSpec(do="move", law=law, time=window), extra, 0.0, linear=linear)
    if extra < 0 and move.top_speed > speed * (1 + _NOTHING):
        least = window * move.top_speed / speed
        raise MotionFault(
            f"a correction of {quantity(spec.correction or 0.0, 'm')} in {bare(window)} s would "
            "make the axis turn back.",
            f"State a window of at least {bare(least)} s.",
            field="window",
        )
    edge = max(0.0, (whole - window) / 2)
    pieces = _with_ends(_superposed(move, speed, edge, speed * edge), speed, edge, whole)
    extreme = speed + (move.top_speed if extra > 0 else -move.top_speed)
    note = f"correction by {said(extreme, 'speed', linear=linear)} for {bare(window)} s"
    return Move(
        pieces, whole, speed * whole + extra, speed, law, max(speed, extreme),
        move.top_acceleration, note,
    )  # fmt: skip


def _superposed(move: Move, speed: float, start: float, place: float) -> tuple[Piece, ...]:
    """A rest-to-rest move on top of a constant speed."""
    found = []
    for piece in move.pieces:
        poly = [*piece.poly, *([0.0] * (2 - len(piece.poly)))]
        poly[0] += place + speed * piece.start
        poly[1] += speed
        found.append(replace(piece, start=start + piece.start, poly=tuple(poly)))
    return tuple(found)


def _with_ends(
    pieces: tuple[Piece, ...], speed: float, edge: float, whole: float
) -> tuple[Piece, ...]:
    """Constant speed before and behind, where there is any."""
    if edge <= _NOTHING * whole:
        return pieces
    end = pieces[-1]
    place = float(end.position(end.duration))
    return (
        Piece(0.0, edge, (0.0, speed)),
        *pieces,
        Piece(end.end, edge, (place, speed)),
    )


def _flying(spec: PhaseSpec, *, linear: bool) -> Move:
    if not linear:
        raise MotionFault(
            "a flying cut runs along with the line, but the load of this axis turns.",
            "Take a mechanism whose load moves along.",
            field="tool",
        )
    speed, whole, sync = spec.line_speed or 0.0, _period(spec), spec.sync or 0.0
    limits = _limits(spec)
    first, last = limits.ramp(0.0, speed), limits.ramp(speed, 0.0)
    out = Profile(first, sync / speed, last)
    rest = whole - out.duration
    law = spec.law or "trapezoid"
    quickest = _quickest_back(out.distance, law, limits)
    if rest < quickest * (1 - 1e-9):
        shortest = (out.duration + quickest) * speed
        longest = quantity(out.duration + quickest, "s")
        raise _too_short(
            spec, shortest, f"{quantity(out.distance, 'm')} out and back take {longest}"
        )
    back = _way_back(out.distance, rest, law, spec)
    pieces = [*out.pieces()]
    for piece in back.pieces:
        poly = (piece.poly[0] + out.distance, *piece.poly[1:])
        pieces.append(replace(piece, start=piece.start + out.duration, poly=poly))
    note = (
        f"{quantity(out.distance, 'm')} out, {quantity(sync, 'm')} of it with the line; back in "
        f"{bare(rest, 4)} s"
    )
    return Move(
        tuple(pieces), whole, 0.0, 0.0, law, max(speed, back.top_speed),
        max(out.top_acceleration, back.top_acceleration), note,
    )  # fmt: skip


def _limits(spec: PhaseSpec) -> Limits:
    accel = spec.accel or inf
    share = JERK_SHARE if spec.law == "s-curve" else 0.0
    return Limits(accel, spec.decel or accel, jerk_share=share)


def _quickest_back(distance: float, law: str, limits: Limits) -> float:
    """Shortest time of the way back within the stated acceleration [s]."""
    if law in RAMPED:
        found = fastest(distance, limits)
        return inf if found is None else found.duration
    peak = min(limits.accel, limits.decel)
    return float((coefficients(law).acceleration * distance / peak) ** 0.5)


def _way_back(distance: float, time: float, law: str, spec: PhaseSpec) -> Move:
    if law not in RAMPED:
        own = PhaseSpec(do="move", law=law, time=time)
        return complete_move(own, -distance, 0.0, linear=True)
    ramped = "s-curve" if law == "s-curve" else "trapezoid"
    own = PhaseSpec(do="move", law=ramped, time=time, accel=spec.accel, decel=spec.decel,
                    fit="lower-speed")  # fmt: skip
    return complete_move(own, -distance, 0.0, linear=True)


def _too_short(spec: PhaseSpec, least: float, why: str) -> MotionFault:
    return MotionFault(
        f"a length of {quantity(spec.length or 0.0, 'm')} is too short: {why}; at this line speed "
        f"{quantity(least, 'm', n=5)} is the shortest.",
        "State a longer length, a slower line or a higher accel.",
        field="length",
    )
