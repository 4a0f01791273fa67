"""How far inputs may go, smaller parts, ratios and questions: each done again by verifying."""

import math
from dataclasses import replace

import numpy as np
import pytest

from dutyline.axis.change import changed
from dutyline.axis.read import read_axis
from dutyline.checks.ledger import MEETS, binding_line, judge
from dutyline.checks.listing import CHECKS
from dutyline.checks.records import Combination
from dutyline.checks.verdict import verify
from dutyline.remedies.band import ratio_band, ratio_trials
from dutyline.remedies.doubts import _assumed, doubts
from dutyline.remedies.probe import Probe
from dutyline.remedies.reach import as_answered, reach_of
from dutyline.remedies.records import Answer, Effect, Range, Slope
from support.examples import axis_file
from support.judged import changed as without
from support.remedied import LINE, WHOLE, met, reached, remedied

LIFT = WHOLE
AXIS = read_axis(axis_file("lift"))

pytestmark = pytest.mark.slow


def limits(kind: str):
    """Ranges that end inside of what was looked at, or that end where they begin."""
    found = [r for effect in reached().effects for r in effect.ranges if r.binds]
    found = [r for r in found if "teeth" not in r.field or kind == "ending"]
    return [r for r in found if (r.after == r.before) == (kind == "at once")]


def with_values(found, text: str):
    values = dict(zip(found.field.split(", "), text.split(", "), strict=True))
    return verify(changed(AXIS, values), LINE, LIFT)


def beyond(found, share: float) -> str:
    texts = []
    for text in found.after.split(", "):
        number, _, unit = text.partition(" ")
        step = 1.0 if unit == "°C" else share * abs(float(number))
        texts.append(f"{float(number) + found.way * step:.10g} {unit}".strip())
    return ", ".join(texts)


def test_the_last_value_still_meets():
    found = limits("ending")
    assert len(found) > 8
    for one in found:
        assert with_values(one, one.after).verdict == "meets", one


def test_a_step_beyond_does_not_and_the_check_named_is_missed():
    for one in limits("ending"):
        if "teeth" in one.field:
            continue
        after = with_values(one, beyond(one, 0.026))
        missed = {ln.title for ln in after.ledger if ln.severity == "must" and ln.state != "meets"}
        assert one.binds in missed, one


def test_what_breaks_at_once_breaks_at_once():
    """The lift moves 60 % of its time: one hair more and its gearhead counts as running through."""
    found = limits("at once")
    assert {"phase.up.time", "phase.unload.time"} <= {one.field for one in found}
    for one in found:
        assert with_values(one, beyond(one, 0.006)).verdict != "meets", one


def test_the_lift_stands_at_a_threshold_of_two_sides():
    slope = next(e.slope for e in reached().effects if e.field == "phase.up.time")
    assert slope.less_check == "Top speed"
    assert slope.more_check == "Mean input speed"
    assert slope.less == pytest.approx(-0.9375 / 0.995 * (1 - 0.995) / 0.005, rel=1e-9)
    assert abs(slope.more) > 20 * abs(slope.less)


def test_the_most_it_carries_is_where_it_turns():
    for answer in reached().answers:
        texts = [answer.after, beyond_answer(answer, 1.003 if answer.unit == "kg" else 0.997)]
        assert [with_values(answer, text).verdict == "meets" for text in texts] == [True, False]


def beyond_answer(answer, share: float) -> str:
    pairs = (text.partition(" ") for text in answer.after.split(", "))
    return ", ".join(f"{float(n) * share!r} {unit}" for n, _, unit in pairs)


def test_from_what_fails_the_same_end_is_found():
    """Driven out from what meets, and brought back from what does not."""
    from_inside = next(a for a in reached().answers if a.field == "load.payloads.carton.mass")
    heavy = changed(AXIS, {"load.payloads.carton.mass": "40 kg"})
    failing = verify(heavy, LINE, LIFT)
    assert failing.verdict != "meets"
    from_outside = next(a for a in reach_of(failing).answers if a.field == from_inside.field)
    assert from_outside.value == pytest.approx(from_inside.value, rel=1e-6)
    assert from_outside.binds == from_inside.binds == "Hold ratio"


def test_what_fails_has_no_limits_to_tell():
    found = reach_of(remedied("a ratio too small"))
    assert found.effects == ()
    assert found.smaller == ()
    assert found.band is not None


def test_a_smaller_part_would_do_or_not():
    """The exchange is made and judged again, with the eased input where one is named."""
    found = {s.field: s for s in reached().smaller}
    motor = found["motor"]
    parts = Combination(motor.after, LIFT.gearhead, "XD-H2", "XB54", LIFT.resistor)
    assert verify(AXIS, LINE, parts).verdict != "meets"
    assert "lowering the moving mass from 28" in motor.text
    eased = changed(AXIS, {"load.mass": "16 kg"})
    assert verify(eased, LINE, parts).verdict == "meets"


def test_the_band_at_the_chosen_ratio_is_the_verdict_itself():
    band = reached().band
    k = band.ratio.index(band.chosen)
    for key, row in band.used.items():
        check, part = key.split()
        line = next(ln for ln in met().ledger if (ln.check, ln.part) == (check, part))
        assert row[k] == pytest.approx(line.used, rel=1e-9, abs=1e-12)


def test_the_band_ends_where_something_is_missed():
    """Just inside every must check is met, just outside one is not."""
    probe = Probe(AXIS, LINE, LIFT)
    gear = LINE.gearheads[LINE.gearhead_index[LIFT.gearhead]]
    ((low, high),) = reached().band.bands
    around = np.array([low / 1.001, low * 1.001, high / 1.001, high * 1.001])
    trial = ratio_trials(probe, gear, around)[0]
    inside = np.ones(4, dtype=bool)
    for check in CHECKS:
        judged = judge(trial, check)
        inside &= ~judged.must | (judged.state >= MEETS)
    assert inside.tolist() == [False, True, True, False]
    top = LINE.motors[LINE.motor_index[LIFT.motor]].speed_max * (1 - 0.05)
    assert high == pytest.approx(top / met().demand["output"]["peak_speed"], rel=1e-4)


def test_listed_ratios_are_verified_gearheads():
    for row in reached().band.listed:
        alone = verify(AXIS, LINE, Combination(
            LIFT.motor, row.gearhead, LIFT.drive, LIFT.brake, LIFT.resistor))  # fmt: skip
        assert alone.verdict == row.verdict
        assert binding_line(alone.ledger) is not None


def test_no_band_needs_a_gearhead():
    bare = Combination("XM72-0450H", None, "XD-H4", "XB72", "XR-H80-90")
    band = ratio_band(Probe(AXIS, LINE, bare), [])
    assert band.chosen == 1.0
    assert "without loss" in band.ideal


def test_questions_are_few_and_the_weightiest_first():
    weights = [d.influence for d in reached().doubts]
    assert len(weights) <= 7
    assert weights == sorted(weights, reverse=True)
    assert all(d.text.endswith("?") for d in reached().doubts)


def test_a_missing_datum_of_a_must_check_comes_first():
    """Without the rotor's inertia there is no peak torque to judge."""
    line = without(LINE, "motor", LIFT.motor, torque_stall=None, current_stall=None)
    lacking = verify(AXIS, line, LIFT)
    assert lacking.verdict == "incomplete"
    first = doubts(Probe(AXIS, line, LIFT))[0]
    assert math.isinf(first.influence)
    assert first.effect.startswith("Opens ")


def test_an_influence_is_the_slack_that_the_span_eats():
    """The efficiency of the belt, moved to the end of its span by hand."""
    doubt = next(d for d in reached().doubts if d.field == "mechanism.efficiency")
    worse = verify(changed(AXIS, {"mechanism.efficiency": 0.91}), LINE, LIFT)
    eaten = []
    for before, after in zip(met().ledger, worse.ledger, strict=True):
        if before.severity == "must" and before.margin is not None and not before.yes_no:
            slack = before.margin - before.required
            eaten.append((before.margin - after.margin) / max(slack, 0.01))
    assert doubt.influence == pytest.approx(max(eaten), rel=1e-6)


def test_one_end_of_an_input_is_told_in_the_same_digits_everywhere():
    span = Range("load.mass", "the moving mass", 1, "40 kg", "64 kg", 65.13, "kg", "800 kg", "Hold")
    other = replace(span, way=-1, after="1 kg", value=1.02)
    answer = Answer(
        field="load.mass", text="", value=65.1372, unit="kg", before="40 kg", after="65.1 kg",
        binds="Hold",
    )  # fmt: skip
    effect = Effect("load.mass", "the moving mass", "40 kg", Slope(None, None, "", ""),
                    (span, other))  # fmt: skip
    (found,) = as_answered((effect,), (answer,))
    assert (found.ranges[0].after, found.ranges[0].value) == ("65.1 kg", 65.1372)
    assert found.ranges[1] == other


def test_mains_from_a_socket_are_no_dc_supply():
    """The deviation of stated ac mains is doubted by its number, not as a battery's voltages."""
    found = [d for d in _assumed(Probe(AXIS, LINE, LIFT)) if d.field == "site.mains_high"]
    assert found
    assert not any("dc supply" in doubt.text for doubt in found)
