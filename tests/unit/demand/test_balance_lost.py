"""A brake is judged with the balance gone where the file says that it may be lost."""

from __future__ import annotations

import math

import pytest

import dutyline as dl
from dutyline.demand.output import output_demand

FILE = """schema = 1
[axis]
title = "Drill head"
[load]
mass = "38 kg"
incline = "90 deg"
friction = 0.005
[mechanism]
kind = "ball-screw"
lead = "10 mm"
diameter = "25 mm"
length = "500 mm"
travel = "200 mm"
[[balance]]
kind = "gas-spring"
force = "300 N"
force_end = "380 N"
lost = {lost}
[[phase]]
do = "move"
by = "150 mm"
time = "0.45 s"
[[phase]]
do = "move"
by = "-150 mm"
time = "0.45 s"
"""


def demand(lost: str) -> dl.OutputDemand:
    return output_demand(dl.read_axis("head.toml", text=FILE.format(lost=lost)))


def test_full_weight_without_the_balance():
    """m g lead/(2 pi), by hand."""
    out = demand("true")
    assert out.balance_lost
    assert abs(out.static_torque) == pytest.approx(38 * 9.80665 * 0.01 / (2 * math.pi))


def test_net_weight_with_the_balance():
    """At the start the spring carries 300 N of 372.7 N."""
    out = demand("false")
    assert not out.balance_lost
    expected = (38 * 9.80665 - 300) * 0.01 / (2 * math.pi)
    assert abs(out.static_torque) == pytest.approx(expected)


def test_motion_is_the_same():
    assert demand("true").rms_torque == demand("false").rms_torque
