"""Where a value of a product line stands in its files: row, heading and the cell as written.

Read again from the bytes kept with the line, and only when somebody asks.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, cast

from dutyline.catalogue.columns import FORMS, FURTHER, UNITS, Column, FileForm
from dutyline.catalogue.library import TRACE
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.sheets import Faults, Sheet, raw_column, read_sheet
from dutyline.catalogue.trace import Trace, Traced, read_runs
from dutyline.grids.guards import unguarded

KINDS: dict[str, FileForm] = {form.file.removesuffix(".csv"): form for form in (*FORMS, *FURTHER)}
"""``motors``, ``pairings`` and so on: the form of their file."""

_KEYS = {
    "curves": ("motor", "mains", "phases", "kind", "speed"),
    "pairings": ("kind", "left", "right", "mains", "phases"),
}
_COLUMNS: dict[tuple[str, str], Column] = {
    (kind, column.field): column for kind, form in KINDS.items() for column in form.columns
}


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
        return list(map(unguarded, raw_column(data, heading)))
    except ValueError:
        return []


def _kept(line: ProductLine, name: str) -> Any:
    return line.derived.setdefault(name, {})


def _trace(line: ProductLine, kind: str, number: int, column: Column, raw: str) -> Trace | None:
    """The foreign cell, as long as ours still holds what was written from it."""
    data = line.files.get(TRACE)
    if data is None:
        return None
    if "trace" not in line.derived:
        line.derived["trace"] = Traced(read_runs(data))
    traced = cast("Traced", line.derived["trace"])
    return traced.find(KINDS[kind].file, column.name, number, raw)
