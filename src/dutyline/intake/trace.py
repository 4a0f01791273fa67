"""Tables of ours before they are written, column by column, and the foreign cells behind them.

A cell of ours is one text, shared by equal cells, and two numbers: which spring it came from, and
which of its places. What the foreign cell is called and what stood in it is found when it is asked
for, from the grid that the spring refers to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.trace import Run, Trace
from dutyline.intake.view import View

__all__ = ["Lane", "Spring", "Table", "Trace"]

Places = NDArray[np.int32]
_SAME, _DOWN, _ACROSS, _BREAK = range(4)


@dataclass(frozen=True, slots=True)
class Spring:
    """Where the cells of one field of one foreign table stand."""

    view: View | None
    """None for a constant of the mapping."""
    rows: Places
    """(n,) rows of the view."""
    columns: Places
    """(n,) columns of the view."""
    unit: str = ""
    convention: str = ""
    raws: Sequence[str] | None = None
    """(n,) what stood there, where it is not all of the cell."""
    constant: Trace | None = None
    beside: Mapping[int, tuple[int, ...]] = field(default_factory=dict)
    """Further columns of which a cell is made, by place."""

    def raw(self, place: int) -> str:
        """What stood in the foreign cell, on one line."""
        if self.constant is not None:
            return self.constant.raw
        if self.raws is not None:
            return " ".join(self.raws[place].split())
        assert self.view is not None
        row = int(self.rows[place])
        columns = (int(self.columns[place]), *self.beside.get(place, ()))
        return " | ".join(" ".join(self.view.raw(row, column).split()) for column in columns)

    def raw_texts(self, at: Places, texts: Sequence[str]) -> list[str]:
        """(n,) what stood in some cells; empty where ours is empty."""
        if self.constant is not None:
            raw = self.constant.raw
            return [raw if text else "" for text in texts]
        if self.raws is not None or self.beside or self.view is None:
            return [self.raw(int(k)) if t else "" for k, t in zip(at, texts, strict=True)]
        rows, columns = self.rows[at].tolist(), self.columns[at].tolist()
        column = columns[0] if len(set(columns)) == 1 else None
        if column is not None:
            raws = self.view.column(rows, column)
        else:
            raws = [self.view.raw(row, own) for row, own in zip(rows, columns, strict=True)]
        return [
            raw if raw == text else " ".join(raw.split()) if text else ""
            for raw, text in zip(raws, texts, strict=True)
        ]

    def cell(self, place: int) -> str:
        """``C7``, or ``C7+D7`` where it is made of several."""
        if self.constant is not None:
            return self.constant.cell
        assert self.view is not None
        row = int(self.rows[place])
        columns = (int(self.columns[place]), *self.beside.get(place, ()))
        return "+".join(self.view.cell(row, column) for column in columns)

    def trace(self, place: int) -> Trace:
        """The foreign cell."""
        if self.constant is not None:
            return self.constant
        assert self.view is not None
        grid = self.view.grid
        return Trace(grid.file, grid.sheet, self.cell(place), self.raw(place), self.unit,
                     self.convention)  # fmt: skip

    def source(self) -> tuple[str, str]:
        """File and sheet."""
        if self.constant is not None:
            return self.constant.file, self.constant.sheet
        assert self.view is not None
        return self.view.grid.file, self.view.grid.sheet

    def steps(self, at: Places) -> NDArray[np.int8]:
        """From each place to the next one: where the foreign cell lies as seen from the last."""
        if self.constant is not None:
            return np.full(max(len(at) - 1, 0), _SAME, np.int8)
        assert self.view is not None
        rows, columns = self.rows[at], self.columns[at]
        if self.view.turned:
            rows, columns = columns, rows
        if self.view.grid.lines:
            rows = np.asarray(self.view.grid.lines, np.int32)[rows]
        down, across = np.diff(rows), np.diff(columns)
        found = np.full(len(down), _BREAK, np.int8)
        found[(down == 0) & (across == 0)] = _SAME
        found[(down == 1) & (across == 0)] = _DOWN
        found[(down == 0) & (across == 1)] = _ACROSS
        if self.beside:
            several = np.isin(at, list(self.beside))
            found[several[:-1] | several[1:]] = _BREAK
        return found


@dataclass(slots=True)
class Lane:
    """One column of ours."""

    texts: list[str]
    """(n,) empty where nothing is given."""
    springs: list[Spring]
    which: Places
    """(n,) spring of each cell."""
    at: Places
    """(n,) place in it."""

    def trace(self, row: int) -> Trace:
        """The foreign cell of a row."""
        return self.springs[int(self.which[row])].trace(int(self.at[row]))

    def over(self, other: Lane) -> Lane:
        """With the cells of another where it gives none itself."""
        if all(self.texts) or not any(other.texts):
            return self
        texts = [own or below for own, below in zip(self.texts, other.texts, strict=True)]
        gives = np.fromiter(map(bool, self.texts), bool, len(self.texts))
        which = np.where(gives, self.which, other.which + len(self.springs)).astype(np.int32)
        at = np.where(gives, self.at, other.at)
        return Lane(texts, self.springs + other.springs, which, at)

    def added(self, other: Lane) -> Lane:
        """With the rows of another below it."""
        which = np.concatenate([self.which, other.which + len(self.springs)])
        at = np.concatenate([self.at, other.at])
        return Lane(self.texts + other.texts, self.springs + other.springs, which, at)

    def taken(self, order: Places) -> Lane:
        """Its rows in another order, some left out, some more than once."""
        texts = [self.texts[k] for k in order]
        return Lane(texts, self.springs, self.which[order], self.at[order])

    def runs(self, file: str, column: str, first_row: int) -> Iterator[Run]:
        """Its cells as runs; ``first_row`` is the number of the row of the first one."""
        ends = np.flatnonzero(np.diff(self.which)) + 1
        for begin, end in zip([0, *ends], [*ends, len(self.texts)], strict=True):
            if begin < end:
                spring, at = self.springs[self.which[begin]], self.at[begin:end]
                texts = self.texts[begin:end]
                yield from _runs(spring, at, texts, file, column, first_row + int(begin))


def _runs(
    spring: Spring, at: Places, texts: list[str], file: str, column: str, row: int
) -> Iterator[Run]:
    steps = spring.steps(at)
    changes = [*(np.flatnonzero(np.diff(steps)) + 1), len(steps)]
    begin, next_change = 0, 0
    while begin < len(at):
        while next_change < len(changes) - 1 and changes[next_change] <= begin:
            next_change += 1
        alone = begin >= len(steps) or steps[begin] == _BREAK
        last = begin if alone else int(changes[next_change])
        some = texts[begin : last + 1]
        raws = spring.raw_texts(at[begin : last + 1], some)
        ends = spring.cell(int(at[begin])), spring.cell(int(at[last]))
        told = spring.trace(int(at[begin]))
        yield Run(file, column, row + begin, spring.source(), *ends, told.unit, told.convention,
                  raws, some)  # fmt: skip
        begin = last + 1


@dataclass(slots=True)
class Table:
    """Rows of ours, by field."""

    count: int = 0
    lanes: dict[str, Lane] = field(default_factory=dict)

    def text(self, name: str, row: int) -> str:
        """One cell; empty where nothing is given."""
        lane = self.lanes.get(name)
        return "" if lane is None else lane.texts[row]

    def given(self, row: int) -> Iterator[tuple[str, Lane]]:
        """Fields that a row gives."""
        return ((name, lane) for name, lane in self.lanes.items() if lane.texts[row])

    def named(self, otherwise: str) -> str:
        """The foreign tables that its names came from, for people."""
        lane = next((lane for lane in self.lanes.values() if any(lane.texts)), None)
        springs = () if lane is None else lane.springs
        found = [s.source() for s in springs if s.constant is None]
        told = [f"{file}, sheet {sheet}" if sheet else file for file, sheet in found]
        return " or ".join(dict.fromkeys(told)) or otherwise

    def place(self, row: int, otherwise: str) -> str:
        """The first foreign cell of a row, for people."""
        return next((lane.trace(row).place() for _, lane in self.given(row)), otherwise)

    def add(self, other: Table) -> None:
        """Put the rows of another below."""
        for name in {**self.lanes, **other.lanes}:
            above = self.lanes.get(name) or blank(self.count)
            self.lanes[name] = above.added(other.lanes.get(name) or blank(other.count))
        self.count += other.count

    def taken(self, order: Places) -> Table:
        """Its rows in another order, some left out, some more than once."""
        return Table(len(order), {name: lane.taken(order) for name, lane in self.lanes.items()})


_NOWHERE = Spring(
    None, np.zeros(0, np.int32), np.zeros(0, np.int32), constant=Trace("", "", "", "")
)


def blank(count: int) -> Lane:
    """A column in which nothing is given."""
    none = np.zeros(count, np.int32)
    return Lane([""] * count, [_NOWHERE], none, none)


def constant(text: str, trace: Trace, count: int) -> Lane:
    """A column in which every row gives the same."""
    none = np.zeros(count, np.int32)
    spring = Spring(None, none[:0], none[:0], constant=trace)
    return Lane([text] * count, [spring], none, none)
