"""Overload protection: how long a load factor may last, and what a cycle leaves behind.

A load factor is current over a reference current. Arrays carry the segments of the cycle, in the
order of time and each at a constant factor, on the last axis; leading axes are combinations.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.core.errors import RangeError
from dutyline.physics.ranges import Array, above, at_least, numbers, segments
from dutyline.physics.warming import periodic_response

DEFAULT_CURVE = ((1.25, 10.0), (3.0, 0.5))
"""Load factor and seconds where a product gives no curve (common practice, no source)."""
DEFAULT_RECOVERY = 10.0
"""[s] in which a current model without load forgets a full charge (own choice)."""

Curve = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Accumulation:
    """Damage of a repeating cycle; trip is at 1. One element per combination."""

    net: Array
    """Change per cycle while nothing clamps at zero."""
    start: Array
    """At the start of a settled cycle; infinite where ``net`` is above 0."""
    largest: Array
    """In a settled cycle; infinite where ``net`` is above 0."""
    trips: NDArray[np.bool_]
    """True where it reaches 1 sooner or later, from nothing."""
    trip_cycle: Array
    """Cycle in which it trips, from 1; nan where it never does."""
    trip_time: Array
    """[s] from the start of the first cycle; nan where it never trips."""
    trip_segment: Array
    """Segment in which it trips, from 0; nan where it never does."""


@dataclass(frozen=True, slots=True)
class SettledDamage:
    """Damage of a repeating cycle of known changes; leading axes are combinations."""

    net: Array
    """Change per cycle while nothing clamps at zero."""
    largest: Array
    """In a settled cycle; infinite where ``net`` is above 0."""
    segment: NDArray[np.intp]
    """Segment at whose end it is largest."""
    ahead: Array
    """Running sum without the floor at zero."""
    floor: Array
    """Running damage of the first cycle, from nothing."""


def settled_damage(change: ArrayLike) -> SettledDamage:
    """Damage of a cycle repeated for ever, from its change in each segment.

    Parameters
    ----------
    change : (..., n) array_like [1]
        In the order of time; within a segment the damage only grows or only shrinks.

    Source
    ------
    Derived here. A segment maps the damage ``D`` to ``max(D + r, 0)``; such maps combine to
    ``max(D + net, floor)``, so every cycle is known in closed form after the first.

    Examples
    --------
    >>> settled_damage([0.5, -0.75, 0.125]).largest.tolist()
    0.625
    """
    step = numbers(change)
    ahead = np.cumsum(step, axis=-1)
    floor = np.empty_like(step)
    level = np.zeros(step.shape[:-1])
    for k in range(step.shape[-1]):
        level = np.maximum(level + step[..., k], 0.0)
        floor[..., k] = level
    net, first = ahead[..., -1], floor[..., -1]
    course = np.maximum(first[..., None] + ahead, floor)
    largest = np.where(net > 0.0, np.inf, np.maximum(course.max(axis=-1), first))
    return SettledDamage(
        net=net,
        largest=np.where(np.isnan(net), np.nan, largest),
        segment=course.argmax(axis=-1),
        ahead=ahead,
        floor=floor,
    )


def allowed_time(factor: ArrayLike, curve: Curve = DEFAULT_CURVE) -> Array:
    """Time for which a constant load factor may last from the neutral state.

    Straight in the logarithms of both between the points; beyond the last point the last slope
    goes on. Between 1 and the first point the shape of a first-order model is taken,
    ``t1 (x1**2 - 1)/(x**2 - 1)``, because a straight line would trip at full load.

    Parameters
    ----------
    factor : array_like [1]
        Zero or more.
    curve : pairs (load factor, seconds)
        Factors above 1 and rising, seconds above 0 and falling; one point is enough.

    Returns
    -------
    ndarray [s]
        Infinite at 1 and below.

    Source
    ------
    Common practice between the points; the part below the first point is derived here.

    Examples
    --------
    >>> allowed_time([1.0, 1.1, 2.0, 2.4], ((1.25, 10.0), (3.0, 0.5))).round(4).tolist()
    [inf, 26.7857, 2.0023, 1.073]
    """
    x = at_least("factor", factor, 0.0)
    law = _law(curve)
    at, first = law.at, law.seconds[0]
    with np.errstate(divide="ignore"):
        low = first * (at[0] ** 2 - 1.0) / np.maximum(x**2 - 1.0, 0.0)
    if at.size == 1:
        high = first * (at[0] / np.maximum(x, at[0])) ** 2
    else:
        place = np.log(np.maximum(x, at[0]))
        k = np.clip(law.log_at.searchsorted(place, side="right") - 1, 0, at.size - 2)
        high = np.exp(law.log_seconds[k] + law.slope[k] * (place - law.log_at[k]))
    return numbers(np.where(np.isnan(x), np.nan, np.where(x <= at[0], low, high)))


def damage_rate(
    factor: ArrayLike, curve: Curve = DEFAULT_CURVE, recovery: ArrayLike = DEFAULT_RECOVERY
) -> Array:
    """Change of the damage per time at a constant load factor.

    Parameters
    ----------
    factor : array_like [1]
        Zero or more.
    curve : pairs (load factor, seconds)
        As in :func:`allowed_time`.
    recovery : array_like [s]
        Time in which the unloaded state takes a full charge away; more than 0.

    Returns
    -------
    ndarray [1/s]
        ``1/t(x)`` above 1, ``-(1 - x**2)/recovery`` at 1 and below.

    Source
    ------
    Linear damage after Palmgren and Miner (ISO 6336-6 uses the same sum on gears, from memory);
    the recovery is an own choice.

    Examples
    --------
    >>> damage_rate([3.0, 0.0], DEFAULT_CURVE, 10.0).round(6).tolist()
    [2.0, -0.1]
    """
    x = at_least("factor", factor, 0.0)
    fades = (1.0 - x**2) / above("recovery", recovery, 0.0, "s")
    return numbers(np.where(x > 1.0, 1.0 / allowed_time(x, curve), -fades))


def accumulation(
    factor: ArrayLike,
    duration: ArrayLike,
    curve: Curve = DEFAULT_CURVE,
    recovery: ArrayLike = DEFAULT_RECOVERY,
) -> Accumulation:
    """Damage of a cycle repeated for ever from nothing, never below zero.

    Parameters
    ----------
    factor, duration : (..., n) array_like [1, s]
        Segments in the order of time on the last axis.
    curve : pairs (load factor, seconds)
        As in :func:`allowed_time`.
    recovery : (...) array_like [s]
        As in :func:`damage_rate`.

    Source
    ------
    Derived here. A segment maps the damage ``D`` to ``max(D + r, 0)``; such maps combine to
    ``max(D + net, floor)``, so every cycle is known in closed form after the first.

    Examples
    --------
    >>> cycle = ([2.4, 0.6, 2.0, 0.1], [0.2, 0.6, 0.2, 1.4])
    >>> found = accumulation(*cycle, ((1.25, 10.0), (3.0, 0.5)), 8.0)
    >>> float(found.net.round(6)), int(found.trip_cycle), float(found.trip_time.round(4))
    (0.065036, 13, 29.7625)
    """
    x, dt = segments(factor=factor, duration=duration)
    rate = damage_rate(x, curve, numbers(recovery)[..., None])
    change = rate * dt
    settled = settled_damage(change)
    floor, net = settled.floor, settled.net
    trip = _first_trip(rate, dt, settled)
    missing = np.isnan(net)
    return Accumulation(
        net=net,
        start=np.where(missing, np.nan, np.where(net > 0.0, np.inf, floor[..., -1])),
        largest=settled.largest,
        trips=~np.isnan(trip[0]),
        trip_cycle=trip[0],
        trip_time=trip[1],
        trip_segment=trip[2],
    )


def extra_rest(net: ArrayLike, rest_factor: ArrayLike, recovery: ArrayLike) -> Array:
    """Rest to be added to a cycle so that it no longer gains damage [s].

    Parameters
    ----------
    net : array_like [1]
        Gain per cycle, see :class:`Accumulation`.
    rest_factor : array_like [1]
        Load factor during the rest, below 1.
    recovery : array_like [s]
        As in :func:`damage_rate`.

    Returns
    -------
    ndarray [s]
        Zero where the cycle gains nothing, infinite where the rest does not recover.

    Source
    ------
    Derived here; exact because a growing damage never meets the floor at zero.

    Examples
    --------
    >>> round(1.4 + float(extra_rest(0.06503562, 0.1, 8.0)), 4)
    1.9255
    """
    rate = (1.0 - numbers(rest_factor) ** 2) / above("recovery", recovery, 0.0, "s")
    gain = np.maximum(numbers(net), 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        return numbers(np.where(gain == 0.0, 0.0, np.where(rate > 0.0, gain / rate, np.inf)))


def largest_scale(
    factor: ArrayLike,
    duration: ArrayLike,
    curve: Curve = DEFAULT_CURVE,
    recovery: ArrayLike = DEFAULT_RECOVERY,
) -> Array:
    """Factor by which every load factor may grow until the settled damage just reaches 1.

    Parameters
    ----------
    factor, duration, curve, recovery
        As in :func:`accumulation`.

    Returns
    -------
    (...) ndarray [1]
        Below 1 where the cycle trips as it is; infinite where there is no load.

    Source
    ------
    Derived here: the settled damage never falls with the load; bisection on its logarithm, to
    1e-12 relative.

    Examples
    --------
    >>> s = largest_scale([2.4, 0.6, 2.0, 0.1], [0.2, 0.6, 0.2, 1.4], DEFAULT_CURVE, 8.0)
    >>> bool(accumulation([2.4 * s, 0.6 * s, 2.0 * s, 0.1 * s], [0.2, 0.6, 0.2, 1.4],
    ...                   DEFAULT_CURVE, 8.0).largest <= 1.0), round(float(s), 3)
    (True, 0.932)
    """
    x, dt = segments(factor=factor, duration=duration)
    top = np.max(x, axis=-1)
    safe = np.where(top > 0.0, top, 1.0)
    low = np.log(np.full(top.shape, 1e-3) / safe)
    high = np.log(np.full(top.shape, 1e3) / safe)
    for _ in range(60):
        middle = 0.5 * (low + high)
        found = accumulation(x * np.exp(middle)[..., None], dt, curve, recovery)
        holds = found.largest <= 1.0
        low, high = np.where(holds, middle, low), np.where(holds, high, middle)
    scale = np.where(top > 0.0, np.exp(low), np.inf)
    return numbers(np.where(np.isnan(top), np.nan, scale))


def square_memory(factor: ArrayLike, duration: ArrayLike, time_constant: ArrayLike) -> Array:
    """Largest value of a first-order memory of the squared factor in the settled cycle.

    Parameters
    ----------
    factor, duration : (..., n) array_like [1, s]
        Segments on the last axis.
    time_constant : (...) array_like [s]
        More than 0.

    Returns
    -------
    (...) ndarray [1]
        Compared with a trip value of 1.1 to 1.2 (common practice, no source).

    Source
    ------
    ``tau * y' = x**2 - y``, the usual current-square-time model; periodic value derived in
    :func:`dutyline.physics.warming.periodic_response`.

    Examples
    --------
    >>> round(float(square_memory([2.4, 0.6, 2.0, 0.1], [0.2, 0.6, 0.2, 1.4], 12.0)), 5)
    0.95691
    """
    x, dt = segments(factor=factor, duration=duration)
    return numbers(periodic_response(x**2, dt, time_constant).max(axis=-1))


@dataclass(frozen=True, slots=True)
class _Law:
    """The points of a curve, and the straight lines between their logarithms."""

    at: Array
    seconds: Array
    log_at: Array
    log_seconds: Array
    slope: Array


@lru_cache(maxsize=256)
def _law(curve: Curve) -> _Law:
    at = np.array([x for x, _ in curve], dtype=np.float64)
    seconds = np.array([t for _, t in curve], dtype=np.float64)
    fits = at.size > 0 and at[0] > 1.0 and np.all(np.diff(at) > 0.0)
    if not fits or np.any(seconds <= 0.0) or np.any(np.diff(seconds) > 0.0):
        shown = ", ".join(f"({x:g}, {t:g} s)" for x, t in curve) or "no point"
        raise RangeError(
            f"curve is {shown}; load factors must be above 1 and rise, times must be above 0 s"
            " and not rise"
        )
    log_at, log_seconds = np.log(at), np.log(seconds)
    return _Law(at, seconds, log_at, log_seconds, np.diff(log_seconds) / np.diff(log_at))


def trip_cycle(damage: SettledDamage) -> Array:
    """Cycle in which a repeating cycle first trips, from 1; nan where it never does [1].

    Parameters
    ----------
    damage : SettledDamage
        Started from nothing; trip is at 1.

    Source
    ------
    Derived here from the map of one cycle, see :func:`settled_damage`.

    Examples
    --------
    >>> float(trip_cycle(settled_damage([0.5, -0.25])))
    3.0
    """
    ahead, floor = damage.ahead, damage.floor
    net, first = ahead[..., -1], floor[..., -1]
    peak = ahead.max(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        later = 2.0 + np.maximum(np.ceil((1.0 - peak - first) / net - 1e-12), 0.0)
    second = np.maximum(first[..., None] + ahead, floor).max(axis=-1) >= 1.0
    cycle = np.where(net > 0.0, later, np.where(second, 2.0, np.nan))
    return numbers(np.where(floor.max(axis=-1) >= 1.0, 1.0, cycle))


def _first_trip(rate: Array, dt: Array, damage: SettledDamage) -> tuple[Array, Array, Array]:
    """Cycle, time and segment of the first trip; nan where there is none."""
    ahead, floor = damage.ahead, damage.floor
    net, first = ahead[..., -1], floor[..., -1]
    cycle = trip_cycle(damage)
    start = np.where(cycle > 1.0, first + (cycle - 2.0) * np.maximum(net, 0.0), 0.0)
    level = np.maximum(np.where(np.isnan(start), 0.0, start)[..., None] + ahead, floor)
    reaches = level >= 1.0 - 1e-12
    k = np.argmax(reaches, axis=-1)[..., None]
    over = np.take_along_axis(level, k, axis=-1) - 1.0
    speed = np.take_along_axis(rate, k, axis=-1)
    end = np.take_along_axis(np.cumsum(dt, axis=-1), k, axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        inside = (end - np.maximum(over, 0.0) / speed)[..., 0]
    time = (cycle - 1.0) * dt.sum(axis=-1) + inside
    segment = np.where(np.isnan(cycle), np.nan, k[..., 0].astype(np.float64))
    return numbers(cycle), numbers(np.where(np.isnan(cycle), np.nan, time)), numbers(segment)
