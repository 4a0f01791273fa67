"""Settling, inertia ratio and gains of the loops, by hand and by a solver in time.

The lift of :mod:`support.judged` with a stiff belt: 19 kg up, 12 kg down.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from dutyline.axis.equipment import Accuracy, Control, Equipment
from dutyline.axis.model import Input, Require
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination
from dutyline.core.values import Value
from support import axes
from support.judged import PARTS, changed, judged, lift, line_of, stocked

RADIUS, RATIO = 0.0305, 6.0
ARCMIN = math.pi / 10800
LINE = demo_line()
MOTOR = LINE.motors[LINE.motor_index[PARTS.motor]]
HEAD = LINE.gearheads[LINE.gearhead_index[PARTS.gearhead]]
DRIVE = LINE.drives[LINE.drive_index[PARTS.drive]]


def stiff(require: Require, control: Control | None = None, *, belt: float = 2e6, **other):
    """The lift with a belt of stated stiffness."""
    axis = lift(require=require, **other)
    (stage,) = axis.train.chain.stages
    axis = axes.swap(axis, stages=[replace(stage, stiffness=belt)])
    return replace(axis, equipment=replace(axis.equipment, control=control))


def swing(outer: float = 19.0, belt: float = 2e6) -> float:
    """[rad/s] of a mass behind belt, its pulley and the gearhead, by the two-mass determinant."""
    pulley = 5.8e-4 / RADIUS**2
    k1, k2 = belt, HEAD.stiffness / RADIUS**2
    # (k1 - m w2)(k1 + k2 - j w2) = k1^2
    b = outer * (k1 + k2) + pulley * k1
    root = math.sqrt(b * b - 4 * outer * pulley * k1 * k2)
    return math.sqrt((b - root) / (2 * outer * pulley))


def inertia() -> float:
    """[kg*m^2] at the motor with the tray on board."""
    own = MOTOR.inertia_with_brake + HEAD.inertia_in
    return own + (19.0 * RADIUS**2 + 5.8e-4) / RATIO**2


def left_behind(axis, gain: float) -> float:
    """[m] largest rest of a first-order position loop at the ends of both moves, by stepping."""
    rests = []
    for phase in (0, 2):
        pieces = [p for p in axis.cycle.pieces if p.phase == phase]
        rest = 0.0
        for piece in pieces:

            def lag(t, e, piece=piece):
                return piece.speed(t) - gain * e

            rest = solve_ivp(lag, (0, piece.duration), [rest], rtol=1e-9, atol=1e-12).y[0, -1]
        rests.append(abs(rest))
    return max(rests)


def test_settling_time_of_the_lift():
    """Bandwidth 0.3 of the swing; the rest of the loop decays to half a millimetre."""
    axis = stiff(Require(position=0.0005, settle=0.5))
    line = line_of(judged(axis, stocked()), "settling")
    bandwidth = 0.3 * swing()
    gain = bandwidth / 4
    moves = [(p.top_speed, p) for p in axis.cycle.phases if p.do == "move"]
    slowest = []
    for top, phase in moves:
        last = [p for p in axis.cycle.pieces if p.phase == axis.cycle.phases.index(phase)]
        fall = sum(p.duration for p in last if abs(p.speed(p.duration)) < abs(p.speed(0.0)) - 1e-9)
        error = top / fall / gain**2 * (1 - math.exp(-gain * fall))
        error = min(error, abs(phase.distance))
        slowest.append(1.35 * (math.log(error / 0.0005) / gain + 1 / bandwidth))
    assert line.demand == pytest.approx(max(slowest), rel=1e-9)
    assert (line.limit, line.severity, line.required) == (0.5, "must", 0.2)
    assert f"{swing() / (2 * math.pi):.1f}" in line.text
    assert "swings" in line.text


def test_estimate_covers_the_rest_of_a_softer_deceleration():
    """What a constant deceleration leaves is no less than what the real law leaves behind."""
    axis = stiff(Require(position=0.0005, settle=0.5))
    gain = 0.3 * swing() / 4
    for law in ("s-curve", "modified-sine", "quintic"):
        soft = axes.make(
            axis.train.chain.load, list(axis.train.chain.stages),
            [axes.move(0.7, 0.5, law=law, carry=("tray",)), axes.dwell(0.4, carry=("tray",)),
             axes.move(-0.7, 0.45, law=law), axes.dwell(0.34)],
            site=axis.site, require=axis.require)  # fmt: skip
        line = line_of(judged(soft, stocked()), "settling")
        exact = math.log(left_behind(soft, gain) / 0.0005) / gain + 1 / (4 * gain)
        assert line.demand >= 1.35 * exact


def test_trapezoid_leaves_what_the_loop_leaves():
    """Long cruise, then a constant deceleration: the rest by stepping is that of the estimate."""
    axis = stiff(Require(position=0.0005, settle=0.9))
    gain = 0.3 * swing(12.0) / 4
    there = axes.move(1.2, 1.5, accel_share=0.2)
    cruise = axes.make(
        axis.train.chain.load, list(axis.train.chain.stages),
        [there, axes.dwell(1.0), replace(there, by=-1.2), axes.dwell(1.0)],
        site=axis.site, require=axis.require)  # fmt: skip
    line = line_of(judged(cruise, stocked()), "settling")
    left = left_behind(cruise, gain)
    exact = math.log(left / 0.0005) / gain + 1 / (4 * gain)
    assert line.demand == pytest.approx(1.35 * exact, rel=1e-5)


@pytest.mark.parametrize(("control", "word", "bandwidth"), [
    (Control(notch=True), "swings", 0.5 * swing()),
    (Control(velocity_gain=20.0), "gain stated", 20.0),
])  # fmt: skip
def test_what_binds_the_bandwidth(control, word, bandwidth):
    verdict = judged(stiff(Require(settle=0.5), control), stocked())
    assert word in line_of(verdict, "settling").text
    assert verdict.demand["control"]["velocity_bandwidth"] == pytest.approx(bandwidth, rel=1e-9)
    assert verdict.demand["control"]["position_gain"] == pytest.approx(bandwidth / 4, rel=1e-9)


def test_stiff_trains_are_bound_by_lags_and_noise():
    """1/(2 T) with T = 1.5/8 kHz + 0.35 ms; 0.05 T_N over J times one count per sample."""
    hard = changed(stocked(), "gearhead", PARTS.gearhead, stiffness=1e9)
    fast = judged(stiff(Require(settle=0.5), belt=1e12), hard)
    assert "lags" in line_of(fast, "settling").text
    bound = 1 / (2 * (1.5 / 8000 + 3.5e-4))
    assert fast.demand["control"]["velocity_bandwidth"] == pytest.approx(bound, rel=1e-9)
    few = changed(hard, "motor", PARTS.motor, encoder_bits=13)
    coarse = judged(stiff(Require(settle=0.5), belt=1e12), few)
    assert "noise" in line_of(coarse, "settling").text
    step = 2 * math.pi / 2**13 * 8000
    bound = 0.05 * MOTOR.torque_rated / (inertia() * step)
    assert coarse.demand["control"]["velocity_bandwidth"] == pytest.approx(bound, rel=1e-9)


def test_stated_gains_are_taken_as_far_as_they_do_not_ring():
    """A third of the bandwidth is the most for the position loop; feed forward cuts the rest."""
    slow = judged(stiff(Require(settle=0.5), Control(position_gain=5.0)), stocked())
    assert slow.demand["control"]["position_gain"] == 5.0
    bold = judged(stiff(Require(settle=0.5), Control(position_gain=500.0)), stocked())
    assert bold.demand["control"]["position_gain"] == pytest.approx(0.1 * swing(), rel=1e-9)
    assert "ring" in line_of(bold, "settling").text
    plain = line_of(judged(stiff(Require(settle=0.5)), stocked()), "settling").demand
    fed = line_of(judged(stiff(Require(settle=0.5), Control(feed_forward=0.9)), stocked()),
                  "settling").demand  # fmt: skip
    gain = 0.075 * swing()
    assert plain - fed == pytest.approx(1.35 * math.log(10) / gain, rel=1e-9)


def test_friction_that_holds_the_load_out_of_the_window_never_settles():
    """35 N on the springs of belt and gearhead in series, window half of what they give."""
    give = 1 / 2e6 + RADIUS**2 / HEAD.stiffness
    line = line_of(judged(stiff(Require(position=35 * give / 2, settle=0.5)), stocked()),
                   "settling")  # fmt: skip
    assert (line.demand, line.margin, line.state) == (math.inf, -math.inf, "fails")
    assert "friction" in line.text
    scale = Equipment(accuracy=Accuracy(encoder_at="load"))
    axis = replace(stiff(Require(position=35 * give / 2, settle=0.5)), equipment=scale)
    assert math.isfinite(line_of(judged(axis, stocked()), "settling").demand)


def test_window_below_two_counts_never_settles():
    count = 2 * math.pi / 2**20 * RADIUS / RATIO
    axis = stiff(Require(position=1.9 * count, settle=0.5), belt=1e12)
    frictionless = replace(axis.train.chain.load, base=axes.weight(12.0))
    line = line_of(judged(axes.swap(axis, load=frictionless), stocked()), "settling")
    assert line.demand == math.inf
    assert "counts" in line.text


@pytest.mark.parametrize(("kind", "name", "field", "word"), [
    ("drive", PARTS.drive, "velocity_loop", "velocity loop"),
    ("motor", PARTS.motor, "encoder_bits", "encoder"),
    ("motor", PARTS.motor, "torque_rated", "rated torque"),
    ("gearhead", PARTS.gearhead, "stiffness", "stiffness of the gearhead"),
])  # fmt: skip
def test_each_missing_datum_opens_the_line(kind, name, field, word):
    verdict = judged(stiff(Require(settle=0.5)), changed(stocked(), kind, name, **{field: None}))
    line = line_of(verdict, "settling")
    assert (line.state, line.severity) == ("not-checked", "must")
    assert any(word in missing for missing in line.missing)
    assert verdict.verdict in ("incomplete", "fails")


def test_unknown_stiffness_opens_the_line():
    verdict = judged(lift(require=Require(settle=0.5)), stocked())
    line = line_of(verdict, "settling")
    assert (line.state, line.severity) == ("not-checked", "must")
    assert "stiffness of stage" in line.missing[0]


def test_nothing_asked_no_limit_and_nothing_at_all_no_line():
    told = line_of(judged(stiff(Require(position=0.0005)), stocked()), "settling")
    assert (told.severity, told.limit, told.state) == ("note", math.inf, "meets")
    assert line_of(judged(stiff(Require()), stocked()), "settling") is None


def test_axis_that_never_rests_has_no_line():
    """Endless running: nothing to settle."""
    axis = stiff(Require(settle=0.1))
    load = replace(axis.train.chain.load, payloads={})
    runs = axes.make(load, list(axis.train.chain.stages), [axes.run(0.4, 2.0)], endless=True,
                     site=axis.site, require=axis.require)  # fmt: skip
    assert line_of(judged(runs, stocked()), "settling") is None


def test_inertia_ratio_by_stiffness():
    """10 by habit, 5 below 50 ms, 30 where the resonance allows the bandwidth; a note when met."""

    def found(require: Require, **other):
        return line_of(judged(stiff(require, **other), stocked()), "inertia-ratio")

    habit, quick = found(Require(position=0.0005)), found(Require(settle=0.049))
    wide = found(Require(bandwidth=0.29 * swing()))
    narrow = found(Require(bandwidth=0.31 * swing()))
    assert [ln.limit for ln in (habit, quick, wide, narrow)] == [10.0, 5.0, 30.0, 10.0]
    assert {ln.severity for ln in (habit, quick, wide, narrow)} == {"caution"}
    assert found(Require(settle=5.0)).severity == "note"
    guessed = Input("mechanism.stiffness", "Belt", "Stiffness", "",
                    Value(2e6, "N/m", "2 kN/mm", "assumed"), 3)  # fmt: skip
    assert found(Require(settle=5.0), inputs=(guessed,)).severity == "caution"


def test_gains_for_two_states():
    """Motor and load at the motor, with the tray and without: more than 3 to 1 is told."""
    axis = stiff(Require(position=0.0005))
    load = axis.train.chain.load
    heavy = replace(load, payloads={"tray": axes.weight(300.0)})
    said = [c for c in judged(axes.swap(axis, load=heavy), stocked()).cautions if "Gains" in c]
    own = MOTOR.inertia_with_brake + HEAD.inertia_in
    full, empty = (own + (m * RADIUS**2 + 5.8e-4) / RATIO**2 for m in (312.0, 12.0))
    assert full / empty > 3
    assert f"{full / empty:.3g}"[:3] in said[0]
    assert not [c for c in judged(axis, stocked()).cautions if "Gains" in c]


def test_friction_windup_is_a_note_without_tolerance_or_with_a_scale():
    give = 1 / 2e6 + RADIUS**2 / HEAD.stiffness
    asked = line_of(judged(stiff(Require(position=0.0005)), stocked()), "friction-windup")
    assert (asked.severity, asked.limit) == ("must", 0.0005)
    assert asked.demand == pytest.approx(2 * 35 * give, rel=1e-9)
    usual = line_of(judged(stiff(Require(settle=0.5)), stocked()), "friction-windup")
    assert (usual.severity, usual.limit) == ("note", 1e-4)
    scale = Equipment(accuracy=Accuracy(encoder_at="load"))
    axis = replace(stiff(Require(position=0.0005)), equipment=scale)
    assert line_of(judged(axis, stocked()), "friction-windup").severity == "note"


def test_direct_motor_has_a_rigid_train():
    """A table on the shaft of the motor: no spring, the lags bind."""
    axis = axes.make(
        axes.Load(False, axes.Burden(inertia=2e-3)), [],
        [axes.move(1.0, 0.2), axes.dwell(0.3), axes.move(-1.0, 0.2), axes.dwell(0.3)],
        require=Require(position=1e-3, settle=0.1))  # fmt: skip
    verdict = judged(axis, LINE, Combination(PARTS.motor, None, PARTS.drive))
    line = line_of(verdict, "settling")
    assert np.isfinite(line.demand)
    assert "lags" in line.text or "noise" in line.text
