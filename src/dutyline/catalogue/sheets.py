"""One file of a product line: from bytes to rows of values, with every fault on the way."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from dutyline.catalogue.cells import CellError, CellValue, cell_value, need_of
from dutyline.catalogue.columns import Column, FileForm
from dutyline.core.errors import Fault
from dutyline.grids.guards import unguarded

MOST_BYTES = 20_000_000
MOST_ROWS = 200_000
MOST_FAULTS = 300
"""Faults told one by one per file; those beyond are counted."""

_SHOWN = 40
_HEADING = "Write the row of column names first."


@dataclass(slots=True)
class Faults:
    """Faults of one file as they are met."""

    file: str
    found: list[Fault] = field(default_factory=list)
    beyond: int = 0
    stopped: bool = False
    """True when rows may exist that were not read."""

    def add(self, row: int | None, column: str, read: str, remedy: str = "") -> None:
        """Keep one fault; rows count as a text editor counts, the header is row 1."""
        if len(self.found) >= MOST_FAULTS:
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
    texts: dict[str, str] = field(default_factory=dict)
    """The cells as written."""


def quoted(text: str) -> str:
    """A piece of what was read, short and printable."""
    short = text if len(text) <= _SHOWN else text[:_SHOWN] + "…"
    return '"' + "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in short) + '"'


def nearest(word: str, known: Sequence[str]) -> str:
    """``Did you mean X?`` or an empty text."""
    from difflib import get_close_matches

    close = get_close_matches(word[:200], known, n=1, cutoff=0.6)
    return f"Did you mean {close[0]}?" if close else ""


def read_sheet(form: FileForm, data: bytes, faults: Faults) -> list[Row]:
    """Rows of one file in their order; what is wrong goes to ``faults``."""
    faults.stopped = True
    text = _decoded(data, faults)
    if text is None:
        return []
    records = _records(text, faults)
    first = next(records, None)
    if first is None:
        faults.add(None, "", "is empty; a row of column names is needed.", _HEADING)
        return []
    heading = [cell.strip() for cell in first[1]]
    columns = _columns(form, heading, first[0], faults)
    if not columns:
        return []
    faults.stopped = False
    rows = [_row(columns, heading, number, cells, faults) for number, cells in records]
    if form.rows_needed and not any(row.values for row in rows):
        faults.add(
            None, "", f"has no row; at least one {form.part} is needed.", "Write a row for each."
        )
    return rows


def _decoded(data: bytes, faults: Faults) -> str | None:
    if len(data) > MOST_BYTES:
        size = MOST_BYTES // 1_000_000
        read = f"is larger than {size} MB; a smaller file is needed."
        faults.add(None, "", read, "Check that it is the right file.")
        return None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start) + 1
        faults.add(
            row,
            "",
            f"byte 0x{data[error.start]:02x} is not UTF-8; text encoded as UTF-8 is needed.",
            "Save the file as CSV UTF-8.",
        )
        return None


def _records(text: str, faults: Faults) -> Iterator[tuple[int, list[str]]]:
    """Number of its first line and the cells of every row that is not empty."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    count = 0
    while True:
        number = reader.line_num + 1
        try:
            cells = next(reader, None)
        except csv.Error as error:
            faults.add(number, "", f"is not a CSV row ({error}).", "Look for a quote left open.")
            faults.stopped = True
            return
        if cells is None:
            return
        if not any(cell.strip() for cell in cells):
            continue
        count += 1
        if count > MOST_ROWS + 1:
            read = f"is beyond the {MOST_ROWS} rows that a file may hold."
            faults.add(number, "", read, "Split the line into several folders.")
            faults.stopped = True
            return
        yield number, cells


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
        elif name not in known:
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
    texts: dict[str, str] = {}
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
            texts[column.field] = text
        except CellError as fault:
            read = f"read {quoted(text)}; {fault.need} is needed."
            faults.add(number, column.name, read, fault.remedy or _remedy(column, text))
    return Row(number, values, texts)


def _remedy(column: Column, text: str) -> str:
    near = nearest(text, column.choices) if column.choices else ""
    empty = "" if column.required else " An empty cell says that it is not known."
    return near or f"Correct the cell.{empty}"
