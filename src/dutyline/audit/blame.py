"""Which figure is wrong where several rules are broken: the one that explains most of them.

A figure is suspected by the rules that it breaks and cleared by those that it keeps. Rules that
always hold weigh more than usual ranges.
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
"""What a rule kept says for a figure, over what the same rule broken says against it: two errors
seldom cancel, yet a usual range holds for many wrong figures too."""
FIRST = 0.05
"""What standing first among the suspects of a rule counts; it decides where nothing else does."""


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
    """How often each figure broke and kept each rule."""

    def __init__(
        self, broken: Sequence[Broken], tests: Iterable[tuple[Rule, Tested, NDArray[np.bool_]]]
    ) -> None:
        self.hits: dict[Cell, list[Broken]] = defaultdict(list)
        for one in broken:
            for cell in dict.fromkeys(one.cells()):
                self.hits[cell].append(one)
        self.kept: dict[Cell, dict[str, tuple[Rule, int]]] = defaultdict(dict)
        wanted: dict[tuple[str, str], list[int]] = defaultdict(list)
        for cell in self.hits:
            wanted[cell.kind, cell.field].append(cell.row)
        rows = {key: np.array(sorted(found)) for key, found in wanted.items()}
        for rule, tested, passed in tests:
            for side in tested.sides:
                if (side.kind, side.field) in rows:
                    self._count(rule, side, rows[side.kind, side.field], passed)

    def _count(self, rule: Rule, side: Side, rows: NDArray[np.intp], passed: np.ndarray) -> None:
        own = side.rows[passed]
        found, count = np.unique(own[np.isin(own, rows)], return_counts=True)
        for row, n in zip(found, count, strict=True):
            cell = Cell(side.kind, int(row), side.field)
            _, before = self.kept[cell].get(rule.id, (rule, 0))
            self.kept[cell][rule.id] = (rule, before + int(n))

    def score(self, cell: Cell, open_: set[int]) -> float:
        """How much speaks against a figure, by the comparisons that nothing explains yet."""
        broke: dict[str, tuple[Rule, int, bool]] = {}
        for one in self.hits[cell]:
            if id(one) in open_:
                rule, n, first = broke.get(one.rule.id, (one.rule, 0, False))
                leads = first or cell_of(one.tested.sides[0], one.at) == cell
                broke[one.rule.id] = (rule, n + 1, leads)
        kept = self.kept.get(cell, {})
        total = 0.0
        for name, (rule, n, leads) in broke.items():
            share = n / (n + kept.get(name, (rule, 0))[1])
            total += rule.weight * (share - CLEARED * (1.0 - share)) + FIRST * leads
        total -= sum(CLEARED * rule.weight for k, (rule, _) in kept.items() if k not in broke)
        return total


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
    least = score - FIRST * len({one.rule.id for one in own}) - 1e-9
    return tuple(sorted(other for other in shared if record.score(other, open_) >= least))
