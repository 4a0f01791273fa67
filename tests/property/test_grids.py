"""Whatever a file holds: cells or a refusal, soon; and what is written comes back as it was."""

from __future__ import annotations

import csv
import functools
import io
import re
import time
import zipfile
from datetime import datetime

import openpyxl
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from dutyline.catalogue.columns import FORMS
from dutyline.catalogue.sheets import Faults, read_sheet
from dutyline.core.errors import InputError
from dutyline.grids.guards import guarded, runs, unguarded
from dutyline.grids.read import grids_of
from dutyline.grids.records import Cells, Grid
from dutyline.grids.write import csv_bytes, xlsx_bytes
from support.workbooks import packed, parts_of, sheet_xml

pytestmark = pytest.mark.property

SOON = 5.0
"""[s] of computing that no file of these sizes may take."""
TEXTS = st.text(
    st.one_of(
        st.sampled_from("=+-@'\t\r\n,;\" ＝－\ufeff\u200b1.5eaµ"), st.characters(codec="utf-8")
    )
)
TABLE = "\ufeffmotor;torque [Nm];speed\n" + "".join(f"M{n};{n},5;{n}000\n" for n in range(6))
XML = st.sampled_from(
    [b"<c", b"</c>", b"<v>", b"</v>", b"<row>", b'r="A1"', b't="s"', b'ref="A1:B9"', b"<f>",
     b"&#0;",     b"<!DOCTYPE a>", b"<![CDATA[", b"]]>", b"<!--", b"-->", b"/>", b">", b'"', b"1e9",
     b"XFD1048576"]
)  # fmt: skip


def outcome(name: str, data: bytes, **options: str) -> tuple[Grid, ...]:
    """Grids that hold together, or none where the file is refused in the form of the house."""
    started = time.process_time()
    try:
        grids = grids_of(name, data, **options)
    except InputError as error:
        check_refusal(error, name)
        return ()
    finally:
        assert time.process_time() - started < SOON
    assert grids
    for grid in grids:
        check(grid)
    return grids


def check_refusal(error: InputError, name: str) -> None:
    """It says where and what, in letters that any screen shows."""
    assert error.faults
    assert all(fault.place.startswith(name) and fault.read for fault in error.faults)
    assert all(c.isprintable() or c == "\n" for c in error.text().replace("\u00a0", ""))
    error.text().encode()


def check(grid: Grid) -> None:
    """Every cell that is told of is there, as text without blanks around it."""
    for row in grid.rows:
        for text in row:
            assert text == text.strip()
            text.encode()
    for cells in (grid.numbers, grid.errors, grid.percents):
        for at in cells:
            assert grid.text(*at)
    assert grid.percents <= grid.numbers
    for at, text in grid.formulas.items():
        assert grid.text(*at) == text
        assert text.startswith("=")
        assert at not in grid.numbers
    for at in grid.numbers:
        float(grid.text(*at))
    for top, left, bottom, right in grid.merged:
        words = {grid.text(r, c) for r in range(top, bottom + 1) for c in range(left, right + 1)}
        assert len(words) == 1


@functools.cache
def real_workbook() -> bytes:
    """A workbook as openpyxl writes it, with one of everything."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["motor", "torque", "when", "share", "ok"])
    sheet.append(["A", 2.5, datetime(2024, 5, 6, 7, 8), 0.5, True])
    sheet.append(["B", "=B2*2", None, "=1/0", False])
    sheet["D2"].number_format = "0%"
    sheet["E5"] = "#N/A"
    sheet["E5"].data_type = "e"
    sheet.merge_cells("A7:C8")
    sheet["A7"] = "merged"
    other = book.create_sheet("Other")
    other.sheet_state = "hidden"
    other.append([1, 2, 3])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@functools.cache
def real_parts() -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(real_workbook())) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


@st.composite
def bent(draw: st.DrawFn, data: bytes, pieces: st.SearchStrategy[bytes]) -> bytes:
    """The bytes with a few pieces cut out, doubled, exchanged or put in."""
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(data)))
        to = min(len(data), at + draw(st.integers(0, 30)))
        new = draw(st.one_of(pieces, st.binary(max_size=3), st.just(data[at:to] * 2)))
        data = data[:at] + new + data[to:]
    return data


@given(st.binary(max_size=2_000), st.sampled_from(["a.csv", "a.tsv", "a.xlsx", "a.xls", "a"]))
def test_random_bytes(data, name):
    outcome(name, data)


@given(st.binary(max_size=500), st.sampled_from(["utf-8", "utf-16", "cp1252", "utf-7", "\0"]),
       st.sampled_from([",", ";", "\t", "|", "", ",,"]))  # fmt: skip
def test_random_bytes_with_encoding_and_separator(data, encoding, separator):
    outcome("a.csv", data, encoding=encoding, separator=separator)


@given(bent(TABLE.encode(), st.sampled_from([b'"', b"\0", b";", b"\r", b"sep=;\n", b"\xff\xfe"])))
def test_bent_csv_files(data):
    outcome("a.csv", data)


@given(bent(TABLE.encode("utf-16"), st.sampled_from([b'"', b"\0", b"\x00\xd8", b"\r"])))
def test_bent_csv_files_of_two_byte_text(data):
    outcome("a.csv", data)


@given(bent(real_workbook(), st.sampled_from([b"PK\x01\x02", b"PK\x03\x04", b"PK\x05\x06"])))
def test_bent_workbooks(data):
    outcome("a.xlsx", data)


@given(st.sampled_from(sorted(real_parts())).flatmap(
    lambda name: st.tuples(st.just(name), bent(real_parts()[name], XML))))  # fmt: skip
def test_workbooks_with_a_bent_part(change):
    name, content = change
    outcome("a.xlsx", packed({**real_parts(), name: content}))


@given(st.dictionaries(st.one_of(st.text(max_size=20), st.sampled_from(sorted(real_parts()))),
                       st.binary(max_size=200), max_size=6))  # fmt: skip
def test_random_zip_files(parts):
    try:
        data = packed(parts)
    except (UnicodeEncodeError, ValueError, IndexError):
        assume(False)  # The standard library writes no such name.
    outcome("a.xlsx", data)


@given(st.lists(XML, max_size=40), st.lists(XML, max_size=5))
def test_sheets_of_random_marks(cells, after):
    sheet = sheet_xml(b"".join(cells).decode(), b"".join(after).decode())
    outcome("a.xlsx", packed(parts_of(sheet, texts=["x", "_xD800_"])))


REFERENCES = st.builds("{}{}".format, st.sampled_from(["A", "B", "$C", "ALL", "ALM", "XFD"]),
                       st.sampled_from([1, 2, 3, 500, 200_001]))  # fmt: skip
VALUES = st.sampled_from(["<v>1</v>", "<v>x</v>", "<f>B1</f><v>2</v>", '<f t="shared" si="0"/>',
                          '<f t="array" ref="A1:XFD9">C1</f>', "<is><t>y</t></is>",
                          "", "<v>0</v>"])  # fmt: skip
KINDS = st.sampled_from(["n", "s", "b", "e", "str", "inlineStr", "d", "?"])
RANGES = st.builds("{}:{}".format, REFERENCES, REFERENCES)


@given(
    st.lists(st.tuples(REFERENCES, KINDS, VALUES), max_size=12),
    st.lists(RANGES, max_size=4),
)
@example([("B2", "n", "<v>1</v>"), ("A1", "n", "<v>1</v>")], ["A1:A2", "A2:B2"])
def test_sheets_of_random_cells(cells, ranges):
    rows = "".join(f'<c r="{at}" t="{kind}">{value}</c>' for at, kind, value in cells)
    merged = "".join(f'<mergeCell ref="{area}"/>' for area in ranges)
    outcome("a.xlsx", packed(parts_of(sheet_xml(rows, merged), texts=["x"])))


# Writing and the way back


@given(TEXTS)
@example("'=1")
@example("''+a,'=b")
@example(" \t=1")
def test_guards_come_off_exactly(text):
    assert unguarded(guarded(text)) == text
    assert not runs(guarded(text)) or guarded(guarded(text)) != guarded(text)


@given(TEXTS, TEXTS)
def test_guards_tell_texts_apart(left, right):
    assert (guarded(left) == guarded(right)) == (left == right)


@given(st.lists(st.lists(TEXTS, min_size=1, max_size=4), min_size=1, max_size=4),
       st.sampled_from([",", ";", "\t"]), st.sampled_from([",", ";", "\t"]))  # fmt: skip
def test_nothing_that_is_written_to_csv_runs(rows, separator, reader):
    """Read with any separator, no cell begins with what runs unless it is a plain number."""
    data = csv_bytes(rows, separator=separator).decode()
    for line in re.split(r"[\r\n]", data):
        for cell in line.split(reader):
            bare = cell.strip('"')
            if bare.startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠")):
                float(bare)
    back = list(csv.reader(io.StringIO(data, newline=""), delimiter=separator, strict=True))
    kept = [row for row in back if row]
    wanted = [[guarded(text) for text in row] for row in rows if row != [""]]
    assert kept == wanted


@given(st.lists(st.lists(st.one_of(TEXTS, st.floats(allow_nan=False, allow_infinity=False),
                                   st.integers(-(2**60), 2**60), st.booleans(), st.none()),
                         max_size=4), max_size=4))  # fmt: skip
def test_workbooks_hold_no_formula_and_come_back(rows):
    data = xlsx_bytes({"Parts": rows})
    (sheet,) = openpyxl.load_workbook(io.BytesIO(data)).worksheets
    assert all(c.data_type != "f" and not c.hyperlink for row in sheet.iter_rows() for c in row)
    (grid,) = outcome("a.xlsx", data)
    for row, cells in enumerate(rows):
        for column, cell in enumerate(cells):
            text = grid.text(row, column)
            if isinstance(cell, str):
                assert text == cell.strip()
            elif isinstance(cell, bool):
                assert text == str(cell).upper()
            elif cell is not None:
                # xlsxwriter writes sixteen digits of a number.
                assert float(text) == pytest.approx(float(cell), rel=2e-15, abs=0.0)


LETTERS = st.one_of(st.sampled_from("=+-@'；,;\" ＝1.5"),
                    st.characters(categories=["L", "N", "P", "S"]))  # fmt: skip
WORDS = st.text(LETTERS, min_size=1, max_size=80).map(str.strip).filter(bool)


@given(st.lists(WORDS, min_size=1, max_size=5, unique=True))
def test_names_of_our_own_files_come_back_exactly(names):
    form = next(form for form in FORMS if form.file == "brakes.csv")
    faults = Faults(form.file)
    data = csv_bytes([["brake"], *([name] for name in names)])
    back = read_sheet(form, data, faults)
    if not faults.all():
        assert [row.values["name"] for row in back] == names
    else:
        assert not all(name.isprintable() for name in names)


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 200))),
       st.lists(st.tuples(st.integers(0, 9), st.integers(0, 90), st.integers(0, 90),
                          st.booleans())))  # fmt: skip
def test_sets_of_cells_are_sets(put, filled):
    cells, wanted = Cells(put), set(put)
    for row, a, b, whether in filled:
        first, last = sorted((a, b))
        change = {(row, column) for column in range(first, last + 1)}
        assert cells.meet(row, first, last) == bool(wanted & change)
        cells.fill(row, first, last, whether)
        wanted = wanted | change if whether else wanted - change
    assert cells == wanted
    assert len(cells) == len(wanted)
    assert all((at in cells) == (at in wanted) for at in [*put, (10, 1), (0, -1)])
