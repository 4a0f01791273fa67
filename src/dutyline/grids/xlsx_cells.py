"""Cells of one sheet of a workbook, as a stream of XML tells them."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from dutyline.core.errors import InputError
from dutyline.core.faults import quoted
from dutyline.grids.limits import (
    DEEPEST,
    LONGEST_CELL,
    MOST_COLUMNS,
    MOST_ROWS,
    Budget,
    refused,
)
from dutyline.grids.markup import Attributes, too_deep
from dutyline.grids.records import Cells, letters
from dutyline.grids.xlsx_styles import Shown, moment, shortest
from dutyline.grids.xlsx_texts import unescaped

Range = tuple[int, int, int, int]
"""First row, first column, last row, last column."""

_CELL = re.compile(r"\$?([A-Z]{1,3})\$?([1-9][0-9]{0,6})")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?")
_COLUMN_OF = {letters(column): column for column in range(MOST_COLUMNS)}
_ANEW = "Open it in a spreadsheet and save it anew as .xlsx."
_TRUE = ("1", "true")
_MOST_KNOWN = 100_000


@dataclass(frozen=True, slots=True)
class Book:
    """What the cells of all sheets of a workbook refer to."""

    file: str
    texts: Sequence[str]
    shown: Mapping[str, Shown]
    """By number of the cell format, where it does not show a plain number."""
    from_1904: bool
    budget: Budget


class SheetCells:
    """A handler of a sheet: its filled cells, formulas, errors and merged ranges.

    Memory follows the filled cells; where they stand is held against the limits first.
    """

    def __init__(self, book: Book, sheet: str, part: str) -> None:
        self.rows: list[list[str]] = []
        self.numbers = Cells()
        self.percents = Cells()
        self.errors = Cells()
        self.formulas: dict[tuple[int, int], str] = {}
        self.ranges: list[tuple[Range, str]] = []
        """Ranges that one formula fills, with the formula."""
        self.merged: list[Range] = []
        self.hidden_rows: set[int] = set()
        self.hidden_columns: set[int] = set()
        self.place = f"sheet {sheet}"
        """For faults."""
        self._book, self._part = book, part
        self._depth = 0
        self._in_data = False
        self._row = self._column = -1
        self._row_text = ""
        self._cell: Attributes | None = None
        self._formula: Attributes | None = None
        self._pieces: list[str] = []
        self._formula_pieces: list[str] = []
        self._into: list[str] | None = None
        self._length = 0
        self._hints = 0
        self._shared: dict[str, str] = {}
        self._known: dict[str, str] = {}
        self._new_cells = self._new_text = 0

    def start(self, name: str, attributes: Attributes) -> None:
        """An element begins."""
        self._depth += 1
        if name == "v":
            self._into = self._pieces
        elif name == "c":
            if self._in_data:
                self._start_cell(attributes)
        elif self._cell is not None:
            self._start_within(name, attributes)
        else:
            self._start_other(name, attributes)
        if self._depth > DEEPEST:
            raise too_deep(self._book.file, self._part)

    def end(self, name: str) -> None:
        """An element ends."""
        self._depth -= 1
        self._into = None
        if name == "c":
            if self._cell is not None:
                self._end_cell(self._cell)
                self._cell = None
        elif name == "rPh":
            self._hints -= 1
        elif name == "sheetData":
            self._in_data = False
            self.settle()

    def text(self, text: str) -> None:
        """A piece of text."""
        if self._into is None:
            return
        self._length += len(text)
        if self._length > 2 * LONGEST_CELL:
            raise self._refused(f"holds more than {LONGEST_CELL} characters.", "Shorten the cell.")
        self._into.append(text)

    def settle(self) -> None:
        """Hold what has been read against the limits of the file."""
        self._book.budget.take(self._new_cells, self._new_text, self.place)
        self._new_cells = self._new_text = 0

    def _start_cell(self, attributes: Attributes) -> None:
        self._cell = attributes
        self._into = self._formula = None
        self._pieces.clear()
        self._length = 0
        reference = attributes.get("r")
        if reference is None:
            self._column += 1
            return
        size = len(self._row_text)
        column = _COLUMN_OF.get(reference[:-size]) if size else None
        if column is not None and reference[-size:] == self._row_text:
            self._column = column
        else:
            self._row, self._column = self._position(reference)
            self._row_text = str(self._row + 1)

    def _start_within(self, name: str, attributes: Attributes) -> None:
        self._into = None
        if name == "rPh":
            self._hints += 1
        elif name == "t" and not self._hints:
            self._into = self._pieces
        elif name == "f":
            self._formula = attributes
            self._formula_pieces.clear()
            self._into = self._formula_pieces

    def _start_other(self, name: str, attributes: Attributes) -> None:
        if name == "row" and self._in_data:
            self._start_row(attributes)
        elif name == "sheetData":
            self._in_data = True
        elif name == "mergeCell":
            self._book.budget.take(1, 0, self.place)
            self.merged.append(self._range(attributes.get("ref", "")))
        elif name == "col" and attributes.get("hidden") in _TRUE:
            self._hide_columns(attributes)

    def _start_row(self, attributes: Attributes) -> None:
        number = attributes.get("r")
        if number is None:
            self._row += 1
        elif _counts(number) and int(number):
            self._row = int(number) - 1
        else:
            read = f"has a row numbered {quoted(number)}."
            raise refused(self._book.file, self.place, read, _ANEW)
        self._row_text = str(self._row + 1)
        self._column = -1
        if attributes.get("hidden") in _TRUE and self._row < MOST_ROWS:
            self.hidden_rows.add(self._row)

    def _position(self, reference: str) -> tuple[int, int]:
        found = _CELL.fullmatch(reference)
        if not found:
            read = f"names the cell {quoted(reference)}; a name such as C7 is needed."
            raise refused(self._book.file, self.place, read, _ANEW)
        column = 0
        for letter in found[1]:
            column = column * 26 + ord(letter) - 64
        return int(found[2]) - 1, column - 1

    def _range(self, reference: str) -> Range:
        first, _, last = reference.partition(":")
        a, b = self._position(first), self._position(last or first)
        return min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])

    def _hide_columns(self, attributes: Attributes) -> None:
        ends = [attributes.get(name, "") for name in ("min", "max")]
        if len(self.hidden_columns) < MOST_COLUMNS and all(map(_counts, ends)):
            first, last = map(int, ends)
            self.hidden_columns.update(range(max(first - 1, 0), min(last, MOST_COLUMNS)))

    def _end_cell(self, cell: Attributes) -> None:
        """Put the cell in its place, if it holds anything."""
        if self._formula is not None:
            text = self._formula_text(self._formula)
        elif self._pieces:
            text = self._value(cell, "".join(self._pieces))
        else:
            return
        if text:
            self._put(text)

    def _put(self, text: str) -> None:
        row, column = self._row, self._column
        if row >= MOST_ROWS or column >= MOST_COLUMNS or len(text) > LONGEST_CELL:
            raise self._beyond()
        if row >= len(self.rows):
            if row < 0:
                raise self._refused("stands in no row.", _ANEW)
            self._book.budget.take(row + 1 - len(self.rows), 0, self.place)
            self.rows.extend([] for _ in range(row + 1 - len(self.rows)))
        cells = self.rows[row]
        missing = column + 1 - len(cells)
        self._new_text += len(text)
        if missing == 1:
            self._new_cells += 1
            cells.append(text)
        elif missing > 0:
            self._new_cells += missing
            cells.extend([""] * missing)
            cells[column] = text
        elif cells[column]:
            raise self._refused("stands twice; it is needed once.", _ANEW)
        else:
            cells[column] = text
        if self._new_cells > 10_000 or self._new_text > 1_000_000:
            self.settle()

    def _beyond(self) -> InputError:
        if self._row >= MOST_ROWS:
            read = f"is beyond the {MOST_ROWS} rows that a sheet may hold."
            return self._refused(read, "Delete what stands far below the table, or split the file.")
        if self._column >= MOST_COLUMNS:
            read = f"is beyond the {MOST_COLUMNS} columns that a sheet may hold."
            return self._refused(read, "Delete what stands far right of the table.")
        return self._refused(f"holds more than {LONGEST_CELL} characters.", "Shorten the cell.")

    def _value(self, cell: Attributes, raw: str) -> str:
        kind = cell.get("t", "n")
        if kind == "n":
            return self._number(raw.strip(), self._book.shown.get(cell.get("s", "0"), "number"))
        if kind == "s":
            word = raw.strip()
            if not _counts(word) or int(word) >= len(self._book.texts):
                raise self._refused(
                    f"refers to the text {quoted(word)}, which is not there.", _ANEW
                )
            return self._book.texts[int(word)]
        if kind == "b":
            return {"1": "TRUE", "0": "FALSE"}.get(raw.strip(), raw.strip())
        if kind == "e":
            self.errors.add(self._row, self._column)
            return raw.strip()
        return unescaped(raw).strip()

    def _number(self, raw: str, shown: Shown) -> str:
        text = self._known.get(raw) if shown == "number" else None
        if text is None:
            if not raw:
                return ""
            value = float(raw) if _NUMBER.fullmatch(raw) else math.nan
            if not math.isfinite(value):
                raise self._refused(f"read {quoted(raw)}; a number is needed.", _ANEW)
            if shown in ("date", "time"):
                return moment(value, shown, self._book.from_1904)
            text = shortest(value)
            if len(self._known) < _MOST_KNOWN:
                self._known[raw] = text
        self.numbers.add(self._row, self._column)
        if shown == "percent":
            self.percents.add(self._row, self._column)
        return text

    def _formula_text(self, attributes: Attributes) -> str:
        """Text of the formula; one that is shared is told as where it is written."""
        text = "=" + "".join(self._formula_pieces).strip()
        kind, reference = attributes.get("t"), attributes.get("ref")
        if kind == "shared":
            key = attributes.get("si", "")
            if text != "=":
                self._shared[key] = text
            text = self._shared.get(key, text)
        elif kind in ("array", "dataTable") and reference:
            self.ranges.append((self._range(reference), text))
        self.take_formula(self._row, self._column, text)
        return text

    def take_formula(self, row: int, column: int, text: str) -> None:
        """Keep the formula of a cell."""
        self._book.budget.take_formula(self.place)
        self.formulas[row, column] = text

    def _refused(self, read: str, remedy: str) -> InputError:
        place = f"{self.place}, cell {letters(self._column)}{self._row + 1}"
        return refused(self._book.file, place, read, remedy)


def _counts(text: str) -> bool:
    """Whether a text is a whole number that a workbook may count with."""
    return text.isascii() and text.isdecimal() and len(text) < 9
