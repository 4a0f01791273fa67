"""Enquiries as customers write them, worked as a user would.

The files and the numbers to meet stand in ``enquiries/``. Every number is met by the command
line's JSON where that holds it, and by Python, which reads it off the pieces of the demand, off
the drive train or off the axis with one line of the file written anew.
"""

from __future__ import annotations

import json
import re
from functools import cache
from typing import Any

import pytest

import dutyline as dl
from dutyline.report.build import build_document
from dutyline.report.html import to_html
from support.command import dutyline
from support.enquiries import ENQUIRIES, FOLDER, ending, tolerance
from support.worked import BY_PYTHON, subject, verdict_of, worked, written

pytestmark = [pytest.mark.e2e, pytest.mark.usefixtures("remedies_once")]

TRAPS = [(n, t) for n, e in ENQUIRIES.items() for t in e["trap"] if "people" not in t]
NUMBERS = [(name, key) for name, e in ENQUIRIES.items() for key in e["numbers"]]


def wanted(name: str, key: str) -> tuple[float, str, float]:
    """A number of an enquiry in SI, its unit and the tolerance as a share."""
    _, found = ending(key)
    value = ENQUIRIES[name]["numbers"][key]
    return value * found.size, found.unit, tolerance(name, key) / 100


def json_at(data: Any, path: str) -> dict[str, Any]:
    """The quantity at ``phases.up.peak_torque`` in an answer of the command line."""
    for key in path.split("."):
        if isinstance(data, list) and not key.isdecimal():
            data = next(p for p in data if p["name"] == key)
        else:
            data = data[int(key) if isinstance(data, list) else key]
    return data


@cache
def answer(name: str) -> dict[str, Any]:
    done = dutyline("demand", str(FOLDER / f"{name}.toml"), "--json")
    assert (done.code, done.err) == (0, "")
    return json.loads(done.out)


@pytest.mark.parametrize(("name", "key"), NUMBERS)
def test_numbers_by_python(name, key):
    value, _, tolerance = wanted(name, key)
    assert BY_PYTHON[name][key](subject(name)) == pytest.approx(value, rel=tolerance)


@pytest.mark.parametrize(
    ("name", "key"), [(name, key) for name, key in NUMBERS if key in ENQUIRIES[name]["json"]]
)
def test_numbers_by_the_command_line(name, key):
    value, unit, tolerance = wanted(name, key)
    found = json_at(answer(name), ENQUIRIES[name]["json"][key])
    assert found["unit"] == unit
    assert found["value"] == pytest.approx(value, rel=tolerance)


def test_every_number_is_worked():
    assert {(n, k) for n, keys in BY_PYTHON.items() for k in keys} == set(NUMBERS)
    assert {n for n in ENQUIRIES if subject(n)} == {f.stem for f in FOLDER.glob("*-*.toml")}
    assert len(ENQUIRIES) == 20


@pytest.mark.parametrize(("name", "trap"), TRAPS)
def test_traps(name, trap):
    """What the tool has to bring up, it brings up."""
    (kind,) = RAISED.keys() & trap.keys()
    RAISED[kind](name, trap)


def test_other_traps_say_why_they_are_for_people():
    for enquiry in ENQUIRIES.values():
        for trap in enquiry["trap"]:
            assert len((RAISED.keys() | {"people"}) & trap.keys()) == 1, trap
            assert trap.get("people", "said") != "", trap


def _asked(name: str, trap: dict[str, Any]) -> None:
    questions = {q["field"]: q["text"] for q in answer(name)["questions"]}
    assert questions[trap["question"]].endswith("?")


def _noted(name: str, trap: dict[str, Any]) -> None:
    assert any(trap["note"] in note for note in answer(name)["notes"])


def _refused(name: str, trap: dict[str, Any]) -> None:
    text = written(name, (trap["line"], trap["written"]))
    done = dutyline("demand", "-", stdin=text)
    assert (done.code, done.out) == (2, "")
    said = re.sub(r"\s+", " ", done.err)
    for words in trap["refused"]:
        assert words in said


def _checked(name: str, trap: dict[str, Any]) -> None:
    verdict = verdict_of(name, trap["parts"])
    states = {line["state"] for line in verdict["ledger"] if line["check"] == trap["check"]}
    assert states == {trap["state"]}


def _cautioned(name: str, trap: dict[str, Any]) -> None:
    parts = next((t["parts"] for t in ENQUIRIES[name]["trap"] if "parts" in t), None)
    verdict = verdict_of(name, parts or {"motor": "XM148-3000H", "brake": "XB148"})
    assert any(trap["caution"] in words for words in verdict["cautions"])


def _written(name: str, trap: dict[str, Any]) -> None:
    axis = worked(name).axis
    verdict = dl.verify(axis, dl.Combination(**trap["parts"]))
    assert trap["report"] in re.sub(r"<[^>]*>|\s+", " ", to_html(build_document(verdict)))


def _shown(name: str, trap: dict[str, Any]) -> None:
    """The figure is one of the numbers met above."""
    assert set(trap["figure"]) <= set(BY_PYTHON[name])


RAISED = {
    "question": _asked,
    "note": _noted,
    "caution": _cautioned,
    "refused": _refused,
    "check": _checked,
    "figure": _shown,
    "report": _written,
}


def test_a_parked_torque_that_the_motor_does_not_see():
    """Held at the load, 7 kN m leave nothing at the shaft; held by the motor, they would."""
    assert worked("solar-25").peak("parked") == 0.0
    held = worked("solar-25", ('hold = "off"', 'hold = "ideal"'))
    assert held.peak("parked") == pytest.approx(7000 / (62 * 20))


@pytest.mark.parametrize("name", ["log-17", "lab-13", "solar-25"])
def test_a_search_that_finds_nothing_says_why(name):
    """5 kW, 48 V and 24 V are outside the line that ships."""
    done = dutyline("select", str(FOLDER / f"{name}.toml"))
    assert done.code == 1
    assert "every one fails a check" in re.sub(r"\s+", " ", done.out)
    assert "Nothing in the product line runs on" in done.out


@pytest.mark.parametrize("name", ["food-07", "solar-26"])
def test_a_search_that_finds_something(name):
    done = dutyline("select", str(FOLDER / f"{name}.toml"), "--json")
    assert done.code == 0
    assert json.loads(done.out)["candidates"][0]["verdict"] == "meets"


def test_a_search_without_the_seat_of_the_belt_stays_open():
    """The enquiry names neither pretension nor seat of the pulley: nothing meets, both asked."""
    shown = dutyline("select", str(FOLDER / "pack-01.toml"))
    assert (shown.code, "meets" in shown.out) == (1, False)
    assert "(mechanism.overhang), or a coupling" in re.sub(r"\s+", " ", shown.out)
    seated = written("pack-01", ("efficiency = 1\n", 'efficiency = 1\noverhang = "15 mm"\n'))
    asked = dutyline("select", "-", stdin=seated)
    assert (asked.code, "meets" in asked.out) == (1, False)
    assert "missing: pretension of the belt, N." in asked.out
    coupled = written("pack-01", ("efficiency = 1\n", f"efficiency = 1\n{COUPLING}"))
    assert re.search(r"^● .* meets$", dutyline("select", "-", stdin=coupled).out, re.MULTILINE)


COUPLING = """
[[stage]]
kind = "coupling"
"""


def test_a_share_far_over_stands_apart_from_its_title():
    done = dutyline("verify", str(FOLDER / "semi-11.toml"), "--motor", "XM38-0050H", COLUMNS="80")
    assert "Winding temperature rise > 999" in done.out
    assert not re.search(r"\w> 999", done.out)


@pytest.mark.parametrize("width", ["80", "120"])
@pytest.mark.parametrize("name", sorted(n for n in ENQUIRIES if subject(n)))
def test_no_line_is_wider_than_the_terminal(name, width):
    done = dutyline("demand", str(FOLDER / f"{name}.toml"), COLUMNS=width)
    assert done.code == 0
    assert max(len(line) for line in done.out.splitlines()) <= int(width)


def test_both_readings_of_a_stroke_side_by_side():
    """The variant asks for four times the force of the file (by hand: half the time, squared)."""
    doubled = dutyline(
        "demand", str(FOLDER / "text-19.toml"), "--variant", "double strokes", "--json"
    )
    peaks = [d["peak_torque"]["value"] for d in (answer("text-19"), json.loads(doubled.out))]
    assert peaks[1] / peaks[0] == pytest.approx(4.0)


def test_a_drive_is_refused_on_other_mains():
    """Drives for 200 to 230 V do not run on 400 V, nor the other way round."""
    text = written("wood-09", ('mains = "230 V"', 'mains = "400 V"'))
    done = dutyline("select", "-", stdin=text)
    assert done.code == 1
    assert "Nothing in the product line runs on 400 V" in re.sub(r"\s+", " ", done.out)


@pytest.mark.parametrize("name", sorted(n for n in ENQUIRIES if subject(n)))
def test_the_words_of_the_customer_are_kept(name):
    assert worked(name).axis.enquiry.split() == ENQUIRIES[name]["text"].split()


def test_core_and_full_roll_stand_side_by_side():
    """By hand: 5 m/s over 38 and 500 mm, 250 N on them, paper of 900 kg/m3 between them."""
    rows = {row["case"]: row for row in answer("print-15")["case_figures"]}
    assert list(rows)[:2] == ["main", "core"]
    core, full = rows["core"], rows["main"]
    assert core["peak_speed"]["value"] == pytest.approx(5 / 0.038, rel=1e-3)
    assert core["peak_torque"]["value"] == pytest.approx(250 * 0.038, rel=5e-3)
    assert full["peak_torque"]["value"] == pytest.approx(125 + 53.01, rel=1e-3)
    assert full["reflected_inertia"]["value"] == pytest.approx(53.01, rel=1e-3)
    shown = dutyline("demand", str(FOLDER / "print-15.toml"), COLUMNS="80").out
    assert re.search(r"core +1.256.r/min +9\.5", shown)


def test_a_file_without_cases_has_no_table_of_them():
    assert answer("pack-01")["case_figures"] == []
    assert "Case " not in dutyline("demand", str(FOLDER / "pack-01.toml")).out
