"""Ramped moves with more time than their limits need."""

from __future__ import annotations

from dataclasses import replace
from math import inf, isinf

from dutyline.core.numbers import bare
from dutyline.motion.faults import MotionFault, said
from dutyline.motion.ramped import comparisons, of_open_time, spread, thirds
from dutyline.motion.ramps import Profile, timed
from dutyline.motion.refusals import wrong_time
from dutyline.motion.wanted import AGREEMENT, Wanted


def fitted(wanted: Wanted, distance: float, time: float) -> tuple[Profile, str]:
    """Distance and time are stated; speed, accel and jerk are limits."""
    free = replace(wanted, speed=None, accel=None, decel=None, jerk=None)
    shaped = wanted.fit == "shares" or wanted.first is not None
    if shaped or (wanted.speed is None and not wanted.bounded):
        profile = spread(free, distance, time)
        if wanted.from_rest:
            least = _least_time(wanted, profile)
        else:
            least = time if _within(wanted, profile) else inf
        _enough(wanted, time, least)
        return profile, "" if wanted.first is not None else thirds(wanted)
    quick, _, _ = of_open_time(replace(wanted, time=None), distance)
    _enough(wanted, time, quick.duration)
    if wanted.fit == "scale":
        if not wanted.from_rest:
            raise MotionFault(
                "fit scale would change the speeds at the ends of the move.",
                'State fit = "lower-speed", or let the move start and end at rest.',
                field="fit",
            )
        factor = time / quick.duration
        return quick.stretched(factor), f"fastest move stretched {bare(factor, 4)} times"
    if not wanted.bounded:
        raise MotionFault(
            "fit lower-speed keeps accel and jerk, but neither is stated.",
            'State accel, or fit = "scale".',
            field="fit",
        )
    slower = timed(distance, time, wanted.limits(), wanted.before, wanted.after)
    if slower is None:
        raise wrong_time(wanted, distance, time)
    return slower, f"speed lowered to {said(slower.speed, 'speed', linear=wanted.linear)}"


def _least_time(wanted: Wanted, profile: Profile) -> float:
    """Shortest time of the same shape, rest to rest, within the limits [s]."""
    limits = [
        (profile.speed, wanted.speed, 1.0),
        (abs(profile.first.acceleration), wanted.accel, 0.5),
        (abs(profile.last.acceleration), wanted.decel, 0.5),
        (profile.top_jerk, wanted.jerk, 1 / 3),
    ]
    factors = [(found / limit) ** power for found, limit, power in limits if limit is not None]
    return profile.duration * max(factors, default=0.0)


def _within(wanted: Wanted, profile: Profile) -> bool:
    return all(
        found <= stated * (1 + AGREEMENT)
        for name, stated, found in comparisons(wanted, profile)
        if name in ("speed", "accel", "decel", "jerk")
    )


def _enough(wanted: Wanted, time: float, least: float) -> None:
    if time >= least * (1 - 1e-9):
        return
    needed = "" if isinf(least) else f": at least {bare(least)} s is needed"
    raise MotionFault(
        f"{wanted.says('by')} in {bare(time)} s exceeds "
        f"{wanted.says('speed', 'accel', 'decel', 'jerk')}{needed}.",
        "Allow more time, or raise the limits.",
        field="time",
    )
