"""Runs: a ramp to a speed, then that speed for a time, a distance or a number of turns."""

from __future__ import annotations

from math import inf, isclose, isfinite

from dutyline.core.numbers import bare
from dutyline.motion.faults import MotionFault, said
from dutyline.motion.ramps import Limits, Ramp, chain
from dutyline.motion.specs import PhaseSpec
from dutyline.motion.wanted import AGREEMENT
from dutyline.motion.worked import Move


def complete_run(
    spec: PhaseSpec, left: float | None, before: float, period: float | None, *, linear: bool
) -> Move:
    """Work out a run.

    Parameters
    ----------
    spec : PhaseSpec
        As stated.
    left : float or None [m or rad]
        Signed way to the place of ``to``; None when ``to`` is not stated.
    before : float [m/s or rad/s]
        Signed speed at the start.
    period : float or None [m or rad]
        What one of ``turns`` means.

    Raises
    ------
    MotionFault
        The data are too few, contradict each other or cannot be met.
    """
    speed = _speed(spec)
    ramp = _ramp(spec, before, speed, linear=linear)
    constant = _constant_time(spec, left, ramp, period, linear=linear)
    duration = ramp.duration + constant
    if duration <= 0:
        raise MotionFault(
            "the run takes no time.", "State time, by, to, turns or ramp.", field="time"
        )
    pieces = chain([*ramp.sections(), (constant, 0.0, 0.0)], before)
    distance = ramp.distance + speed * constant
    return Move(
        pieces, duration, distance, speed, "",
        max(abs(before), abs(speed)), abs(ramp.acceleration), "",
    )  # fmt: skip


def _speed(spec: PhaseSpec) -> float:
    if spec.speed is None or not isfinite(spec.speed):
        raise MotionFault("a run needs a speed.", "State speed, with its sign.", field="speed")
    for name in ("accel", "decel", "jerk"):
        value = getattr(spec, name)
        if value is not None and not (value > 0 and isfinite(value)):
            raise MotionFault(f"{name} is {bare(value)}; it must be above 0.", field=name)
    if spec.ramp is not None and not (spec.ramp >= 0 and isfinite(spec.ramp)):
        raise MotionFault(f"ramp is {bare(spec.ramp)} s; it must be 0 or more.", field="ramp")
    return spec.speed


def _ramp(spec: PhaseSpec, before: float, speed: float, *, linear: bool) -> Ramp:
    """The speed change at the start of the run."""
    change = abs(speed - before)
    if change <= 1e-9 * max(abs(speed), abs(before)):
        return Ramp(speed, speed, 0.0)
    accel = spec.accel or spec.decel
    if abs(speed) < abs(before) and before * speed >= 0:
        accel = spec.decel or spec.accel
    if not spec.ramp and accel is None:
        steps = [said(v, "speed", linear=linear) for v in (before, speed)]
        raise MotionFault(
            f"the speed would jump from {steps[0]} to {steps[1]}.",
            "State ramp (a time) or accel.",
            field="ramp",
        )
    if not spec.ramp:
        ends = (0.0, change)
        made = Limits(accel or inf, accel or inf, spec.jerk or inf).ramp(*ends)
        return Ramp(before, speed, made.duration, made.jerk_share)
    share = 0.0
    if spec.jerk is not None:
        product = change / (spec.jerk * spec.ramp**2)
        if product > 0.25 * (1 + AGREEMENT):
            raise MotionFault(
                f"ramp {bare(spec.ramp)} s is too short for jerk "
                f"{said(spec.jerk, 'jerk', linear=linear)}: "
                f"at least {bare(2 * (change / spec.jerk) ** 0.5)} s is needed.",
                "State a longer ramp.",
                field="ramp",
            )
        share = (1 - max(0.0, 1 - 4 * product) ** 0.5) / 2
    ramp = Ramp(before, speed, spec.ramp, share)
    if accel is not None and not isclose(abs(ramp.acceleration), accel, rel_tol=AGREEMENT):
        mine, right = (said(x, "accel", linear=linear) for x in (accel, abs(ramp.acceleration)))
        raise MotionFault(
            f"speed {said(speed, 'speed', linear=linear)}, ramp {bare(spec.ramp)} s and accel "
            f"{mine} contradict each other: accel would be {right}.",
            "Leave ramp or accel out.",
            field="ramp",
        )
    return ramp


def _constant_time(
    spec: PhaseSpec, left: float | None, ramp: Ramp, period: float | None, *, linear: bool
) -> float:
    """Time at constant speed [s]."""
    stated = {
        name: value
        for name, value in (("by", spec.by), ("to", left), ("turns", spec.turns))
        if value is not None
    }
    if not stated:
        return spec.time or 0.0
    if len(stated) > 1:
        raise MotionFault(
            f"{' and '.join(stated)} state the length of the run twice.",
            "Leave one of them out.",
            field=list(stated)[-1],
        )
    (name, value), speed = next(iter(stated.items())), ramp.after
    if name == "turns" and period is None:
        raise MotionFault(
            "turns need a travel that repeats itself.", "State by or time.", field="turns"
        )
    way = {"by": value, "to": value - ramp.distance, "turns": value * (period or 0.0)}[name]
    if name == "turns" and speed < 0:
        way = -abs(way)
    if speed == 0.0 or way / speed < -1e-9:
        raise MotionFault(
            f"{said(way, 'by', linear=linear)} cannot be run at "
            f"{said(speed, 'speed', linear=linear)}.",
            "Give speed and distance the same sign, and room for the ramp.",
            field=name,
        )
    time = max(0.0, way / speed)
    if spec.time is not None and not isclose(spec.time, time, rel_tol=AGREEMENT):
        raise MotionFault(
            f"{name} {said(way, 'by', linear=linear)}, speed "
            f"{said(speed, 'speed', linear=linear)} and time {bare(spec.time)} s contradict each "
            f"other: time would be {bare(time)} s.",
            "Leave one of them out.",
            field="time",
        )
    return time
