"""Tables of ours as the bytes of our files, and the trace of their cells beside them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping

from dutyline.catalogue.columns import Column, FileForm
from dutyline.catalogue.origins import KINDS
from dutyline.catalogue.trace import Run, runs_bytes
from dutyline.grids.guards import guarded
from dutyline.intake.trace import Table

FIRST_ROW = 2
"""The row below the heading, as an editor counts."""


def file_bytes(form: FileForm, table: Table) -> bytes:
    """One of our files: columns that any row fills, and those that every file needs.

    Words that a spreadsheet would run are guarded, as in every file of ours.
    """
    shown = [c for c in form.columns if c.required or c.field in _filled(table)]
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([column.name for column in shown])
    writer.writerows(zip(*(_cells(column, table) for column in shown), strict=True))
    return text.getvalue().encode()


def trace_bytes(tables: Mapping[str, Table]) -> bytes:
    """``origins.csv``: from which foreign cells ours came."""
    return runs_bytes(_runs(tables))


def _filled(table: Table) -> set[str]:
    return {name for name, lane in table.lanes.items() if any(lane.texts)}


def _cells(column: Column, table: Table) -> list[str]:
    lane = table.lanes.get(column.field)
    if lane is None:
        return [""] * table.count
    if column.kind in ("number", "int"):  # written by us, never words
        return lane.texts
    safe = {text: guarded(text) for text in set(lane.texts)}
    return [safe[text] for text in lane.texts]


def _runs(tables: Mapping[str, Table]) -> Iterator[Run]:
    for kind, form in KINDS.items():
        table = tables.get(form.file, Table())
        for column in form.columns:
            if column.field in table.lanes:
                yield from table.lanes[column.field].runs(f"{kind}.csv", column.name, FIRST_ROW)
