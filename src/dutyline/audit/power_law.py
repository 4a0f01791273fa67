"""Power laws through families: how far each size is from the law that the others follow."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from dutyline.audit.records import Array, Index

LEAST_SIZES = 5
"""Sizes below which a power law is not asked."""
MOST_LEFT_OUT = 1.0 / 3.0
"""Share of the sizes that may be left out of a law as outliers of their own."""
MOST_ROUNDS = 50
OUTLIER = 3.0
"""Departure over the median one beyond which a size is left out (common practice)."""
APART = 0.3
"""A departure of less is scatter of a family (common practice: flanges come in steps)."""


def laws(x: Array, y: Array) -> tuple[Array, Array]:
    """Slope and start of the line through the other sizes, for every size of every column.

    The size that is furthest off bends the lines of all others. It is left out, and the lines are
    drawn again, as long as enough sizes remain; so one figure cannot hide, or accuse, another.

    Parameters
    ----------
    x : (s,) ndarray
        Logarithm of the size.
    y : (c, s) ndarray
        Logarithms of the columns.

    Returns
    -------
    slope, start : (c, s) ndarray
        Of the least-squares line through the sizes that were kept, each size left out of its own.
    """
    kept = np.ones(y.shape, dtype=bool)
    count = y.shape[1]
    lines = np.arange(y.shape[0])
    slope, start = _lines(x, y, kept)
    for _ in range(min(int(MOST_LEFT_OUT * count), MOST_ROUNDS, count - LEAST_SIZES + 1)):
        away = np.where(kept, np.abs(y - start - slope * x), -1.0)
        worst = away.argmax(axis=1)
        clear = away[lines, worst] > np.maximum(APART, OUTLIER * _middle(away, kept))
        if not clear.any():
            break
        kept[lines[clear], worst[clear]] = False
        slope, start = _lines(x, y, kept)
    return slope, start


def departures(sizes: Sequence[tuple[Array, Array]]) -> Array:
    """How far every point is from the straight line through the other sizes.

    Parameters
    ----------
    sizes : sequence of (x, y)
        Logarithms of the points of each size.

    Returns
    -------
    (n,) ndarray
        In the order given, all points of a size one after another.
    """
    starts, counts = _blocks([points[0].size for points in sizes])
    x = np.concatenate([points[0] for points in sizes])
    y = np.concatenate([points[1] for points in sizes])
    found: Array = departures_of_columns(starts, counts, x, y[None])[0]
    return found


def departures_of_columns(starts: Index, counts: Index, x: Array, y: Array) -> Array:
    """The same of several columns (c, n) of one family; a size begins at each of ``starts``."""
    slope, start = laws(
        np.add.reduceat(x, starts) / counts, np.add.reduceat(y, starts, axis=1) / counts
    )
    own = np.repeat(np.arange(starts.size), counts)
    found: Array = y - start[:, own] - slope[:, own] * x
    return found


def _blocks(counts: Sequence[int]) -> tuple[Index, Index]:
    sizes = np.array(counts, dtype=np.intp)
    return np.cumsum(sizes) - sizes, sizes


def _middle(away: Array, kept: NDArray[np.bool_]) -> Array:
    """Median of the kept departures of each column."""
    ordered = np.sort(np.where(kept, away, np.inf), axis=1)
    count = kept.sum(axis=1)
    lines = np.arange(away.shape[0])
    middle: Array = 0.5 * (ordered[lines, (count - 1) // 2] + ordered[lines, count // 2])
    return middle


def _lines(x: Array, y: Array, kept: NDArray[np.bool_]) -> tuple[Array, Array]:
    """Slope and start of the line through the kept points, each point left out of its own."""
    own = kept.astype(float)
    number = own.sum(axis=1, keepdims=True)
    x_mid = (own * x).sum(axis=1, keepdims=True) / number
    y_mid = (own * y).sum(axis=1, keepdims=True) / number
    u, v = x - x_mid, y - y_mid

    def others(terms: Array) -> Array:
        found: Array = (own * terms).sum(axis=1, keepdims=True) - own * terms
        return found

    count, su, sv = number - own, others(u), others(v)
    spread = count * others(u * u) - su**2
    flat = spread <= 1e-12 * np.maximum(count**2, 1.0)
    slope = np.where(flat, 0.0, (count * others(u * v) - su * sv) / np.where(flat, 1.0, spread))
    start = (sv - slope * su) / count + y_mid - slope * x_mid
    return slope, start
