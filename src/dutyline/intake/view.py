"""A grid as a table of the mapping: rows of products, also where they stand side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dutyline.grids.records import Grid, letters


@dataclass(frozen=True, slots=True)
class View:
    """Cells by row and column, from 0; with ``turned`` the two have changed places."""

    grid: Grid
    turned: bool = False

    def _at(self, row: int, column: int) -> tuple[int, int]:
        return (column, row) if self.turned else (row, column)

    def text(self, row: int, column: int) -> str:
        """Text of a cell on one line, blanks run together."""
        return " ".join(self.grid.text(*self._at(row, column)).split())

    def raw(self, row: int, column: int) -> str:
        """Text of a cell as it stands."""
        return self.grid.text(*self._at(row, column))

    def column(self, rows: Sequence[int], column: int) -> list[str]:
        """Texts of a column in some rows as they stand."""
        if self.turned:
            return [self.grid.text(column, row) for row in rows]
        cells = self.grid.rows
        return [own[column] if column < len(own) else "" for own in (cells[row] for row in rows)]

    def filled(self, row: int) -> bool:
        """Whether any cell of a row holds something."""
        if self.turned:
            return any(row < len(cells) and cells[row] for cells in self.grid.rows)
        return any(self.grid.rows[row])

    def number(self, row: int, column: int) -> bool:
        """Whether the workbook holds the cell as a number."""
        return self._at(row, column) in self.grid.numbers

    def percent(self, row: int, column: int) -> bool:
        """Whether the workbook shows the number as percent: 0.95 is seen as 95 %."""
        return self._at(row, column) in self.grid.percents

    def formula(self, row: int, column: int) -> bool:
        """Whether the cell holds a formula."""
        return self._at(row, column) in self.grid.formulas

    def place(self, row: int, column: int) -> str:
        """Where a cell stands, for people."""
        return self.grid.place(*self._at(row, column))

    def cell(self, row: int, column: int) -> str:
        """``C7``"""
        line, letter = self._at(row, column)
        lines = self.grid.lines
        return f"{letters(letter)}{lines[line] if line < len(lines) else line + 1}"

    def rows(self) -> int:
        """How many rows there are."""
        return self._width() if self.turned else len(self.grid.rows)

    def columns(self) -> int:
        """How many columns the longest row has."""
        return len(self.grid.rows) if self.turned else self._width()

    def _width(self) -> int:
        return max((len(row) for row in self.grid.rows), default=0)

    def number_of(self, row: int) -> int:
        """Number of a row as an editor counts; of a column where they have changed places."""
        lines = () if self.turned else self.grid.lines
        return lines[row] if row < len(lines) else row + 1

    def column_named(self, word: str) -> int | None:
        """Place of ``column C``, or of ``row 5`` where rows and columns have changed places."""
        name = word.split()
        if len(name) != 2:
            return None
        if self.turned:
            return int(name[1]) - 1 if name[0] == "row" and name[1].isdecimal() else None
        letter = name[1].upper()
        if name[0] != "column" or not letter.isascii() or not letter.isalpha() or len(letter) > 3:
            return None
        number = 0
        for char in letter:
            number = number * 26 + ord(char) - 64
        return number - 1
