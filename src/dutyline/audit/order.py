"""Which numbers break the order of a row that should never fall."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Flags = NDArray[np.bool_]


def in_order(values: Sequence[float]) -> Flags:
    """The most numbers that can stay so that the row never falls; False for those that disturb it.

    Source
    ------
    Longest non-decreasing subsequence by patience sorting; textbooks on algorithms.

    Examples
    --------
    >>> in_order([1.0, 2.0, 9.0, 3.0, 3.0, 4.0]).tolist()
    [True, True, False, True, True, True]
    """
    ends: list[float] = []
    at: list[int] = []
    before = np.full(len(values), -1, dtype=np.intp)
    for k, value in enumerate(values):
        place = bisect_right(ends, value)
        before[k] = at[place - 1] if place else -1
        if place == len(ends):
            ends.append(value)
            at.append(k)
        else:
            ends[place], at[place] = value, k
    kept = np.zeros(len(values), dtype=bool)
    k = at[-1] if at else -1
    while k >= 0:
        kept[k] = True
        k = int(before[k])
    return kept


def neighbours(kept: Flags, k: int) -> tuple[int, int]:
    """The nearest places before and behind ``k`` that stay; -1 where there is none."""
    places = np.nonzero(kept)[0]
    low, high = places[places < k], places[places > k]
    return int(low[-1]) if low.size else -1, int(high[0]) if high.size else -1
