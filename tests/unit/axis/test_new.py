"""Five questions: whatever is answered or left open, the text reads without faults."""

import math

import pytest
from tests.support.axis_files import line_of

from dutyline.axis.answered import hear
from dutyline.axis.forms import KINDS, LINEAR_KINDS, ROTARY_KINDS
from dutyline.axis.new import _with_slope, ask
from dutyline.axis.read import read_axis


def talk(*answers):
    """The axis, the text and everything that was said."""
    said = []
    text = ask(iter(answers), said.append)
    return read_axis("new.toml", text=text), text, "\n".join(said)


def test_full_answers_become_the_axis():
    axis, _, said = talk("belt", "12 kg + 15.5 lb, 90°", "700 mm in 0,6 s", "30 /min",
                         "230 V, 3 phases")  # fmt: skip
    assert axis.train.kind == "belt"
    load = axis.train.chain.load.base
    assert load.mass == pytest.approx(12 + 15.5 * 0.45359237, rel=1e-12)
    assert load.gravity == pytest.approx(load.mass * 9.80665, rel=1e-12)
    assert axis.cycle.duration == pytest.approx(2.0, rel=1e-9)
    assert axis.cycle.phases[0].distance == pytest.approx(0.7)
    assert axis.cycle.phases[0].top_speed == pytest.approx(1.75)
    assert axis.site is not None
    assert (axis.site.mains, axis.site.phases) == (230.0, 3)
    assert "straight up" in said
    assert "0.80 s remain beside the way there and back" in said
    assert "Gravity axis" in said


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("answered", [True, False])
def test_every_kind_reads_back(kind, answered):
    load = "250 N" if kind in ("winder", "feed-rolls") else "25 kg"
    if kind in ROTARY_KINDS:
        load = "0.3 kg*m^2"
    linear = kind in LINEAR_KINDS or kind == "direct"
    rest = [load, "200 mm in 0.5 s" if linear else "90 deg in 0.25 s",
            "every 3 s", "400 V three-phase"]  # fmt: skip
    axis, _, _ = talk(kind, *(rest if answered else []))
    assert axis.train.kind == kind
    assert (axis.site is None) != answered
    assert axis.cycle.duration > 0


def test_nothing_answered_still_leaves_a_file_that_says_what_is_assumed():
    axis, text, said = talk()
    assert axis.train.kind == "belt"
    assert {"load.mass", "phase.there.by", "phase.there.time"} <= set(
        axis.assumed(("load", "phase"))
    )
    assert text.count("assumed") >= 4
    assert "Left open" in said


def test_open_facts_stand_in_comments():
    axis, text, said = talk("belt", "10 kg", "300 mm in 0.6 s", "20 /min", "")
    assert "# Still worth asking" in text
    for question in axis.questions:
        assert line_of(text, question.path) > 1
    assert f"{len(axis.questions)} facts are still worth asking" in said


def test_what_is_not_understood_is_asked_again():
    axis, _, said = talk("bolt", "belt", "heavy", "-3 kg", "10 kg", "far", "300 mm in 0.6 s",
                         "1,250 s", "every 4 s", "lots", "48 V dc")  # fmt: skip
    assert 'The nearest is "belt"' in said
    assert "not above 0" in said
    assert axis.train.chain.load.base.mass == 10.0
    assert axis.cycle.duration == pytest.approx(4.0)
    assert axis.site is not None
    assert axis.site.phases == "dc"


def test_a_bare_number_is_asked_about():
    axis, _, said = talk("belt", "10 kg", "300 mm in 0.6 s", "30", "/min", "")
    assert "per minute or seconds?" in said
    assert axis.cycle.duration == pytest.approx(2.0)
    assert talk("belt", "10 kg", "300 mm in 0.6 s", "30", "s")[0].cycle.duration == 30.0


def test_a_cycle_that_leaves_no_time_is_told_and_asked_again():
    axis, _, said = talk("belt", "10 kg", "300 mm in 0.6 s", "60 /min", "every 2 s")
    assert "There and back take 1.2 s" in said
    assert axis.cycle.duration == pytest.approx(2.0)


def test_a_table_goes_on_and_does_not_come_back():
    axis, _, said = talk("rotary-table", "6 kg*m^2", "30 deg in 0.25 s", "60 /min")
    assert len(axis.cycle.phases) == 2
    assert axis.cycle.net_travel > 0
    assert "0.75 s remain after the move" in said


def test_a_crank_that_turns_whole_turns_does_not_come_back():
    axis, _, said = talk("slider-crank", "6 kg", "360 deg in 0.5 s", "60 /min")
    assert len(axis.cycle.phases) == 2
    assert axis.cycle.net_travel > 0
    assert "0.50 s remain after the move" in said
    assert len(talk("slider-crank", "6 kg", "90 deg in 0.4 s", "60 /min")[0].cycle.phases) == 4


def test_a_winder_is_asked_for_its_tension():
    axis, text, said = talk("winder", "250 N", "4 m in 2 s")
    assert "What tension has the web?" in said
    assert 'tension = "250 N"' in text
    assert axis.train.chain.load.base.mass == 0.0


def test_mains_without_phases_are_asked_about():
    axis, _, said = talk("belt", "10 kg", "300 mm in 0.6 s", "20 /min", "230 V", "1")
    assert "One or three phases" in said
    assert axis.site is not None
    assert axis.site.phases == 1


def test_quotes_in_an_answer_do_not_break_the_file():
    assert talk("belt", "10 kg", '12" in 0.6 s')[0].cycle.phases[0].distance == pytest.approx(
        12 * 0.0254
    )


@pytest.mark.parametrize(
    ("typed", "mass", "angle"),
    [
        ("40 lb, 90", "40 lb", 90.0),
        ("15.5 lb; 30", "15.5 lb", 30.0),
        ("40,5 kg, 12,5", "40,5 kg", 12.5),
        ("40 kg, 90°", "40 kg", 90.0),
        ("40,5 kg", "40,5 kg", None),
    ],
)
def test_a_slope_needs_no_sign_of_degrees(typed, mass, angle):
    first, slope = _with_slope(typed)
    assert first == mass
    assert (None if slope is None else math.degrees(slope.si)) == (
        None if angle is None else pytest.approx(angle)
    )


def test_inches_in_a_time_are_read():
    """The unit "in" and the word "in" stand beside each other."""
    axis, text, _ = talk("belt", "33 lb", "24 in in 0,5 s", "every 1,5 s", "230 V, 1 phase")
    assert axis.cycle.phases[0].distance == pytest.approx(24 * 0.0254)
    assert axis.cycle.phases[0].duration == pytest.approx(0.5)
    assert 'by = "24 in"' in text
    _, _, said = talk("belt", "33 lb", "24 in")
    assert '"24 in" does not say both' in said


@pytest.mark.parametrize(
    ("word", "kind"),
    [("dial", "rotary-table"), ("rotary knife", "rotary-table"), ("blower", "rotary-load")],
)
def test_words_of_the_trade_lead_to_a_kind(word, kind):
    axis, _, _ = talk(word)
    assert axis.train.kind == kind


@pytest.mark.parametrize(
    ("typed", "seconds"),
    [
        ("45 cycles a minute", 60 / 45),
        ("40 times a minute", 1.5),
        ("60 per minute", 1.0),
        ("One every 2.4 s", 2.4),
        ("30 an hour", 120.0),
        ("120 single strokes a minute", 1.0),
        ("60 double strokes/min", 1.0),
    ],
)
def test_how_often_is_understood_as_people_write_it(typed: str, seconds: float) -> None:
    found, heard = hear(["belt", "3 kg", "100 mm in 0.2 s", typed, ""])
    assert heard[3].given, heard[3].said
    assert found.cycle.endswith(" s")
    assert float(found.cycle.removesuffix(" s")) == pytest.approx(seconds)


def test_strokes_that_may_be_single_or_double_are_asked_about() -> None:
    _, heard = hear(["belt", "35 kg", "600 mm in 0.2 s", "120 strokes a minute", ""])
    assert heard[3].refused
    assert "single strokes or double strokes" in heard[3].said


def test_phases_that_were_not_said_are_named_as_such() -> None:
    said = [hear(["", "", "", "", mains])[1][4].said for mains in ("230 V", "230 V, 3 phases")]
    assert [text.endswith("as nothing else is said.") for text in said] == [True, False]


def test_masses_in_a_list_are_told_to_be_added_up() -> None:
    _, heard = hear(["belt", "12 kg, product 3 kg", "", "", ""])
    assert heard[1].refused
    assert '"12 kg + 3 kg"' in heard[1].said
