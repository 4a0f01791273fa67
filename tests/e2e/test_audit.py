"""``dutyline audit`` as a user runs it: text, JSON, exit codes, streams, page."""

from __future__ import annotations

import json

import pytest

import dutyline as dl
from support.command import dutyline, spaced
from support.lines import Edit, edited_folder

pytestmark = pytest.mark.e2e

TORQUE = Edit("motors", "torque_rated_nm", "190.2", {"motor": "XM72-0450H"})
EMF = Edit("motors", "ke_vrms_ll_per_krpm", "37.56", {"motor": "XM116-1300H"})


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return edited_folder(tmp_path_factory.mktemp("audit") / "my-line", TORQUE, EMF)


def test_the_line_that_ships_is_clean():
    done = dutyline("audit")
    assert done.code == 0
    assert done.err == ""
    assert "no finding" in " ".join(spaced(done.out).split())


def test_findings_in_text(folder):
    done = dutyline("audit", "my-line", cwd=folder.parent)
    text = spaced(done.out)
    flat = " ".join(text.split())
    assert done.code == 1
    assert "◇ motors.csv, row 9, XM72-0450H: rated torque (torque_rated_nm) is 190.2 N·m." in flat
    assert "for 1.343 N·m; the figure is 141.6 times that." in flat
    assert "Was it left in ounce-force inches (ozf·in)? Then it would be 1.343." in flat
    assert "Was it given as phase peak instead of line-to-line rms?" in flat
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.parametrize("width", ["60", "120"])
def test_it_folds(folder, width):
    done = dutyline("audit", str(folder), "-v", COLUMNS=width)
    assert max(len(line) for line in done.out.splitlines()) <= max(int(width), 80)


def test_ascii(folder):
    done = dutyline("audit", "my-line", "--ascii", cwd=folder.parent)
    assert done.out.isascii()
    assert done.out.startswith("! my-line:")


def test_quiet_is_one_sentence(folder):
    done = dutyline("audit", str(folder), "-q")
    assert done.out.rstrip().endswith("2 findings. Nothing changed.")
    assert done.code == 1


def test_json_is_what_python_gives(folder):
    done = dutyline("audit", str(folder), "--json")
    told = json.loads(done.out)
    assert done.code == 1
    assert told["schema"] == "dutyline.audit/1"
    found = dl.audit(dl.read_line(folder)).findings
    assert [(f["part"], f["column"], f["ratio"]) for f in told["findings"]] == [
        (f.part, f.column, f.ratio) for f in found
    ]
    first = told["findings"][0]
    assert first["value"] == {"value": 190.2, "unit": "N*m"}
    assert (first["file"], first["row"], first["raw"]) == ("motors.csv", 9, "190.2")
    assert first["slip"] == "ounce-force inches"
    assert first["proposal"] == "1.343"


def test_nothing_in_the_folder_changes(folder):
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    dutyline("audit", str(folder))
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before


def test_rules_without_data_say_so(tmp_path):
    line = edited_folder(tmp_path / "line", Edit("motors", "kt_nm_per_arms", "", {}))
    text = " ".join(spaced(dutyline("audit", str(line)).out).split())
    assert "3 rules could not be asked" in text
    assert "torque-constant-matches-back-emf" in text
    assert "nothing stated in kt_nm_per_arms of motors.csv" in text


def test_input_errors_are_code_2(tmp_path):
    assert dutyline("audit", str(tmp_path / "none")).code == 2
    line = edited_folder(tmp_path / "line")
    (line / "audit.toml").write_text("schema = 1\n[rule.no-such]\noff = true\n")
    done = dutyline("audit", str(line))
    assert (done.code, done.out) == (2, "")
    assert "rule.no-such" in done.err


def test_verify_and_select_tell_of_it(folder):
    parts = ("--motor", "XM72-0450H", "--gearhead", "XG72-24", "--drive", "XD-H4")
    line = ("--example", "lift", "--line", str(folder))
    said = " ".join(spaced(dutyline("verify", *line, *parts).out).split())
    assert "rated torque of XM72-0450H is 190.2 where 1.343 N·m is expected" in said
    told = json.loads(dutyline("verify", *line, *parts, "--json").out)
    row = next(r for r in told["ledger"] if r["check"] == "data-quality")
    assert (row["state"], row["severity"]) == ("fails", "caution")
    said = spaced(dutyline("select", *line).out)
    assert "◇ Product data: rated torque of XM72-0450H is 190.2" in said


def test_a_finding_on_a_chosen_part_cautions_on_every_path(folder, tmp_path):
    """Terminal, JSON and report of ``verify``; the verdict stays what it is."""
    chosen = ("--example", "lift", "--motor", "XM72-0450H", "--gearhead", "XG72-24", "--brake",
              "XB72", "--resistor", "XR-H80-90", "--line", str(folder))  # fmt: skip
    told = "rated torque of XM72-0450H is 190.2 where 1.343 N·m is expected"
    shown = dutyline("verify", *chosen)
    assert "Data audit of chosen parts: fails, caution" in shown.out
    assert told in " ".join(spaced(shown.out).split())
    answer = json.loads(dutyline("verify", *chosen, "--json").out)
    assert answer["verdict"] == "meets"
    assert f"Data audit of chosen parts: {told}." in [spaced(c) for c in answer["cautions"]]
    page = tmp_path / "report.html"
    assert dutyline("report", *chosen, "--to", str(page)).code == 0
    assert told in spaced(page.read_text(encoding="utf-8"))
