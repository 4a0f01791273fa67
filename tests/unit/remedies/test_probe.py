"""The probe judges as verify does, and leaves no trace of what it tried."""

import pytest

from dutyline.axis.change import changed
from dutyline.axis.read import read_axis
from dutyline.checks.listing import CHECKS, GRAVER
from dutyline.checks.records import Combination
from dutyline.checks.verdict import verify
from dutyline.remedies.probe import Goal, Probe, everything, key_of, slack
from support.axis_files import LIFT
from support.examples import axis_file
from support.remedied import CASES, LINE

PARTS = Combination("XM72-0450H", "XG72-16", "XD-H4", "XB72", "XR-H80-90")
RIDING = LIFT.replace('kind = "ball-screw"', 'kind = "ball-screw"\nmotor_rides = true')


def margins(lines):
    return {key_of(ln): ln.margin for ln in lines if ln.check != "assumed-inputs"}


@pytest.mark.parametrize("name", CASES)
def test_the_base_is_the_verdict(name):
    example, parts = CASES[name]
    verdict = verify(read_axis(axis_file(example)), LINE, parts)
    base = Probe(verdict.axis, LINE, parts).base
    assert margins(base.lines) == margins(verdict.ledger)
    assert base.verdict == verdict.verdict


def test_a_motor_that_rides_is_carried_once():
    verdict = verify(read_axis("lift.toml", text=RIDING), LINE, PARTS)
    base = Probe(verdict.axis, LINE, PARTS).base
    assert margins(base.lines) == margins(verdict.ledger)


def test_a_change_is_the_changed_file():
    verdict = verify(read_axis("lift.toml", text=RIDING), LINE, PARTS)
    changes = {"load.mass": "31 kg", "phase.up.time": "0.7 s"}
    reading = Probe(verdict.axis, LINE, PARTS).at(changes)
    expected = verify(changed(read_axis("lift.toml", text=RIDING), changes), LINE, PARTS)
    assert margins(reading.lines) == margins(expected.ledger)


@pytest.mark.parametrize("text", [LIFT, RIDING])
@pytest.mark.parametrize(
    "changes",
    [
        {"site.ambient": "44 degC", "site.altitude": "1700 m"},
        {"site.mains": "400 V", "site.phases": 3},
        {"require.position": "0.02 mm"},
        {"duty.hours": "23 h", "duty.days": 350, "duty.years": 11},
    ],
)
def test_demand_is_kept_only_where_it_cannot_change(text, changes):
    axis = read_axis("lift.toml", text=text)
    reading = Probe(axis, LINE, PARTS).at(changes)
    expected = verify(changed(axis, changes), LINE, PARTS)
    assert margins(reading.lines) == margins(expected.ledger)


@pytest.mark.parametrize("name", CASES)
def test_only_the_named_remarks_can_decide_a_verdict(name):
    example, parts = CASES[name]
    listed = {(c.id, c.part) for c in CHECKS if c.severity == "must" or c.id in GRAVER}
    lines = verify(read_axis(axis_file(example)), LINE, parts).ledger
    assert {key_of(ln) for ln in lines if ln.severity == "must"} <= listed


@pytest.mark.parametrize("text", [LIFT, RIDING])
def test_other_parts_at_once_are_as_one_by_one(text):
    axis = read_axis("lift.toml", text=text)
    others = [Combination(PARTS.motor, f"XG72-{n}", *("XD-H4", "XB72", "XR-H80-90"))
              for n in (4, 9, 24)]  # fmt: skip
    for other, reading in zip(others, Probe(axis, LINE, PARTS).with_parts(others), strict=True):
        alone = margins(verify(axis, LINE, other).ledger)
        together = margins(reading.lines)
        assert together.keys() == alone.keys()
        for key, margin in alone.items():
            same = margin if margin is None else pytest.approx(margin, rel=1e-9, abs=1e-12)
            assert together[key] == same, key


def test_what_cannot_be_is_nothing():
    probe = Probe(read_axis("lift.toml", text=LIFT), LINE, PARTS)
    assert probe.at({"phase.up.time": "-1 s"}) is None
    assert probe.at({"load.nothing": "1 kg"}) is None
    assert not Goal(whole=True).met(None)


def test_what_lacks_a_datum_is_left_out_of_everything():
    verdict = verify(read_axis("lift.toml", text=LIFT), LINE, PARTS)
    assert everything(verdict.ledger).but == frozenset()
    lacking = [ln for ln in verdict.ledger if ln.state == "not-checked"]
    assert all(slack(ln) == float("-inf") for ln in lacking)
