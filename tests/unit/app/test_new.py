"""Answers of ``dutyline new``: what is understood, what is asked back, what the file says."""

from __future__ import annotations

import tomllib

import pytest

from dutyline.app import new
from dutyline.core.errors import InputError
from dutyline.core.faults import ValueFault


def plain(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u202f", " ")


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("belt", "belt"),
        ("Ball Screw", "ball-screw"),
        ("rack and pinion", "rack"),
        ("winch", "hoist"),
    ],
)
def test_mechanism(typed, kind):
    assert new.mechanism(typed) == kind


def test_mechanism_that_is_none():
    with pytest.raises(ValueFault, match='The nearest is "belt"'):
        new.mechanism("blet")


@pytest.mark.parametrize(
    ("typed", "kind", "echo", "weighs"),
    [
        ("12 kg + 15.5 lb, 90°", "belt", "19.03 kg, straight up.", True),
        ("40 kg", "ball-screw", "40.00 kg, level.", False),
        ("40 kg, 30 deg", "rack", "40.00 kg, 30.0° above the level.", True),
        ("40 kg", "hoist", "40.00 kg, straight up.", True),
        ("2,5 kg", "belt", "2.500 kg, level.", False),
    ],
)
def test_load(typed, kind, echo, weighs):
    """12 kg and 15.5 lb of 0.45359237 kg are 19.0307 kg (definition of the pound)."""
    answer = new.load(typed, kind)
    assert plain(answer.echo) == echo
    assert answer.weighs is weighs


def test_rotary_axes_are_asked_for_their_inertia():
    assert plain(new.load("2.8 kg cm2", "rotary-table").echo) == "2.800 kg·cm²."


@pytest.mark.parametrize(
    ("typed", "kind", "echo"),
    [
        ("700 mm in 0,6 s", "belt", "700 mm in 0.60 s: 1.75 m/s at the top with thirds."),
        ("24 in in 0.6 s", "belt", "610 mm in 0.60 s: 1.52 m/s at the top with thirds."),
        ("90 deg in 0.5 s", "rotary-table", "90.0° in 0.50 s: 45.0 r/min at the top with thirds."),
    ],
)
def test_move(typed, kind, echo):
    """A trapezoid of thirds has its top at 1.5 times the mean speed (area under it)."""
    assert plain(new.move(typed, kind).echo) == echo


@pytest.mark.parametrize("typed", ["700 mm", "in 3 s", "300 mm in 0 s", "0 mm in 1 s"])
def test_move_that_is_none(typed):
    with pytest.raises(ValueFault):
        new.move(typed, "belt")


@pytest.mark.parametrize(
    ("typed", "field", "rest"),
    [("30 /min", "rate", "0.80"), ("every 2 s", "cycle", "0.80"), ("2 s", "cycle", "0.80")],
)
def test_rhythm(typed, field, rest):
    moved = new.move("700 mm in 0.6 s", "belt")
    answer = new.rhythm(typed, "belt", moved)
    assert answer.field == field
    assert plain(answer.echo) == f"Every 2.00 s, so {rest} s remain after the way there and back."


def test_rhythm_of_an_endless_axis_has_one_move():
    moved = new.move("90 deg in 0.6 s", "rotary-table")
    assert "1.40" in new.rhythm("every 2 s", "rotary-table", moved).echo


def test_bare_number_is_asked_about():
    with pytest.raises(new.RateUnitNeeded, match="per minute or seconds"):
        new.rhythm("30", "belt", None)


def test_rhythm_that_is_too_short():
    moved = new.move("700 mm in 0.6 s", "belt")
    with pytest.raises(ValueFault, match="too short"):
        new.rhythm("every 1 s", "belt", moved)


@pytest.mark.parametrize(
    ("typed", "phases", "echo"),
    [
        ("230 V, 3 phases", "3", "230 V, three-phase."),
        ("115 V, single phase", "1", "115 V, single-phase."),
        ("48 V, dc", '"dc"', "48.0 V, DC."),
        ("400 V", "", "400 V, phases left open."),
    ],
)
def test_mains(typed, phases, echo):
    answer = new.mains(typed)
    assert answer.phases == phases
    assert plain(answer.echo) == echo


def test_file_says_what_was_typed_and_names_the_rest():
    draft = new.Draft(
        kind="belt",
        load=new.load("12 kg + 15.5 lb, 90°", "belt"),
        move=new.move("700 mm in 0,6 s", "belt"),
        rhythm=new.rhythm("30 /min", "belt", None),
    )
    text = new.axis_text(draft, "Lift")
    data = tomllib.loads(text)
    assert data["load"] == {"mass": "12 kg + 15.5 lb", "incline": "90°"}
    assert data["mechanism"] == {"kind": "belt"}
    assert [phase.get("by") for phase in data["phase"]] == ["700 mm", None, "-700 mm", None]
    assert data["duty"] == {"rate": "30 /min"}
    assert "site" not in data
    assert "# diameter =" in text
    assert "# stop.free_distance" in text
    assert new.open_facts(draft).startswith("Gravity axis: 3 facts")


def test_all_left_open_is_still_a_file():
    assert tomllib.loads(new.axis_text(new.Draft(), "Axis"))["schema"] == 1


def test_quotes_in_an_answer_do_not_break_the_file():
    draft = new.Draft(kind="belt", move=new.move('3 1/2" in 1 s', "belt"))
    assert tomllib.loads(new.axis_text(draft, "x"))["phase"][0]["by"] == '3 1/2"'


def test_a_file_that_exists_stays(tmp_path):
    target = tmp_path / "lift.toml"
    target.write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="exists; name another with --to, or edit it"):
        new.write_new(new.Draft(), str(target))
    assert target.read_text(encoding="utf-8") == "mine"
