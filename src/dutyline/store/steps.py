"""What undo and redo go to: one rule for every store."""

from __future__ import annotations

from collections.abc import Sequence


def parent_of(base: int, before: int | None, *, instead: bool) -> int:
    """What undo goes back to from a revision made from ``base``, itself made from ``before``.

    >>> parent_of(5, 4, instead=False), parent_of(5, 4, instead=True)
    (5, 4)
    """
    return before if instead and before is not None else base


def trail_after(trail: Sequence[int], base: int, before: int | None, to: int) -> list[int]:
    """What redo goes on to, the nearest last, once the head went from ``base`` to another.

    Undo adds one, redo takes it off again, restoring any other forgets them.

    >>> trail_after([], 3, 2, 2), trail_after([3], 2, 1, 3), trail_after([3], 2, 1, 7)
    ([3], [], [])
    """
    if to == before:
        return [*trail, base]
    return list(trail[:-1]) if trail and trail[-1] == to else []
