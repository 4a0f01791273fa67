"""Rounding leaves nothing that looks like energy."""

import pytest

from dutyline.axis.read import read_axis
from dutyline.demand.output import output_demand

WINDER = """schema = 1
[axis]
title = "Film winder"
[mechanism]
kind = "winder"
core = "3 in"
full = "600 mm"
width = "500 mm"
thickness = "25 um"
density = "1300 kg/m^3"
tension = "20 lbf"
taper = 0.2
[[phase]]
do = "run"
speed = "200 m/min"
ramp = "10 s"
time = "1800 s"
[[phase]]
do = "run"
speed = "0 m/min"
ramp = "10 s"
time = "180 s"
"""


def test_a_winder_that_always_pulls_returns_nothing():
    """The web takes 71 N or more at every roll; at rest rounding left 6e-12 J of it."""
    axis = read_axis("winder.toml", text=WINDER)
    for case in axis.every_case:
        out = output_demand(case)
        assert out.energy_motoring > 1e5
        assert out.energy_regenerated == 0.0


def test_what_only_brakes_returns_all_of_it():
    text = WINDER.replace("taper = 0.2", 'mode = "unwind"')
    out = output_demand(read_axis("unwinder.toml", text=text))
    pulled = 20 * 4.4482216152605 * 1999.0 * 200 / 60  # tension and the metres of one cycle
    assert out.energy_regenerated > 0.5 * pulled
    assert out.energy_regenerated == pytest.approx(-float(
        (out.weight * out.torque * out.speed).sum()), rel=0.01)  # fmt: skip
