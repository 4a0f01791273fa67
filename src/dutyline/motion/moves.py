"""A move from any sufficient data: distance, time, speed, acceleration, jerk."""

from __future__ import annotations

from dataclasses import dataclass
from math import copysign, inf, isclose, isfinite

from dutyline.motion.extremes import extremes
from dutyline.motion.faults import MotionFault, said
from dutyline.motion.laws import Coefficients, coefficients, law_pieces, quintic_between
from dutyline.motion.pieces import Piece
from dutyline.motion.ramped import AGREEMENT, Length, Wanted, complete
from dutyline.motion.specs import FITS, LAWS, PhaseSpec

RAMPED = ("trapezoid", "triangle", "s-curve")


@dataclass(frozen=True, slots=True)
class Move:
    """One phase worked out, from its own time 0 and place 0."""

    pieces: tuple[Piece, ...]
    duration: float
    """[s]"""
    distance: float
    """Signed [m or rad]"""
    end_speed: float = 0.0
    """Signed [m/s or rad/s]"""
    law: str = ""
    top_speed: float = 0.0
    """Magnitude [m/s or rad/s]"""
    top_acceleration: float = 0.0
    """Magnitude [m/s^2 or rad/s^2]"""
    note: str = ""
    """How missing data were completed."""


def complete_move(
    spec: PhaseSpec, distance: float | None, before: float, *, linear: bool
) -> Move:
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
        profile, note = complete(wanted)
        travel = sign * profile.distance if distance is None else distance
        return Move(
            profile.pieces(sign), profile.duration, travel, after, law,
            profile.top_speed, profile.top_acceleration, note,
        )  # fmt: skip
    if before != 0.0 or after != 0.0:
        return _between_speeds(spec, law, distance, before, after, linear=linear)
    return _fixed_shape(spec, law, distance, sign, linear=linear)


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
            raise MotionFault(f"{name} is {value:g}; it must be above 0.", field=name)
    if spec.speed is not None and not (spec.speed != 0 and isfinite(spec.speed)):
        raise MotionFault(f"speed is {spec.speed:g}; a move needs one above 0.", field="speed")
    for name in ("accel_share", "decel_share"):
        value = getattr(spec, name)
        if value is not None and not 0 < value < 1:
            raise MotionFault(f"{name} is {value:g}; it must lie between 0 and 1.", field=name)
    if spec.jerk_share is not None and not 0 < spec.jerk_share <= 0.5:
        raise MotionFault(
            f"jerk_share is {spec.jerk_share:g}; it must be above 0 and at most 0.5.",
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
    first, last = first or last, last or first
    accel, decel = spec.accel or spec.decel, spec.decel or spec.accel
    time = spec.time
    if law == "triangle":
        first, last, time = _triangle(spec, first, last, accel, decel)
    return Wanted(
        distance=None if distance is None else abs(distance),
        time=time,
        speed=None if spec.speed is None else abs(spec.speed),
        accel=accel,
        decel=decel,
        jerk=spec.jerk,
        first=first,
        last=last,
        jerk_share=spec.jerk_share,
        before=before,
        after=after,
        smooth=law == "s-curve",
        linear=linear,
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
            f"{name}_time {seconds:g} s and {name}_share {share:g} state the same ramp twice.",
            "Leave one of them out.",
            field=f"{name}_share",
        )
    return (seconds, 0.0)


def _triangle(
    spec: PhaseSpec,
    first: Length | None,
    last: Length | None,
    accel: float | None,
    decel: float | None,
) -> tuple[Length, Length, float | None]:
    """Ramps that leave no constant speed, and the time where both ramp times are stated."""
    time = spec.time
    if first is not None and last is not None:
        if first[0] and last[0]:
            both = first[0] + last[0]
            alone = spec.accel_time is None or spec.decel_time is None
            if time is None:
                return first, last, both
            if alone:  # one ramp is stated, the other takes the rest
                rest = (time - first[0], 0.0)
                return (first, rest, time) if spec.accel_time is not None else (rest, last, time)
            return first, last, time
        if spec.decel_share is None:
            return first, (0.0, 1 - first[1]), time
        if spec.accel_share is None:
            return (0.0, 1 - last[1]), last, time
        return first, last, time
    share = 0.5 if accel is None or decel is None else decel / (accel + decel)
    return (0.0, share), (0.0, 1 - share), time


def _fixed_shape(
    spec: PhaseSpec, law: str, distance: float | None, sign: float, *, linear: bool
) -> Move:
    """A law whose shape is fixed, so that any two of its data decide the rest."""
    peaks = coefficients(law)
    stated = _stated(spec, peaks)
    note = ""
    if distance is not None and spec.time is not None:
        stroke, time, basis = abs(distance), spec.time, ("by", "time")
    elif distance is not None:
        stroke = abs(distance)
        times = [(_time_of(stroke, *item), item[0]) for item in stated]
        if not times:
            raise MotionFault(
                f"by {said(stroke, 'by', linear=linear)} alone does not tell how fast.",
                "State time, speed or accel.",
                field="time",
            )
        time, decisive = max(times)
        note = f"time from {decisive}" if len(times) > 1 else ""
        stated, basis = [], ("by", decisive)
    else:
        stroke, time, basis = _open_stroke(spec.time, stated)
    for name, factor, power, value in stated:
        _meet(spec, name, factor * stroke / time**power, value, stroke, time, basis, linear=linear)
    return Move(
        law_pieces(law, sign * stroke if distance is None else distance, time),
        time,
        sign * stroke if distance is None else distance,
        0.0,
        law,
        peaks.speed * stroke / time,
        peaks.acceleration * stroke / time**2,
        note,
    )


_Item = tuple[str, float, int, float]
"""Field, coefficient, power of the time, stated value."""


def _stated(spec: PhaseSpec, peaks: Coefficients) -> list[_Item]:
    items = [
        ("speed", peaks.speed, 1, spec.speed),
        ("accel", peaks.acceleration, 2, spec.accel),
        ("decel", peaks.acceleration, 2, spec.decel),
        ("jerk", peaks.jerk, 3, spec.jerk),
    ]
    return [(n, c, p, abs(value)) for n, c, p, value in items if value is not None]


def _time_of(stroke: float, name: str, factor: float, power: int, value: float) -> float:
    return float((factor * stroke / value) ** (1 / power))


def _open_stroke(time: float | None, stated: list[_Item]) -> tuple[float, float, tuple[str, ...]]:
    """Stroke, time and what they came from, where the distance is not stated."""
    if time is not None and stated:
        name, factor, power, value = stated[0]
        return value * time**power / factor, time, ("time", name)
    if time is None and len(stated) > 1 and stated[0][0] == "speed":
        (_, first, _, speed), (name, second, power, value) = stated[:2]
        time = (second * speed / (first * value)) ** (1 / (power - 1))
        return speed * time / first, time, ("speed", name)
    raise MotionFault(
        "the data do not tell how far the move goes.",
        "State by or to, and time or speed.",
        field="by",
    )


def _meet(
    spec: PhaseSpec,
    name: str,
    found: float,
    value: float,
    stroke: float,
    time: float,
    basis: tuple[str, ...],
    *,
    linear: bool,
) -> None:
    """Refuse a stated value that the move does not meet, or with ``fit`` exceeds."""
    if isclose(found, value, rel_tol=AGREEMENT) or (spec.fit is not None and found <= value):
        return
    quantity = "accel" if name == "decel" else name
    right, mine = (said(x, quantity, linear=linear) for x in (found, value))
    numbers = {"by": stroke, "time": time, "speed": abs(spec.speed or 0), "accel": spec.accel or 0}
    told = " and ".join(
        f"{q} {said(numbers[q], q, linear=linear)}" for q in basis if q in numbers and q != name
    )
    if spec.fit is not None:
        power = {"speed": 1, "accel": 2, "jerk": 3}[quantity]
        least = time * (found / value) ** (1 / power)
        raise MotionFault(
            f"{told} exceed {name} {mine}: at least {least:.6g} s is needed.",
            "Allow more time, or raise the limit.",
            field="time",
        )
    raise MotionFault(
        f"{told} and {name} {mine} contradict each other: {name} would be {right}.",
        f"Leave one of them out, or state fit to make speed, accel and jerk limits "
        f"({name} = {right} agrees).",
        field=name,
    )


def _between_speeds(
    spec: PhaseSpec,
    law: str,
    distance: float | None,
    before: float,
    after: float,
    *,
    linear: bool,
) -> Move:
    """The general quintic, which alone of the fixed laws takes speeds at its ends."""
    if law != "quintic":
        raise MotionFault(
            f"{law} starts and ends at rest, but a speed is stated at an end of the move.",
            "Take the law trapezoid, s-curve or quintic, or let the move start and end at rest.",
            field="law",
        )
    if distance is None or spec.time is None:
        raise MotionFault(
            "a quintic move with speeds at its ends needs its distance and its time.",
            "State by and time.",
            field="time" if spec.time is None else "by",
        )
    piece = quintic_between((0.0, before, 0.0), (distance, after, 0.0), spec.time)
    peaks = [max(abs(x) for x in extremes(piece, order)) for order in (1, 2, 3)]
    stated = _stated(spec, Coefficients(*peaks, inf, inf))
    for name, found, _, value in stated:
        _meet(spec, name, found, value, abs(distance), spec.time, ("by", "time"), linear=linear)
    return Move((piece,), spec.time, distance, after, law, peaks[0], peaks[1])
