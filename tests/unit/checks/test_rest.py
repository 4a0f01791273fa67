"""Where the load comes to rest, how stiff the train is, and the room for the motor, by hand.

The axis of the accuracy budget is the worked example E12 of tests/published.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.linalg import eigh

from dutyline.axis.equipment import Control, Equipment
from dutyline.axis.model import Input, Require
from dutyline.axis.read import read_axis
from dutyline.checks.records import Combination
from dutyline.core.values import Value
from support.judged import PARTS, changed, judged, lift, line_of, stocked

BOOK = tomllib.loads(
    (Path(__file__).parents[2] / "published" / "mechanics-examples.toml").read_text("utf-8")
)
E12 = next(e for e in BOOK["example"] if e["id"] == "E12")
ARCMIN = math.pi / 10800

TEXT = """
schema = 1
[axis]
title = "budget"
[load]
mass = "150 kg"
friction = 0
drag = "80 N"
[mechanism]
kind = "ball-screw"
lead = "20 mm"
diameter = "32 mm"
length = "800 mm"
stiffness = "90 N/um"
travel = "600 mm"
[[stage]]
kind = "reduction"
ratio = 3
backlash = "3 arcmin"
stiffness = "1e12 N*m/rad"
[[phase]]
do = "move"
by = "300 mm"
time = "0.5 s"
[[phase]]
do = "dwell"
time = "0.5 s"
[[phase]]
do = "move"
by = "-300 mm"
time = "0.5 s"
[accuracy]
encoder_error = "20 arcsec"
lead_error = "26 um"
temperature_change = "5 K"
scatter = ["1.5 um", "0.8 um", "1.0 um"]
[require]
position = "0.04 mm"
[site]
mains = "230 V"
phases = 3
"""
BARE = Combination("XM116-1300H", None, "XD-H9", None, "XR-H80-90")


def budget(*swaps, parts=BARE):
    text = TEXT
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new)
    return judged(read_axis("budget.toml", text=text), stocked(), parts)


def printed(name: str) -> float:
    return E12["expected"][name]["value"]


def test_accuracy_budget_of_the_worked_example():
    """Widths added, and as root of the sum of squares, both with four standard deviations."""
    line = line_of(budget(), "accuracy")
    assert 2e6 * line.demand == pytest.approx(printed("bidirectional_A_worst_um"), rel=1e-6)
    assert (line.limit, line.severity) == (0.04e-3, "must")
    shown = float(line.text.removeprefix("±").split("\u00a0")[0])
    assert 2 * shown == pytest.approx(printed("bidirectional_A_rss_um"), rel=2e-3)


def test_one_side_leaves_the_reversal_out():
    line = line_of(budget(('"0.04 mm"', '"0.04 mm"\napproach = "one"')), "accuracy")
    reversal = printed("bidirectional_A_worst_um") - 2e6 * line.demand
    assert reversal == pytest.approx(2.7777778 + 1.7777778, rel=1e-6)


def test_scale_at_the_load_leaves_the_mechanics_out():
    """Scale error, growth of the scale and scatter remain."""
    line = line_of(
        budget(('encoder_error = "20 arcsec"', 'encoder_error = "3 um"\nencoder_at = "load"')),
        "accuracy",
    )
    scatter = 4 * math.sqrt(1.5**2 + 0.8**2 + 1.0)
    assert 2e6 * line.demand == pytest.approx(6.0 + 34.5 + scatter, rel=1e-9)


@pytest.mark.parametrize(("row", "word"), [
    ('encoder_error = "20 arcsec"\n', "encoder"), ('lead_error = "26 um"\n', "lead"),
    ('temperature_change = "5 K"\n', "temperature"), ('stiffness = "90 N/um"\n', "stiffness"),
])  # fmt: skip
def test_budget_with_a_gap_is_open(row, word):
    line = line_of(budget((row, "")), "accuracy")
    assert (line.state, line.severity) == ("not-checked", "must")
    assert word in line.missing[0]


def test_friction_behind_the_springs():
    """2 F/k from both sides, F/k from one: 80 N on 90 N/um."""
    both = line_of(budget(), "friction-windup")
    one = line_of(budget(('"0.04 mm"', '"0.04 mm"\napproach = "one"')), "friction-windup")
    assert both.demand == pytest.approx(2 * 80 / 90e6, rel=1e-6)
    assert one.demand == pytest.approx(80 / 90e6, rel=1e-6)
    assert (both.limit, both.severity) == (0.04e-3, "must")
    open_ = line_of(budget(('stiffness = "90 N/um"\n', "")), "friction-windup")
    assert (open_.severity, open_.state) == ("must", "not-checked")
    assert open_.missing == ("stiffness of ball screw",)


GEARED = replace(BARE, gearhead="XG116-4")


def test_lost_motion_of_gearhead_and_stage():
    """3 arcmin behind the stage, the gearhead's own before it, and its twist under the friction."""
    line = line_of(budget(parts=GEARED), "backlash-lost-motion", "axis")
    gear = stocked().gearheads[stocked().gearhead_index["XG116-4"]]
    screw = 0.02 / (2 * math.pi)
    play = 3 * ARCMIN * screw + gear.backlash * screw / 3
    torque = 80 * screw / 3
    twist = 2 * torque / gear.stiffness * screw / 3
    assert line.demand == pytest.approx(play + twist, rel=1e-9)
    assert (line.severity, line.limit) == ("must", 0.04e-3)
    one = budget(('"0.04 mm"', '"0.04 mm"\napproach = "one"'), parts=GEARED)
    assert line_of(one, "backlash-lost-motion", "axis").severity == "note"


def test_missing_backlash_is_open():
    line = changed(stocked(), "gearhead", "XG116-4", backlash=None)
    axis = read_axis("budget.toml", text=TEXT)
    found = line_of(judged(axis, line, GEARED), "backlash-lost-motion", "axis")
    assert (found.state, found.severity) == ("not-checked", "must")


def test_weight_keeps_one_flank_loaded():
    """A hanging load leaves no play; the twist of the gearhead under the friction stays."""
    line = line_of(judged(lift(), stocked()), "backlash-lost-motion", "axis")
    gear = stocked().gearheads[stocked().gearhead_index[PARTS.gearhead]]
    twist = 2 * 35.0 * 0.0305 / gear.stiffness * 0.0305
    assert line.demand == pytest.approx(twist, rel=1e-9)
    assert "no play" in line.text


def test_a_process_force_may_lift_the_load_off_its_flank():
    """Nobody can rely on the weight then: the play counts."""
    cycle = lift().cycle
    phases = tuple(replace(phase, force=-5.0) for phase in cycle.phases)
    pushed = replace(lift(), cycle=replace(cycle, phases=phases))
    line = line_of(judged(pushed, stocked()), "backlash-lost-motion", "axis")
    gear = stocked().gearheads[stocked().gearhead_index[PARTS.gearhead]]
    twist = 2 * 35.0 * 0.0305 / gear.stiffness * 0.0305
    assert line.demand == pytest.approx(twist + gear.backlash * 0.0305, rel=1e-9)


def test_drag_of_a_stage_twists_the_gearhead_too():
    """Drag at the input of the belt is friction at the load over the radius, at its output as is
    it stands."""
    (belt,) = lift().train.chain.stages
    load = replace(lift().train.chain.load, base=replace(lift().train.chain.load.base, gravity=0.0))
    chain = replace(
        lift().train.chain, stages=(replace(belt, drag_in=1.2, drag_out=8.0),), load=load
    )
    axis = lift()
    axis = replace(axis, train=replace(axis.train, chain=chain))
    line = line_of(judged(axis, stocked()), "backlash-lost-motion", "axis")
    gear = stocked().gearheads[stocked().gearhead_index[PARTS.gearhead]]
    twist = 2 * ((35.0 + 8.0) * 0.0305 + 1.2) / gear.stiffness * 0.0305
    assert line.demand == pytest.approx(twist + gear.backlash * 0.0305, rel=1e-9)


def test_backlash_that_the_file_allows():
    stated = Input("require.backlash", "Wishes", "Backlash", "", Value(0.0, "rad", "", "given"), 9)
    axis = lift(inputs=(stated,), require=Require(backlash=6 * ARCMIN))
    line = line_of(judged(axis, stocked()), "backlash-lost-motion", "gearhead")
    gear = stocked().gearheads[stocked().gearhead_index[PARTS.gearhead]]
    assert (line.demand, line.limit, line.severity) == (gear.backlash, 6 * ARCMIN, "must")
    unsaid = lift(require=Require(backlash=6 * ARCMIN))
    assert line_of(judged(unsaid, stocked()), "backlash-lost-motion", "gearhead") is None


def test_first_resonance_of_a_real_train():
    """Load, belt, gear stage and gearhead as masses and springs; eigenvalues of M x'' + K x."""
    springs = {"belt": 4e5, "gear": 900.0}
    axis = lift()
    (belt,) = axis.train.chain.stages
    from support import axes  # the stage builder of the made axes

    gear = axes.stage(1 / 2, 0.97, inertia_in=3e-5, inertia_out=4e-4, stiffness=springs["gear"])
    stiff = replace(belt, stiffness=springs["belt"])
    axis = axes.swap(axis, stages=[stiff, gear])
    control = Control(notch=False)
    axis = replace(axis, require=Require(position=0.0005, bandwidth=200.0),
                   equipment=Equipment(control=control))  # fmt: skip
    line = line_of(judged(axis, stocked()), "first-resonance")
    head = stocked().gearheads[stocked().gearhead_index[PARTS.gearhead]]
    radius, half = 0.0305, 0.0305 / 2  # travel per radian at the belt's and at the output shaft
    mass = np.diag([19.0, 5.8e-4 / radius**2 + 4e-4 / radius**2, 3e-5 / half**2])
    k = [springs["belt"], springs["gear"] / radius**2, head.stiffness / half**2]
    stiffness = np.array([[k[0], -k[0], 0], [-k[0], k[0] + k[1], -k[1]], [0, -k[1], k[1] + k[2]]])
    lowest = math.sqrt(float(eigh(stiffness, mass, eigvals_only=True)[0]))
    assert line.limit == pytest.approx(0.3 * lowest, rel=1e-9)
    assert (line.demand, line.severity) == (200.0, "caution")
    notched = replace(axis, equipment=Equipment(control=Control(notch=True)))
    found = line_of(judged(notched, stocked()), "first-resonance")
    assert found.limit == pytest.approx(0.5 * lowest, rel=1e-9)


def test_train_of_unknown_stiffness_is_open():
    axis = lift(require=Require(position=0.0005, bandwidth=200.0))
    line = line_of(judged(axis, stocked()), "first-resonance")
    assert (line.state, line.severity) == ("not-checked", "caution")
    assert line_of(judged(lift(), stocked()), "first-resonance") is None


def test_mass_and_room_of_the_motor():
    motor = stocked().motors[stocked().motor_index[PARTS.motor]]
    axis = lift(require=Require(mass=2.0, envelope=(0.07, 0.09, 0.3)))
    verdict = judged(axis, stocked())
    mass, room = line_of(verdict, "mass-limit"), line_of(verdict, "fit", "motor")
    assert (mass.demand, mass.limit, mass.severity) == (motor.mass_with_brake, 2.0, "caution")
    assert (room.demand, room.limit, room.state) == (motor.flange, 0.07, "fails")
    wide = judged(lift(require=Require(envelope=(0.3, 0.09, 0.09))), stocked())
    found = line_of(wide, "fit", "motor")
    assert (found.state, found.severity) == ("not-checked", "must")
    assert "length" in found.missing[0]


def test_nothing_asked_no_lines():
    verdict = judged(lift(require=Require()), stocked())
    for check in (
        "backlash-lost-motion",
        "friction-windup",
        "accuracy",
        "first-resonance",
        "mass-limit",
    ):
        assert line_of(verdict, check) is None
    assert line_of(verdict, "fit", "motor") is None


def test_figures_at_the_tool():
    """The same numbers in the verdict: play, wind-up one way, lost motion, growth."""
    tool = budget(parts=GEARED).demand["tool"]
    assert 1e6 * tool["thermal_growth"] == pytest.approx(34.5)
    assert tool["lost_motion"] == pytest.approx(tool["backlash"] + 2 * tool["windup"])


SEALED = """
schema = 1
[axis]
title = "wet"
[load]
mass = "20 kg"
[mechanism]
kind = "ball-screw"
lead = "10 mm"
diameter = "20 mm"
length = "500 mm"
[[phase]]
do = "move"
by = "100 mm"
time = "0.5 s"
[[phase]]
do = "move"
by = "-100 mm"
time = "0.5 s"
[site]
mains = "230 V"
phases = 3
{need}
"""


@pytest.mark.parametrize(
    ("need", "geared", "exit_", "state", "severity"),
    [
        ('protection = "IP65"', False, "IP65", "meets", "caution"),
        ('protection = "IP65"', False, "IP54", "fails", "caution"),
        ('protection = "IP65"', False, "IP67", "fails", "caution"),
        ('protection = "IPX4"', False, "IP67", "meets", "caution"),
        ('protection = "IP65"', False, "IP56", "fails", "caution"),
        ('protection = "IP66"', False, "", "fails", "caution"),
        ('protection = "IP65"', False, "", "not-checked", "caution"),
        ('protection = "IP65"', True, "IP65", "meets", "caution"),
        ('protection = "IP65"', True, "", "not-checked", "caution"),
        ('protection = "wet"', False, "IP65", "not-checked", "caution"),
        ("", False, "IP54", "meets", "note"),
        ("", False, "", "not-checked", "note"),
    ],
)
def test_protection_class(need, geared, exit_, state, severity):
    """Both digits of the housing (IP65) and of the exit of the shaft, or of the gearhead, count."""
    parts = Combination("XM72-0450H", "XG72-6" if geared else None, "XD-H6")
    line = changed(stocked(), "motor", parts.motor, protection="IP65",
                   protection_shaft="" if geared else exit_)  # fmt: skip
    if geared:
        line = changed(line, "gearhead", parts.gearhead, protection=exit_)
    axis = read_axis("wet.toml", text=SEALED.format(need=need))
    found = line_of(judged(axis, line, parts), "protection-class")
    assert (found.state, found.severity) == (state, severity)
    if state == "not-checked":
        assert found.missing


def test_torque_limit_to_set_in_percent_of_rated():
    """Rounded down: 25 N*m through a gear of 6 and its losses, over the rated torque."""
    line = changed(stocked(), "gearhead", "XG72-6", torque_acceleration=15.0)
    g = line.gearheads[line.gearhead_index["XG72-6"]]
    m = line.motors[line.motor_index["XM72-0450H"]]
    rated_in = g.torque_rated / g.ratio / g.efficiency
    mesh = g.torque_rated / g.ratio / (rated_in - g.no_load_torque)
    limit = 15.0 / g.ratio / mesh + g.no_load_torque
    text = line_of(judged(lift(), line), "gear-torque-limit-set").text
    assert f"{limit:.2f}" in text
    assert f"{math.floor(100 * limit / m.torque_rated)}\u202f%" in text
