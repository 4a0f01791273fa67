"""Distinct values of index arrays."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Index = NDArray[np.intp]


def first_of_run(values: NDArray[Any]) -> NDArray[np.bool_]:
    """True where a value differs from the one before it, and at the first."""
    fresh = np.ones(values.size, dtype=bool)
    fresh[1:] = values[1:] != values[:-1]
    return fresh


def last_of_run(values: NDArray[Any]) -> NDArray[np.bool_]:
    """True where a value differs from the one behind it, and at the last."""
    ending = np.ones(values.size, dtype=bool)
    ending[:-1] = values[1:] != values[:-1]
    return ending


def distinct_values(index: Index) -> Index:
    """The different numbers in an array, rising."""
    if index.size < 2:
        return index
    ordered = np.sort(index)
    result: Index = ordered[first_of_run(ordered)]
    return result


def rising(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The different values of an array of numbers, rising."""
    if values.size < 2:
        return values
    ordered = np.sort(values)
    result: NDArray[np.float64] = ordered[first_of_run(ordered)]
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
    starts = first_of_run(key[order])
    back = np.empty(order.size, dtype=np.intp)
    back[order] = np.cumsum(starts) - 1
    return order[starts], back
