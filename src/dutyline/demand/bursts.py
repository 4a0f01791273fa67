"""The worst single burst: how long the torque stays at a level, over the time allowed there.

The length at a level is exact. It only falls as the level rises, and the time allowed only falls
too, so between two levels no use exceeds the length above the lower over the time allowed at the
upper one. Levels are parted where that bound is largest until none can exceed the best use found.
(Derived here.)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.core.grouping import first_of_run, last_of_run
from dutyline.demand.motor import Index, Strips

Array = NDArray[np.float64]
Rate = Callable[[Array, Index], Array]
"""Function of torque level and combination, both (q,): one over the time allowed [1/s]."""

ASIDE = 1e-10
"""Share by which a level is missed on either side: at a low point of the torque one burst parts."""
CLOSE = 1e-7
"""Share by which a use may exceed the best one found without being looked for."""
NARROW = 1e-3
"""Width, as a share of the level, of an interval in which the use is looked at point by point."""
AT_ONCE = 16
"""Intervals of one combination parted in one round."""
ROUNDS = 80
"""Beyond these the bound stands for the use."""
FINALISTS = 4
"""Narrow intervals of one combination that are looked at point by point."""
CELLS = 1_000_000
"""Levels times strips worked on at a time; keeps the memory bounded."""


@dataclass(frozen=True, slots=True)
class _Intervals:
    """Intervals between two levels, the upper one included."""

    owner: Index
    """Combination"""
    low: Array
    high: Array
    length: Array
    """[s] longest burst just above the lower level"""
    first: Index
    """Number of the first corner inside the interval"""
    last: Index
    """One more than that of the last corner inside"""
    use_low: Array
    """Use just above the lower level"""
    use_high: Array
    """Use at the upper level"""

    def take(self, index: Index | NDArray[np.bool_]) -> _Intervals:
        return _Intervals(*[column[index] for column in _COLUMNS(self)])

    def beside(self, other: _Intervals) -> _Intervals:
        pairs = zip(_COLUMNS(self), _COLUMNS(other), strict=True)
        return _Intervals(*[np.concatenate(pair) for pair in pairs])


_COLUMNS = attrgetter(*_Intervals.__dataclass_fields__)


@dataclass(frozen=True, slots=True)
class _Course:
    """The strips of a cycle as the search for bursts reads them."""

    cut: Strips
    size: Array
    """(c, s, 2) [N*m] magnitude of the torque at both ends"""
    coefficient: Array
    """(c, s, n) of the torque"""
    cycle: Array
    """(c,) [s]"""

    @classmethod
    def of(cls, cut: Strips) -> _Course:
        size = np.abs(cut.torque[:, :, [0, -1]])
        return cls(cut, size, series.coefficients(cut.torque[:, :, 1:-1]), cut.duration.sum(axis=1))


def worst_bursts(cut: Strips, floor: Array, knots: Array, rate: Rate) -> tuple[Array, Array]:
    """Largest ratio of burst length to allowed time over all levels, and where that burst ends.

    Parameters
    ----------
    cut : Strips
        Cut where the magnitude of the torque turns round and where it passes ``floor``.
    floor : (c,) ndarray [N*m]
        No burst below; the rate is zero there.
    knots : (c, k) ndarray [N*m]
        Levels at which the rate has a kink.
    rate : callable
        Never falls as the level rises.

    Returns
    -------
    (c,) ndarray [1], (c,) ndarray [s]
        Infinite where the torque never comes down to ``floor``.
    """
    count = floor.size
    best, ended = np.zeros(count), np.zeros(count)
    course = _Course.of(cut)
    size = course.size.reshape(count, -1)
    endless = (size > floor[:, None]).all(axis=1)
    best[endless] = np.inf
    corner, number = _corners(np.concatenate([size, knots], axis=1), floor, size.max(axis=1))
    able = np.nonzero((number > 0) & ~endless)[0]
    if able.size == 0:
        return best, ended

    def tried(owner: Index, level: Array) -> tuple[Array, Array]:
        """Length and use at levels; the best use is kept."""
        length, end = _longest(course, owner, level)
        use = length * rate(level, owner)
        order = np.lexsort((use, owner))
        last = order[last_of_run(owner[order])]
        last = last[use[last] > best[owner[last]]]
        best[owner[last]], ended[owner[last]] = use[last], end[last]
        return length, use

    top = corner[able, number[able] - 1]
    at_top = tried(able, top * (1 - ASIDE))[1]
    length, at_floor = tried(able, floor[able] * (1 + ASIDE))
    none = np.zeros(able.size, dtype=np.intp)
    pool = _Intervals(able, floor[able], top, length, none, number[able] - 1, at_floor, at_top)
    narrow = pool.take(none[:0])
    for _ in range(ROUNDS):
        bound = pool.length * rate(pool.high, pool.owner)
        open_ = bound > best[pool.owner] * (1 + CLOSE)
        fine = (pool.first >= pool.last) & (pool.high - pool.low <= NARROW * pool.high)
        narrow, coarse = narrow.beside(pool.take(open_ & fine)), open_ & ~fine
        pool, bound = pool.take(coarse), bound[coarse]
        if pool.owner.size == 0:
            break
        chosen = _leading(pool.owner, bound, AT_ONCE)
        pool = pool.take(~chosen).beside(_parted(pool.take(chosen), corner, tried, rate))
    np.maximum.at(best, pool.owner, pool.length * rate(pool.high, pool.owner))
    narrow = narrow.take(
        _leading(narrow.owner, np.maximum(narrow.use_low, narrow.use_high), FINALISTS)
    )
    share = (1 - np.cos(np.pi * np.arange(1, 16) / 16)) / 2
    level = narrow.low[:, None] + (narrow.high - narrow.low)[:, None] * share
    if level.size:
        tried(np.repeat(narrow.owner, share.size), level.ravel())
    return best, ended


def _corners(level: Array, floor: Array, top: Array) -> tuple[Array, Index]:
    """Levels between floor and top in order, equal ones once, and how many; inf behind them."""
    inside = (level > floor[:, None] * (1 + 2 * ASIDE)) & (level <= top[:, None])
    level = np.sort(np.where(inside, level, np.inf), axis=1)
    with np.errstate(invalid="ignore"):
        again = np.diff(level, axis=1) <= 2 * ASIDE * level[:, 1:]
    level[:, 1:][again] = np.inf
    level = np.sort(level, axis=1)
    return level, np.isfinite(level).sum(axis=1)


def _leading(owner: Index, value: Array, most: int) -> NDArray[np.bool_]:
    """The largest values of each owner, so many at most."""
    chosen = np.zeros(owner.size, dtype=bool)
    order = np.lexsort((-value, owner))
    fresh = first_of_run(owner[order])
    begun = np.maximum.accumulate(np.where(fresh, np.arange(owner.size), 0))
    chosen[order[np.arange(owner.size) - begun < most]] = True
    return chosen


def _parted(
    whole: _Intervals,
    corner: Array,
    tried: Callable[[Index, Array], tuple[Array, Array]],
    rate: Rate,
) -> _Intervals:
    """Intervals parted at their middle corner, or in the middle where there is none inside."""
    bent = whole.first < whole.last
    middle = (whole.first + whole.last) // 2
    known = corner[whole.owner, np.minimum(middle, corner.shape[1] - 1)]
    level = np.where(bent, known, np.sqrt(whole.low * whole.high))
    owner = np.concatenate([whole.owner, whole.owner])
    length, use = tried(owner, np.concatenate([level * (1 - ASIDE), level * (1 + ASIDE)]))
    at, above = use[: level.size], use[level.size :]
    first = np.where(bent, middle + 1, whole.first)
    below = _Intervals(
        whole.owner,
        whole.low,
        level,
        whole.length,
        whole.first,
        np.where(bent, middle, whole.last),
        whole.use_low,
        at,
    )
    over = _Intervals(
        whole.owner,
        level,
        whole.high,
        length[level.size :],
        first,
        whole.last,
        above,
        whole.use_high,
    )
    return below.beside(over)


def _longest(course: _Course, row: Index, level: Array) -> tuple[Array, Array]:
    """Longest time at or above each level without a break, and the instant at which it ends."""
    length, ended = np.empty(level.size), np.empty(level.size)
    step = max(1, CELLS // course.size.shape[1])
    for first in range(0, level.size, step):
        part = slice(first, first + step)
        length[part], ended[part] = _runs(course, row[part], level[part])
    return length, ended


def _runs(course: _Course, row: Index, level: Array) -> tuple[Array, Array]:
    """As :func:`_longest`; around the end of the cycle too."""
    size = course.size[row]
    head, tail = size[:, :, 0] >= level[:, None], size[:, :, 1] >= level[:, None]
    before = np.concatenate([tail[:, -1:], tail[:, :-1]], axis=1)
    cycle = course.cycle[row]
    length = np.where(head.all(axis=1) & tail.all(axis=1), np.inf, 0.0)
    ended = cycle.copy()
    query, strip = np.nonzero((head & ~before) | (~head & tail))
    if query.size == 0:
        return length, ended
    begin = _instant(course, row, level, query, strip, head[query, strip])
    ending, strip = np.nonzero((~head & before) | (head & ~tail))
    end = _instant(course, row, level, ending, strip, ~head[ending, strip])
    number = np.bincount(query, minlength=level.size)
    first = np.cumsum(number) - number
    turn = np.arange(query.size) - first[query] + before[query, 0]
    partner = first[query] + turn % number[query]
    run = end[partner] - begin + np.where(turn >= number[query], cycle[query], 0.0)
    order = np.lexsort((run, query))
    last = order[last_of_run(query[order])]
    length[query[last]], until = run[last], end[partner[last]]
    ended[query[last]] = np.where(until > 0, until, cycle[query[last]])
    return length, ended


def _instant(
    course: _Course, row: Index, level: Array, query: Index, strip: Index, joint: NDArray[np.bool_]
) -> Array:
    """Start of the strip, or the instant inside it at which the torque passes the level."""
    owner, cut = row[query], course.cut
    time: Array = cut.time[owner, strip, 0]
    inner = np.nonzero(~joint)[0]
    if inner.size == 0:
        return time
    owner, strip, query = owner[inner], strip[inner], query[inner]
    coefficient = course.coefficient[owner, strip]
    way = np.sign(cut.torque[owner, strip, 0] + cut.torque[owner, strip, -1])
    coefficient[:, 0] -= way * level[query]
    ones = np.ones(inner.size)
    place = series.refined(coefficient, -ones, ones)
    time[inner] += (place + 1) / 2 * (cut.time[owner, strip, -1] - time[inner])
    return time
