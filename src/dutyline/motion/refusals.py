"""Why a ramped move cannot be made, in words."""

from __future__ import annotations

from math import inf

from dutyline.core.numbers import bare
from dutyline.motion.faults import MotionFault, said
from dutyline.motion.ramps import fastest
from dutyline.motion.wanted import Wanted


def wrong_time(wanted: Wanted, distance: float, time: float) -> MotionFault:
    """No constant speed meets the time [s] with the limits."""
    quick = fastest(distance, wanted.limits(), inf, wanted.before, wanted.after)
    if quick is None:
        return short_distance(wanted, distance)
    told = wanted.says("by", "accel", "decel", "jerk")
    if quick.duration > time:
        remedy = f"State a time of at least {bare(quick.duration)} s"
        if wanted.from_rest and wanted.accel is not None and not wanted.smooth:
            least = said(wanted.accel * (quick.duration / time) ** 2, "accel", linear=wanted.linear)
            remedy += f" or an accel of at least {least}"
        read = f"time {bare(time)} s is too short: {told} need at least {bare(quick.duration)} s."
        return MotionFault(read, remedy + ".", field="time")
    return MotionFault(
        f"time {bare(time)} s is too long for {told} with these end speeds: "
        "the move would have to stop on the way.",
        "State a shorter time, or split the move by a dwell.",
        field="time",
    )


def short_distance(wanted: Wanted, distance: float) -> MotionFault:
    """The distance [m or rad] is too short for the change between the end speeds."""
    limits = wanted.limits()
    top = min(wanted.speed or inf, max(wanted.before, wanted.after))
    least = limits.ramp(wanted.before, top).distance + limits.ramp(top, wanted.after).distance
    speeds = [said(v, "speed", linear=wanted.linear) for v in (wanted.before, wanted.after)]
    return MotionFault(
        f"{wanted.says('by')} is too short to change from {speeds[0]} to {speeds[1]} within "
        f"{wanted.says('speed', 'accel', 'decel', 'jerk')}: "
        f"at least {said(least, 'by', linear=wanted.linear)} is needed.",
        "State a longer distance, a higher accel or other end speeds.",
        field="by",
    )


def slow_speed(wanted: Wanted, distance: float, time: float) -> MotionFault:
    """The speed is not above the mean speed over the distance [m or rad] and time [s]."""
    mean = said(distance / time, "speed", linear=wanted.linear)
    return MotionFault(
        f"{wanted.says('by', 'time', 'speed')} contradict each other: "
        f"the mean speed alone is {mean}.",
        f"State a speed above {mean}, or leave one of the three out.",
        field="speed",
    )


def high_speed(wanted: Wanted) -> MotionFault:
    """The speed leaves no time for ramps to it and back."""
    return MotionFault(
        f"{wanted.says('by', 'time', 'speed')} contradict each other: "
        "there is no time for the ramps to that speed and back.",
        "State a lower speed, or leave one of the three out (a triangle peaks at twice the mean).",
        field="speed",
    )
