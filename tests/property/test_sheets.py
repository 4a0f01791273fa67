"""Rows read many at a time are what reading them cell by cell makes of them, faults and all."""

from __future__ import annotations

import csv
import io
from unittest.mock import patch

from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.catalogue import sheets
from dutyline.catalogue.cells import CellError, cell_value
from dutyline.catalogue.columns import FORMS, FileForm
from dutyline.core.errors import Fault

GOOD = {
    "number": ["1", "0.5", "12", "3e1", " 2 ", "99.5"],
    "text": ["A", "H", "72", ""],
    "name": ["M1", "M2", " M3"],
    "int": ["1", "3", "3.0"],
    "ratio": ["91/9", "12.25", "1e1", "6"],
    "list": ["54;72", "60"],
    "ints": ["1;3", "3"],
    "pairs": ["1.2:14;3:0.6"],
}
ODD = ["", " ", "-1", "1,5", "nan", "1e999", "0", "x" * 90, "5 mm", "1e13", "tab\there", "ü", "1/0"]


@st.composite
def files(draw: st.DrawFn) -> tuple[FileForm, bytes]:
    """A file of some columns of a form, in which few or many cells are odd."""
    form = draw(st.sampled_from(FORMS))
    needed = [c for c in form.columns if c.required]
    others = draw(st.lists(st.sampled_from(form.columns), max_size=6, unique=True))
    columns = draw(st.permutations([*needed, *(c for c in others if not c.required)]))
    heading = [c.name for c in columns]
    if draw(st.integers(0, 9)) == 0:
        heading.append(draw(st.sampled_from(["strange", "", heading[0]])))
    odd = draw(st.sampled_from([0.0, 0.0, 0.01, 0.2]))
    random = draw(st.randoms(use_true_random=False))
    rows = []
    for _ in range(draw(st.integers(0, 30))):
        cells = [
            random.choice(ODD if random.random() < odd else [*c.choices, *GOOD[c.kind]])
            for c in columns
        ]
        cells += ["1"] * (len(heading) - len(cells))
        if random.random() < odd / 4:
            cells = cells[:-1]
        rows.append([] if random.random() < odd / 4 else cells)
    text = io.StringIO()
    csv.writer(text, lineterminator=draw(st.sampled_from(["\n", "\r\n"]))).writerows(
        [heading, *rows]
    )
    return form, text.getvalue().encode()


def as_read(form: FileForm, data: bytes) -> tuple[sheets.Sheet, list[Fault], bool]:
    faults = sheets.Faults(form.file)
    return sheets.read_sheet(form, data, faults), faults.all(), faults.stopped


@settings(max_examples=300)
@given(files(), st.sampled_from([1, 2, 7, 1000]))
def test_rows_together_are_rows_cell_by_cell(file: tuple[FileForm, bytes], at_once: int) -> None:
    with patch.object(sheets, "_AT_ONCE", at_once):
        together = as_read(*file)
    with patch.object(sheets, "all_read", lambda *_: None):
        alone = as_read(*file)
    assert together == alone


@settings(max_examples=300)
@given(files())
def test_a_sheet_holds_what_a_plain_reader_of_csv_finds(file: tuple[FileForm, bytes]) -> None:
    """The csv module and the meaning of one cell, row by row."""
    form, data = file
    sheet, faults, _ = as_read(form, data)
    named = {c.name: c for c in form.columns}
    reader = csv.reader(io.StringIO(data.decode(), newline=""))
    heading, *rows = [row for row in reader if any(cell.strip() for cell in row)]
    well = len(set(heading)) == len(heading) and set(heading) <= set(named)
    expected = []
    for row in rows:
        values = {}
        well = well and len(row) == len(heading)
        for name, cell in zip(heading, row, strict=False):
            try:
                if cell.strip() and name in named:
                    values.setdefault(named[name].field, cell_value(named[name], cell.strip()))
                well = well and bool(cell.strip() or not named[name].required)
            except (CellError, KeyError):
                well = False
        expected.append(values if len(row) == len(heading) else {})
    if form.rows_needed and not any(expected):
        well = False
    assert well == (not faults)
    if well:
        assert [row.values for row in sheet] == expected
