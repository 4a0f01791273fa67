"""Rows of ours as the bytes of our files, and the trace of their cells beside them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence

from dutyline.catalogue.columns import FORMS, Column, FileForm
from dutyline.catalogue.origins import TRACE_HEADING
from dutyline.grids.guards import guarded
from dutyline.intake.trace import Record

FIRST_ROW = 2
"""The row below the heading, as an editor counts."""


def file_bytes(form: FileForm, records: Sequence[Record]) -> bytes:
    """One of our files: columns that any row fills, and those that every file needs."""
    filled = {field for record in records for field in record}
    columns = [c for c in form.columns if c.required or c.field in filled]
    rows = (
        [_cell(c, record[c.field].text) if c.field in record else "" for c in columns]
        for record in records
    )
    return _csv([c.name for c in columns], rows)


def _cell(column: Column, text: str) -> str:
    """Words that a spreadsheet would run are guarded, as in every file of ours."""
    return guarded(text) if column.kind in ("text", "name") else text


def trace_bytes(tables: Mapping[str, Sequence[Record]]) -> bytes:
    """``origins.csv``: one row for each cell that came from elsewhere."""
    return _csv(TRACE_HEADING, _traces(tables))


def _traces(tables: Mapping[str, Sequence[Record]]) -> Iterator[list[str]]:
    for form in FORMS:
        names = {column.field: column.name for column in form.columns}
        for number, record in enumerate(tables.get(form.file, ()), start=FIRST_ROW):
            for field, cell in record.items():
                t = cell.trace
                raw = guarded(" ".join(t.raw.split()))
                yield [form.file, str(number), names[field], guarded(cell.text), guarded(t.file),
                       guarded(t.sheet), t.cell, raw, guarded(t.unit), t.convention]  # fmt: skip


def _csv(heading: Iterable[str], rows: Iterable[list[str]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(list(heading))
    writer.writerows([guarded(cell) for cell in row] for row in rows)
    return text.getvalue().encode()
