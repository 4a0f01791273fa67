"""Where a cell of ours came from, and what was done to it on the way."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Trace:
    """The foreign cell behind one of ours."""

    file: str
    sheet: str
    cell: str
    """``C7``, or the line of a constant in the mapping."""
    raw: str
    """As it stood."""
    unit: str = ""
    """As said by the mapping, the heading, the row of units or the cell."""
    convention: str = ""
    """What was applied: ``peak amperes, line current``."""

    def place(self) -> str:
        """For people: ``motors.xlsx, sheet Data, cell C7``."""
        if not self.cell[:1].isupper():
            return f"{self.file}, {self.cell}" if self.cell else self.file
        sheet = f", sheet {self.sheet}" if self.sheet else ""
        return f"{self.file}{sheet}, cell {self.cell}"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of ours."""

    text: str
    trace: Trace


Record = dict[str, Cell]
"""One row of ours, by field."""
