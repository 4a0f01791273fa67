"""Several motors on one load: what the most loaded one has to do, by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from dutyline.axis.read import read_axis
from dutyline.checks.riding import loaded
from dutyline.core.errors import InputError
from dutyline.demand.output import output_demand

GANTRY = """\
schema = 1

[axis]
title = "Gantry"

[load]
mass = "120 kg"
friction = 0.02

[mechanism]
kind = "rack"
diameter = "60 mm"
efficiency = {efficiency}
inertia = "8 kg*cm^2"

{tandem}
[[force]]
value = "90 N"
sense = "opposing"

[[phase]]
do = "move"
by = "1 m"
time = "1 s"

[[phase]]
do = "move"
to = "0 m"
time = "1 s"
"""
G, RADIUS = 9.80665, 0.03


def gantry(tandem="", efficiency=1.0):
    return read_axis("g.toml", text=GANTRY.format(tandem=tandem, efficiency=efficiency))


def test_two_motors_carry_half_each():
    """T = r (m a + mu m g + F)/2 + J a/r: the pinion is each motor's own."""
    out = output_demand(gantry("[tandem]\nmotors = 2\n"))
    a = 4.5
    force = (120 * a + 0.02 * 120 * G + 90) / 2
    assert out.peak_torque == pytest.approx(force * RADIUS + 8e-4 * a / RADIUS, rel=1e-12)
    assert out.inertia_max == pytest.approx(60 * RADIUS**2 + 8e-4, rel=1e-12)
    whole = output_demand(gantry())
    assert out.friction_work == pytest.approx(whole.friction_work / 2, rel=1e-12)
    assert out.task_work == pytest.approx(whole.task_work / 2, rel=1e-12)


def test_the_most_loaded_one_has_its_share():
    out = output_demand(gantry("[tandem]\nmotors = 2\nshare = 0.65\n"))
    force = 0.65 * (120 * 4.5 + 0.02 * 120 * G + 90)
    assert out.peak_torque == pytest.approx(force * RADIUS + 8e-4 * 150, rel=1e-12)


def test_preload_counts_in_every_rms_and_cancels_in_the_sum():
    """Two motors with +-P: their torques add to the load's, their squares to its and P's."""
    plain = output_demand(gantry("[tandem]\nmotors = 2\n"))
    axis = gantry('[tandem]\nmotors = 2\npreload = "3 N*m"\n')
    (other,) = axis.cases
    assert other.case == "preload the other way"
    one, two = output_demand(axis), output_demand(other)
    total = one.mean(one.torque) + two.mean(two.torque)
    assert total == pytest.approx(2 * plain.mean(plain.torque), abs=1e-9)
    squares = one.rms_torque**2 + two.rms_torque**2
    assert squares == pytest.approx(2 * (plain.rms_torque**2 + 9.0), rel=1e-9)
    assert np.isclose(one.peak_torque, plain.peak_torque + 3.0)


def test_preload_is_there_at_rest_too():
    text = GANTRY.format(tandem='[tandem]\nmotors = 3\npreload = "2 N*m"\n', efficiency=0.9)
    text += '\n[[phase]]\ndo = "dwell"\ntime = "1 s"\n'
    out = output_demand(read_axis("g.toml", text=text))
    assert out.hold_torque == pytest.approx(2.0)
    assert out.balance < 1e-12


def test_a_reader_is_told_whose_figures_they_are():
    notes = " ".join(gantry("[tandem]\nmotors = 2\nshare = 0.6\n").notes)
    assert "2 equal motors" in notes
    assert "60 %" in notes


@pytest.mark.parametrize(
    "tandem, field, said",
    [
        ("motors = 1", "tandem.motors", "2 or more"),
        ("share = 0.5", "tandem.motors", "missing"),
        ("motors = 2\nshare = 0.4", "tandem.share", "carries 0.5 to 1"),
        ('motors = 2\npreload = "3 N"', "tandem.preload", "torque is needed"),
    ],
)
def test_what_no_tandem_is_is_refused(tandem, field, said):
    with pytest.raises(InputError) as found:
        gantry(f"[tandem]\n{tandem}\n")
    assert any(f.field == field and said in f.read for f in found.value.faults)


def test_riding_motors_all_add_their_mass():
    """Each motor carries its share of the masses of both."""
    text = GANTRY.format(tandem="[tandem]\nmotors = 2\n", efficiency=1.0)
    text = text.replace("[mechanism]", "[mechanism]\nmotor_rides = true")
    out = output_demand(loaded(read_axis("g.toml", text=text), 5.0))
    assert out.inertia_max == pytest.approx((120 + 2 * 5) / 2 * RADIUS**2 + 8e-4, rel=1e-12)
    assert math.isclose(out.peak_speed, 1.5 / RADIUS, rel_tol=1e-12)


def test_two_motors_on_one_roll_carry_half_of_its_web_each():
    """T = (F R + (pi/2) rho w (R^4 - r^4) a/R)/2 + T_d: shaft and bearings are each motor's own."""
    text = """\
schema = 1
[axis]
title = "Roll"
[mechanism]
kind = "winder"
core = "100 mm"
full = "500 mm"
width = "800 mm"
thickness = "0.1 mm"
density = "900 kg/m^3"
tension = "200 N"
inertia = "0.02 kg*m^2"
drag = "1.5 N*m"
{more}
[[phase]]
do = "run"
speed = "2 m/s"
ramp = "2 s"
time = "20 s"
[[phase]]
do = "run"
speed = "0 m/s"
ramp = "2 s"
time = "2 s"
"""
    inertia = math.pi / 2 * 900 * 0.8 * (0.25**4 - 0.05**4)
    for share, more in ((1.0, ""), (0.5, "[tandem]\nmotors = 2\n"),
                        (0.6, "[tandem]\nmotors = 2\nshare = 0.6\n")):  # fmt: skip
        axis = read_axis("w.toml", text=text.format(more=more))
        out = output_demand(axis)
        torque = share * (200 * 0.25 + inertia * 1.0 / 0.25) + 1.5 + 0.02 * 1.0 / 0.25
        assert out.peak_torque == pytest.approx(torque, rel=1e-4)  # the web makes a spiral
        assert out.inertia_max == pytest.approx(share * inertia + 0.02, rel=1e-12)
        core = output_demand(axis.cases[0])
        assert core.inertia_max == pytest.approx(0.02, rel=1e-9)
        assert core.peak_torque == pytest.approx(share * 200 * 0.05 + 1.5 + 0.02 / 0.05, rel=1e-2)
        assert out.balance < 1e-9
