"""CSV of any form: what stands in the cells, where, and what was found by looking."""

from __future__ import annotations

import codecs

import pytest

from dutyline.core.errors import InputError
from dutyline.grids import csv_grid, limits
from dutyline.grids.read import grids_of, read_grids

TABLE = [["motor", "torque"], ["A1", "2,5"], ["B2", "-3,75"]]


def read(data: bytes | str, name: str = "motors.csv", **options: str):
    raw = data if isinstance(data, bytes) else data.encode()
    (grid,) = grids_of(name, raw, **options)
    return grid


def refusal(data: bytes | str, name: str = "motors.csv", **options: str) -> str:
    with pytest.raises(InputError) as found:
        read(data, name, **options)
    return found.value.text()


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_the_separator_is_found_and_told(mark):
    grid = read(mark.join("abc") + "\n" + mark.join("123") + "\n")
    assert grid.separator == mark
    assert [list(row) for row in grid.rows] == [list("abc"), list("123")]
    assert grid.sheet == ""


def test_decimal_commas_between_semicolons():
    grid = read("motor;torque;speed\nA1;2,5;1,5\nB2;3,75;2,5\n")
    assert grid.separator == ";"
    assert grid.text(2, 1) == "3,75"


def test_lists_with_semicolons_between_commas():
    grid = read("drive,phases\nD1,1;3\nD2,1;3\n")
    assert grid.separator == ","
    assert grid.text(1, 1) == "1;3"


def test_two_separators_that_fit_alike_are_asked_about():
    data = "1,5;2,5\n3,5;4,5\n"
    text = refusal(data)
    assert "semicolon and comma cut the rows equally well" in text
    assert 'separator = ";"' in text
    assert read(data, separator=";").text(0, 1) == "2,5"


def test_a_first_line_may_state_the_separator():
    grid = read("sep=;\nmotor;torque\nA1;2,5\n")
    assert grid.separator == ";"
    assert grid.place(0) == "motors.csv, row 2"
    assert grid.text(0, 0) == "motor"


@pytest.mark.parametrize(
    ("code", "told"),
    [("utf-8", "utf-8-sig"), ("utf-8-sig", "utf-8-sig"), ("utf-16", "utf-16")],
)
def test_encodings_that_are_found_by_looking(code, told):
    grid = read("Moment;Größe µ\n1;2\n".encode(code))
    assert grid.text(0, 0) == "Moment"
    assert grid.text(0, 1) == "Größe µ"
    assert grid.encoding == told


def test_big_endian_by_its_mark():
    data = codecs.BOM_UTF16_BE + "a;é\n".encode("utf-16-be")
    assert read(data).text(0, 1) == "é"


def test_windows_text_only_when_it_is_named():
    data = "Größe;°C\n1;2\n".encode("cp1252")
    text = refusal(data)
    assert "row 1" in text
    assert "byte 0xf6 is not UTF-8" in text
    assert 'encoding = "cp1252"' in text
    assert read(data, encoding="cp1252").text(0, 0) == "Größe"


def test_a_bad_byte_far_down_is_told_with_its_row():
    data = codecs.BOM_UTF8 + b"a;b\n" * 30_000 + b"c;\xff\n"
    assert "row 30001: byte 0xff" in refusal(data)


def test_two_byte_text_without_a_mark_says_what_to_name():
    assert 'encoding = "utf-16-le"' in refusal("a;b\nc;d\n".encode("utf-16-le"))


def test_encodings_that_are_not_known():
    assert "utf-8, utf-16" in refusal("a;b\n", encoding="utf-7")
    assert "one of" in refusal("a;b\n", encoding="no\0such")


def test_separators_that_are_not_known():
    assert "semicolon, tab, comma" in refusal("a|b\n", separator="|")


def test_quotes_hold_separators_quotes_and_line_breaks():
    grid = read('name,note\n"A, 1","two\nlines"\nB,"say ""x"""\n')
    assert grid.text(1, 0) == "A, 1"
    assert grid.text(1, 1) == "two\nlines"
    assert grid.text(2, 1) == 'say "x"'
    assert grid.place(2, 1) == "motors.csv, cell B4"


def test_a_quote_left_open_is_told_with_the_row_where_it_begins():
    text = refusal('a,b\nc,"d\ne,f\n')
    assert "row 2" in text
    assert "quote left open" in text


def test_blank_rows_stay_and_blanks_around_cells_go():
    grid = read("\n a , b \n\n1,2\n\n\n")
    assert [list(row) for row in grid.rows] == [[], ["a", "b"], [], ["1", "2"]]
    assert grid.place(3) == "motors.csv, row 4"


def test_what_looks_like_a_formula_is_text():
    grid = read("a,b\n=1+1,@x\n+3,-4\n")
    assert grid.text(1, 0) == "=1+1"
    assert not grid.formulas
    assert not grid.numbers


@pytest.mark.parametrize("data", ["", "\n\n", "\ufeff", " \n,,\n"])
def test_files_without_a_cell(data):
    assert "is empty" in refusal(data)


def test_limits_of_rows_columns_cells_and_text(monkeypatch):
    monkeypatch.setattr(csv_grid, "MOST_ROWS", 3)
    assert "row 4: is beyond the 3 rows" in refusal("a,b\n" * 4)
    assert len(read("a,b\n" * 3).rows) == 3
    monkeypatch.setattr(csv_grid, "MOST_COLUMNS", 3)
    assert "has 4 cells, beyond the 3 columns" in refusal("a,b,c,d\n")
    monkeypatch.setattr(csv_grid, "LONGEST_CELL", 5)
    assert "has a cell of 6 characters" in refusal("a,bcdefg\n")
    monkeypatch.setattr(limits, "MOST_CELLS", 5)
    assert "beyond the 5 cells" in refusal("a,b\n" * 3)
    monkeypatch.setattr(limits, "MOST_CELLS", 100)
    monkeypatch.setattr(limits, "MOST_TEXT", 5)
    assert "row 3: goes beyond the 5 characters" in refusal("a,b\n" * 3)


def test_a_cell_longer_than_the_csv_reader_takes():
    assert "row 1" in refusal("a," + "x" * 200_000)


def test_workbooks_under_another_name():
    assert "is a workbook by what it holds" in refusal(b"PK\x03\x04rest")


@pytest.mark.parametrize(
    "ending", [".xls", ".ods", ".xlsm", ".xlsb", ".numbers", ".pdf", ".doc", ""]
)
def test_other_endings_say_what_is_needed(ending):
    text = refusal("a,b\n", name=f"motors{ending}")
    assert ".csv, .tsv, .txt or .xlsx is needed" in text
    assert "Save the table as" in text


def test_files_are_read_from_disk(tmp_path):
    (tmp_path / "motors.tsv").write_text("a\tb\n", encoding="utf-8")
    (grid,) = read_grids(tmp_path / "motors.tsv")
    assert grid.file == "motors.tsv"
    assert grid.separator == "\t"
    with pytest.raises(InputError, match=r"none\.csv: the file is missing"):
        read_grids(tmp_path / "none.csv")
    with pytest.raises(InputError, match="got int"):
        read_grids(3)
