"""Where a value of a product line stands in its files: row, heading and the cell as written.

Read again from the bytes kept with the line, and only when somebody asks.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Hashable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, cast

from dutyline.catalogue.columns import FORMS, UNITS, Column, FileForm
from dutyline.catalogue.library import TRACE
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.sheets import Faults, Sheet, raw_column, read_sheet
from dutyline.grids.guards import unguarded

KINDS: dict[str, FileForm] = {form.file.removesuffix(".csv"): form for form in FORMS}
"""``motors``, ``pairings`` and so on: the form of their file."""

TRACE_HEADING = ("file", "row", "column", "text", "from_file", "from_sheet", "from_cell", "raw",
                 "unit", "convention")  # fmt: skip

_KEYS = {
    "curves": ("motor", "mains", "phases", "kind", "speed"),
    "pairings": ("kind", "left", "right", "mains", "phases"),
}
_COLUMNS: dict[tuple[str, str], Column] = {
    (kind, column.field): column for kind, form in KINDS.items() for column in form.columns
}


@dataclass(frozen=True, slots=True)
class Trace:
    """The foreign cell behind one of ours, where the line came through a mapping."""

    file: str
    sheet: str
    cell: str
    """``C7``; several are joined with ``+``; ``line 12`` for a constant of the mapping."""
    raw: str
    """As it stood."""
    unit: str = ""
    """As said by the mapping, the heading, the row of units or the cell."""
    convention: str = ""
    """What was applied: ``ampere peak; current line``."""

    def place(self) -> str:
        """For people: ``motors.xlsx, sheet Data, cell C7``."""
        if not self.cell[:1].isupper():
            return f"{self.file}, {self.cell}" if self.cell else self.file
        sheet = f", sheet {self.sheet}" if self.sheet else ""
        return f"{self.file}{sheet}, cell {self.cell}"

    def text(self) -> str:
        """Place, cell as it stood, unit and convention: ``..., cell C7: "10,5" lb-in``."""
        unit = f" {self.unit}" if self.unit and self.unit != "cell" else ""
        convention = f" ({self.convention})" if self.convention else ""
        return f'{self.place()}: "{self.raw}"{unit}{convention}'


@dataclass(frozen=True, slots=True)
class Origin:
    """Place of one value."""

    file: str
    """``motors.csv``"""
    row: int | None
    """As a text editor counts, the heading is row 1; None where no file holds this value."""
    column: str
    """Heading of the column, unit included."""
    raw: str
    """The cell as written; without a file the value in the unit of the heading."""
    source: Trace | None = None
    """The foreign cell that it came from; None where the file itself is the source."""


def column_of(kind: str, field: str) -> Column:
    """The column of a field of a kind of part (``motors``, ``curves``, ``pairings``)."""
    return _COLUMNS[kind, field]


def origin(line: ProductLine, kind: str, key: tuple[Any, ...], field: str, value: Any) -> Origin:
    """Where a value of a part stands.

    Parameters
    ----------
    kind : str
        ``motors``, ``gearheads``, ``drives``, ``brakes``, ``resistors``, ``curves`` or
        ``pairings``.
    key : tuple
        The name of the part alone; motor, mains, phases, kind and speed of a curve point; kind,
        left, right, mains and phases of a pairing.
    field : str
    value
        As the part holds it, SI. A file that holds another one is not where it came from.
    """
    form, column = KINDS[kind], column_of(kind, field)
    sheet, by_key = places(line, kind)
    place = by_key.get(key)
    held = None if place is None else sheet.column(field)[place]
    if place is None or held is None or _plain(held) != _plain(value):
        return Origin(form.file, None, column.name, in_file_unit(column, value))
    number, raw = sheet.numbers[place], written(line, kind, field)[place]
    return Origin(form.file, number, column.name, raw, _trace(line, kind, number, column, raw))


def cell_of(line: ProductLine, kind: str, key: tuple[Any, ...], heading: str) -> str:
    """The cell of a heading in the row of a part, as written; empty where there is none."""
    sheet, by_key = places(line, kind)
    fields = {column.name: column.field for column in KINDS[kind].columns}
    place, field = by_key.get(key), fields[heading]
    if place is None or sheet.column(field)[place] is None:
        return ""
    return written(line, kind, field)[place]


def in_file_unit(column: Column, value: Any, digits: int = 12) -> str:
    """A value in SI as it would be written in a cell of a column.

    >>> in_file_unit(column_of("motors", "inertia"), 4.7e-5)
    '0.47'
    """
    if not isinstance(value, (int, float)):
        return str(value)
    times, over, _ = UNITS[column.unit]
    return f"{float(value) * over / times:.{digits}g}"


def _plain(value: Any) -> Any:
    return float(value) if isinstance(value, Fraction) else value


def places(line: ProductLine, kind: str) -> tuple[Sheet, dict[Hashable, int]]:
    """A file and the places of its rows by what names them; made at first use and kept."""
    kept = cast("dict[str, tuple[Sheet, dict[Hashable, int]]]", _kept(line, "origins"))
    if kind not in kept:
        form = KINDS[kind]
        data = line.files.get(form.file)
        sheet = Sheet() if data is None else read_sheet(form, data, Faults(form.file))
        kept[kind] = sheet, places_by_key(kind, sheet)
    return kept[kind]


def places_by_key(kind: str, sheet: Sheet) -> dict[Hashable, int]:
    """Places of the rows of a file by what names them."""
    keys = zip(*map(sheet.column, _KEYS.get(kind, ("name",))), strict=True)
    return {key: place for place, key in enumerate(keys)}


def written(line: ProductLine, kind: str, field: str) -> list[str]:
    """Cells of a column of a file that is at hand; read at first use and kept."""
    kept = cast("dict[tuple[str, str], list[str]]", _kept(line, "cells as written"))
    if (kind, field) not in kept:
        kept[kind, field] = cells(line.files[KINDS[kind].file], column_of(kind, field).name)
    return kept[kind, field]


def cells(data: bytes, heading: str) -> list[str]:
    """Cells of a column as written, row by row; none where the file has no such column."""
    try:
        return raw_column(data, heading)
    except ValueError:
        return []


def _kept(line: ProductLine, name: str) -> Any:
    return line.derived.setdefault(name, {})


def _trace(line: ProductLine, kind: str, number: int, column: Column, raw: str) -> Trace | None:
    """The foreign cell, as long as ours still holds what was written from it."""
    data = line.files.get(TRACE)
    if data is None:
        return None
    kept = cast("dict[tuple[str, str, str], list[str]]", line.derived.setdefault("trace", {}))
    if not kept:
        kept.update({(r[0], r[1], r[2]): r[3:] for r in trace_rows(data)})
    found = kept.get((KINDS[kind].file, str(number), column.name))
    if found is None or found[0] != raw:
        return None
    return Trace(*map(unguarded, found[1:]))


def trace_rows(data: bytes) -> list[list[str]]:
    """Rows of ``origins.csv``; none of a file of another form."""
    try:
        rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))
    except (UnicodeDecodeError, csv.Error):
        return []
    width = len(TRACE_HEADING)
    if not rows or tuple(rows[0]) != TRACE_HEADING:
        return []
    return [[unguarded(cell) for cell in row] for row in rows[1:] if len(row) == width]
