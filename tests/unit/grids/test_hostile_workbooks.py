"""Workbooks made to hurt: each is refused with its place, none is followed, run or unpacked whole.

What attackers do with zip and XML is common knowledge (decompression bombs, overlapping names,
entity expansion); the limits are ours and stated in dutyline.grids.limits.
"""

from __future__ import annotations

import io
import struct
import warnings
import zipfile

import openpyxl
import pytest

from dutyline.core.errors import InputError
from dutyline.grids import archive, limits, markup, xlsx_grid, xlsx_texts
from dutyline.grids.read import grids_of
from support.workbooks import RELATION, RELATIONS, packed, parts_of, sheet_xml, workbook

ONE = '<row r="1"><c r="A1"><v>1</v></c></row>'


def read(data: bytes):
    return grids_of("motors.xlsx", data)


def refusal(data: bytes) -> str:
    with pytest.raises(InputError) as found:
        read(data)
    text = found.value.text()
    assert text.startswith("motors.xlsx cannot be used: 1 fault")
    return text


def changed(name: str, content: str | bytes, cells: str = ONE) -> bytes:
    return packed({**parts_of(sheet_xml(cells)), name: content})


def test_the_workbook_that_is_bent_below_is_fine():
    (grid,) = read(workbook(ONE))
    assert grid.rows == [["1"]]
    assert grid.sheet == "S1"


# The zip file


@pytest.mark.parametrize("cut", [10, 100, 700])
def test_a_file_that_was_cut_off(cut):
    assert "is not a whole zip file" in refusal(workbook(ONE)[:-cut])


@pytest.mark.parametrize("start", [b"", b"a,b\n1,2\n", b"\x89PNG", b"<html>"])
def test_what_is_no_zip_file(start):
    assert "is not a workbook by what it holds" in refusal(start)


def test_old_and_locked_workbooks():
    text = refusal(bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600))
    assert "protected by a password" in text


def test_more_parts_than_a_workbook_has(monkeypatch):
    monkeypatch.setattr(archive, "MOST_PARTS", 8)
    assert read(packed({**parts_of(sheet_xml(ONE)), "a": ""}))
    assert "packs more than the 8 parts" in refusal(
        packed({**parts_of(sheet_xml(ONE)), "a": "", "b": "", "c": ""})
    )


def test_a_list_of_a_million_parts_is_not_read():
    data = packed({}) + b"PK\x01\x02" * 1_000_000
    assert "packs more than the" in refusal(b"PK\x03\x04" + data)


@pytest.mark.parametrize("again", ["xl/styles.xml", "XL/Styles.xml"])
def test_a_part_that_stands_twice(again):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        data = packed([*parts_of(sheet_xml(ONE)).items(), (again, "<other/>")])
    assert "stands twice" in refusal(data)


@pytest.mark.parametrize("name", ["../a.xml", "/etc/passwd", "xl/../../a", "C:/a", "xl\\..\\a"])
def test_parts_named_out_of_the_workbook(name):
    data = packed({**parts_of(sheet_xml(ONE)), "NAME" + "x" * (len(name) - 4): ""})
    data = data.replace(b"NAME" + b"x" * (len(name) - 4), name.encode())
    assert "is named out of the workbook" in refusal(data)


def test_parts_that_are_encrypted():
    data = bytearray(workbook(ONE))
    place = data.index(b"PK\x01\x02") + 8
    data[place] |= 1
    assert "is encrypted" in refusal(bytes(data))


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_other_ways_of_packing(method):
    assert "packed in a way" in refusal(packed(parts_of(sheet_xml(ONE)), method))


def test_a_part_that_unpacks_to_far_more_than_its_size():
    text = refusal(workbook(ONE + " " * 50_000_000))
    assert "unpacks to more than 400 times its size" in text
    assert "part xl/worksheets/sheet1.xml" in text


def test_parts_that_unpack_to_more_than_a_workbook_may(monkeypatch):
    monkeypatch.setattr(archive, "MOST_INFLATED", 150_000)
    cells = "".join(f'<row r="{n}"><c r="A{n}"><v>{n * 7919}</v></c></row>' for n in range(1, 1500))
    assert read(packed(parts_of(sheet_xml(cells))))
    assert "unpacks to more than" in refusal(packed(parts_of(*[sheet_xml(cells)] * 4)))


@pytest.mark.parametrize("stated", [0, 7, 2**31])
def test_sizes_in_the_list_of_parts_are_not_believed(stated):
    data = bytearray(workbook(ONE + " " * 3_000_000))
    place = data.index(b"PK\x01\x02")
    while data[place + 46 : place + 70] != b"xl/worksheets/sheet1.xml":
        place = data.index(b"PK\x01\x02", place + 4)
    data[place + 24 : place + 28] = struct.pack("<I", stated)
    assert "part xl/worksheets/sheet1.xml" in refusal(bytes(data))


def test_zip_files_within_are_not_opened():
    inner = packed({"a": b"x" * 10_000_000})
    (grid,) = read(packed({**parts_of(sheet_xml(ONE)), "xl/embeddings/a.xlsx": inner}))
    assert grid.rows == [["1"]]


def test_a_part_with_a_broken_sum():
    data = bytearray(packed(parts_of(sheet_xml(ONE)), zipfile.ZIP_STORED))
    place = data.index(b"<v>1</v>")
    data[place + 3] = ord("2")
    assert "is broken" in refusal(bytes(data))


# XML


@pytest.mark.parametrize(
    "head",
    [
        "<!DOCTYPE a>",
        '<!DOCTYPE a [<!ENTITY b "c">]>',
        '<!DOCTYPE a SYSTEM "file:///etc/passwd">',
        '<!DOCTYPE a [<!ENTITY b SYSTEM "http://a.example/">]>',
        '<!DOCTYPE a [<!ENTITY x "yy"><!ENTITY z "&x;&x;">]>',
    ],
)
@pytest.mark.parametrize(
    "part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "_rels/.rels"]
)
def test_document_types_and_entities(head, part):
    content = parts_of(sheet_xml(ONE))[part]
    text = refusal(changed(part, head + str(content)))
    assert "declares a document type" in text
    assert f"part {part}" in text


def test_an_entity_that_is_not_known():
    assert "is not well-formed" in refusal(workbook('<row><c t="str"><v>&a;</v></c></row>'))


@pytest.mark.parametrize(
    "content", ["", "<a", "<a></b>", "\0", "<?xml version='1.0' encoding='no'?><a/>"]
)
def test_xml_that_is_none(content):
    assert "is not well-formed" in refusal(changed("xl/worksheets/sheet1.xml", content))


@pytest.mark.parametrize("name", ["a", "c", "v", "row", "sheetData", "t"])
@pytest.mark.parametrize(
    "part", ["xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/sharedStrings.xml"]
)
def test_elements_within_each_other(name, part):
    deep = f"<{name}>" * 200 + f"</{name}>" * 200
    inner = f"<worksheet><sheetData><row><c>{deep}</c></row></sheetData></worksheet>"
    assert "deep" in refusal(changed(part, inner))


def test_a_mark_without_end(monkeypatch):
    monkeypatch.setattr(markup, "LONGEST_TAG", 100_000)
    long = "".join(f'a{n}="{n}" ' for n in range(40_000))
    assert "has a mark of more than" in refusal(workbook(f"<row {long}/>"))


def test_more_marks_than_a_workbook_has(monkeypatch):
    monkeypatch.setattr(markup, "MOST_MARKS", 100)
    assert "has more than 100 beginnings and ends" in refusal(workbook("<row/>" * 101))


def test_more_formats_than_a_workbook_has(monkeypatch):
    monkeypatch.setattr(markup, "MOST_KEPT", 10)
    styles = "<styleSheet><cellXfs>" + "<xf/>" * 11 + "</cellXfs></styleSheet>"
    assert "more than 10 elements xf" in refusal(workbook(ONE, styles=styles))


@pytest.mark.parametrize("code", ["utf-16", "latin-1"])
def test_xml_in_other_encodings_is_read_as_what_it_says(code):
    content = f'<?xml version="1.0" encoding="{code}"?>' + sheet_xml(
        '<row><c t="str"><v>é</v></c></row>'
    )
    (grid,) = read(changed("xl/worksheets/sheet1.xml", content.encode(code)))
    assert grid.text(0, 0) == "é"


# Sheets


def test_a_cell_far_away_takes_no_room():
    book = openpyxl.Workbook()
    book.active["A1"] = 1
    book.active["XFD1048576"] = 2
    out = io.BytesIO()
    book.save(out)
    assert "sheet Sheet, cell XFD1048576: is beyond the 200000 rows" in refusal(out.getvalue())


def test_an_empty_cell_far_away_is_no_cell():
    (grid,) = read(workbook(ONE + '<row r="1048576"><c r="XFD1048576" s="3"/></row>'))
    assert grid.rows == [["1"]]


def test_columns_rows_cells_and_texts_beyond_the_limits(monkeypatch):
    assert "beyond the 1000 columns" in refusal(workbook('<c r="ALM1"><v>1</v></c>'))
    assert "beyond the 200000 rows" in refusal(workbook('<c r="A200001"><v>1</v></c>'))
    long = "x" * 32_768
    assert "more than 32767 characters" in refusal(workbook(f'<c r="A1" t="str"><v>{long}</v></c>'))
    assert "more than 32767 characters" in refusal(workbook(f'<c r="A1"><f>{long}</f></c>'))
    assert "more than 32767 characters" in refusal(workbook(ONE, texts=[long]))
    monkeypatch.setattr(limits, "MOST_CELLS", 1_500)
    rows = "".join(f'<c r="ALL{n}"><v>1</v></c>' for n in (1, 2))
    assert "beyond the 1500 cells" in refusal(workbook(rows))


def test_cells_of_all_sheets_count_together(monkeypatch):
    monkeypatch.setattr(limits, "MOST_CELLS", 1_500)
    sheet = sheet_xml('<c r="ALL1"><v>1</v></c>')
    text = refusal(packed(parts_of(sheet, sheet)))
    assert "sheet S2: goes beyond the 1500 cells" in text


def test_one_text_in_many_cells(monkeypatch):
    monkeypatch.setattr(limits, "MOST_TEXT", 100_000)
    cells = "".join('<row><c t="s"><v>0</v></c></row>' for _ in range(50))
    assert read(workbook(cells, texts=["x" * 2_000]))
    cells = cells * 2
    assert "beyond the 100000 characters" in refusal(workbook(cells, texts=["x" * 2_000]))


def test_more_texts_than_cells(monkeypatch):
    monkeypatch.setattr(xlsx_texts, "MOST_CELLS", 10)
    assert "holds more than 10 texts" in refusal(workbook(ONE, texts=["a"] * 11))
    monkeypatch.setattr(xlsx_texts, "MOST_TEXT", 5)
    assert "holds more than 5 characters" in refusal(workbook(ONE, texts=["aaa"] * 2))


@pytest.mark.parametrize("word", ["7", "-1", "x", "999999999999", "٣"])
def test_texts_that_are_not_there(word):
    assert "is not there" in refusal(workbook(f'<c r="A1" t="s"><v>{word}</v></c>', texts=["a"]))


@pytest.mark.parametrize("word", ["x", "nan", "inf", "1e999", "1_000", "0x1", "1,5", "٣"])
def test_numbers_that_are_none(word):
    text = refusal(workbook(f'<c r="B2"><v>{word}</v></c>'))
    assert "sheet S1, cell B2" in text
    assert "a number is needed" in text


@pytest.mark.parametrize(
    "name", ["", "A", "1", "A0", "AAAA1", "A99999999", "a1", "A1B", "A-1", "Ä1"]
)
def test_names_of_cells_that_are_none(name):
    assert "a name such as C7 is needed" in refusal(workbook(f'<c r="{name}"><v>1</v></c>'))


@pytest.mark.parametrize("number", ["0", "-1", "x", "999999999"])
def test_numbers_of_rows_that_are_none(number):
    assert "has a row numbered" in refusal(workbook(f'<row r="{number}"/>'))


def test_a_cell_that_stands_twice():
    cell = '<c r="A1"><v>1</v></c>'
    assert "cell A1: stands twice" in refusal(workbook(cell + cell))


def test_merged_ranges_are_clipped_and_counted(monkeypatch):
    after = '<mergeCell ref="A1:XFD1048576"/>'
    cells = "".join(f'<row><c r="CV{n}"><v>1</v></c></row>' for n in range(1, 101))
    data = packed(parts_of(sheet_xml(cells, after)))
    assert read(data)[0].merged == ((0, 0, 99, 99),)
    monkeypatch.setattr(limits, "MOST_CELLS", 15_000)
    assert "beyond the 15000 cells" in refusal(data)


def test_merged_ranges_over_each_other():
    after = '<mergeCell ref="A1:B2"/><mergeCell ref="C1:C2"/><mergeCell ref="B2:C3"/>'
    cells = '<row r="3"><c r="C3"><v>1</v></c></row>'
    text = refusal(packed(parts_of(sheet_xml(cells, after))))
    assert "sheet S1: merges B2:C3, of which cells are merged already" in text


def test_ranges_of_one_formula_are_clipped_and_counted(monkeypatch):
    first = '<row><c r="A1"><f t="array" ref="A1:XFD1048576">B1</f><v>5</v></c></row>'
    cells = "".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c></row>' for n in range(2, 101))
    (grid,) = read(workbook(first + cells))
    assert len(grid.formulas) == 100
    monkeypatch.setattr(limits, "MOST_FORMULAS", 50)
    assert "beyond the 50 formulas" in refusal(workbook(first + cells))


def test_more_sheets_than_are_read(monkeypatch):
    monkeypatch.setattr(xlsx_grid, "MOST_SHEETS", 2)
    assert "has 3 sheets; at most 2" in refusal(packed(parts_of(*[sheet_xml(ONE)] * 3)))


# Links, macros, other forms


@pytest.mark.parametrize(
    "target", ["../../../etc/passwd", "file:///etc/passwd", "http://a.example/a"]
)
def test_sheets_elsewhere_are_not_followed(target):
    relations = RELATIONS.format(RELATION.format(1, "worksheet", target))
    text = refusal(changed("xl/_rels/workbook.xml.rels", relations))
    assert "is named in the workbook but not in it" in text


def test_links_macros_and_connections_are_told():
    extra = {
        "xl/externalLinks/externalLink1.xml": "<a/>",
        "xl/vbaProject.bin": b"\0",
        "xl/connections.xml": "<a/>",
    }
    (grid,) = read(packed({**parts_of(sheet_xml(ONE)), **extra}))
    assert [word.split(";")[1].strip() for word in grid.remarks] == [
        "they are not opened.", "they are not run.", "they are not opened.",
    ]  # fmt: skip


def test_workbooks_of_other_forms():
    assert "holds no workbook" in refusal(
        packed({"mimetype": "application/x", "content.xml": "<a/>"})
    )
    assert "holds no workbook" in refusal(packed({}) and packed({"xl/workbook.bin": b"\0"}))
    assert "has no sheet with cells" in refusal(packed(parts_of()))


@pytest.mark.parametrize("word", ["0", "1", "-5", "1e400", "61", "60", "2958466", "9e15"])
def test_dates_that_are_none_stay_numbers(word):
    styles = '<styleSheet><cellXfs><xf numFmtId="14"/></cellXfs></styleSheet>'
    data = workbook(f'<c r="A1" s="0"><v>{word}</v></c>', styles=styles)
    if word == "1e400":
        assert "a number is needed" in refusal(data)
        return
    (grid,) = read(data)
    # ECMA-376-1, 18.17.4.1; the 29 February 1900 (day 60) never was.
    assert grid.text(0, 0) == {"1": "1900-01-01", "61": "1900-03-01"}.get(
        word, {"9e15": "9000000000000000"}.get(word, word)
    )
