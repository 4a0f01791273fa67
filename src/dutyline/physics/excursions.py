"""Unbroken times above a level in a repeating cycle, and what an overload curve says of them."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.physics.overload import DEFAULT_CURVE, Curve, allowed_time
from dutyline.physics.ranges import Array, numbers, segments


def excursion_time(level: ArrayLike, duration: ArrayLike) -> Array:
    """Longest unbroken time at or above each level, around the end of the cycle too.

    Parameters
    ----------
    level, duration : (..., n) array_like [any, s]
        Segments on the last axis.

    Returns
    -------
    (..., n) ndarray [s]
        For each segment the run around it that never falls below its level; infinite where the
        cycle never does.

    Source
    ------
    Definition; runs are found by halving steps over minima of blocks.

    Examples
    --------
    >>> excursion_time([2.0, 1.0, 3.0, 2.0], [1.0, 1.0, 1.0, 1.0]).tolist()
    [3.0, inf, 1.0, 3.0]
    """
    x, dt = segments(level=level, duration=duration)
    ahead = _run_length(x)
    behind = _run_length(x[..., ::-1])[..., ::-1]
    n = x.shape[-1]
    edge = np.concatenate([np.zeros((*dt.shape[:-1], 1)), np.cumsum(dt, axis=-1)], axis=-1)
    whole = edge[..., -1:]
    here = np.broadcast_to(np.arange(n), x.shape)

    def instant(index: NDArray[np.int_]) -> Array:
        turns, rest = np.divmod(index, n)
        return numbers(np.take_along_axis(edge, rest, axis=-1) + turns * whole)

    time = instant(here + ahead) - instant(here + 1 - behind)
    return numbers(np.where(ahead >= n, np.inf, time))


def single_excursion_use(
    factor: ArrayLike, duration: ArrayLike, curve: Curve = DEFAULT_CURVE
) -> Array:
    """Largest share of the allowed time that one unbroken excursion uses.

    For every level above 1 the longest unbroken time at or above it is compared with the time
    allowed at that level. Necessary, not sufficient: see
    :func:`dutyline.physics.overload.accumulation`.

    Parameters
    ----------
    factor, duration : (..., n) array_like [1, s]
        Segments on the last axis.
    curve : pairs (load factor, seconds)
        As in :func:`dutyline.physics.overload.allowed_time`.

    Returns
    -------
    (...) ndarray [1]
        Zero where the factor never exceeds 1, infinite where it never falls to 1.

    Source
    ------
    Derived here from the meaning of the curve.

    Examples
    --------
    >>> cycle = ([2.4, 0.6, 2.0, 0.1], [0.2, 0.6, 0.2, 1.4])
    >>> round(float(single_excursion_use(*cycle, ((1.25, 10.0), (3.0, 0.5)))), 4)
    0.1864
    """
    x, dt = segments(factor=factor, duration=duration)
    run = excursion_time(x, dt)
    limit = allowed_time(x, curve)
    over = x > 1.0
    use = np.where(over, run / np.where(over, limit, 1.0), 0.0)
    return numbers(np.where(np.isnan(x), np.nan, use).max(axis=-1))


def longest_time_above(level: ArrayLike, threshold: ArrayLike, duration: ArrayLike) -> Array:
    """Longest unbroken time at or above one threshold, around the end of the cycle too.

    Parameters
    ----------
    level, duration : (..., n) array_like [any, s]
        Segments on the last axis.
    threshold : (...) array_like
        In the unit of the level.

    Returns
    -------
    (...) ndarray [s]
        Infinite where the level never falls below the threshold.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(longest_time_above([5.0, 1.0, 4.0], 3.5, [0.1, 0.4, 0.2]).round(6))
    0.3
    """
    x, dt = segments(level=level, duration=duration)
    over = x >= numbers(threshold)[..., None]
    x, dt, over = np.broadcast_arrays(x, dt, over)
    run = np.zeros(over.shape[:-1])
    best = np.zeros(over.shape[:-1])
    for _ in range(2):
        for k in range(over.shape[-1]):
            run = np.where(over[..., k], run + dt[..., k], 0.0)
            best = np.maximum(best, run)
    return numbers(np.where(np.all(over, axis=-1), np.inf, best))


def _run_length(x: Array) -> NDArray[np.int_]:
    """How many segments from each one on (itself included) stay at or above its level."""
    n = x.shape[-1]
    blocks = [x]  # blocks[j][i] is the minimum over 2**j segments from i on, around the end
    while 2 ** len(blocks) <= n:
        half = 2 ** (len(blocks) - 1)
        blocks.append(np.minimum(blocks[-1], np.roll(blocks[-1], -half, axis=-1)))
    here = np.broadcast_to(np.arange(n), x.shape)
    run = np.zeros(x.shape, dtype=np.int_)
    for j in range(len(blocks) - 1, -1, -1):
        low = np.take_along_axis(blocks[j], (here + run) % n, axis=-1)
        run = np.where((run < n) & (low >= x), run + 2**j, run)
    return np.minimum(run, n)
