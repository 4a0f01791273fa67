"""One file of a product line: from bytes to rows of values, with every fault on the way."""

from __future__ import annotations

import csv
import io
from array import array
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from dutyline.catalogue.cells import CellError, CellValue, cell_value, need_of
from dutyline.catalogue.columns import Column, FileForm
from dutyline.catalogue.readings import Readings, Values, all_read
from dutyline.core.errors import Fault
from dutyline.grids.guards import unguarded

MOST_BYTES = 20_000_000
MOST_ROWS = 200_000
MOST_FAULTS = 300
"""Faults told one by one per file; those beyond are counted."""

_AT_ONCE = 1000
"""Rows that are read together."""
_SHOWN = 40
_MOST_COMPARED = 500
_HEADING = "Write the row of column names first."


Block = tuple[list[int], list[list[str]]]
"""Some rows: first line of each, and cells."""


@dataclass(slots=True)
class Faults:
    """Faults of one file as they are met."""

    file: str
    found: list[Fault] = field(default_factory=list)
    beyond: int = 0
    stopped: bool = False
    """True when rows may exist that were not read."""

    @property
    def full(self) -> bool:
        """Whether further faults are only counted."""
        return len(self.found) >= MOST_FAULTS

    def add(self, row: int | None, column: str, read: str, remedy: str = "") -> None:
        """Keep one fault; rows count as a text editor counts, the header is row 1."""
        if self.full:
            self.beyond += 1
            return
        place = self.file
        if row is not None:
            place += f", row {row}"
        if column:
            place += f", column {column}"
        self.found.append(Fault(place, "", read, remedy))

    def all(self) -> list[Fault]:
        """Every fault, with a last one that counts what is not listed."""
        if not self.beyond:
            return self.found
        more = Fault(self.file, "", f"{self.beyond} more faults of this file are not listed.")
        return [*self.found, more]


@dataclass(frozen=True, slots=True)
class Row:
    """The usable cells of one row, by field."""

    number: int
    values: dict[str, CellValue]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The usable cells of a file, by field and row; equal cells of a column are one object."""

    numbers: array[int] = field(default_factory=lambda: array("l"))
    """(n,) first line of each row, as a text editor counts"""
    columns: dict[str, Values] = field(default_factory=dict)
    """(n,) of each field that the file has a column for, None where a cell is empty or at fault"""

    def __len__(self) -> int:
        return len(self.numbers)

    def __iter__(self) -> Iterator[Row]:
        return map(self.row, range(len(self)))

    def row(self, place: int) -> Row:
        """The row at a place, from 0."""
        values = {name: column[place] for name, column in self.columns.items()}
        given = {name: value for name, value in values.items() if value is not None}
        return Row(self.numbers[place], given)

    def column(self, name: str) -> Values:
        """(n,) values of a field, all None where the file has no column for it."""
        return self.columns.get(name) or [None] * len(self)


def quoted(text: str) -> str:
    """A piece of what was read, short and printable."""
    short = text if len(text) <= _SHOWN else text[:_SHOWN] + "…"
    return '"' + "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in short) + '"'


def nearest(word: str, known: Sequence[str]) -> str:
    """``Did you mean X?`` or an empty text; of many words, those that begin alike are compared."""
    from difflib import get_close_matches

    if len(known) > _MOST_COMPARED:
        known = [other for other in known if other[:2] == word[:2]][:_MOST_COMPARED]
    close = get_close_matches(word[:200], known, n=1, cutoff=0.6)
    return f"Did you mean {close[0]}?" if close else ""


def read_sheet(form: FileForm, data: bytes, faults: Faults) -> Sheet:
    """Cells of one file; what is wrong goes to ``faults``."""
    faults.stopped = True
    sheet = Sheet()
    if not _decodes(data, faults):
        return sheet
    blocks = _blocks(data, faults)
    numbers, rows = next(blocks)
    if not rows:
        faults.add(None, "", "is empty; a row of column names is needed.", _HEADING)
        return sheet
    heading = [cell.strip() for cell in rows[0]]
    columns = _columns(form, heading, numbers[0], faults)
    if not columns:
        return sheet
    faults.stopped = False
    _fill(sheet, columns, heading, blocks, faults)
    if form.rows_needed and all(v is None for column in sheet.columns.values() for v in column):
        faults.add(
            None, "", f"has no row; at least one {form.part} is needed.", "Write a row for each."
        )
    return sheet


def _fill(
    sheet: Sheet,
    columns: list[Column | None],
    heading: list[str],
    blocks: Iterable[Block],
    faults: Faults,
) -> None:
    """Rows block by block; one with a fault in it once more, cell by cell."""
    sheet.columns.update((column.field, []) for column in columns if column)
    readings = [Readings(column) if column else None for column in columns]
    for numbers, cells in blocks:
        sheet.numbers.extend(numbers)
        found = all_read(readings, cells)
        if found is None:
            rows = [
                _row(columns, heading, *row, faults) for row in zip(numbers, cells, strict=True)
            ]
            found = [[row.values.get(c.field) for row in rows] if c else None for c in columns]
        for column, values in zip(columns, found, strict=True):
            if column and values:
                sheet.columns[column.field].extend(values)


def raw_column(data: bytes, name: str) -> list[str]:
    """Cells of one column as written, row by row, of a file that was read without a fault."""
    rows = (row for _, block in _blocks(data, Faults("")) for row in block)
    place = [cell.strip() for cell in next(rows)].index(name)
    one: dict[str, str] = {}
    return [one.setdefault(cell, cell) for cell in (row[place].strip() for row in rows)]


def raw_columns(data: bytes) -> dict[str, list[str]]:
    """As :func:`raw_column`, every column by its heading in one pass."""
    rows = [row for _, block in _blocks(data, Faults("")) for row in block]
    heading, *body = rows or [[]]
    turned = zip(*body, strict=True) if body else ((),) * len(heading)
    return {
        name.strip(): [cell.strip() for cell in column]
        for name, column in zip(heading, turned, strict=True)
    }


def _decodes(data: bytes, faults: Faults) -> bool:
    if len(data) > MOST_BYTES:
        size = MOST_BYTES // 1_000_000
        read = f"is larger than {size} MB; a smaller file is needed."
        faults.add(None, "", read, "Check that it is the right file.")
        return False
    try:
        data.decode("utf-8")
        return True
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        faults.add(
            row,
            "",
            f"byte 0x{data[error.start]:02x} is not UTF-8; text encoded as UTF-8 is needed.",
            "Save the file as CSV UTF-8.",
        )
        return False


def _blocks(data: bytes, faults: Faults) -> Iterator[Block]:
    """Rows that are not empty: the first alone, or none, then some at a time."""
    text = io.TextIOWrapper(io.BytesIO(data), encoding="utf-8-sig", newline="")
    reader = csv.reader(text, strict=True)
    numbers: list[int] = []
    rows: list[list[str]] = []
    count, number = 0, 1
    try:
        for cells in reader:
            if any(map(str.strip, cells)):
                if count > MOST_ROWS:
                    read = f"is beyond the {MOST_ROWS} rows that a file may hold."
                    faults.add(number, "", read, "Split the line into several folders.")
                    faults.stopped = True
                    break
                count += 1
                numbers.append(number)
                rows.append(cells)
                if len(rows) == _AT_ONCE or count == 1:
                    yield numbers, rows
                    numbers, rows = [], []
            number = reader.line_num + 1
    except csv.Error as error:
        faults.add(number, "", f"is not a CSV row ({error}).", "Look for a quote left open.")
        faults.stopped = True
    if rows or not count:
        yield numbers, rows


def _columns(
    form: FileForm, heading: list[str], number: int, faults: Faults
) -> list[Column | None]:
    """Column of each cell of the heading, None where it is unknown; empty when unusable."""
    known = {column.name: column for column in form.columns}
    if len(heading) == 1 and heading[0] not in known:
        for mark, word in ((";", "semicolons"), ("\t", "tabs")):
            if mark in heading[0]:
                read = f"cells are separated by {word}; commas are needed."
                faults.add(number, "", read, "Save the file with commas and decimal points.")
                return []
    found: list[Column | None] = []
    for place, name in enumerate(heading):
        if name in heading[:place]:
            read = "the column stands twice; it is needed once."
            faults.add(number, name, read, "Remove one of the two.")
            found.append(None)
            continue
        if name not in known:
            remedy = nearest(name, list(known)) or "Remove the column, or keep it in another file."
            if name:
                faults.add(number, "", f"unknown column {quoted(name)}.", remedy)
            else:
                faults.add(number, "", f"cell {place + 1} of the heading is empty.", remedy)
        found.append(known.get(name))
    for column in form.columns:
        if column.required and column.name not in heading:
            read = f"the column {column.name} is missing; it is needed."
            faults.add(number, "", read, "Add it to the heading and to every row.")
    return found


def _row(
    columns: list[Column | None],
    heading: list[str],
    number: int,
    cells: list[str],
    faults: Faults,
) -> Row:
    values: dict[str, CellValue] = {}
    if len(cells) != len(heading):
        remedy = "Add the missing commas; a value that is not known is an empty cell."
        if len(cells) > len(heading):
            remedy = "A decimal comma makes two cells of one number: write a decimal point."
        faults.add(
            number,
            "",
            f"has {len(cells)} cells; {len(heading)} are needed, as in the heading.",
            remedy,
        )
        return Row(number, values)
    for column, cell in zip(columns, cells, strict=True):
        if column is None:
            continue
        text = unguarded(cell.strip())
        if not text:
            if column.required:
                read = f"is empty; {need_of(column)} is needed."
                faults.add(number, column.name, read, "Fill the cell, or remove the row.")
            continue
        try:
            values[column.field] = cell_value(column, text)
        except CellError as fault:
            read = f"read {quoted(text)}; {fault.need} is needed."
            faults.add(number, column.name, read, fault.remedy or _remedy(column, text))
    return Row(number, values)


def _remedy(column: Column, text: str) -> str:
    near = nearest(text, column.choices) if column.choices else ""
    empty = "" if column.required else " An empty cell says that it is not known."
    return near or f"Correct the cell.{empty}"
