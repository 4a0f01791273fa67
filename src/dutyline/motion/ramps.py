"""Ramped moves: speed change, constant speed, speed change; with or without a jerk limit.

Speeds are counted in the direction of the move, so that distance and speeds are 0 or more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, isinf, sqrt

from dutyline.core.errors import RangeError
from dutyline.motion.pieces import Piece

NEGLIGIBLE = 1e-12
"""Share of the time of a move below which a piece is left out [1]."""


@dataclass(frozen=True, slots=True)
class Ramp:
    """One speed change."""

    before: float
    """[m/s or rad/s]"""
    after: float
    """[m/s or rad/s]"""
    duration: float
    """[s]"""
    jerk_share: float = 0.0
    """Jerk time over duration, 0..0.5 [1]; 0: constant acceleration"""

    @property
    def distance(self) -> float:
        """Covered on the way [m or rad]; speed is point-symmetric about its middle."""
        return (self.before + self.after) / 2 * self.duration

    @property
    def acceleration(self) -> float:
        """Signed peak [m/s^2 or rad/s^2]."""
        if self.duration == 0.0:
            return 0.0
        return (self.after - self.before) / (self.duration * (1 - self.jerk_share))

    @property
    def jerk(self) -> float:
        """Magnitude [m/s^3 or rad/s^3]; infinite for constant acceleration."""
        if self.before == self.after:
            return 0.0
        if self.jerk_share == 0.0:
            return inf
        return abs(self.acceleration) / (self.jerk_share * self.duration)

    def sections(self) -> list[tuple[float, float, float]]:
        """Duration, acceleration at the start and jerk of every smooth section."""
        peak = self.acceleration
        if self.jerk_share == 0.0:
            return [(self.duration, peak, 0.0)]
        rounding = self.jerk_share * self.duration
        jerk = peak / rounding if rounding > 0 else 0.0
        return [
            (rounding, 0.0, jerk),
            (self.duration - 2 * rounding, peak, 0.0),
            (rounding, peak, -jerk),
        ]


@dataclass(frozen=True, slots=True)
class Limits:
    """What a speed change may use. With ``jerk_share`` every ramp keeps that shape."""

    accel: float = inf
    """[m/s^2 or rad/s^2] where the speed rises"""
    decel: float = inf
    """[m/s^2 or rad/s^2] where it falls"""
    jerk: float = inf
    """[m/s^3 or rad/s^3]"""
    jerk_share: float = 0.0
    """Jerk time over ramp time [1]; 0: as the jerk limit wants it"""

    def ramp(self, before: float, after: float) -> Ramp:
        """Shortest ramp between two speeds [m/s or rad/s].

        Notes
        -----
        The acceleration is reached where the change is at least a^2/j: the time is then
        change/a + a/j, else 2 sqrt(change/j). Derived here.
        """
        change = abs(after - before)
        if change == 0.0:
            return Ramp(before, after, 0.0)
        accel = self.accel if after > before else self.decel
        if self.jerk_share > 0.0:
            share = self.jerk_share
            by_jerk = sqrt(change / (self.jerk * share * (1 - share)))
            return Ramp(before, after, max(change / (accel * (1 - share)), by_jerk), share)
        if isinf(self.jerk):
            return Ramp(before, after, change / accel)
        if not isinf(accel) and change >= accel**2 / self.jerk:
            duration = change / accel + accel / self.jerk
            return Ramp(before, after, duration, min(0.5, accel / self.jerk / duration))
        return Ramp(before, after, 2 * sqrt(change / self.jerk), 0.5)


@dataclass(frozen=True, slots=True)
class Profile:
    """A ramped move in its own direction."""

    first: Ramp
    cruise: float
    """[s] time at constant speed"""
    last: Ramp

    @property
    def speed(self) -> float:
        """Constant speed between the ramps [m/s or rad/s]."""
        return self.first.after

    @property
    def duration(self) -> float:
        """[s]"""
        return self.first.duration + self.cruise + self.last.duration

    @property
    def distance(self) -> float:
        """[m or rad]"""
        return self.first.distance + self.speed * self.cruise + self.last.distance

    @property
    def top_speed(self) -> float:
        """[m/s or rad/s]"""
        return max(self.first.before, self.speed, self.last.after)

    @property
    def top_acceleration(self) -> float:
        """Larger magnitude of both ramps [m/s^2 or rad/s^2]."""
        return max(abs(self.first.acceleration), abs(self.last.acceleration))

    @property
    def top_jerk(self) -> float:
        """[m/s^3 or rad/s^3]"""
        return max(self.first.jerk, self.last.jerk)

    def stretched(self, factor: float) -> Profile:
        """The same shape over ``factor`` times the time; all speeds shrink by it."""
        first, last = (
            Ramp(r.before / factor, r.after / factor, r.duration * factor, r.jerk_share)
            for r in (self.first, self.last)
        )
        return Profile(first, self.cruise * factor, last)

    def pieces(self, sign: float = 1.0) -> tuple[Piece, ...]:
        """Smooth pieces from time 0 and place 0, negligible ones left out."""
        sections = [
            *self.first.sections(),
            (self.cruise, 0.0, 0.0),
            *self.last.sections(),
        ]
        return chain(sections, self.first.before, sign)


def chain(
    sections: list[tuple[float, float, float]], speed: float, sign: float = 1.0
) -> tuple[Piece, ...]:
    """Pieces of constant jerk, one after the other, from time 0 and place 0.

    ``sections`` holds duration [s], acceleration at the start and jerk of each; ``speed`` is
    the speed at the start [m/s or rad/s].
    """
    whole = sum(section[0] for section in sections)
    start, place = 0.0, 0.0
    pieces = []
    for duration, accel, jerk in sections:
        if duration <= NEGLIGIBLE * whole:
            continue
        poly = [sign * c for c in (place, speed, accel / 2, jerk / 6)]
        while len(poly) > 2 and poly[-1] == 0.0:
            poly.pop()
        pieces.append(Piece(start, duration, tuple(poly)))
        place += duration * (speed + duration * (accel / 2 + duration * jerk / 6))
        speed += duration * (accel + duration * jerk / 2)
        start += duration
    return tuple(pieces)


def jerk_limited(
    distance: float, speed: float, accel: float, jerk: float
) -> tuple[float, float, float]:
    """Jerk time, time at constant acceleration and time at constant speed [s], rest to rest.

    The move is symmetric and lasts ``4 t1 + 2 t2 + t3``. All degenerate cases are covered:
    speed or acceleration not reached, or neither.

    Parameters
    ----------
    distance : float [m or rad]
        More than 0.
    speed, accel : float [m/s, m/s^2 or rad/s, rad/s^2]
        Limits above 0; may be infinite.
    jerk : float [m/s^3 or rad/s^3]
        Limit above 0, finite.

    Raises
    ------
    RangeError
        An argument is outside its range.

    Notes
    -----
    Source: after Lambrechts, Boerlage and Steinbuch, *Control Engineering Practice* 13 (2005)
    145, from memory; derived again.

    Examples
    --------
    >>> [round(t, 6) for t in jerk_limited(0.25, 1.0, 5.0, 50.0)]
    [0.1, 0.079129, 0.0]
    """
    if not (0 < distance < inf and speed > 0 and accel > 0 and 0 < jerk < inf):
        raise RangeError(
            f"distance {distance}, speed {speed}, accel {accel}, jerk {jerk} need to be above 0, "
            "distance and jerk finite"
        )
    rounding = min((distance / (2 * jerk)) ** (1 / 3), sqrt(speed / jerk), accel / jerk)
    rise = jerk * rounding
    steady = max(0.0, -1.5 * rounding + sqrt(rounding**2 / 4 + distance / rise))
    if rise * (rounding + steady) > speed:
        steady = max(0.0, speed / rise - rounding)
    top = rise * (rounding + steady)
    return rounding, steady, max(0.0, distance / top - (2 * rounding + steady))


def fastest(
    distance: float, limits: Limits, speed: float = inf, before: float = 0.0, after: float = 0.0
) -> Profile | None:
    """Shortest move with the highest constant speed the distance allows.

    Returns None when the distance is too short for the change from ``before`` to ``after``.
    """
    if before == after == 0.0 and limits.accel == limits.decel:
        closed = _fastest_from_rest(distance, limits, speed)
        if closed is not None:
            return closed

    def spent(top: float) -> float:
        return limits.ramp(before, top).distance + limits.ramp(top, after).distance

    floor = max(before, after)
    if speed >= floor and isinf(limits.jerk) and limits.jerk_share == 0.0:
        a, d = limits.accel, limits.decel
        reach = (2 * a * d * distance + d * before**2 + a * after**2) / (a + d)
        top = min(speed, sqrt(reach))
        fits = top >= floor * (1 - NEGLIGIBLE)
        top = max(top, floor)
    else:
        low = min(speed, floor)
        fits = spent(low) <= distance * (1 + NEGLIGIBLE)
        top = low if not fits else _highest(lambda v: spent(v) <= distance, low, speed)
    if not fits:
        return None
    first, last = limits.ramp(before, top), limits.ramp(top, after)
    left = max(0.0, distance - first.distance - last.distance)
    return Profile(first, left / top if top > 0 else 0.0, last)


def _fastest_from_rest(distance: float, limits: Limits, speed: float) -> Profile | None:
    """Closed form for equal ramps from rest to rest, None where there is none."""
    if isinf(limits.jerk) or limits.jerk_share > 0.0:
        return None
    rounding, steady, cruise = jerk_limited(distance, speed, limits.accel, limits.jerk)
    duration = 2 * rounding + steady
    top = min(speed, limits.jerk * rounding * (rounding + steady))
    share = rounding / duration
    return Profile(Ramp(0.0, top, duration, share), cruise, Ramp(top, 0.0, duration, share))


def timed(
    distance: float, time: float, limits: Limits, before: float = 0.0, after: float = 0.0
) -> Profile | None:
    """Move of a given time whose ramps use the limits fully and whose speed is as low as fits.

    Returns None when no constant speed meets distance and time.

    Notes
    -----
    With constant acceleration from rest to rest, T = h/v + v/A where A = 2ad/(a + d); the lower
    root is taken. Otherwise the speed follows by bisection on the distance, which grows with it.
    """
    quick = fastest(distance, limits, inf, before, after)
    if quick is None or quick.duration > time * (1 + NEGLIGIBLE):
        return None
    if before == after == 0.0 and isinf(limits.jerk) and limits.jerk_share == 0.0:
        mean = 2 / (1 / limits.accel + 1 / limits.decel)
        root = sqrt(max(0.0, time**2 - 4 * distance / mean))
        return _of_speed(2 * distance / (time + root), time, limits, before, after)

    def covered(top: float) -> float:
        return _of_speed(top, time, limits, before, after).distance

    def in_time(top: float) -> bool:
        return limits.ramp(before, top).duration + limits.ramp(top, after).duration <= time

    low = 0.0
    if not in_time(low):
        low = -_highest(lambda v: in_time(-v), -min(before, after), 0.0)
    if covered(low) > distance * (1 + NEGLIGIBLE):
        return None
    top = _highest(lambda v: covered(v) <= distance, low, quick.speed)
    return _of_speed(top, time, limits, before, after)


def _of_speed(top: float, time: float, limits: Limits, before: float, after: float) -> Profile:
    first, last = limits.ramp(before, top), limits.ramp(top, after)
    return Profile(first, max(0.0, time - first.duration - last.duration), last)


def _highest(holds: Callable[[float], bool], low: float, high: float) -> float:
    """Largest number in [low, high] for which ``holds``; it holds at ``low``."""
    if isinf(high):
        high = max(1e-9, 2 * abs(low))
        while holds(high):
            low, high = high, 2 * high
    elif holds(high):
        return high
    while True:
        middle = (low + high) / 2
        if not low < middle < high:
            return low
        if holds(middle):
            low = middle
        else:
            high = middle
