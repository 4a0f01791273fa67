"""Cells of one sheet of a workbook, as a stream of XML tells them."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from dutyline.core.errors import InputError
from dutyline.core.faults import quoted
from dutyline.grids.limits import LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, Budget, refused
from dutyline.grids.markup import Attributes
from dutyline.grids.records import letters
from dutyline.grids.xlsx_styles import Shown, moment, shortest
from dutyline.grids.xlsx_texts import unescaped

Range = tuple[int, int, int, int]

_CELL = re.compile(r"\$?([A-Z]{1,3})\$?([1-9][0-9]{0,6})")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?")
_ANEW = "Open it in a spreadsheet and save it anew as .xlsx."
_TRUE = ("1", "true")


@dataclass(frozen=True, slots=True)
class Book:
    """What the cells of all sheets of a workbook refer to."""

    file: str
    texts: Sequence[str]
    shown: Sequence[Shown]
    """By number of the cell format."""
    from_1904: bool
    budget: Budget


class SheetCells:
    """A handler of a sheet: its filled cells, formulas, errors and merged ranges.

    Memory follows the filled cells; where they stand is held against the limits first.
    """

    def __init__(self, book: Book, sheet: str) -> None:
        self.rows: list[list[str]] = []
        self.numbers: set[tuple[int, int]] = set()
        self.percents: set[tuple[int, int]] = set()
        self.errors: set[tuple[int, int]] = set()
        self.formulas: dict[tuple[int, int], str] = {}
        self.ranges: list[tuple[Range, str]] = []
        """Ranges that one formula fills, with the formula."""
        self.merged: list[Range] = []
        self.hidden_rows: set[int] = set()
        self.hidden_columns: set[int] = set()
        self._book, self._sheet = book, sheet
        self._shared: dict[str, str] = {}
        self._row = -1
        self._column = -1
        self._cell: Attributes | None = None
        self._formula: Attributes | None = None
        self._kept: list[str] = []
        self._formula_text: list[str] = []
        self._length = 0
        self._into: list[str] | None = None
        self._hints = 0
        self._in_data = False
        self._known: dict[str, str] = {}

    def start(self, name: str, attributes: Attributes) -> None:
        """An element begins."""
        if self._cell is not None:
            self._start_within(name, attributes)
        elif name == "c" and self._in_data:
            self._cell = attributes
            self._kept.clear()
            self._formula_text.clear()
            self._formula = None
            self._length = 0
            self._place_cell(attributes.get("r"))
        elif name == "row" and self._in_data:
            self._place_row(attributes)
        elif name == "sheetData":
            self._in_data = True
        elif name == "mergeCell":
            self._book.budget.take(1, 0, f"sheet {self._sheet}")
            self.merged.append(self._range(attributes.get("ref", "")))
        elif name == "col" and attributes.get("hidden") in _TRUE:
            self._hide_columns(attributes)

    def end(self, name: str) -> None:
        """An element ends."""
        self._into = None
        if name == "c" and self._cell is not None:
            self._keep(self._cell)
            self._cell = None
        elif name == "rPh":
            self._hints -= 1
        elif name == "sheetData":
            self._in_data = False

    def text(self, text: str) -> None:
        """A piece of text."""
        if self._into is None:
            return
        self._length += len(text)
        if self._length > 2 * LONGEST_CELL:
            raise self._refused(f"holds more than {LONGEST_CELL} characters.", "Shorten the cell.")
        self._into.append(text)

    def _start_within(self, name: str, attributes: Attributes) -> None:
        self._into = None
        if name == "rPh":
            self._hints += 1
        elif name == "v" or (name == "t" and not self._hints):
            self._into = self._kept
        elif name == "f":
            self._formula = attributes
            self._into = self._formula_text

    def _place_row(self, attributes: Attributes) -> None:
        number = attributes.get("r")
        if number is None:
            self._row += 1
        elif _counts(number) and int(number):
            self._row = int(number) - 1
        else:
            read = f"has a row numbered {quoted(number)}."
            raise refused(self._book.file, f"sheet {self._sheet}", read, _ANEW)
        self._column = -1
        if attributes.get("hidden") in _TRUE and self._row < MOST_ROWS:
            self.hidden_rows.add(self._row)

    def _place_cell(self, reference: str | None) -> None:
        if reference is None:
            self._column += 1
            self._row = max(self._row, 0)
        else:
            self._row, self._column = self._position(reference)

    def _position(self, reference: str) -> tuple[int, int]:
        found = _CELL.fullmatch(reference)
        if not found:
            read = f"names the cell {quoted(reference)}; a name such as C7 is needed."
            raise refused(self._book.file, f"sheet {self._sheet}", read, _ANEW)
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
            self.hidden_columns.update(range(first - 1, min(last, MOST_COLUMNS)))

    def _keep(self, cell: Attributes) -> None:
        """Put the cell that just ended in its place, if it holds anything."""
        at = self._row, self._column
        if self._formula is not None:
            text = self._formula_of(self._formula)
            if at[0] < MOST_ROWS and at[1] < MOST_COLUMNS:
                self.formulas[at] = text
        elif not self._kept:
            return
        else:
            text = self._value(cell, "".join(self._kept))
        if text:
            self._put(text)

    def _put(self, text: str) -> None:
        row, column = self._row, self._column
        if row >= MOST_ROWS:
            read = f"is beyond the {MOST_ROWS} rows that a sheet may hold."
            raise self._refused(read, "Delete what stands far below the table, or split the file.")
        if column >= MOST_COLUMNS:
            read = f"is beyond the {MOST_COLUMNS} columns that a sheet may hold."
            raise self._refused(read, "Delete what stands far right of the table.")
        if len(text) > LONGEST_CELL:
            raise self._refused(f"holds more than {LONGEST_CELL} characters.", "Shorten the cell.")
        if row >= len(self.rows):
            self._book.budget.take(row + 1 - len(self.rows), 0, f"sheet {self._sheet}")
            self.rows.extend([] for _ in range(row + 1 - len(self.rows)))
        cells = self.rows[row]
        if column < len(cells) and cells[column]:
            raise self._refused("stands twice; it is needed once.", _ANEW)
        missing = max(column + 1 - len(cells), 0)
        self._book.budget.take(missing, len(text), f"sheet {self._sheet}")
        cells.extend([""] * missing)
        cells[column] = text

    def _value(self, cell: Attributes, raw: str) -> str:
        at = self._row, self._column
        kind = cell.get("t", "n")
        if kind == "n":
            return self._number(cell, raw.strip())
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
            self.errors.add(at)
            return raw.strip()
        return unescaped(raw).strip()

    def _number(self, cell: Attributes, raw: str) -> str:
        if not raw:
            return ""
        at = self._row, self._column
        style = cell.get("s", "0")
        shown: Shown = "number"
        if _counts(style) and int(style) < len(self._book.shown):
            shown = self._book.shown[int(style)]
        if shown not in ("date", "time"):
            self.numbers.add(at)
            if shown == "percent":
                self.percents.add(at)
            if raw in self._known:
                return self._known[raw]
        value = float(raw) if _NUMBER.fullmatch(raw) else math.nan
        if not math.isfinite(value):
            raise self._refused(f"read {quoted(raw)}; a number is needed.", _ANEW)
        if shown in ("date", "time"):
            return moment(value, shown, self._book.from_1904)
        text = shortest(value)
        if len(self._known) < 100_000:
            self._known[raw] = text
        return text

    def _formula_of(self, attributes: Attributes) -> str:
        """Text of the formula; one that is shared is told as where it is written."""
        text = "=" + "".join(self._formula_text).strip()
        kind, reference = attributes.get("t"), attributes.get("ref")
        if kind == "shared":
            key = attributes.get("si", "")
            if text != "=":
                self._shared[key] = text
            text = self._shared.get(key, text)
        elif kind in ("array", "dataTable") and reference:
            self._book.budget.take(1, 0, f"sheet {self._sheet}")
            self.ranges.append((self._range(reference), text))
        return text

    def _refused(self, read: str, remedy: str) -> InputError:
        place = f"sheet {self._sheet}, cell {letters(self._column)}{self._row + 1}"
        return refused(self._book.file, place, read, remedy)


def _counts(text: str) -> bool:
    """Whether a text is a whole number that a workbook may count with."""
    return text.isascii() and text.isdecimal() and len(text) < 9
