"""What is written runs nowhere and reads back as it was, with libraries of others."""

from __future__ import annotations

import csv
import io
import zipfile
from datetime import datetime
from unittest import mock

import openpyxl
import pytest

from dutyline.core.errors import InputError, RangeError
from dutyline.grids.guards import guarded, runs, unguarded
from dutyline.grids.read import grids_of
from dutyline.grids.write import Look, csv_bytes, sheet_names, xlsx_bytes

# Common practice against formulas in CSV files; no standard.
RUN = [
    "=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1+1", "\ufeff=1",
    "＝1+1", "＋1", "－1", "＠A1", "=HYPERLINK(\"http://a\")", "-cmd|' /C x'!A1", "'=1",
]  # fmt: skip
HARMLESS = ["A1", "-2.5", "+3", "-1e-3", "1-2", "a=b", "'tis", "µ", "2;-3", "", "'", "a, b"]


@pytest.mark.parametrize("text", RUN)
def test_what_would_run_gets_an_apostrophe(text):
    assert guarded(text).startswith("'")
    assert runs(text)
    assert unguarded(guarded(text)) == text


@pytest.mark.parametrize("text", HARMLESS)
def test_what_would_not_run_stays(text):
    assert guarded(text) == text == unguarded(text)


@pytest.mark.parametrize("mark", [",", ";", "\t", "\n"])
def test_a_row_cut_at_another_mark_runs_nothing(mark):
    data = csv_bytes([["a", f"x{mark}=1+1{mark}y"]]).decode()
    for cells in csv.reader(io.StringIO(data), delimiter=mark if mark != "\n" else ";"):
        assert not any(cell.lstrip('"').startswith("=") for cell in cells)


def test_numbers_stay_numbers_in_csv():
    rows = [["torque", None, True], [-2.5, 3, False], [1e-7, -4.0, 10**20]]
    data = csv_bytes(rows, separator=";", decimal=",")
    assert data == b"torque;;TRUE\n-2,5;3;FALSE\n1e-07;-4;100000000000000000000\n"
    assert csv_bytes([["é"]], mark=True).startswith(b"\xef\xbb\xbf")


def test_csv_as_the_standard_library_reads_it():
    rows = [["a", 'say "x"', "two\nlines", "r\rn", " b ", "c;d", "e\tf"]]
    back = list(csv.reader(io.StringIO(csv_bytes(rows).decode(), newline=""), strict=True))
    assert back == rows


@pytest.mark.parametrize(("separator", "decimal"), [("|", "."), (",", ","), (";", "'"), ("", ".")])
def test_separators_and_decimals_that_do_not_fit(separator, decimal):
    with pytest.raises(RangeError, match="needed"):
        csv_bytes([["a"]], separator=separator, decimal=decimal)


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_numbers_that_are_none(number):
    with pytest.raises(RangeError, match="finite"):
        csv_bytes([[number]])
    with pytest.raises(RangeError, match="finite"):
        xlsx_bytes({"a": [[number]]})


def test_a_workbook_holds_texts_and_numbers_only():
    rows = [["head", *RUN], ["http://a.example", "{=1}", "mailto:a", -2.5, 3, True, None, 2**60]]
    book = openpyxl.load_workbook(io.BytesIO(xlsx_bytes({"Parts": rows})))
    (sheet,) = book.worksheets
    cells = [cell for row in sheet.iter_rows() for cell in row]
    assert {cell.data_type for cell in cells} == {"s", "n", "b"}
    assert not any(cell.hyperlink for cell in cells)
    assert sheet["B1"].value == "=1+1"
    assert sheet["B1"].quotePrefix
    assert [cell.value for cell in sheet[2]][:8] == [
        "http://a.example", "{=1}", "mailto:a", -2.5, 3, True, None, str(2**60),
    ]  # fmt: skip
    names = zipfile.ZipFile(io.BytesIO(xlsx_bytes({"Parts": rows}))).namelist()
    assert not any("external" in name or "_rels/sheet" in name for name in names)


def test_a_workbook_has_the_same_bytes_at_any_time():
    data = xlsx_bytes({"a": [["b", 1.5]]})
    assert data == xlsx_bytes({"a": [["b", 1.5]]})
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    properties = openpyxl.load_workbook(io.BytesIO(data)).properties
    assert properties.created == properties.modified == datetime(2000, 1, 1)


def test_names_of_sheets():
    assert sheet_names(["History", "'a'", "", "x" * 40, "x" * 40, "a\tb"]) == [
        "History 2", "a", "Sheet", "x" * 31, "x" * 29 + " 2", "ab",
    ]  # fmt: skip


def test_texts_beyond_what_a_cell_holds():
    with pytest.raises(RangeError, match="40000 characters"):
        xlsx_bytes({"a": [["x" * 40_000]]})


def test_rows_beyond_what_a_sheet_holds():
    with pytest.raises(RangeError, match="beyond what a workbook holds"):
        xlsx_bytes({"a": [[""] * 16_384 + ["x"]]})


def test_without_the_library_the_way_out_is_told():
    without = mock.patch.dict("sys.modules", {"xlsxwriter": None})
    with without, pytest.raises(InputError, match="report extra, or ask for CSV"):
        xlsx_bytes({"a": [["b"]]})


def test_our_own_reader_reads_it_back():
    (grid,) = grids_of("a.xlsx", xlsx_bytes({"Parts": [["a", "=1"], [-2.5, True]]}))
    assert [list(row) for row in grid.rows] == [["a", "=1"], ["-2.5", "TRUE"]]
    assert not grid.formulas


def test_a_sheet_laid_out_for_people():
    rows = [["Item", "Why", "Price"], ["A", "word " * 20, 1234.5], ["=B", None, 2]]
    look = Look((8, 30, 12), prices=frozenset({2}))
    sheet = openpyxl.load_workbook(io.BytesIO(xlsx_bytes({"Order": rows}, look)))["Order"]
    assert sheet["B2"].alignment.wrap_text
    assert sheet["C2"].number_format == "#,##0.00"
    assert (sheet["A3"].value, sheet["A3"].data_type) == ("=B", "s")
    assert sheet["A3"].quotePrefix
    # five words and blanks fill 25 characters of the 30 in a wide font: four lines
    assert sheet.row_dimensions[2].height == 4 * 15
    assert sheet.row_dimensions[3].height is None  # the usual height
    assert sheet.page_setup.orientation == "landscape"
    assert sheet.print_title_rows in ("1:1", "$1:$1")
    assert [c.value for c in sheet[3]] == ["=B", None, 2]
