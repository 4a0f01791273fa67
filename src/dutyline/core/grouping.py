"""Distinct values of index arrays."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Index = NDArray[np.intp]


def distinct_values(index: Index) -> Index:
    """The different numbers in an array, rising."""
    if index.size < 2:
        return index
    ordered = np.sort(index)
    first = np.ones(ordered.size, dtype=bool)
    first[1:] = ordered[1:] != ordered[:-1]
    result: Index = ordered[first]
    return result


def rising(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The different values of an array of numbers, rising."""
    if values.size < 2:
        return values
    ordered = np.sort(values)
    first = np.ones(ordered.size, dtype=bool)
    first[1:] = ordered[1:] != ordered[:-1]
    result: NDArray[np.float64] = ordered[first]
    return result


def distinct(*columns: Index) -> tuple[Index, Index]:
    """First occurrence of each distinct row, and for every row the number of its kind.

    Parameters
    ----------
    columns : (n,) arrays of int
        -1 or more each; the rows are taken across the columns.
    """
    if columns[0].size == 1:
        return np.zeros(1, dtype=np.intp), np.zeros(1, dtype=np.intp)
    key = np.zeros(columns[0].size, dtype=np.int64)
    for column in columns:
        key = key * (int(column.max(initial=0)) + 2) + column + 1
    order = np.argsort(key, kind="stable")
    ordered = key[order]
    starts = np.ones(ordered.size, dtype=bool)
    starts[1:] = ordered[1:] != ordered[:-1]
    back = np.empty(order.size, dtype=np.intp)
    back[order] = np.cumsum(starts) - 1
    return order[starts], back
