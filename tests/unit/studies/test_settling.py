"""The simulation on the real chain: what goes into it, what comes out, and what it decides."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from dutyline.app.settle import settle, settled, settling_json
from dutyline.axis.equipment import Accuracy, Control, Equipment
from dutyline.axis.model import Require
from dutyline.checks.cases import worst_lines
from dutyline.checks.ledger import binding_line, verdict_word
from dutyline.core.errors import InputError
from dutyline.demand.output import output_demand
from dutyline.studies.words import settling_words
from support import axes
from support.judged import PARTS, changed, judged, lift, line_of, stocked

RADIUS, RATIO = 0.0305, 6.0


def stiff(require: Require, control: Control | None = None, belt: float = 2e6, **other):
    axis = lift(require=require, **other)
    (stage,) = axis.train.chain.stages
    axis = axes.swap(axis, stages=[replace(stage, stiffness=belt)])
    return replace(axis, equipment=replace(axis.equipment, control=control))


@cache
def plain():
    return judged(stiff(Require(position=0.0005, settle=0.5)), stocked())


@cache
def simulated():
    return settle(plain())


def test_every_motion_that_ends_at_rest_is_there():
    """Up ends at 0.5 s and rests 0.4 s, down at 1.35 s; nothing is looked at beyond."""
    found = simulated()
    assert [run.phase for run in found.runs] == ["1", "3"]
    assert [run.end for run in found.runs] == pytest.approx([0.5, 1.35])
    assert [run.looked for run in found.runs] == pytest.approx([0.4, 0.34])
    assert all(run.cut for run in found.runs)
    assert found.missing == ()


def test_the_reference_is_the_stated_motion():
    """Before the loop starts the error is nought; in the ramp it grows as the speed over K_v."""
    run = simulated().runs[0]
    gains = simulated().gains
    at = np.searchsorted(run.time, -0.25)  # half of the move, at its top speed
    out = output_demand(plain().axis)
    top = max(abs(p.speed(p.duration)) for p in plain().axis.cycle.pieces if p.phase == 0)
    assert out.cycle_time == pytest.approx(1.69)
    assert abs(run.error[0]) < 1e-6
    assert 0.5 * top / gains.position_gain < run.error[at] < 1.1 * top / gains.position_gain


def test_gains_are_those_of_the_verdict():
    own, gains = plain().demand["control"], simulated().gains
    assert gains.velocity_bandwidth == own["velocity_bandwidth"]
    assert gains.position_gain == own["position_gain"]
    motor = plain().demand["motor"]
    whole = motor["inertia"] + motor["load_inertia"]
    assert gains.velocity_gain == pytest.approx(gains.velocity_bandwidth * whole, rel=1e-12)
    assert gains.integral_time == pytest.approx(4 / gains.velocity_bandwidth)
    assert gains.sample == pytest.approx(1 / 8000)
    head = stocked().gearheads[stocked().gearhead_index[PARTS.gearhead]]
    assert gains.torque_limit <= head.torque_acceleration / RATIO / 0.9


def test_settling_lies_near_the_estimate():
    """Belt so stiff that the loops decide: the estimate was fitted to runs of the same kind."""
    estimate = line_of(plain(), "settling").demand
    assert simulated().settle == pytest.approx(estimate, rel=0.35)


def test_more_feed_forward_settles_sooner():
    fed = settle(judged(stiff(Require(position=0.0005, settle=0.5), Control(feed_forward=0.8)),
                        stocked()))  # fmt: skip
    assert fed.settle < simulated().settle
    assert max(abs(r.error).max() for r in fed.runs) < max(
        abs(r.error).max() for r in simulated().runs
    )


def test_simulation_decides_in_place_of_the_estimate():
    judged_anew = settled(plain())
    line = line_of(judged_anew, "settling")
    assert line.demand == simulated().settle
    assert line.margin == pytest.approx(1 - line.demand / 0.5)
    assert "simulated" in line.text
    assert judged_anew.verdict == verdict_word(judged_anew.ledger)
    assert judged_anew.binding == binding_line(judged_anew.ledger).check
    assert judged_anew.extra["settling"].runs == simulated().runs
    same = [ln for ln in judged_anew.ledger if ln.check not in ("settling", "assumed-inputs")]
    before = [ln for ln in plain().ledger if ln.check not in ("settling", "assumed-inputs")]
    ratio = next(ln for ln in same if ln.check == "inertia-ratio")
    if line.state == "meets":
        assert ratio.severity == "note"
    assert [ln.check for ln in same] == [ln.check for ln in before]


def test_a_time_that_is_too_short_fails_the_verdict():
    late = settled(judged(stiff(Require(position=0.0005, settle=0.01)), stocked()))
    assert line_of(late, "settling").state == "fails"
    assert late.verdict == "fails"


def test_wind_up_is_not_simulated_away():
    """Friction beyond the window: the march creeps in, the line of the estimate stays."""
    verdict = judged(stiff(Require(position=1e-6, settle=5.0)), stocked())
    assert line_of(verdict, "settling").demand == math.inf
    assert line_of(settled(verdict), "settling") == line_of(verdict, "settling")


@pytest.mark.parametrize(("kind", "name", "field", "word"), [
    ("gearhead", PARTS.gearhead, "backlash", "backlash"),
    ("gearhead", PARTS.gearhead, "stiffness", "stiffness"),
    ("drive", PARTS.drive, "velocity_loop", "velocity loop"),
    ("drive", PARTS.drive, "current_peak", "peak current"),
    ("motor", PARTS.motor, "torque_peak", "peak torque"),
])  # fmt: skip
def test_missing_data_are_named_and_nothing_is_simulated(kind, name, field, word):
    verdict = judged(stiff(Require(settle=0.5)), changed(stocked(), kind, name, **{field: None}))
    found = settle(verdict)
    assert found.runs == ()
    assert found.settle is None
    assert any(word in missing for missing in found.missing)
    assert line_of(settled(verdict), "settling") == line_of(verdict, "settling")
    assert word in settling_words(found)[0]


def test_unknown_stiffness_is_named():
    found = settle(judged(lift(require=Require(settle=0.5)), stocked()))
    assert found.missing == ("stiffness of stage",)


def test_without_a_standstill_there_is_nothing_to_simulate():
    axis = stiff(Require(settle=0.1))
    load = replace(axis.train.chain.load, payloads={})
    runs = axes.make(load, list(axis.train.chain.stages), [axes.run(0.4, 2.0)], endless=True,
                     site=axis.site, require=axis.require)  # fmt: skip
    found = settle(judged(runs, stocked()))
    assert (found.runs, found.missing) == ((), ())
    assert "Nothing to simulate" in settling_words(found)[0]


def test_equal_motions_are_simulated_once():
    """Four equal steps on the level and a way back: two runs."""
    axis = stiff(Require(position=0.0005))
    load = replace(axis.train.chain.load, base=axes.weight(12.0, 0.0, friction=35.0), payloads={})
    steps = [axes.move(0.1, 0.2), axes.dwell(0.3)] * 4
    level = axes.make(load, list(axis.train.chain.stages),
                      [*steps, axes.move(-0.4, 0.6), axes.dwell(0.3)],
                      site=axis.site, require=axis.require)  # fmt: skip
    assert len(settle(judged(level, stocked())).runs) == 2


def test_weight_and_play_are_no_error_at_rest():
    """A hanging load with play rests on one flank: it is calibrated out and settles."""
    found = settle(judged(stiff(Require(position=0.0005, settle=0.5)), stocked()))
    head = stocked().gearheads[stocked().gearhead_index[PARTS.gearhead]]
    assert head.backlash * RADIUS / 2 > 0
    assert all(abs(run.error[-1]) < 2e-4 for run in found.runs)


def test_encoder_at_the_load_sees_the_sag():
    """With a scale at the load the place of the load itself is held."""
    axis = stiff(Require(position=0.0005, settle=0.5))
    scale = replace(axis, equipment=Equipment(accuracy=Accuracy(encoder_at="load")))
    assert math.isfinite(settle(judged(scale, stocked())).settle)


def test_cases_share_one_set_of_gains():
    axis = stiff(Require(position=0.0005, settle=0.5))
    load = axis.train.chain.load
    light = axes.swap(axis, load=replace(load, payloads={"tray": axes.weight(1.0)}))
    both = replace(axis, cases=(replace(light, case="light"),))
    verdict = judged(both, stocked())
    found = settle(verdict)
    assert {run.case for run in found.runs} == {"main", "light"}
    assert found.gains.velocity_gain == simulated().gains.velocity_gain
    lines = worst_lines([case.ledger for case in verdict.cases])
    assert any(ln.check == "settling" for ln in lines)
    assert any("case light" in text for text in settling_words(found))
    assert line_of(settled(verdict), "settling").case == found.worst.case


def test_json_has_every_run_with_its_samples():
    data = settling_json(simulated())
    assert data["schema"] == "dutyline.settling/1"
    assert data["settles"] is True
    assert data["gains"]["position_gain"]["unit"] == "1/s"
    for run, told in zip(simulated().runs, data["runs"], strict=True):
        assert told["settle"] == {"value": run.settle, "unit": "s"}
        assert len(told["time"]["values"]) == len(told["error"]["values"]) <= 400


def test_words_name_gains_and_what_is_not_in_it():
    told = " ".join(settling_words(simulated()))
    for word in ("velocity loop", "position gain", "fed forward", "hunting", "wind-up"):
        assert word in told


def test_no_verdict_is_refused():
    with pytest.raises(InputError):
        settle("lift")
    with pytest.raises(InputError, match="product line"):
        settle(replace(plain(), line=None))
