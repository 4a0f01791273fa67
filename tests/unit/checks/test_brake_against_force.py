"""A phase at rest whose load is left to the brake: weight and process force, by hand."""

from __future__ import annotations

import math

import pytest

from dutyline.app.select import select
from dutyline.axis.read import read_axis
from dutyline.checks.records import Combination
from dutyline.demand.output import output_demand
from support.judged import judged, line_of, stocked

TEXT = """
schema = 1
[axis]
title = "press slide"
[load]
mass = "40 kg"
incline = "{incline}"
friction = 0.1
[mechanism]
kind = "ball-screw"
lead = "10 mm"
diameter = "20 mm"
length = "500 mm"
efficiency = 0.9
{more}
[[phase]]
do = "move"
by = "200 mm"
time = "0.6 s"
[[phase]]
name = "press"
do = "dwell"
time = "0.8 s"
hold = "{hold}"
force = "{force}"
[[phase]]
do = "move"
by = "-200 mm"
time = "0.6 s"
[[phase]]
do = "dwell"
time = "0.2 s"
[site]
mains = "230 V"
phases = 3
people_near = false
{require}
"""
PARTS = Combination("XM72-0450H", None, "XD-H4", "XB72")
LEAD = 0.01 / (2 * math.pi)
BRAKE = 0.8 * 2.2
WEIGHT = 40 * 9.80665


def axis(incline="0 deg", hold="brake", force="3 kN", more="", require=""):
    text = TEXT.format(incline=incline, hold=hold, force=force, more=more, require=require)
    return read_axis("press.toml", text=text)


@pytest.mark.parametrize(
    "incline, force, held",
    [
        ("0 deg", "3 kN", 3000),
        ("0 deg", "-3 kN", 3000),
        ("90 deg", "3 kN", 3000 + WEIGHT),
        ("90 deg", "-3 kN", 3000 - WEIGHT),
        ("90 deg", "-0.1 kN", WEIGHT),  # elsewhere the weight hangs alone
    ],
)
@pytest.mark.parametrize("more", ["", "reverse = true"])
def test_brake_holds_weight_and_force(incline, force, held, more):
    """0.8 T_B over F P/(2 pi); neither friction nor the efficiency of the screw helps."""
    line = line_of(judged(axis(incline, force=force, more=more), stocked(), PARTS), "brake-hold")
    assert line.limit == pytest.approx(BRAKE / (held * LEAD), rel=1e-9)


def test_force_held_by_the_motor_is_nothing_for_the_brake():
    verdict = judged(axis(hold="worst"), stocked(), PARTS)
    assert line_of(verdict, "brake-hold") is None
    assert not output_demand(axis(hold="worst")).brake_holds
    assert not output_demand(axis(force="0 N")).brake_holds


def test_what_is_left_to_the_brake_needs_one():
    """A level axis is tried with brakes, and fails without one even where none is wanted."""
    found = select(axis(force="100 N"), stocked()).candidates
    assert found
    assert all(verdict.combination.brake for verdict in found)
    for require in ("", "[require]\nbrake = false"):
        bare = judged(axis(require=require), stocked(), Combination("XM72-0450H", None, "XD-H4"))
        line = line_of(bare, "gravity-without-brake")
        assert (line.severity, line.state) == ("must", "fails")


def test_gearhead_carries_what_the_brake_of_the_motor_holds():
    """It sits between brake and load: F P/(2 pi) at its output, whatever stands still."""
    parts = Combination("XM72-0450H", "XG72-6", "XD-H4", "XB72")
    verdict = judged(axis("90 deg", force="9 kN", require="[require]\nbrake = true"),
                     stocked(), parts)  # fmt: skip
    line = line_of(verdict, "gear-peak")
    assert line.demand == pytest.approx((9000 + WEIGHT) * LEAD, rel=1e-9)
    assert line.text == "at rest, held by the brake"
    clamped = judged(axis("90 deg", hold="off", force="9 kN"), stocked(), parts)
    assert line_of(clamped, "gear-peak").demand < 9000 * LEAD / 2
