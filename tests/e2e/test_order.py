"""``dutyline order`` as a user runs it: text, JSON, files, exit codes, bad input."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import sys
import zipfile

import openpyxl
import pytest

import dutyline as dl
from dutyline.app.order import write_order
from support.command import LIFT, dutyline, spaced
from support.lines import SHIPPED

pytestmark = [pytest.mark.e2e, pytest.mark.usefixtures("remedies_once")]
FAILS = ("--motor", "XM54-0120H", "--drive", "XD-H2")


def read_csv(path, separator=","):
    text = path.read_bytes().decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))


def test_the_best_combination_as_text():
    done = dutyline("order", "--example", "lift")
    text = spaced(done.out)
    assert done.code == 0
    assert text.startswith("XM72-0450H with XG72-24 meets")
    assert "   1  1  Motor XM72-0450H\n" in text
    assert "  14  ?  Protective device, open\n" in text
    assert "No prices: the product line states none." in text
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize("width", ["60", "120"])
def test_it_folds(width):
    done = dutyline("order", "--example", "lift", COLUMNS=width)
    assert max(map(len, done.out.splitlines())) <= int(width)


def test_ascii_and_quiet():
    done = dutyline("order", "--example", "lift", "--ascii")
    assert done.out.isascii()
    assert len(dutyline("order", "--example", "lift", "-q").out.splitlines()) == 2


def test_a_combination_that_fails_is_listed_and_warned_of():
    done = dutyline("order", "--example", "lift", *FAILS)
    assert done.code == 1
    assert done.out.startswith("This combination does not meet its axis: settle that before")
    assert "1  1  Motor XM54-0120H" in spaced(done.out)


def test_json_is_what_python_gives():
    done = dutyline("order", "--example", "lift", "--json")
    data = json.loads(done.out)
    verdict = dl.select(dl.read_axis(LIFT)).candidates[0]
    found = dl.order_list(verdict)
    assert data["schema"] == "dutyline.order/1"
    assert [p["part"] for p in data["positions"]] == [p.part for p in found.positions]
    assert [p["missing"] for p in data["positions"]] == [list(p.missing) for p in found.positions]
    assert data["total"] is None
    assert data["warning"] is None


def test_csv_round_trip(tmp_path):
    done = dutyline("order", "--example", "lift", "--to", "order.csv", cwd=tmp_path)
    assert done.code == 0
    assert "Wrote order.csv." in done.err
    heads, verdict, *rows = read_csv(tmp_path / "order.csv")
    assert heads[:4] == ["Position", "Pieces", "Item", "Part"]
    assert (verdict[0], verdict[2]) == ("0", "Verdict")
    found = dl.order_list(dl.select(dl.read_axis(LIFT)).candidates[0])
    assert [row[3] for row in rows[:-1]] == [p.part or "" for p in found.positions]
    assert [row[7] for row in rows[:-1]] == [p.state for p in found.positions]
    assert rows[-1][2] == "Sum"
    assert {len(row) for row in (heads, verdict, *rows)} == {len(heads)}


def priced(folder):
    """The line that ships with a price for every motor."""
    folder.mkdir()
    for file in SHIPPED.iterdir():
        text = file.read_text("utf-8")
        if file.name == "motors.csv":
            head, *rows = text.splitlines()
            text = "\n".join([head + ",price", *(row + ",310.5" for row in rows)]) + "\n"
        (folder / file.name).write_text(text, "utf-8")
    return folder


@pytest.mark.parametrize(
    ("sign", "price", "watts"), [(",", "310.5", "11.8"), (";", "310,5", "11,8")]
)
def test_the_decimal_mark_goes_with_the_separator(tmp_path, sign, price, watts):
    line = priced(tmp_path / "line")
    done = dutyline("order", str(LIFT), "--line", str(line), "--to", "o.csv", "--separator", sign,
                    cwd=tmp_path)  # fmt: skip
    assert done.code == 0
    rows = read_csv(tmp_path / "o.csv", sign)
    motor = next(row for row in rows if row[2] == "Motor")
    assert motor[8] == price
    assert any(watts in row[5] for row in rows)


def test_text_file(tmp_path):
    done = dutyline("order", "--example", "lift", "--to", "order.txt", cwd=tmp_path)
    assert done.code == 0
    written = (tmp_path / "order.txt").read_text("utf-8")
    assert written == dutyline("order", "--example", "lift").out


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (("--to", "order.pdf"), "ends in .csv, .xlsx or .txt"),
        (("--to", "order"), "ends in .csv, .xlsx or .txt"),
        (("--to", "no/such/folder/order.csv"), 'there is no folder "no/such/folder"'),
        (("--to", "."), "ends in .csv, .xlsx or .txt"),
        (("--to", "order.csv", "--separator", "|"), "a comma or a semicolon is needed"),
        (("--to", "order.txt", "--separator", ";"), "a separator belongs to a CSV file"),
        (("--gearhead", "XG72-6"), "no motor is named beside it"),
        (("--motor", "XM72-0450"), 'The nearest is "XM72-0450'),
    ],
)
def test_bad_input_is_refused_before_anything_is_written(tmp_path, more, told):
    done = dutyline("order", "--example", "lift", *more, cwd=tmp_path)
    assert done.code == 2
    assert told in " ".join(spaced(done.err).split())
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_cannot_be_written(tmp_path):
    axis = dl.read_axis(LIFT)
    found = dl.order_list(dl.verify(axis, dl.Combination("XM72-0450H")))
    with pytest.raises(dl.InputError, match="cannot be written"):
        write_order(found, tmp_path / "gone" / "order.csv")


def test_nothing_that_fits_has_no_list(tmp_path):
    heavy = tmp_path / "heavy.toml"
    heavy.write_text(LIFT.read_text("utf-8").replace('"28 kg"', '"2800 kg"'), "utf-8")
    done = dutyline("order", "heavy.toml", cwd=tmp_path)
    assert done.code == 2
    assert "The nearest, " in done.err
    listed = dutyline("order", "heavy.toml", "--motor", "XM72-0450H", cwd=tmp_path)
    assert listed.code == 1


ACCESSORIES = """\
accessory,kind,fits_motors,current_arms,length_m,moving,note
C-1,motor-cable,XM72-*,abc,3,no,
C-1,motor-cable,XM27-0450H,4,3,perhaps,
,cable,,4,3,no,
"""


def test_faults_of_accessories_are_told_with_their_place(tmp_path):
    line = priced(tmp_path / "line")
    (line / "accessories.csv").write_text(ACCESSORIES, "utf-8")
    done = dutyline("order", str(LIFT), "--line", str(line))
    text = " ".join(spaced(done.err).split())
    assert done.code == 2
    for told in (
        'accessories.csv, row 2, column current_arms: read "abc"',
        'accessories.csv, row 3, column accessory: "C-1" stands in row 2 already',
        'accessories.csv, row 3, column fits_motors: read "XM27-0450H"; a name or pattern',
        'accessories.csv, row 3, column moving: read "perhaps"',
        "accessories.csv, row 4, column accessory: is empty",
        'accessories.csv, row 4, column kind: read "cable"; one of motor-cable',
    ):
        assert told in text, told


def test_a_report_shows_the_list(tmp_path):
    done = dutyline("report", "--example", "lift", "--to", "lift.html", cwd=tmp_path)
    page = spaced((tmp_path / "lift.html").read_text("utf-8"))
    assert done.code == 0
    assert "5 of 15 positions still open" in page
    assert "XA72-72-14" in page


def test_a_report_where_nothing_fits(tmp_path):
    heavy = tmp_path / "heavy.toml"
    heavy.write_text(LIFT.read_text("utf-8").replace('"28 kg"', '"2800 kg"'), "utf-8")
    done = dutyline("report", "heavy.toml", "--to", "heavy.html", cwd=tmp_path)
    assert done.code == 1
    none = "None of 58 pairs of motor and gearhead carries the axis."
    assert spaced(done.out).startswith(none)
    page = spaced((tmp_path / "heavy.html").read_text("utf-8"))
    assert none in page
    assert "58 pairs of motor and gearhead tried, none work" in page
    assert "The nearest; not to be ordered." in page
    assert "This combination does not meet its axis" in page


def test_workbook_round_trip(tmp_path):
    line = priced(tmp_path / "line")
    done = dutyline("order", str(LIFT), "--line", str(line), "--to", "o.xlsx", cwd=tmp_path)
    assert done.code == 0
    book = openpyxl.load_workbook(tmp_path / "o.xlsx")
    told = dict(book["Basis"].iter_rows(min_row=2, values_only=True))
    assert told["SHA-256 of the axis file"] == hashlib.sha256(LIFT.read_bytes()).hexdigest()
    assert told["Content hash of the product line"] == dl.content_hash(dl.read_line(line))
    assert told["Made with"] == f"dutyline {dl.__version__}"
    sheet = book["Order list"]
    heads, verdict, *rows = sheet.iter_rows(values_only=True)
    assert heads[-2:] == ("Price each", "Price")  # the line that ships names no currency
    assert verdict[2] == "Verdict"
    found = dl.order_list(dl.select(dl.read_axis(LIFT), dl.read_line(line)).candidates[0])
    assert [row[3] or None for row in rows[:-1]] == [p.part for p in found.positions]
    assert [row[1] for row in rows[:-1]] == [p.pieces for p in found.positions]
    motor = rows[0]
    assert motor[8:10] == (310.5, 310.5)
    assert sheet["I3"].number_format == "#,##0.00"
    assert sheet.freeze_panes == "A2"
    assert sheet["F3"].alignment.wrap_text
    assert sheet.column_dimensions["F"].width == pytest.approx(50, abs=1)
    names = zipfile.ZipFile(tmp_path / "o.xlsx").namelist()
    assert not [name for name in names if "vba" in name.lower() or "external" in name.lower()]


def test_prices_carry_their_currency(tmp_path):
    line = priced(tmp_path / "line")
    (line / "line.toml").write_text('schema = 1\n[line]\ncurrency = "EUR"\n', "utf-8")
    done = dutyline("order", str(LIFT), "--line", str(line), "--to", "o.csv", cwd=tmp_path)
    assert done.code == 0
    heads, *_, last = read_csv(tmp_path / "o.csv")
    assert heads[-2:] == ["Price each [EUR]", "Price [EUR]"]
    assert "No sum: no price for 2 Holding brake" in last[6]
    text = spaced(dutyline("order", str(LIFT), "--line", str(line)).out)
    assert "Price 310.50 EUR" in text


HOSTILE = ('=HYPERLINK("http://x";"y")', "+1+1", "-2+3", "@SUM(A1)", "=cmd|' /C calc'!A0")


@pytest.mark.parametrize("name", HOSTILE)
def test_names_that_a_spreadsheet_would_run(tmp_path, name):
    line = priced(tmp_path / "line")
    text = io.StringIO(newline="")
    heads = ("accessory", "kind", "fits_motors", "note")
    csv.writer(text).writerows([heads, (name, "spare", "XM*", name)])
    (line / "accessories.csv").write_text(text.getvalue(), "utf-8")
    for target in ("o.csv", "o.xlsx"):
        done = dutyline("order", str(LIFT), "--line", str(line), "--to", target, cwd=tmp_path)
        assert done.code == 0
    spare = next(row for row in read_csv(tmp_path / "o.csv") if row[2] == "Spare")
    assert spare[3] == "'" + name
    assert spare[4] == "'" + name
    sheet = openpyxl.load_workbook(tmp_path / "o.xlsx")["Order list"]
    (cell,) = [row[3] for row in sheet.iter_rows() if row[2].value == "Spare"]
    assert (cell.value, cell.data_type) == (name, "s")
    assert cell.quotePrefix


def test_without_xlsxwriter_the_command_says_so(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)
    done = dutyline("order", "--example", "lift", "--to", "o.xlsx", cwd=tmp_path)
    assert done.code == 2
    assert "xlsxwriter, which is not installed" in spaced(done.err)
    assert list(tmp_path.iterdir()) == []
