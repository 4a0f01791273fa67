"""Completes a ramped move from whatever sufficient data are stated, and checks the rest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import inf, isclose, sqrt

from dutyline.core.numbers import bare
from dutyline.motion.faults import MotionFault, contradiction, said
from dutyline.motion.ramps import Profile, Ramp, fastest, timed
from dutyline.motion.refusals import high_speed, short_distance, slow_speed, wrong_time
from dutyline.motion.wanted import AGREEMENT, JERK_SHARE, Wanted


def complete(wanted: Wanted) -> tuple[Profile, str]:
    """Profile of a ramped move and, in words, how missing data were completed.

    Raises
    ------
    MotionFault
        The data are too few, contradict each other or cannot be met.
    """
    if wanted.distance is not None and wanted.time is None:
        profile, note, exact = of_open_time(wanted, wanted.distance)
        basis: tuple[str, ...] = ("by", "speed", "accel", "decel")
        if not exact:
            return profile, note
    elif wanted.distance is not None and wanted.time is not None:
        profile, note, basis = _stated_time(wanted, wanted.distance, wanted.time)
    else:
        profile, note = _open_distance(wanted)
        basis = ("time", "speed", "accel", "decel")
    _agree(wanted, profile, basis)
    return profile, note


def _agree(wanted: Wanted, profile: Profile, basis: tuple[str, ...]) -> None:
    """Refuse stated data that the completed move does not meet."""
    for quantity, stated, found in comparisons(wanted, profile):
        if isclose(stated, found, rel_tol=AGREEMENT):
            continue
        told = wanted.told(*basis)
        raise contradiction(told, quantity, stated, found, linear=wanted.linear)


def comparisons(wanted: Wanted, profile: Profile) -> Iterator[tuple[str, float, float]]:
    """Quantity, stated and found value, of everything stated."""
    pairs: list[tuple[str, float | None, float]] = [
        ("by", wanted.distance, profile.distance),
        ("time", wanted.time, profile.duration),
        ("speed", wanted.speed, profile.speed),
    ]
    changes = [
        ("accel" if ramp.acceleration > 0 else "decel", abs(ramp.acceleration))
        for ramp in (profile.first, profile.last)
        if ramp.acceleration != 0
    ]
    alone = not wanted.given & {name for name, _ in changes}  # only falls, but accel is stated
    for name, found in changes:
        names = wanted.given if alone else wanted.given & {name}
        pairs.extend((name, getattr(wanted, name), found) for name in names)
    for name, length, ramp in (
        ("accel_time", wanted.first, profile.first),
        ("decel_time", wanted.last, profile.last),
    ):
        if length is not None and ramp.before != ramp.after:
            pairs.append((name, length[0] + length[1] * profile.duration, ramp.duration))
    if wanted.smooth and profile.top_jerk > 0:
        pairs.append(("jerk", wanted.jerk, profile.top_jerk))
        pairs.append(("jerk_share", wanted.jerk_share, profile.first.jerk_share))
    for name, stated, found in pairs:
        if stated is not None:
            yield name, stated, found


def spread(wanted: Wanted, distance: float, time: float) -> Profile:
    """Ramps of known length; the constant speed follows from the distance."""
    rise, fall = _times(wanted, time)
    steady = time - (rise + fall) / 2
    speed = (distance - wanted.before * rise / 2 - wanted.after * fall / 2) / steady
    if speed < 0:
        raise MotionFault(
            f"{wanted.says('by', 'time')} with these end speeds would make the move turn back.",
            "State a shorter time, shorter ramps or lower end speeds.",
            field="time",
        )
    share = _jerk_share(wanted, abs(speed - wanted.before), rise)
    return Profile(
        Ramp(wanted.before, speed, rise, share),
        max(0.0, time - rise - fall),
        Ramp(speed, wanted.after, fall, share),
    )


def _times(wanted: Wanted, time: float) -> tuple[float, float]:
    """Ramp times [s] within a move of the given time."""
    rise, fall = (seconds + share * time for seconds, share in wanted.lengths)
    if rise + fall > time * (1 + 1e-9) or min(rise, fall) <= 0:
        raise MotionFault(
            f"ramps of {bare(rise)} s and {bare(fall)} s do not fit into the time of "
            f"{bare(time)} s.",
            "State a longer time, or shorter ramps.",
            field="accel_time",
        )
    return rise, fall


def _jerk_share(wanted: Wanted, change: float, duration: float) -> float:
    """Jerk share of a ramp of known length: stated, or as accel or jerk wants it."""
    if not wanted.smooth or wanted.jerk_share is not None or change == 0.0:
        return wanted.shape
    share = wanted.shape
    if wanted.accel is not None:
        share = 1 - change / (wanted.accel * duration)
    elif wanted.jerk is not None:
        share = _root_share(change / (wanted.jerk * duration**2))
    return share if 0 < share <= 0.5 else wanted.shape


def _root_share(product: float) -> float:
    """The share s up to 0.5 with s (1 - s) = product; above 0.5 where there is none."""
    if product > 0.25 * (1 + AGREEMENT):
        return 1.0
    return (1 - sqrt(max(0.0, 1 - 4 * product))) / 2


def _stated_time(
    wanted: Wanted, distance: float, time: float
) -> tuple[Profile, str, tuple[str, ...]]:
    """Distance and time are stated."""
    ramps = wanted.first is not None
    if ramps or (wanted.speed is None and not wanted.bounded):
        note = "" if ramps else thirds(wanted)
        return spread(wanted, distance, time), note, ("by", "time")
    if wanted.speed is None:
        profile = timed(distance, time, wanted.limits(), wanted.before, wanted.after)
        if profile is None:
            raise wrong_time(wanted, distance, time)
        return profile, _shape_note(wanted), ("by", "time", "accel", "decel", "jerk")
    if wanted.smooth and wanted.accel and wanted.jerk and wanted.jerk_share is None:
        limits, speed = wanted.limits(), wanted.speed
        first, last = limits.ramp(wanted.before, speed), limits.ramp(speed, wanted.after)
        cruise = (distance - first.distance - last.distance) / speed
        if cruise < -1e-9 * time:
            raise high_speed(wanted)
        return Profile(first, max(0.0, cruise), last), "", ("by", "speed", "accel", "decel", "jerk")
    profile = _of_speed(wanted, distance, time, wanted.speed)
    return profile, _shape_note(wanted), ("by", "time", "speed")


def _of_speed(wanted: Wanted, distance: float, time: float, speed: float) -> Profile:
    """Ramps from the distance that is missing to constant speed over the whole time."""
    missing = speed * time - distance
    changes = (speed - wanted.before, speed - wanted.after)
    if abs(missing) <= 1e-9 * distance and changes == (0.0, 0.0):
        return Profile(Ramp(speed, speed, 0.0), time, Ramp(speed, speed, 0.0))
    if missing == 0.0 or not any(changes):
        raise slow_speed(wanted, distance, time)
    accel, decel = wanted.accel or 1.0, wanted.decel or 1.0
    rates = (
        accel if changes[0] > 0 else decel,
        decel if changes[1] > 0 else accel,
    )
    area = sum(c * abs(c) / (2 * r) for c, r in zip(changes, rates, strict=True))
    scale = area / missing  # peak acceleration over rate, less what the jerk time takes
    if scale <= 0:
        raise slow_speed(wanted, distance, time)
    share = _share_of_speed(wanted, changes, missing, scale)
    durations = [abs(c) / (r * scale) for c, r in zip(changes, rates, strict=True)]
    if sum(durations) > time * (1 + 1e-9):
        raise high_speed(wanted)
    return Profile(
        Ramp(wanted.before, speed, durations[0], share),
        max(0.0, time - sum(durations)),
        Ramp(speed, wanted.after, durations[1], share),
    )


def _share_of_speed(
    wanted: Wanted, changes: tuple[float, float], missing: float, scale: float
) -> float:
    """Jerk share where accel or jerk is to be met as well."""
    if not wanted.smooth or wanted.jerk_share is not None or not wanted.bounded:
        return wanted.shape
    if wanted.accel is not None:
        share = 1 - scale
    else:
        assert wanted.jerk is not None
        root = sum(c * sqrt(abs(c)) for c in changes) / (2 * sqrt(wanted.jerk) * missing)
        share = _root_share(root**2)
    return share if 0 < share <= 0.5 else wanted.shape


def of_open_time(wanted: Wanted, distance: float) -> tuple[Profile, str, bool]:
    """Distance is stated, the time follows. The flag tells that all data must be met."""
    if wanted.first is None and wanted.bounded:
        whole = wanted.smooth and wanted.jerk is not None and wanted.jerk_share is None
        if wanted.speed is not None or whole or wanted.fit is not None or not wanted.from_rest:
            speed = wanted.speed or inf
            profile = fastest(distance, wanted.limits(), speed, wanted.before, wanted.after)
            if profile is None:
                raise short_distance(wanted, distance)
            return profile, _unreached(wanted, profile), False
    note = "" if wanted.first is not None else thirds(wanted)
    return spread(wanted, distance, _time_of_shape(wanted, distance)), note, True


def _time_of_shape(wanted: Wanted, distance: float) -> float:
    """Time [s] of a move whose ramp lengths are known, from its speed, accel or jerk."""
    (rise, rise_share), (fall, fall_share) = wanted.lengths
    if wanted.speed is not None:
        speed, before, after = wanted.speed, wanted.before, wanted.after
        fixed = ((speed - before) * rise + (speed - after) * fall) / 2
        per_time = speed - ((speed - before) * rise_share + (speed - after) * fall_share) / 2
        return (distance + fixed) / per_time
    if wanted.bounded and wanted.from_rest:
        if rise == fall == 0.0:
            # the shape stands: peaks scale with the second and third power of the time
            unit = spread(replace(wanted, accel=None, jerk=None), distance, 1.0)
            needs = [("accel", unit.first.acceleration), ("decel", -unit.last.acceleration)]
            ratios = [peak / getattr(wanted, name) for name, peak in needs if name in wanted.given]
            if ratios:
                return sqrt(max(ratios))
            return float((unit.top_jerk / (wanted.jerk or inf)) ** (1 / 3))
        if rise_share == fall_share == 0.0:
            speed = _speed_after(replace(wanted, before=0.0), rise)
            return distance / speed + (rise + fall) / 2
    raise MotionFault(
        f"{wanted.says('by')} alone does not tell how fast: time, speed or accel is needed.",
        "State time, or speed and accel.",
        field="time",
    )


def _speed_after(wanted: Wanted, rise: float) -> float:
    """Speed at the end of a first ramp of known length, from accel or jerk."""
    if wanted.accel is not None:
        share = wanted.shape
        if wanted.smooth and wanted.jerk is not None and wanted.jerk_share is None:
            share = min(0.5, wanted.accel / wanted.jerk / rise)
        return wanted.before + wanted.accel * rise * (1 - share)
    assert wanted.jerk is not None
    return wanted.before + wanted.jerk * wanted.shape * (1 - wanted.shape) * rise**2


def _open_distance(wanted: Wanted) -> tuple[Profile, str]:
    """The distance follows from the time and the speed, or from either and accel."""
    time, note = wanted.time, ""
    if time is None:
        time = _time_of_ramp(wanted)
    if wanted.speed is not None and wanted.bounded and wanted.first is None:
        limits, speed = wanted.limits(), wanted.speed
        first, last = limits.ramp(wanted.before, speed), limits.ramp(speed, wanted.after)
        least = first.duration + last.duration
        if least > time * (1 + 1e-9):
            raise MotionFault(
                f"{wanted.says('speed', 'accel', 'decel', 'jerk')} cannot be met in "
                f"{bare(time)} s: the ramps alone take {bare(least)} s.",
                f"State a time of at least {bare(least)} s.",
                field="time",
            )
        return Profile(first, max(0.0, time - least), last), _shape_note(wanted)
    loose = not wanted.bounded or (wanted.first is None and not wanted.from_rest)
    if wanted.speed is None and loose:
        raise MotionFault(
            f"{wanted.says('time', 'accel', 'decel', 'jerk')} alone does not tell how far: "
            "by, to or speed is needed.",
            "State by or to.",
            field="by",
        )
    rise, fall = _times(wanted, time)
    speed = wanted.speed if wanted.speed is not None else _speed_after(wanted, rise)
    if wanted.first is None:
        note = thirds(wanted)
    share = _jerk_share(wanted, abs(speed - wanted.before), rise)
    first = Ramp(wanted.before, speed, rise, share)
    return Profile(
        first, max(0.0, time - rise - fall), Ramp(speed, wanted.after, fall, share)
    ), note


def _time_of_ramp(wanted: Wanted) -> float:
    """Time [s] from the share of a first ramp whose speed and accel are stated."""
    if wanted.speed is not None and wanted.bounded and wanted.from_rest and wanted.first:
        seconds, share = wanted.first
        if share > 0:
            limits = replace(wanted, jerk_share=wanted.shape or None).limits()
            return (limits.ramp(0.0, wanted.speed).duration - seconds) / share
    raise MotionFault(
        "neither the distance nor the time of the move is stated.",
        "State by or to, and time, or speed and accel.",
        field="by",
    )


def thirds(wanted: Wanted) -> str:
    """Note on ramps that are not stated."""
    note = "ramps a third of the time each"
    return f"{note}; {_shape_note(wanted)}" if _shape_note(wanted) else note


def _shape_note(wanted: Wanted) -> str:
    if wanted.smooth and wanted.jerk_share is None and wanted.jerk is None:
        return f"jerk time {bare(JERK_SHARE)} of each ramp"
    return ""


def _unreached(wanted: Wanted, profile: Profile) -> str:
    notes = [_shape_note(wanted)] if _shape_note(wanted) else []
    if wanted.speed is not None and profile.speed < wanted.speed * (1 - 1e-9):
        limit, peak = (
            said(v, "speed", linear=wanted.linear) for v in (wanted.speed, profile.speed)
        )
        notes.append(f"speed {limit} is not reached, {peak} is")
    return "; ".join(notes)
