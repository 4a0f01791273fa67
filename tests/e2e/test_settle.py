"""``--settle`` on every path: terminal, JSON, report and Python tell the same."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import time

import pytest

import dutyline as dl
from support.command import LIFT, dutyline, spaced

pytestmark = pytest.mark.e2e

PARTS = ("--motor", "XM72-0450H", "--gearhead", "XG72-24", "--brake", "XB72",
         "--resistor", "XR-H80-90")  # fmt: skip
NAMED = dl.Combination("XM72-0450H", "XG72-24", None, "XB72", "XR-H80-90")
BEGIN = "Settling, simulated in time"


@pytest.fixture(scope="module")
def quick(tmp_path_factory):
    """The lift with a stiffer belt that asks for half a second in its window."""
    text = LIFT.read_text("utf-8").replace('"900 N/mm"', '"20 kN/mm"')
    text = text.replace('position = "0.5 mm"', 'position = "0.5 mm"\nsettle = "0.35 s"')
    text += "\n[control]\nfeed_forward = 0.5\n"
    file = tmp_path_factory.mktemp("settle") / "quick.toml"
    file.write_text(text, "utf-8")
    return file


def test_terminal_tells_motions_gains_and_limits(quick):
    plain = spaced(dutyline("verify", str(quick), *PARTS).out)
    assert BEGIN not in plain
    assert "estimate" not in plain or "Settling time" in plain
    done = dutyline("verify", str(quick), *PARTS, "--settle")
    told = spaced(done.out)
    assert f"\n{BEGIN}" in told
    assert max(len(row) for row in told.splitlines()) <= 80
    flat = re.sub(r"\s+", " ", told)
    for word in ("“up”: ", "“down”: ", "Gains: velocity loop", "50 % of the speed fed forward",
                 "wind-up and hunting"):  # fmt: skip
        assert word in flat, word


def test_json_and_python_agree(quick):
    done = dutyline("verify", str(quick), *PARTS, "--settle", "--json")
    shown = json.loads(done.out, parse_constant=pytest.fail)
    line = next(ln for ln in shown["ledger"] if ln["check"] == "settling")
    axis = dl.read_axis(quick)
    verdict = dl.verify(axis, NAMED)
    found = dl.settle(verdict)
    assert isinstance(found, dl.Settling)
    assert shown["settling"]["settle"]["value"] == found.settle == line["demand"]["value"]
    assert line["severity"] == "must"
    assert line["text"].startswith("simulated")
    assert shown["verdict"] == dl.settled(verdict).verdict
    assert done.code == (0 if shown["verdict"] == "meets" else 1)


def test_a_run_that_does_not_settle_is_null():
    """The shipped lift moves on before its soft belt is at rest."""
    done = dutyline("verify", str(LIFT), *PARTS, "--settle", "--json")
    shown = json.loads(done.out, parse_constant=pytest.fail)["settling"]
    assert shown["settles"] is False
    assert all(run["settle"]["value"] is None for run in shown["runs"])
    told = spaced(dutyline("verify", str(LIFT), *PARTS, "--settle").out)
    assert "still outside" in told
    assert "unlimited" not in told


def test_report_prints_and_draws_it(quick, tmp_path):
    page = tmp_path / "quick.html"
    done = dutyline("report", str(quick), *PARTS, "--settle", "--to", str(page))
    text = page.read_text("utf-8")
    assert done.code in (0, 1)
    for word in ("simulated in time", "Error of the load, mm", "hunting"):
        assert word in text
    without = tmp_path / "plain.html"
    dutyline("report", str(quick), *PARTS, "--to", str(without))
    assert "Error of the load" not in without.read_text("utf-8")


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is missing")
def test_pdf_of_the_best_combination_has_it_too(quick, tmp_path):
    page = tmp_path / "quick.pdf"
    dutyline("report", str(quick), "--settle", "--to", str(page))
    told = subprocess.run(["pdftotext", page, "-"], capture_output=True, check=True).stdout
    assert "Error of the load, mm" in told.decode()


def test_variant_is_simulated_as_well(quick, tmp_path):
    text = quick.read_text("utf-8")
    text += '\n[[variant]]\nname = "behind"\nset = { "control.feed_forward" = 0 }\n'
    file = tmp_path / "both.toml"
    file.write_text(text, "utf-8")
    told = spaced(dutyline("verify", str(file), *PARTS, "--settle", "--variant", "behind").out)
    (row,) = [row for row in told.splitlines() if row.strip().startswith("Settling time")]
    parts = dl.verify(dl.read_axis(quick), NAMED)
    assert f"{dl.settle(parts).settle / 0.35:.0%}".rstrip("%") in row


def test_an_ordinary_axis_takes_less_than_a_second(quick):
    verdict = dl.verify(dl.read_axis(quick), NAMED)
    begun = time.process_time()
    dl.settle(verdict)
    assert time.process_time() - begun < 1.0
