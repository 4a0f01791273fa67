"""``--estimate`` on every path: terminal, JSON, report, Python."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

import dutyline as dl
from dutyline.app.inputs import example_file
from support.command import dutyline, spaced
from support.lines import tables, write

pytestmark = pytest.mark.e2e

LACK = ("rth_winding_housing_k_per_w", "cth_winding_j_per_k", "cth_housing_j_per_k")
PARTS = ("--motor", "XM72-0450H", "--gearhead", "XG72-9", "--brake", "XB72")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The line without what the copper needs to be warmed by."""
    content = tables()
    for row in content["motors"]:
        for column in LACK:
            row[column] = ""
    return write(tmp_path_factory.mktemp("estimates") / "my-line", content)


@pytest.fixture(scope="module")
def best():
    axis = dl.read_axis(example_file("lift"))
    return axis, dl.select(axis).candidates[0].combination


def arguments(best):
    names = {k: getattr(best[1], k) for k in ("motor", "gearhead", "drive", "brake", "resistor")}
    return [word for k, name in names.items() if name for word in (f"--{k}", name)]


def test_off_by_default(folder, best):
    done = dutyline("verify", "--example", "lift", "--line", "my-line", *arguments(best),
                    cwd=folder.parent)  # fmt: skip
    text = " ".join(spaced(done.out).split())
    assert done.code == 1
    assert "Incomplete." in text
    assert "Can be estimated from the loss at the stall current: --estimate." in text
    assert "assumed" not in text.split("Data to ask for")[1].split("Gravity axis")[0]


def test_on_request(folder, best):
    done = dutyline("verify", "--example", "lift", "--line", "my-line", "--estimate",
                    *arguments(best), cwd=folder.parent)  # fmt: skip
    text = " ".join(spaced(done.out).split())
    assert done.code == 0
    assert "Only thanks to estimates:" in text
    assert "on the stated data it is incomplete. Meets." in text
    assert "meets, assumed" in text
    assert "thermal resistance from winding to housing of" in text.lower()
    assert max(len(line) for line in spaced(done.out).splitlines()) <= 80


def test_json_tells_value_range_and_method(folder, best):
    done = dutyline("verify", "--example", "lift", "--line", "my-line", "--estimate", "--json",
                    *arguments(best), cwd=folder.parent)  # fmt: skip
    data = json.loads(done.out)
    own = {a["column"]: a for a in data["assumed_data"]}
    assert own["rth_winding_housing_k_per_w"]["status"] == "assumed"
    assert own["rth_winding_housing_k_per_w"]["estimate"] is True
    low, value, high = (own["cth_winding_j_per_k"][k] for k in ("low", "value", "high"))
    assert low == value < high
    line = next(ln for ln in data["ledger"] if ln["check"] == "thermal-runaway")
    assert line["estimated"]
    assert f"{best[1].motor}.rth_winding_housing_k_per_w" in line["assumed"]


def test_report_lists_them_beside_the_inputs(folder, best, tmp_path):
    done = dutyline("report", "--example", "lift", "--line", str(folder), "--estimate",
                    *arguments(best), "--to", str(tmp_path / "r.html"))  # fmt: skip
    assert done.code == 0
    page = (tmp_path / "r.html").read_text("utf-8")
    assert "Product data nobody stated" in page
    assert f"hermal resistance from winding to housing of {best[1].motor}" in page
    assert "with estimates" in page


def test_select_agrees_with_verify_and_puts_estimates_last(folder, best):
    axis, combination = best
    line = dl.estimated(dl.read_line(folder))
    found = dl.select(axis, line)
    for candidate in found.candidates:
        assert dl.verify(axis, candidate.combination, line).verdict == candidate.verdict
    assert "What hangs on no estimate comes before" in found.order
    stated = dl.demo_line()
    mixed = replace(
        line, motors=tuple(
            stated.motors[stated.motor_index[m.name]] if m.name != combination.motor else m
            for m in line.motors
        ),
        assumed=tuple(a for a in line.assumed if a.part == combination.motor),
    )  # fmt: skip
    order = [any(ln.estimated for ln in v.ledger if ln.severity == "must")
             for v in dl.select(axis, mixed).candidates if v.verdict == "meets"]  # fmt: skip
    assert order == sorted(order)


def test_whole_line_needs_no_estimate():
    axis = dl.read_axis(example_file("lift"))
    plain = dl.select(axis).candidates[0]
    filled = dl.verify(axis, plain.combination, dl.estimated())
    assert not any(ln.estimated for ln in filled.ledger if ln.severity == "must")
    assert filled.verdict == plain.verdict
