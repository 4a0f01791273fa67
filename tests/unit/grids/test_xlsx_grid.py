"""Sheets of workbooks as openpyxl and xlsxwriter write them: both are libraries of others."""

from __future__ import annotations

import io
from datetime import date, datetime, time, timedelta

import openpyxl
import pytest
import xlsxwriter

from dutyline.grids.read import grids_of


def read(book: openpyxl.Workbook):
    file = io.BytesIO()
    book.save(file)
    return grids_of("motors.xlsx", file.getvalue())


def sheet_of(*rows):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    return book, book.active


def test_texts_numbers_and_truth_values():
    book, _ = sheet_of(["motor", "torque"], [" A1 ", 2.5], ["B2", -3], [True, 0.1], [None, 1e-7])
    (grid,) = read(book)
    assert grid.file == "motors.xlsx"
    assert grid.sheet == "Sheet"
    assert [list(row) for row in grid.rows] == [
        ["motor", "torque"], ["A1", "2.5"], ["B2", "-3"], ["TRUE", "0.1"], ["", "1e-07"],
    ]  # fmt: skip
    assert grid.numbers == {(1, 1), (2, 1), (3, 1), (4, 1)}
    assert grid.place(2, 1) == "motors.xlsx, sheet Sheet, cell B3"


def test_dates_and_times_are_iso_texts():
    book, sheet = sheet_of(
        [date(2024, 2, 29), datetime(2024, 2, 29, 12, 30), time(6, 15), timedelta(hours=30)]
    )
    sheet["E1"] = 0.05
    sheet["E1"].number_format = "0.0%"
    sheet["F1"] = 45000
    sheet["F1"].number_format = '#,##0.00" days"'
    (grid,) = read(book)
    assert list(grid.rows[0]) == [
        "2024-02-29", "2024-02-29T12:30:00", "06:15:00", "30:00:00", "0.05", "45000",
    ]  # fmt: skip
    assert grid.numbers == {(0, 4), (0, 5)}
    assert grid.percents == {(0, 4)}


def test_dates_of_workbooks_that_count_from_1904():
    file = io.BytesIO()
    with xlsxwriter.Workbook(file, {"date_1904": True}) as book:
        sheet = book.add_worksheet()
        sheet.write_datetime(0, 0, datetime(2024, 2, 29), book.add_format({"num_format": 14}))
    (grid,) = grids_of("a.xlsx", file.getvalue())
    assert grid.text(0, 0) == "2024-02-29"


def test_errors_are_texts_and_told():
    book, sheet = sheet_of(["a"])
    sheet["B1"] = "#DIV/0!"
    sheet["B1"].data_type = "e"
    (grid,) = read(book)
    assert grid.text(0, 1) == "#DIV/0!"
    assert grid.errors == {(0, 1)}


def test_a_formula_is_its_text_never_its_value():
    file = io.BytesIO()
    with xlsxwriter.Workbook(file) as book:
        sheet = book.add_worksheet()
        sheet.write_formula("A1", "=1+1", None, 2)
        sheet.write_array_formula("A2:B3", "{=C1:D2*2}", None, 7)
        sheet.write_number("B2", 8)
        sheet.write_formula("C7", "='[other.xlsx]Data'!A1", None, 9)
    (grid,) = grids_of("a.xlsx", file.getvalue())
    assert grid.text(0, 0) == "=1+1"
    assert grid.formulas[6, 2].startswith("='[")
    for at in ((1, 0), (1, 1), (2, 0), (2, 1)):
        assert grid.formulas[at] == grid.text(*at) == "=C1:D2*2"
    assert not grid.numbers


def test_merged_cells_are_spread_as_far_as_the_sheet_is_filled():
    book, sheet = sheet_of(["Data", None, None, "d"], ["a", "b", "c", "e"])
    sheet.merge_cells("A1:C1")
    sheet.merge_cells("D2:D900")
    (grid,) = read(book)
    assert list(grid.rows[0]) == ["Data", "Data", "Data", "d"]
    assert grid.merged == ((0, 0, 0, 2),)


def test_sheets_keep_their_order_and_hidden_ones_are_told():
    book, sheet = sheet_of(["a"])
    sheet.title = "Motors"
    other = book.create_sheet("Kept back")
    other["B2"] = 1
    other.sheet_state = "veryHidden"
    other.row_dimensions[2].hidden = True
    other.column_dimensions["B"].hidden = True
    motors, hidden = read(book)
    assert (motors.sheet, motors.hidden, motors.remarks) == ("Motors", False, ())
    assert (hidden.sheet, hidden.hidden) == ("Kept back", True)
    assert hidden.rows[0] == []
    assert any("1 hidden row is read" in word for word in hidden.remarks)
    assert any("hidden columns are read as the others: B" in word for word in hidden.remarks)


@pytest.mark.parametrize("text", ["a\nb", "_x0041_", "ümlaut µ", "'quoted", "=no formula", "\x07"])
def test_texts_as_they_are(text):
    file = io.BytesIO()
    with xlsxwriter.Workbook(file) as book:
        book.add_worksheet().write_string("A1", text)
    (grid,) = grids_of("a.xlsx", file.getvalue())
    assert grid.text(0, 0) == text
    assert not grid.formulas


def test_rich_texts_are_joined():
    file = io.BytesIO()
    with xlsxwriter.Workbook(file) as book:
        bold = book.add_format({"bold": True})
        book.add_worksheet().write_rich_string("A1", "Nm ", bold, "rated", " here")
    (grid,) = grids_of("a.xlsx", file.getvalue())
    assert grid.text(0, 0) == "Nm rated here"
