"""Several loads on one shaft: each with its own losses, then added up."""

from __future__ import annotations

import math

import pytest

from dutyline.axis.read import read_axis
from dutyline.axis.remarks import UNJUDGED
from dutyline.axis.write import write_axis
from dutyline.core.errors import InputError
from dutyline.demand.output import output_demand

HOIST = """\
schema = 1

[axis]
title = "Hoist"

[load]
mass = "300 kg"

[mechanism]
kind = "hoist"
diameter = "400 mm"
parts = 2
efficiency = 0.95
efficiency_back = 0.9474
inertia = "1.2 kg*m^2"

{more}
[[phase]]
do = "move"
by = "2 m"
speed = "0.5 m/s"
accel = "1 m/s^2"

[[phase]]
do = "move"
to = "0 m"
speed = "0.5 m/s"
accel = "1 m/s^2"
"""
COUNTER = """
[[branch]]
name = "counterweight"

[branch.load]
mass = "130 kg"

[branch.mechanism]
kind = "hoist"
diameter = "400 mm"
efficiency = 0.98
efficiency_back = 0.9796
reverse = true
"""
BALANCE = """
[[balance]]
kind = "counterweight"
mass = "130 kg"
ratio = 2
efficiency = 0.98
efficiency_back = 0.9796
"""
G = 9.80665


def hoist(more=""):
    return read_axis("h.toml", text=HOIST.format(more=more))


def test_a_branch_is_the_counterweight_of_the_worked_hoist():
    """Drum torque of the worked example E09 while it accelerates upwards, 154.43 N m."""
    out = output_demand(hoist(COUNTER))
    up = 300 * (G + 1) * 0.1 / 0.95 - 130 * (G - 2) * 0.2 * 0.9796 + 1.2 * 10
    assert up == pytest.approx(154.43, abs=0.01)
    assert out.peak_torque == pytest.approx(up, rel=1e-9)
    other = output_demand(hoist(BALANCE))
    for name in ("rms_torque", "peak_torque", "energy_motoring", "inertia_max", "static_torque"):
        assert getattr(out, name) == pytest.approx(getattr(other, name), rel=1e-9), name


def test_a_second_spindle_turns_with_the_shaft():
    """A fan on the same shaft through a step-up of 1 to 3: 3 c (3 w)^2 and 9 J more."""
    fan = """
[[branch]]
name = "fan"
load = { inertia = "0.01 kg*m^2" }
mechanism = { kind = "rotary-load", torque_per_speed2 = "0.002 N*m*s^2/rad^2" }
stage = [{ kind = "belt-reduction", diameters = ["90 mm", "30 mm"], efficiency = 1 }]
"""
    plain, out = output_demand(hoist()), output_demand(hoist(fan))
    assert out.inertia_max - plain.inertia_max == pytest.approx(0.01 * 9, rel=1e-9)
    more = 0.002 * (3 * 5.0) ** 2 * 3 + 0.01 * 9 * 10.0  # drum at 5 rad/s and 10 rad/s^2
    assert out.peak_torque - plain.peak_torque == pytest.approx(more, rel=1e-9)
    assert out.balance < 1e-12


def test_an_arm_on_the_same_shaft_weighs_by_its_angle():
    """Weight torque m g r cos(angle) of a branch that turns with the drum."""
    arm = """
[[branch]]
name = "arm"
load = { inertia = "2 kg*m^2", mass = "10 kg", arm = "300 mm" }
mechanism = { kind = "swing-arm" }
"""
    plain, out = output_demand(hoist()), output_demand(hoist(arm))
    assert out.balance < 1e-12
    assert out.inertia_max - plain.inertia_max == pytest.approx(2.0, rel=1e-9)
    assert out.energy_motoring > plain.energy_motoring


def test_breakaway_of_a_branch_counts_at_its_starts():
    stuck = COUNTER.replace('mass = "130 kg"', 'mass = "130 kg"\ndrag = "200 N"')
    loose = output_demand(hoist(stuck))
    tight = output_demand(hoist(stuck.replace('"200 N"', '"200 N"\nbreakaway = 2')))
    assert tight.peak_torque > loose.peak_torque
    assert tight.rms_torque == pytest.approx(loose.rms_torque, rel=1e-12)


def test_a_branch_is_written_back():
    axis = hoist(COUNTER)
    again = read_axis("h.toml", text=write_axis(axis))
    assert output_demand(again).rms_torque == output_demand(axis).rms_torque


@pytest.mark.parametrize(
    "change, field, said",
    [
        (("[branch.load]\nmass = \"130 kg\"\n", ""), "branch.counterweight.load", "missing"),
        (('"130 kg"', '"130 N"'), "branch.counterweight.load.mass", "mass is needed"),
        (("efficiency = 0.98", "eficiency = 0.98"), "branch.counterweight.mechanism.eficiency",
         "no such field"),
        (("reverse = true", "motor_rides = true"), "branch.counterweight.mechanism.motor_rides",
         "main load"),
        (('kind = "hoist"', 'kind = "scotch-yoke"\ncrank = "3 mm"'), "branch.counterweight", ""),
        (('name = "counterweight"', ""), "branch.1.name", "missing"),
    ],
)  # fmt: skip
def test_faults_of_a_branch_say_where(change, field, said):
    with pytest.raises(InputError) as found:
        hoist(COUNTER.replace(*change))
    assert any(f.field.startswith(field) and said in f.read for f in found.value.faults), [
        str(f) for f in found.value.faults
    ]
    assert all(f.place.rpartition(":")[2].isdigit() for f in found.value.faults)


def test_several_branches_add_up():
    two = COUNTER + COUNTER.replace('"counterweight"', '"other"').replace('"130 kg"', '"65 kg"')
    out = output_demand(hoist(two))
    drum = 0.2 / 2
    assert out.inertia_max == pytest.approx(300 * drum**2 + 1.2 + 195 * 0.2**2, rel=1e-9)
    assert math.isfinite(out.rms_torque)


def test_limits_of_a_branch_are_told_to_be_judged_by_nothing():
    """No line of the ledger looks at them; nobody may take that for met."""
    rack = """
[[branch]]
name = "pusher"
load = { mass = "20 kg" }
mechanism = { kind = "rack", teeth = 20, module = "2 mm", force_limit = "500 N" }
stage = [{ kind = "coupling", name = "bellows", torque_limit = "9 N*m" }]
"""
    (told,) = [note for note in hoist(rack).notes if note.startswith(UNJUDGED)]
    assert "branch.pusher.mechanism.force_limit" in told
    assert "torque_limit" in told
    assert not [note for note in hoist(COUNTER).notes if note.startswith(UNJUDGED)]
