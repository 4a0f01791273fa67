"""Power laws through families: how far each size is from the law that the others follow."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from dutyline.audit.records import Array, Index

LEAST_SIZES = 5
"""Sizes below which a power law is not asked."""
LEAST_KEPT = 4
"""Sizes that a law is drawn through at least."""
OUTLIER = 4.5
"""Departure over the median one beyond which a size is no part of the law: three standard
deviations of a normal scatter (statistics, 3 * 1.4826)."""
APART = 0.3
"""A departure of less is scatter of a family (common practice: flanges come in steps)."""
FEW = 40
"""Sizes up to which every pair of them gives a slope."""


def laws(x: Array, y: Array) -> tuple[Array, Array]:
    """Slope and start of the line through the other sizes, for every size of every column.

    A size that is far off bends the lines of all others; so a resistant line first tells which
    sizes belong to the law, and one figure can neither hide another nor accuse it.

    Parameters
    ----------
    x : (s,) ndarray
        Logarithm of the size.
    y : (c, s) ndarray
        Logarithms of the columns.

    Returns
    -------
    slope, start : (c, s) ndarray
        Of the least-squares line through the sizes of the law, each size left out of its own.

    Source
    ------
    Median of pairwise slopes: Theil 1950, Sen 1968 (statistics texts, from memory).
    """
    return _lines(x, y, _members(x, y))


def law(x: Array, y: Array) -> tuple[float, float]:
    """Slope and start of the line through the sizes that belong to the law (x and y (s,))."""
    kept = _members(x, y[None])[0]
    run = x[kept] - x[kept].mean()
    spread = float((run * run).sum())
    slope = float((run * y[kept]).sum()) / spread if spread > 0 else 0.0
    return slope, float(y[kept].mean() - slope * x[kept].mean())


def _members(x: Array, y: Array) -> NDArray[np.bool_]:
    """The sizes of each column (c, s) that belong to its law."""
    rough = y - resistant_slope(x, y)[:, None] * x
    away = np.abs(rough - middle(rough)[:, None])
    limit = np.maximum(APART, OUTLIER * middle(away)[:, None])
    kept: NDArray[np.bool_] = away <= np.maximum(
        limit, np.sort(away, axis=1)[:, LEAST_KEPT : LEAST_KEPT + 1]
    )
    return kept


def resistant_slope(x: Array, y: Array) -> Array:
    """Median slope between the points of each row of ``y`` (c, s), all pairs where they are few.

    >>> resistant_slope(np.arange(5.0), np.array([[0.0, 2.0, 4.0, 99.0, 8.0]])).tolist()
    [2.0]
    """
    if x.size <= FEW:
        one, other = np.triu_indices(x.size, 1)
    else:
        order = np.argsort(x)
        half = x.size // 2
        one, other = order[: x.size - half], order[half:]
    run = x[other] - x[one]
    some = np.abs(run) > 1e-9
    if not some.any():
        return np.zeros(y.shape[0])
    rise = y[:, other[some]] - y[:, one[some]]
    return middle(rise / run[some])


def middle(values: Array) -> Array:
    """Median of each row (c, n); numpy's own would load its masked arrays first.

    >>> middle(np.array([[3.0, 1.0, 2.0], [4.0, 0.0, 9.0]])).tolist()
    [2.0, 4.0]
    """
    ordered = np.sort(values, axis=1)
    count = values.shape[1]
    found: Array = 0.5 * (ordered[:, (count - 1) // 2] + ordered[:, count // 2])
    return found


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
