"""The report as a workbook: every formula worked out anew, and changed cells followed."""

from __future__ import annotations

import io
import math
import re
import shutil
import subprocess
import warnings
import zipfile
from functools import cache
from pathlib import Path

import openpyxl
import pytest
from tests.support.formulas import Book

from dutyline.app.inputs import example_file, example_names
from dutyline.app.report import verdict_for
from dutyline.app.verify import verify
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Verdict
from dutyline.report.workbook.build import to_xlsx


@cache
def _judged(name: str) -> Verdict:
    axis = read_axis(example_file(name))
    found, _ = verdict_for(axis, demo_line(), {}, nearest=True)
    return verify(axis, found.combination, demo_line())


@cache
def _bytes(name: str) -> bytes:
    return to_xlsx(_judged(name))


def _row(book: Book, sheet: str, label: str) -> int:
    return next(c.row for c in book.sheets[sheet]["A"] if c.value == label)


@pytest.mark.parametrize("name", example_names())
def test_every_formula_gives_the_value_beside_it(name: str) -> None:
    """An evaluator of the tests, which reads no stored value, against what was computed."""
    book = Book(_bytes(name))
    places = book.formulas()
    assert places
    for sheet, place in places:
        told, own = book.stored[sheet][place].value, book.value(sheet, place)
        if isinstance(told, str):
            assert own == told, (sheet, place)
        else:
            assert math.isclose(own, told, rel_tol=1e-6, abs_tol=1e-9), (sheet, place, own, told)


@pytest.mark.skipif(not shutil.which("ssconvert"), reason="no spreadsheet is installed")
def test_a_spreadsheet_that_reads_no_stored_value_finds_the_same(tmp_path: Path) -> None:
    """Gnumeric works the book out anew from cells whose stored values were spoilt."""
    spoilt, anew = tmp_path / "spoilt.xlsx", tmp_path / "anew.xlsx"
    source = zipfile.ZipFile(io.BytesIO(_bytes("lift")))
    with source, zipfile.ZipFile(spoilt, "w") as out:
        for entry in source.infolist():
            body = source.read(entry)
            if "worksheets/sheet" in entry.filename:
                body = re.sub(rb"(</f><v>)[^<]*(</v>)", rb"\g<1>7777\2", body)
            out.writestr(entry, body)
    command = ["ssconvert", "--recalc", str(spoilt), str(anew)]
    subprocess.run(command, check=True, capture_output=True, timeout=60)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # the other program writes no style sheet
        found = openpyxl.load_workbook(anew, data_only=True)
    book = Book(_bytes("lift"))
    for sheet, place in book.formulas():
        told, own = book.stored[sheet][place].value, found[sheet][place].value
        if isinstance(told, str):
            assert own == told, (sheet, place)
        else:
            assert math.isclose(own, told, rel_tol=1e-6, abs_tol=1e-9), (sheet, place, own, told)


def test_a_heavier_load_is_followed_to_the_verdict() -> None:
    """By hand: m (a + g) r / (eta i eta_G) more at the motor shaft, and that over the limit."""
    book = Book(_bytes("lift"))
    n = _row(book, "Ledger", "Peak torque")
    before = book.value("Train", f"B{_row(book, 'Train', 'Peak motor torque, N·m')}")
    mass = _row(book, "Inputs", "load.mass")
    more = 10.0
    book.set("Inputs", f"E{mass}", book.value("Inputs", f"E{mass}") + more)
    after = book.value("Train", f"B{_row(book, 'Train', 'Peak motor torque, N·m')}")
    load = _row(book, "Train", "Load") + 1
    a = book.value("Train", f"C{load}")
    ratio = book.value("Train", f"B{load + 4}")
    gain = book.value("Train", f"G{load + 4}")
    mesh = book.value("Train", f"B{_row(book, 'Train', 'Loss factor of the mesh')}")
    gear = book.value("Train", f"B{_row(book, 'Train', 'Ratio of the gearhead')}")
    hand = more * (a + 9.80665) * ratio * gain * mesh / gear
    assert after - before == pytest.approx(hand, rel=1e-9)
    used = book.value("Ledger", f"F{n}")
    assert used == pytest.approx(after / book.value("Ledger", f"D{n}"), rel=1e-12)
    assert used > before / book.value("Ledger", f"D{n}")


def test_the_verdict_follows_a_smaller_limit() -> None:
    book = Book(_bytes("lift"))
    word = f"B{_row(book, 'Verdict', 'Verdict')}"
    assert book.value("Verdict", word) == _judged("lift").verdict
    n = _row(book, "Ledger", "Top speed")
    book.set("Ledger", f"D{n}", book.value("Ledger", f"C{n}") * 0.9)
    assert book.value("Ledger", f"I{n}") == "fails"
    assert book.value("Verdict", word) == "fails"


def test_rms_from_the_samples_is_that_of_the_verdict() -> None:
    """The root of the mean square over the rows, against the exact moments of the verdict."""
    for name in ("lift", "sorter", "kettle"):
        book = Book(_bytes(name))
        found = book.value("Cycle", f"C{_row(book, 'Cycle', 'Rms motor torque, N·m')}")
        shown = _judged(name).cases[0] if _judged(name).cases else _judged(name)
        assert found == pytest.approx(shown.demand["motor"]["rms_torque"], rel=1e-6)


def test_a_text_of_the_file_never_becomes_a_formula() -> None:
    text = example_file("lift").read_text(encoding="utf-8")
    hostile = '=HYPERLINK("http://a.example","x")'
    named = text.replace("[axis]", f"[axis]\nproject = '{hostile}'", 1)
    named = "\n".join(
        line for k, line in enumerate(named.splitlines())
        if not (line.startswith("project") and hostile not in line)
    )  # fmt: skip
    axis = read_axis("lift.toml", text=named)
    verdict = verify(axis, _judged("lift").combination, demo_line())
    sheets = openpyxl.load_workbook(io.BytesIO(to_xlsx(verdict)))
    cells = [c for s in sheets for row in s.iter_rows() for c in row if c.value == hostile]
    assert cells
    assert all(c.data_type == "s" for c in cells)


def test_the_same_verdict_gives_the_same_bytes() -> None:
    assert to_xlsx(_judged("lift")) == _bytes("lift")
