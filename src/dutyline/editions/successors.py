"""Parts that are gone beside new ones that are equal but for a few values.

What is told is what the data show, not that one replaces the other.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields

from dutyline.editions.records import Change, Item, Successor

MOST_DIFFERENT = 3
"""Values in which two parts told together may differ."""
LEAST_EQUAL = 4
"""Stated values that they must share at least."""
MOST_PARTS = 300
"""Gone or new parts of a kind beyond which nothing is compared."""

Between = Callable[[Item, Item], list[Change]]


def successors(
    gone: Sequence[Item], new: Sequence[Item], between: Between
) -> tuple[Successor, ...]:
    """Pairs of a gone and a new part that are nearest to each other, and to no third one.

    Parameters
    ----------
    gone, new : sequence of Item
    between : callable
        Changes from one part to another of its kind.
    """
    found: list[Successor] = []
    for kind in dict.fromkeys(item.kind for item in gone):
        if kind in ("curves", "pairings"):
            continue
        old = [item for item in gone if item.kind == kind]
        now = [item for item in new if item.kind == kind]
        if max(len(old), len(now)) <= MOST_PARTS:
            found += _nearest(old, now, between)
    return tuple(found)


def _nearest(old: list[Item], now: list[Item], between: Between) -> list[Successor]:
    near = {
        (i, j): changes
        for i, one in enumerate(old)
        for j, other in enumerate(now)
        if len(changes := between(one, other)) <= MOST_DIFFERENT
        and _stated(other) - len(changes) >= LEAST_EQUAL
    }
    found = []
    for (i, j), changes in near.items():
        rivals = [len(c) for (p, q), c in near.items() if (p == i) != (q == j)]
        if all(count > len(changes) for count in rivals):
            found.append(Successor(old[i], now[j], tuple(changes)))
    return found


def _stated(item: Item) -> int:
    values = (getattr(item.record, f.name) for f in fields(item.record) if f.name != "name")
    return sum(value not in (None, "", ()) for value in values)
