"""Which figure is wrong where several rules are broken: the one that explains most of them.

A figure is suspected by every comparison that it breaks and cleared by those that it keeps. Rules
that always hold weigh more than usual ranges, and most where they clear: a range is kept by many
wrong figures too.
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.audit.records import Cell, Rule, Side, Tested

CLEARED = 0.7
"""What a comparison kept says for a figure, times the square of the weight of its rule; broken,
it says its weight against it. Two errors seldom cancel, yet they may."""
FIRST = 0.05
"""What standing first among the suspects of a rule counts; it decides where nothing else does."""
DOUBT = 0.35
"""Difference of what speaks against two figures below which neither is named alone."""


@dataclass(frozen=True, slots=True)
class Broken:
    """One comparison outside its band."""

    rule: Rule
    tested: Tested
    at: int

    def cells(self) -> list[Cell]:
        """Every figure in it, the most suspect first."""
        return [cell_of(side, self.at) for side in self.tested.sides]

    def side(self, cell: Cell) -> Side:
        """The side on which a figure stands."""
        return next(s for s in self.tested.sides if cell_of(s, self.at) == cell)


@dataclass(frozen=True, slots=True)
class Blamed:
    """A figure, the comparisons that it explains, and others that could explain them as well."""

    cell: Cell
    broken: tuple[Broken, ...]
    doubt: tuple[Cell, ...]


def cell_of(side: Side, at: int) -> Cell:
    """The figure on a side of one comparison."""
    return Cell(side.kind, int(side.rows[at]), side.field)


class Record:
    """Which comparisons each figure broke, and how much speaks for it by those that it kept."""

    def __init__(
        self, broken: Sequence[Broken], tests: Iterable[tuple[Rule, Tested, NDArray[np.bool_]]]
    ) -> None:
        self.hits: dict[Cell, list[Broken]] = defaultdict(list)
        for one in broken:
            for cell in dict.fromkeys(one.cells()):
                self.hits[cell].append(one)
        self.kept: dict[Cell, float] = defaultdict(float)
        wanted: dict[tuple[str, str], list[int]] = defaultdict(list)
        for cell in self.hits:
            wanted[cell.kind, cell.field].append(cell.row)
        rows = {key: np.array(sorted(found)) for key, found in wanted.items()}
        for rule, tested, passed in tests:
            for side in tested.sides:
                if (side.kind, side.field) in rows and told_by(side):
                    self._keep(rule, side, rows[side.kind, side.field], passed)

    def _keep(self, rule: Rule, side: Side, rows: NDArray[np.intp], passed: np.ndarray) -> None:
        own = side.rows[passed]
        found, count = np.unique(own[np.isin(own, rows)], return_counts=True)
        for row, n in zip(found, count, strict=True):
            cell = Cell(side.kind, int(row), side.field)
            self.kept[cell] += CLEARED * rule.weight**2 * int(n)

    def score(self, cell: Cell, open_: set[int]) -> float:
        """How much speaks against a figure, by the comparisons that nothing explains yet."""
        own = [one for one in self.hits[cell] if id(one) in open_]
        first = {one.rule.id for one in own if cell_of(one.tested.sides[0], one.at) == cell}
        broke = sum(one.rule.weight for one in own)
        return broke + FIRST * len(first) - self.kept.get(cell, 0.0)


def told_by(side: Side) -> bool:
    """Whether a comparison says something of the figures on a side by keeping its band."""
    return side.power != 0 or side.expected is not None


def blamed(record: Record, broken: Sequence[Broken]) -> list[Blamed]:
    """The figures that explain all broken comparisons, the most suspect first."""
    open_ = {id(one) for one in broken}
    queue = [(-record.score(cell, open_), k, cell) for k, cell in enumerate(record.hits)]
    heapq.heapify(queue)
    found: list[Blamed] = []
    while queue and open_:
        _, k, cell = heapq.heappop(queue)
        own = [one for one in record.hits[cell] if id(one) in open_]
        if not own:
            continue
        score = record.score(cell, open_)
        if queue and -score > queue[0][0] + 1e-12:
            heapq.heappush(queue, (-score, k, cell))
            continue
        found.append(Blamed(cell, tuple(own), _doubt(record, cell, own, score, open_)))
        open_ -= {id(one) for one in own}
    return found


def _doubt(
    record: Record, cell: Cell, own: Sequence[Broken], score: float, open_: set[int]
) -> tuple[Cell, ...]:
    """Other figures that break the same rules and are cleared by no more."""
    shared = set.intersection(*(set(one.cells()) for one in own)) - {cell}
    near = [other for other in shared if record.score(other, open_) >= score - DOUBT]
    return tuple(sorted(near))
