"""The trace of a line's cells, told of its plain tables."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping

from dutyline.catalogue.library import TRACE
from dutyline.catalogue.origins import (
    KINDS,
    TRACE_HEADING,
    places,
    places_by_key,
    trace_rows,
)
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.sheets import Faults, raw_columns, read_sheet
from dutyline.grids.guards import guarded, unguarded


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
    files = [file for file in line.files if file in tables]
    moved = {file: _moved(line, file, tables) for file in files}
    before = {file: raw_columns(line.files[file]) for file in files}
    now = {file: raw_columns(tables[file]) for file in files}
    for file, number, column, cell, *source in trace_rows(data):
        found = moved.get(file, {}).get(number)
        if found is None or column not in before[file] or cell == "":
            continue
        old, new, row = found
        told = now[file].get(column)
        if told and told[new] and unguarded(before[file][column][old]) == cell:
            writer.writerow([file, row, column, told[new], *map(guarded, source)])
    return text.getvalue().encode()


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
