"""A move from any sufficient data: distance, time, speed, acceleration, jerk."""

from __future__ import annotations

from math import copysign, isclose, isfinite

from dutyline.core.numbers import bare
from dutyline.motion.faults import MotionFault, said
from dutyline.motion.fitted import fitted
from dutyline.motion.pieces import Piece
from dutyline.motion.ramped import complete
from dutyline.motion.ramps import Profile
from dutyline.motion.shaped import between_speeds, fixed_shape
from dutyline.motion.specs import FITS, LAWS, PhaseSpec
from dutyline.motion.wanted import AGREEMENT, Length, Wanted
from dutyline.motion.worked import Move

RAMPED = ("trapezoid", "triangle", "s-curve")


def complete_move(spec: PhaseSpec, distance: float | None, before: float, *, linear: bool) -> Move:
    """Work out a move.

    Parameters
    ----------
    spec : PhaseSpec
        As stated; ``by`` and ``to`` are not looked at.
    distance : float or None [m or rad]
        Signed; None when it follows from the time and the speed.
    before : float [m/s or rad/s]
        Signed speed at the start.
    linear : bool
        True when the travel is linear; decides the units of messages only.

    Raises
    ------
    MotionFault
        The data are too few, contradict each other or cannot be met.
    """
    law = spec.law or "trapezoid"
    _within_range(spec, law)
    after = spec.end_speed or 0.0
    if distance == 0.0:
        return _standing(spec, before, after)
    sign = _direction(spec, distance, before, after, linear=linear)
    if law in RAMPED:
        wanted = _wanted(spec, law, distance, before * sign, after * sign, linear=linear)
        profile, note = _profile(wanted)
        travel = sign * profile.distance if distance is None else distance
        return Move(
            profile.pieces(sign), profile.duration, travel, after, law,
            profile.top_speed, profile.top_acceleration, note,
        )  # fmt: skip
    if before != 0.0 or after != 0.0:
        return between_speeds(spec, law, distance, before, after, linear=linear)
    return fixed_shape(spec, law, distance, sign, linear=linear)


def _profile(wanted: Wanted) -> tuple[Profile, str]:
    if wanted.fit is None or wanted.distance is None or wanted.time is None:
        return complete(wanted)
    return fitted(wanted, wanted.distance, wanted.time)


def _within_range(spec: PhaseSpec, law: str) -> None:
    """Refuse numbers without a meaning, one field at a time."""
    if law not in LAWS:
        raise MotionFault(
            f"{law} is no motion law.", f"Known laws: {', '.join(LAWS)}.", field="law"
        )
    if spec.fit is not None and spec.fit not in FITS:
        raise MotionFault(f"{spec.fit} is no fit.", f"Known: {', '.join(FITS)}.", field="fit")
    for name in ("accel", "decel", "jerk", "accel_time", "decel_time"):
        value = getattr(spec, name)
        if value is not None and not (value > 0 and isfinite(value)):
            raise MotionFault(f"{name} is {bare(value)}; it must be above 0.", field=name)
    if spec.speed is not None and not (spec.speed != 0 and isfinite(spec.speed)):
        raise MotionFault(f"speed is {bare(spec.speed)}; a move needs one above 0.", field="speed")
    for name in ("accel_share", "decel_share"):
        value = getattr(spec, name)
        if value is not None and not 0 < value < 1:
            raise MotionFault(f"{name} is {bare(value)}; it must lie between 0 and 1.", field=name)
    both = [
        spec.accel_share or spec.decel_share or 0.0,
        spec.decel_share or spec.accel_share or 0.0,
    ]
    if law != "triangle" and sum(both) > 1 + AGREEMENT:
        raise MotionFault(
            f"accel_share {bare(both[0])} and decel_share {bare(both[1])} make more than the "
            "whole time.",
            "Their sum can be 1 at most.",
            field="accel_share" if spec.accel_share is not None else "decel_share",
        )
    if spec.jerk_share is not None and not 0 < spec.jerk_share <= 0.5:
        raise MotionFault(
            f"jerk_share is {bare(spec.jerk_share)}; it must be above 0 and at most 0.5.",
            "With 0.5 no time of constant acceleration is left.",
            field="jerk_share",
        )
    _fields_of_law(spec, law)


def _fields_of_law(spec: PhaseSpec, law: str) -> None:
    """Refuse fields the law has no use for."""
    if law not in RAMPED:
        for name in ("accel_time", "decel_time", "accel_share", "decel_share"):
            if getattr(spec, name) is not None:
                raise MotionFault(
                    f"{name} has no meaning for {law}, whose shape is fixed.",
                    "Leave it out, or take the law trapezoid or s-curve.",
                    field=name,
                )
    if spec.jerk_share is not None and law != "s-curve":
        raise MotionFault(
            f"jerk_share has no meaning for {law}.", 'State law = "s-curve".', field="jerk_share"
        )
    if spec.jerk is not None and law in ("trapezoid", "triangle", "cubic", "simple-sine"):
        raise MotionFault(
            f"the acceleration of {law} jumps, so its jerk cannot be held.",
            'Leave jerk out, or state law = "s-curve".',
            field="jerk",
        )


def _direction(
    spec: PhaseSpec, distance: float | None, before: float, after: float, *, linear: bool
) -> float:
    """+1 or -1; end speeds and a signed speed must agree with it."""
    given = distance if distance is not None else (spec.speed or before or after or 1.0)
    sign = copysign(1.0, given)
    told = said(abs(given), "by", linear=linear)
    if spec.speed is not None and spec.speed < 0 and sign > 0:
        raise MotionFault(
            f"speed is {said(spec.speed, 'speed', linear=linear)}, but the move goes in "
            f"+ direction by {told}.",
            "State speed without sign, or turn the sign of by.",
            field="speed",
        )
    for name, speed in (("speed before it", before), ("end_speed", after)):
        if speed * sign < 0 and spec.law != "quintic":
            raise MotionFault(
                f"the {name}, {said(speed, 'speed', linear=linear)}, is against the direction "
                "of the move.",
                'Let the move turn back in two phases, or state law = "quintic" with by and time.',
                field="end_speed" if name == "end_speed" else "by",
            )
    return sign


def _standing(spec: PhaseSpec, before: float, after: float) -> Move:
    """A move of no distance."""
    if before != 0.0 or after != 0.0:
        raise MotionFault(
            "a move of no distance cannot start or end with a speed.",
            "State a distance, or end speeds of 0.",
            field="by",
        )
    if spec.time is None:
        raise MotionFault(
            "the move goes nowhere and takes no time.",
            "State a distance, or make it a dwell with a time.",
            field="by",
        )
    note = "no distance: stands still"
    return Move((Piece(0.0, spec.time, (0.0,)),), spec.time, 0.0, law="", note=note)


def _wanted(
    spec: PhaseSpec,
    law: str,
    distance: float | None,
    before: float,
    after: float,
    *,
    linear: bool,
) -> Wanted:
    first = _length(spec.accel_time, spec.accel_share, spec.time, "accel")
    last = _length(spec.decel_time, spec.decel_share, spec.time, "decel")
    accel, decel = spec.accel or spec.decel, spec.decel or spec.accel
    time = spec.time
    if law == "triangle":
        first, last, time = _triangle(time, first, last, accel, decel)
    return Wanted(
        distance=None if distance is None else abs(distance),
        time=time,
        speed=None if spec.speed is None else abs(spec.speed),
        accel=accel,
        decel=decel,
        jerk=spec.jerk,
        first=first or last,
        last=last or first,
        jerk_share=spec.jerk_share,
        before=before,
        after=after,
        smooth=law == "s-curve",
        linear=linear,
        given=frozenset(n for n in ("accel", "decel") if getattr(spec, n) is not None),
        fit=spec.fit,
    )


def _length(
    seconds: float | None, share: float | None, time: float | None, name: str
) -> Length | None:
    """Ramp length stated as a time or as a share, not as both unless they agree."""
    if seconds is None and share is None:
        return None
    if seconds is None or share is None:
        return (seconds or 0.0, share or 0.0)
    if time is None or not isclose(seconds, share * time, rel_tol=AGREEMENT):
        raise MotionFault(
            f"{name}_time {bare(seconds)} s and {name}_share {bare(share)} state the same ramp "
            "twice.",
            "Leave one of them out.",
            field=f"{name}_share",
        )
    return (seconds, 0.0)


def _triangle(
    time: float | None,
    first: Length | None,
    last: Length | None,
    accel: float | None,
    decel: float | None,
) -> tuple[Length, Length, float | None]:
    """Ramps that leave no constant speed, and the time where the ramps decide it."""
    if first is None and last is None:
        share = 0.5 if accel is None or decel is None else decel / (accel + decel)
        first = (0.0, share)
    if first is not None and last is not None:
        return first, last, _time_of_ramps(time, first, last)
    known = first or last or (0.0, 0.5)
    if time is None and known[0] > 0:
        return known, known, 2 * known[0]
    rest = (-known[0], 1 - known[1])
    return (known, rest, time) if first is not None else (rest, known, time)


def _time_of_ramps(time: float | None, first: Length, last: Length) -> float | None:
    """Time [s] which both stated ramps of a triangle fill; they must fill a stated one."""
    seconds, share = first[0] + last[0], first[1] + last[1]
    if seconds == 0.0 and isclose(share, 1.0, rel_tol=AGREEMENT):
        return time
    whole = seconds / (1 - share) if seconds > 0 and share < 1 else None
    if whole is None or (time is not None and not isclose(time, whole, rel_tol=AGREEMENT)):
        raise MotionFault(
            "the ramps of a triangle must fill its whole time, but the stated ones do not.",
            "State one of them only, or take the law trapezoid.",
            field="decel_share" if last[1] > 0 else "decel_time",
        )
    return whole if time is None else time
