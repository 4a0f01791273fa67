"""The trace of a line's cells, told of its plain tables."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping

from dutyline.catalogue.library import TRACE
from dutyline.catalogue.origins import KINDS, TRACE_HEADING, rows_by_key, rows_of, trace_rows
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.sheets import Faults, Row, read_sheet


def retold(line: ProductLine, tables: Mapping[str, bytes]) -> bytes | None:
    """``origins.csv`` for the plain tables of a line; None where nothing is known of its cells.

    A cell that was changed since it came has no trace any more.
    """
    data = line.files.get(TRACE)
    if data is None:
        return None
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(TRACE_HEADING)
    moved = {file: _moved(line, file, tables) for file in line.files if file in tables}
    for file, number, column, cell, *source in trace_rows(data):
        found = moved.get(file, {}).get(number)
        if found is None:
            continue
        field, (old, new) = _fields(file).get(column, ""), found
        if old.texts.get(field) == cell and field in new.texts:
            writer.writerow([file, new.number, column, new.texts[field], *source])
    return text.getvalue().encode()


def _moved(line: ProductLine, file: str, tables: Mapping[str, bytes]) -> dict[str, tuple[Row, Row]]:
    """By the number of a row of the line's own file: that row, and the plain one."""
    kind = file.removesuffix(".csv")
    if kind not in KINDS:
        return {}
    plain = read_sheet(KINDS[kind], tables[file], Faults(file))
    by_key = rows_by_key(kind, plain)
    return {
        str(row.number): (row, by_key[key])
        for key, row in rows_of(line, kind).items()
        if key in by_key
    }


def _fields(file: str) -> dict[str, str]:
    form = KINDS.get(file.removesuffix(".csv"))
    return {} if form is None else {column.name: column.field for column in form.columns}
