"""Several cases judged together: the worst line of each check, and the worst verdict."""

from __future__ import annotations

import json

import pytest

import dutyline as dl
from dutyline.app.records_json import verdict_json
from dutyline.axis.read import read_axis
from dutyline.checks.cases import worst_lines
from dutyline.checks.ledger import verdict_word
from support.axis_files import LIFT, edited
from support.command import dutyline

CASES = """
[[case]]
name = "empty"
set = { "load.mass" = "28 kg", "phase.up.carry" = [] }

[[case]]
name = "hurried"
set = { "phase.up.time" = "0.45 s", "site.ambient" = "45 degC" }

[[variant]]
name = "longer"
note = "a longer lead"
set = { "mechanism.lead" = "32 mm" }
"""
BASE = edited(LIFT, ('"10 mm"', '"25 mm"'))
TEXT = BASE + CASES
BY_HAND = (
    BASE,
    edited(BASE, ('"40 kg"', '"28 kg"'), ('["carton"]', "[]")),
    edited(BASE, ('"0.6 s"', '"0.45 s"'), ("phases = 3", 'phases = 3\nambient = "45 degC"')),
)
RANK = ("fails", "incomplete", "short", "meets")
NAMES = ("--motor", "XM116-1300H", "--brake", "XB116", "--resistor", "XR-H56-180")
PARTS = dl.Combination("XM116-1300H", brake="XB116", resistor="XR-H56-180")


@pytest.fixture(scope="module")
def axis():
    return read_axis("axis.toml", text=TEXT)


@pytest.fixture(scope="module")
def verdict(axis):
    return dl.verify(axis, PARTS)


@pytest.fixture(scope="module")
def alone():
    return [dl.verify(read_axis("axis.toml", text=text), PARTS) for text in BY_HAND]


def slack(line: dl.Line) -> float:
    return float("-inf") if line.margin is None else line.margin - line.required


def test_each_line_is_the_worst_of_files_edited_by_hand(verdict, alone):
    """Second way: three files, each verified by itself; the least slack of every check."""
    names = ("main", "empty", "hurried")
    for line in verdict.ledger:
        same = [[ln for ln in v.ledger if (ln.check, ln.part) == (line.check, line.part)]
                for v in alone]  # fmt: skip
        if line.check == "assumed-inputs":
            continue
        least = min(slack(ln) for found in same for ln in found)
        assert slack(line) == pytest.approx(least, rel=1e-12), line.check
        (own,) = same[names.index(line.case)]
        assert slack(own) == pytest.approx(least, rel=1e-12)
        assert (own.demand, own.limit, own.state) == (line.demand, line.limit, line.state)
    assert {"empty", "hurried"} & {line.case for line in verdict.ledger}


def test_the_verdict_is_the_worst_of_all(verdict, alone):
    assert verdict.verdict == min((v.verdict for v in alone), key=RANK.index)
    assert [v.verdict for v in verdict.cases] == [v.verdict for v in alone]


def test_figures_are_those_of_the_file_itself(verdict, alone):
    assert verdict.demand == alone[0].demand
    assert verdict.cases[2].demand == alone[2].demand


def test_an_axis_without_cases_is_as_before(alone):
    assert alone[0].cases == ()
    assert {line.case for line in alone[0].ledger} == {"main"}


def line(check: str, state: str, severity: str = "must", margin: float | None = 0.5) -> dl.Line:
    return dl.Line(check, "motor", check, "Motor", "1", 0.5, 1.0, margin, 0.1, severity, state)


@pytest.mark.parametrize(
    ("states", "verdict"),
    [
        (("meets", "short"), "short"),
        (("short", "not-checked"), "incomplete"),
        (("not-checked", "fails"), "fails"),
        (("meets", "meets"), "meets"),
    ],
)
def test_merging_never_hides_what_decides(states, verdict):
    for order in (states, states[::-1]):
        ledgers = [[line("peak-torque", state)] for state in order]
        assert verdict_word(worst_lines(ledgers)) == verdict


def test_a_must_line_that_is_open_goes_before_a_caution_that_fails():
    ledgers = [
        [line("settling", "fails", "caution", -1.0)],
        [line("settling", "short", margin=0.0)],
    ]
    known = [[line("peak-torque", one[0].state, one[0].severity, one[0].margin)] for one in ledgers]
    (kept,) = worst_lines(known)
    assert kept.state == "short"


def test_select_and_verify_agree(axis):
    found = dl.select(axis)
    assert found.candidates
    for candidate in found.candidates:
        assert dl.verify(axis, candidate.combination).verdict == candidate.verdict
    kept = {(c.combination.motor, c.combination.gearhead) for c in found.candidates}
    for text in BY_HAND:
        single = dl.select(read_axis("axis.toml", text=text))
        works = {(c.combination.motor, c.combination.gearhead) for c in single.candidates}
        assert kept <= works


def test_the_command_line_names_the_case(tmp_path):
    file = tmp_path / "axis.toml"
    file.write_text(TEXT)
    said = dutyline("verify", str(file), *NAMES)
    assert "case hurried" in said.out
    told = json.loads(dutyline("verify", str(file), *NAMES, "--json").out)
    assert [c["name"] for c in told["cases"]] == ["main", "empty", "hurried"]
    assert {ln["case"] for ln in told["ledger"]} <= {"main", "empty", "hurried"}
    shown = json.loads(dutyline("demand", str(file), "--case", "empty", "--json").out)
    assert shown["case"] == "empty"
    wrong = dutyline("demand", str(file), "--case", "emty")
    assert wrong.code == 2
    assert 'nearest is "empty"' in wrong.err


def test_a_variant_is_shown_as_a_difference(tmp_path):
    file = tmp_path / "axis.toml"
    file.write_text(TEXT)
    told = json.loads(dutyline("verify", str(file), *NAMES, "--variant", "longer", "--json").out)
    by_hand = edited(TEXT, ('"25 mm"', '"32 mm"'))
    alone = dl.verify(read_axis("axis.toml", text=by_hand), PARTS)
    assert told["result"]["ledger"] == json.loads(json.dumps(verdict_json(alone)))["ledger"]
    assert told["inputs"] == [
        {"field": "mechanism.lead", "label": "Lead", "from": "25 mm", "to": "32 mm"}
    ]
    base = json.loads(dutyline("verify", str(file), *NAMES, "--json").out)
    changed = {(p["to"] or p["from"])["check"] for p in told["ledger"]}
    for one, other in zip(base["ledger"], told["result"]["ledger"], strict=True):
        if one["check"] not in changed:
            assert one["demand"]["value"] == pytest.approx(other["demand"]["value"])
    said = dutyline("verify", str(file), *NAMES, "--variant", "longer")
    assert "mechanism.lead" in said.out
    assert "a longer lead" in said.out
    assert "Peak torque" in said.out
    assert dutyline("verify", str(file), *NAMES, "--variant", "x").code == 2
