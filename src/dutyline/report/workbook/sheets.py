"""Sheets under construction: rows, places of cells, and formulas with what they give."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from dutyline.grids.write import Cell, Formula, Look, Title


@dataclass(slots=True)
class Sheet:
    """One sheet: a head and the rows below it."""

    name: str
    """A plain word, so that formulas need no quotes around it."""
    head: tuple[str, ...]
    look: Look
    rows: list[list[Cell]] = field(default_factory=list)

    @property
    def next(self) -> int:
        """Number of the row that comes next, the head being row 1."""
        return len(self.rows) + 2

    def add(self, *cells: Cell) -> int:
        """One more row; its number."""
        number = self.next
        self.rows.append([*cells])
        return number

    def table(self, title: str, *heads: str) -> None:
        """An empty row, a title and the heads of a table inside the sheet."""
        self.add()
        self.add(Title(title))
        if heads:
            self.add(*(Title(h) for h in heads))

    def there(self, place: str) -> str:
        """A place of this sheet, for the formulas of another."""
        return f"{self.name}!{place}"

    def all(self) -> list[list[Cell]]:
        """Head and rows, each as wide as the sheet but for the empty ones between tables."""
        wide = len(self.look.widths)
        padded = [[*row, *[None] * (wide - len(row))] if row else row for row in self.rows]
        return [[*self.head, *[None] * (wide - len(self.head))], *padded]


def finite(value: float | None) -> float | None:
    """A number that a cell can hold; None, an empty cell, for what is not known or endless."""
    return value if value is not None and math.isfinite(value) else None


def worked(text: str, value: float | None) -> Cell:
    """A formula that gives a finite number; an empty cell where there is no such number."""
    known = finite(value)
    return None if known is None else Formula(text, known)
