"""The trace of a line's cells, told of its plain tables."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping

from dutyline.catalogue.library import TRACE
from dutyline.catalogue.origins import (
    KINDS,
    TRACE_HEADING,
    cells,
    places,
    places_by_key,
    trace_rows,
    written,
)
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.sheets import Faults, read_sheet


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
    now: dict[tuple[str, str], list[str]] = {}
    for file, number, column, cell, *source in trace_rows(data):
        found, field = moved.get(file, {}).get(number), _fields(file).get(column)
        if found is None or field is None or cell == "":
            continue
        old, new, row = found
        if (file, column) not in now:
            now[file, column] = cells(tables[file], column)
        was = _at(written(line, file.removesuffix(".csv"), field), old)
        text_now = _at(now[file, column], new)
        if was == cell and text_now:
            writer.writerow([file, row, column, text_now, *source])
    return text.getvalue().encode()


def _at(column: list[str], place: int) -> str:
    return column[place] if column else ""


def _moved(
    line: ProductLine, file: str, tables: Mapping[str, bytes]
) -> dict[str, tuple[int, int, int]]:
    """By the number of a row of the line's own file: its place, that in the plain one, its row."""
    kind = file.removesuffix(".csv")
    if kind not in KINDS:
        return {}
    plain = read_sheet(KINDS[kind], tables[file], Faults(file))
    by_key = places_by_key(kind, plain)
    own, own_by_key = places(line, kind)
    return {
        str(own.numbers[place]): (place, by_key[key], plain.numbers[by_key[key]])
        for key, place in own_by_key.items()
        if key in by_key
    }


def _fields(file: str) -> dict[str, str]:
    form = KINDS.get(file.removesuffix(".csv"))
    return {} if form is None else {column.name: column.field for column in form.columns}
