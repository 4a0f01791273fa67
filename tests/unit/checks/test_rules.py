"""The rules of the ledger: margin, state, verdict and severity, on made-up checks and on a lift."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dutyline.axis.fields_around import RESERVES
from dutyline.axis.model import Input, Require, Site
from dutyline.checks.ledger import (
    ABSENT,
    FAILS,
    MEETS,
    SHORT,
    UNCHECKED,
    binding_line,
    judge,
    margin_of,
    verdict_word,
)
from dutyline.checks.listing import CHECK_IDS, CHECKS
from dutyline.checks.records import Check, Combination, Line, Outcome
from dutyline.checks.verdict import chosen, trial_of
from dutyline.core.values import Value
from support import axes
from support.judged import PARTS, judged, lift, line_of, sprung, stocked

numbers = st.floats(1e-6, 1e6)


def margin(demand, limit):
    return float(margin_of(np.array(demand), np.array(limit)))


# --- margin ---------------------------------------------------------------------------------------


@given(numbers, numbers)
def test_margin_is_limit_minus_demand_over_limit(demand, limit):
    """One formula for every check."""
    assert margin(demand, limit) == pytest.approx((limit - demand) / limit, rel=1e-9, abs=1e-12)


@given(numbers, numbers)
def test_at_least_checks_read_the_other_way_round(available, required):
    """For "at least" the available value is the limit: met just when it is not below the demand."""
    assert (margin(required, available) >= 0) == (available >= required)


@pytest.mark.parametrize(("demand", "limit", "expected"), [
    (0.0, 0.0, 0.0),
    (1.0, 0.0, -np.inf),
    (1e-300, 0.0, -np.inf),
    (np.inf, 5.0, -np.inf),
    (np.inf, 0.0, -np.inf),
    (np.inf, np.inf, -np.inf),
    (5.0, np.inf, 1.0),
    (0.0, np.inf, 1.0),
    (0.0, 5.0, 1.0),
    (5.0, 5.0, 0.0),
    (10.0, 5.0, -1.0),
])  # fmt: skip
def test_margin_at_its_edges(demand, limit, expected):
    """Limit 0: 0 where nothing is demanded, else minus infinity. Infinite demand never fits."""
    assert margin(demand, limit) == expected


@pytest.mark.parametrize(("demand", "limit"), [(np.nan, 1.0), (1.0, np.nan), (np.nan, 0.0),
                                               (np.inf, np.nan), (np.nan, np.nan)])  # fmt: skip
def test_no_margin_without_both(demand, limit):
    """A missing number leaves no margin, whatever the other is."""
    assert np.isnan(margin(demand, limit))


# --- state ----------------------------------------------------------------------------------------


def a_trial(axis=None, **reserve):
    axis = replace(axis or lift(), reserve=reserve)
    line = stocked()
    return trial_of(axis, line, chosen(axis, line, PARTS))


def a_check(demand, limit, severity="must", check="peak-torque", **outcome):
    def run(_):
        return Outcome(np.atleast_1d(demand), np.atleast_1d(limit), **outcome)

    return Check(check, "motor", "Made up", "Motor", "1", severity, 0.1, "", "", (), run)


@pytest.fixture(scope="module")
def trial():
    return a_trial()


@pytest.mark.parametrize(("demand", "state"), [
    (0.5, MEETS), (0.9, MEETS), (0.9 + 1e-14, MEETS), (0.901, SHORT), (1.0, SHORT),
    (1.0 + 1e-14, SHORT), (1.001, FAILS), (np.inf, FAILS), (np.nan, UNCHECKED),
])  # fmt: skip
def test_state_at_a_reserve_of_a_tenth(trial, demand, state):
    """Below 0 fails, below what is required short, else meets; equal within rounding is equal."""
    for severity in ("must", "caution", "note"):
        assert judge(trial, a_check(demand, 1.0, severity)).state[0] == state


def test_check_that_does_not_apply_has_no_state(trial):
    """No line, whatever the numbers."""
    assert judge(trial, a_check(5.0, 1.0, applies=False)).state[0] == ABSENT


def test_severity_of_the_outcome_goes_before_that_of_the_check(trial):
    """A check may be a note in one case and a must in another."""
    assert judge(trial, a_check(5.0, 1.0)).must[0]
    told = Outcome(np.array([5.0]), np.array([1.0]), severity="note")
    assert not judge(trial, replace(a_check(5.0, 1.0), run=lambda _: told)).must[0]


@given(numbers, numbers, st.floats(0.0, 0.9), st.floats(0.0, 0.09))
def test_more_reserve_never_improves_a_state(demand, limit, reserve, more):
    """fails < short < meets: a larger reserve can only lower the state."""
    order = {FAILS: 0, SHORT: 1, MEETS: 2}
    margin = (limit - demand) / limit

    def state(required):
        return FAILS if margin < -1e-12 else SHORT if margin < required - 1e-12 else MEETS

    trial = TRIALS[0]
    low, high = (replace(trial, axis=replace(trial.axis, reserve={"peak-torque": r}))
                 for r in (reserve, reserve + more))  # fmt: skip
    check = a_check(demand, limit)
    one, two = int(judge(low, check).state[0]), int(judge(high, check).state[0])
    assert order[two] <= order[one]
    assert (one, two) == (state(reserve), state(reserve + more))


TRIALS = [a_trial()]


@pytest.fixture(scope="module")
def plain():
    return judged(lift(), stocked())


def halves():
    """Sets of checks such that of any two, one set holds the first and not the second."""
    for bit in range(len(CHECK_IDS).bit_length()):
        for own in (0, 1):
            yield [check for k, check in enumerate(CHECK_IDS) if k >> bit & 1 == own]


@pytest.mark.parametrize("checks", list(halves()))
def test_stated_reserve_is_the_required_one(plain, checks):
    """The axis file may state another reserve for every check, and only its own changes.

    Each is stated with a number of its own, beside others that are not.
    """
    stated = {check: 0.35 + 1e-3 * CHECK_IDS.index(check) for check in checks}
    asked = judged(replace(lift(), reserve=stated), stocked())
    for one, two in zip(plain.ledger, asked.ledger, strict=True):
        assert two.required == stated.get(two.check, one.required)
        assert (two.demand, two.limit, two.margin) == (one.demand, one.limit, one.margin)


def test_more_reserve_never_improves_a_verdict():
    """Over the whole ledger of the lift, for every check at once."""
    order = {"fails": 0, "incomplete": 1, "short": 2, "meets": 3}
    words = []
    for reserve in (0.0, 0.1, 0.3, 0.6, 0.9):
        asked = {c.id: reserve for c in CHECKS}
        words.append(order[judged(sprung(lift(reserve=asked)), stocked()).verdict])
    assert words == sorted(words, reverse=True)
    assert words[0] > words[-1]


# --- verdict --------------------------------------------------------------------------------------


def a_line(state, severity="must", margin=0.5, required=0.1, check="peak-torque"):
    return Line(check, "motor", "", "", "1", 1.0, 2.0,
                None if state == "not-checked" else margin, required, severity, state)  # fmt: skip


states = st.sampled_from(["meets", "short", "fails", "not-checked"])


@given(st.lists(st.tuples(states, st.sampled_from(["must", "caution", "note"])), max_size=12))
def test_verdict_is_the_first_that_applies(rows):
    """fails, then incomplete, then short, then meets; cautions and notes never count."""
    lines = [a_line(*row) for row in rows]
    must = {state for state, severity in rows if severity == "must"}
    expected = (
        "fails" if "fails" in must else "incomplete" if "not-checked" in must
        else "short" if "short" in must else "meets"
    )  # fmt: skip
    assert verdict_word(lines) == expected
    assert verdict_word([ln for ln in lines if ln.severity == "must"]) == expected


@given(st.lists(st.tuples(st.floats(-1, 1), st.floats(0, 0.5),
                          st.sampled_from(["must", "caution"])), max_size=9))  # fmt: skip
def test_binding_line_has_the_least_slack_of_the_must_lines(rows):
    """Margin minus what is required, over must lines that have a margin."""
    lines = [a_line("meets", s, m, r) for m, r, s in rows]
    binding = binding_line([*lines, a_line("not-checked")])
    slack = [m - r for m, r, s in rows if s == "must"]
    if not slack:
        assert binding is None
    else:
        assert binding.severity == "must"
        assert binding.margin - binding.required == min(slack)


def test_verdict_without_any_line_is_met():
    """Nothing asked, nothing missed."""
    assert verdict_word([]) == "meets"
    assert binding_line([]) is None


def test_caution_that_fails_leaves_the_verdict():
    """An inertia ratio beyond its band is told and changes nothing."""
    line = stocked()
    plain = judged(lift(), line)
    tight = judged(lift(require=Require(position=0.0005, settle=0.02)), line)
    before, after = line_of(plain, "inertia-ratio"), line_of(tight, "inertia-ratio")
    assert (before.state, after.state) == ("meets", "fails")
    assert after.severity == "caution"
    others = [ln for ln in tight.ledger if ln.check != "settling"]
    assert verdict_word(others) == plain.verdict
    assert any("Inertia ratio" in words for words in tight.cautions)
    assert not any("Inertia ratio" in words for words in plain.cautions)


# --- severity and lines by the task ---------------------------------------------------------------


def test_weak_mains_make_low_mains_a_must():
    """speed-on-low-mains is a caution unless the customer states weak mains."""
    for weak, severity in ((False, "caution"), (True, "must")):
        site = Site(230.0, 3, weak_mains=weak, people_near=False)
        assert (
            line_of(judged(lift(site=site), stocked()), "speed-on-low-mains").severity == severity
        )


def test_people_near_ask_for_twice_the_weight_torque():
    """Hold ratio 1.5, or 2 where people may be beneath."""
    for near, wanted in ((False, 1.5), (True, 2.0)):
        verdict = judged(lift(site=Site(230.0, 3, people_near=near)), stocked())
        assert line_of(verdict, "brake-hold").demand == wanted


def test_gravity_axis_without_a_brake_fails_unless_none_is_wanted():
    """A must, and a caution where the file says that no brake is wanted."""
    parts = replace(PARTS, brake=None)
    for wish, severity in ((None, "must"), (False, "caution")):
        axis = lift(require=Require(position=0.0005, brake=wish))
        line = line_of(judged(axis, stocked(), parts), "gravity-without-brake")
        assert (line.state, line.severity) == ("fails", severity)


def test_level_axis_has_no_lines_of_gravity():
    """No weight, no brake to be asked for, no caution about work beneath it."""
    load = replace(axes.slide().train.chain.load, base=axes.weight(8.0, 0.0, friction=20.0))
    level = axes.swap(axes.slide(), load=load)
    verdict = judged(level, stocked(), replace(PARTS, brake=None))
    for check in ("brake-hold", "gravity-without-brake", "gravity-safety-caution", "brake-drop"):
        assert line_of(verdict, check) is None


def test_motor_without_a_gearhead_has_no_lines_of_gearheads():
    """Nor has a gearhead that is not there an inertia, a ratio or a loss."""
    verdict = judged(lift(), stocked(), Combination("XM88-0800H", None, "XD-H6", "XB88"))
    assert not any(ln.part == "gearhead" for ln in verdict.ledger)
    assert verdict.demand["motor"]["peak_speed"] == verdict.demand["output"]["peak_speed"]


def test_slow_gearhead_has_the_equivalent_torque_as_a_caution():
    """A must from 0.3 of the rated output speed on."""
    fast = line_of(judged(lift(), stocked()), "gear-equivalent")
    slow = line_of(judged(axes.slowed(lift(), 6.0), stocked()), "gear-equivalent")
    assert (fast.severity, slow.severity) == ("must", "caution")


@pytest.mark.parametrize(("factor", "use", "winding"), [
    (1.0, "must", "note"), (3.0, "must", "must"), (40.0, "note", "must")])  # fmt: skip
def test_long_cycles_hand_over_to_the_network(factor, use, winding):
    """Up to a tenth of the winding's time constant the mean losses decide, beyond it the network
    too, beyond the whole of it the network alone."""
    verdict = judged(axes.slowed(lift(), factor), stocked())
    assert line_of(verdict, "continuous-use").severity == use
    assert line_of(verdict, "winding-temperature").severity == winding


def test_surroundings_beyond_the_rules_fail():
    """Above 60 degC or 4000 m nothing is rated: a must that fails; inside it is a note."""
    for site, state, severity in (
        (Site(230.0, 3, ambient=55.0), "meets", "note"),
        (Site(230.0, 3, ambient=61.0), "fails", "must"),
        (Site(230.0, 3, altitude=4100.0), "fails", "must"),
    ):
        verdict = judged(lift(site=site), stocked())
        line = line_of(verdict, "ambient-altitude")
        assert (line.state, line.severity) == (state, severity)
        if state == "fails":
            assert verdict.verdict == "fails"


@pytest.mark.parametrize(("site", "parts"), [
    (Site(400.0, 3), PARTS),
    (Site(230.0, "dc"), PARTS),
    (Site(230.0, 1), replace(PARTS, drive="XD-H9")),
    (Site(230.0, 3), replace(PARTS, drive="XD-L4")),
    (Site(230.0, 3), replace(PARTS, resistor="XR-L24-60")),
])  # fmt: skip
def test_wrong_supply_fails(site, parts):
    """Voltage, phases and class of mains, motor, drive and resistor."""
    verdict = judged(lift(site=site), stocked(), parts)
    assert line_of(verdict, "supply-match").state == "fails"
    assert verdict.verdict == "fails"


def test_wrong_flange_fails():
    """A 72 mm motor does not go on a gearhead for 38 and 54 mm."""
    verdict = judged(lift(), stocked(), replace(PARTS, gearhead="XG54-6"))
    assert line_of(verdict, "fit").state == "fails"


def stated(path, status):
    return Input(path, "Load", path, "", Value(1.0, "1", "1", status))


def test_assumed_inputs_are_those_of_the_binding_check():
    """Assumed facts are counted where the binding check used them; a default is no assumption."""
    inputs = (stated("load.drag", "assumed"), stated("load.mass", "given"),
              stated("mechanism.efficiency", "default"),
              stated("require.position", "assumed"))  # fmt: skip
    verdict = judged(lift(inputs=inputs), stocked())
    line = line_of(verdict, "assumed-inputs")
    assert line.demand == 1.0
    assert line.assumed == ("load.drag",)
    assert line.state == "fails"
    assert line.severity == "caution"
    assert verdict.verdict == judged(lift(), stocked()).verdict


def test_checks_of_one_id_want_the_same_reserve():
    """A reserve is stated by id, whatever the part; every id may be given one, and no other."""
    wanted = {check.id: check.reserve for check in CHECKS}
    assert [c.id for c in CHECKS if c.reserve != wanted[c.id]] == []
    assert sorted(RESERVES) == sorted(CHECK_IDS)
