"""Where a value of a product line stands in its files: row, heading and the cell as written.

Read again from the bytes kept with the line, and only when somebody asks.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, cast

from dutyline.catalogue.columns import FORMS, UNITS, Column, FileForm
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.sheets import Faults, Row, read_sheet

KINDS: dict[str, FileForm] = {form.file.removesuffix(".csv"): form for form in FORMS}
"""``motors``, ``pairings`` and so on: the form of their file."""

TRACE = "origins.csv"
"""File beside the others that says from which foreign cell each of ours came."""
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
    row = _rows(line, kind).get(key)
    held = None if row is None else row.values.get(field)
    if row is None or held is None or _plain(held) != _plain(value):
        return Origin(form.file, None, column.name, in_file_unit(column, value))
    return Origin(form.file, row.number, column.name, row.texts[field])


def cell_of(line: ProductLine, kind: str, key: tuple[Any, ...], heading: str) -> str:
    """The cell of a heading in the row of a part, as written; empty where there is none."""
    row = _rows(line, kind).get(key)
    fields = {column.name: column.field for column in KINDS[kind].columns}
    return "" if row is None else row.texts.get(fields[heading], "")


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


def _rows(line: ProductLine, kind: str) -> dict[Hashable, Row]:
    """Rows of a file by what names them; made at first use and kept with the line."""
    kept = cast("dict[str, dict[Hashable, Row]]", line.derived.setdefault("origins", {}))
    if kind not in kept:
        form = KINDS[kind]
        data = line.files.get(form.file)
        rows = [] if data is None else read_sheet(form, data, Faults(form.file))
        names = _KEYS.get(kind, ("name",))
        kept[kind] = {tuple(row.values.get(n) for n in names): row for row in rows}
    return kept[kind]
