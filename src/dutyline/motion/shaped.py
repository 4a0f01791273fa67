"""Moves by a law of fixed shape: any two of their data decide the rest."""

from __future__ import annotations

from math import isclose

from dutyline.core.numbers import bare
from dutyline.motion.capped import capped_flank, capped_pieces
from dutyline.motion.extremes import extremes
from dutyline.motion.faults import MotionFault, contradiction, listed, said
from dutyline.motion.laws import coefficients, law_pieces, quintic_between
from dutyline.motion.specs import PhaseSpec
from dutyline.motion.wanted import AGREEMENT
from dutyline.motion.worked import Move


def fixed_shape(
    spec: PhaseSpec, law: str, distance: float | None, sign: float, *, linear: bool
) -> Move:
    """A law whose shape is fixed, so that any two of its data decide the rest."""
    peaks = coefficients(law)
    stated = _stated(spec, peaks.speed, peaks.acceleration, peaks.jerk)
    note = ""
    basis: tuple[str, ...]
    if distance is not None and spec.time is not None:
        if law == "cubic" and spec.fit == "lower-speed" and spec.speed is not None:
            flank = capped_flank(abs(distance), spec.time, abs(spec.speed))
            if flank is not None:
                return _capped(spec, distance, spec.time, flank, linear=linear)
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


def _capped(spec: PhaseSpec, distance: float, time: float, flank: float, *, linear: bool) -> Move:
    """The cubic law kept below a speed, where that binds; other limits are looked at as ever."""
    speed = abs(spec.speed or 0.0)
    steepest = 2 * speed / flank
    for name in ("accel", "decel"):
        value = getattr(spec, name)
        if value is not None:
            _meet(spec, name, steepest, value, abs(distance), time, ("by", "time"), linear=linear)
    pieces = capped_pieces(distance, time, speed)
    note = f"flanks of {flank:.6g} s, the least copper loss below the speed"
    return Move(pieces, time, distance, 0.0, "cubic", speed, steepest, note)


_Item = tuple[str, float, int, float]
"""Field, coefficient, power of the time, stated value."""


def _stated(spec: PhaseSpec, speed: float, acceleration: float, jerk: float) -> list[_Item]:
    """What is stated beside distance and time, with the coefficient it belongs to."""
    items = [
        ("speed", speed, 1, spec.speed),
        ("accel", acceleration, 2, spec.accel),
        ("decel", acceleration, 2, spec.decel),
        ("jerk", jerk, 3, spec.jerk),
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
    numbers = {"by": stroke, "time": time, "speed": abs(spec.speed or 0), "accel": spec.accel or 0}
    told = [(q, numbers[q]) for q in basis if q in numbers and q != name]
    if spec.fit is None:
        raise contradiction(told, name, value, found, linear=linear)
    power = {"speed": 1, "accel": 2, "decel": 2, "jerk": 3}[name]
    least = time * (found / value) ** (1 / power)
    raise MotionFault(
        f"{listed(told, linear=linear)} exceed {name} {said(value, name, linear=linear)}: "
        f"at least {bare(least)} s is needed.",
        "Allow more time, or raise the limit.",
        field="time",
    )


def between_speeds(
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
    stated = _stated(spec, *peaks)
    for name, found, _, value in stated:
        _meet(spec, name, found, value, abs(distance), spec.time, ("by", "time"), linear=linear)
    return Move((piece,), spec.time, distance, after, law, peaks[0], peaks[1])
