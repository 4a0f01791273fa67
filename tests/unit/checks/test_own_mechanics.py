"""Screw, belt, rack, stages, guide and grip of the machine itself, worked by hand.

One carriage of 40 kg makes the same cycle on every mechanism: 0.3 m there in 0.5 s against 500 N
and back against 400 N the other way, ramps a third each, so that force and acceleration are
constant on every part of it.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from dutyline.axis.read import read_axis
from dutyline.checks.records import Combination
from support.judged import judged, line_of, stocked

BASE = """
schema = 1
[axis]
title = "carriage"
[load]
mass = "40 kg"
friction = 0
drag = "0 N"
{load}
[mechanism]
{mechanism}
{stages}
[[phase]]
do = "move"
by = "300 mm"
time = "0.5 s"
force = "500 N"
[[phase]]
do = "dwell"
time = "0.5 s"
[[phase]]
do = "move"
by = "-300 mm"
time = "0.5 s"
force = "-400 N"
[[phase]]
do = "dwell"
time = "0.5 s"
[site]
mains = "230 V"
phases = 3
{more}
"""
SCREW = """
kind = "ball-screw"
lead = "20 mm"
diameter = "32 mm"
length = "1300 mm"
"""
BELT = """
kind = "belt"
teeth = 32
pitch = "5 mm"
"""
PARTS = Combination("XM88-0800H", None, "XD-H6", "XB88", "XR-H80-90")
MASS, SPEED = 40.0, 1.5 * 0.3 / 0.5
ACCEL = SPEED / (0.5 / 3)
FORCES = [(MASS * ACCEL + 500, 0.075), (500, 0.15), (500 - MASS * ACCEL, 0.075),
          (-MASS * ACCEL - 400, 0.075), (-400, 0.15), (MASS * ACCEL - 400, 0.075)]  # fmt: skip
PEAK = MASS * ACCEL + 500
HOURS = 16 * 250 * 8 * 3600.0


def verdict_of(mechanism, stages="", more="", load="", parts=PARTS):
    text = BASE.format(mechanism=mechanism, stages=stages, more=more, load=load)
    return judged(read_axis("carriage.toml", text=text), stocked(), parts)


def stop_force(reach: float, shaft: float, before: float = 0.0) -> float:
    """Mass times the deceleration by the brake at its strongest or the drive.

    ``reach`` is travel per radian, ``shaft`` inertia on the shaft, ``before`` mass besides.
    """
    line = stocked()
    motor = line.motors[line.motor_index[PARTS.motor]]
    brake = line.brakes[line.brake_index[PARTS.brake]]
    drive = line.drives[line.drive_index[PARTS.drive]]
    assert drive.current_peak > motor.current_peak
    torque = max(1.5 * brake.torque_static, motor.torque_peak)
    whole = motor.inertia_with_brake + shaft + (MASS + before) * reach**2
    return (MASS + before) * torque / whole * reach


SCREW_INERTIA = math.pi / 32 * 7850 * 1.3 * 0.032**4
LEAD = 0.02 / (2 * math.pi)


def test_critical_speed_of_the_screw():
    """lambda^2 d/4 sqrt(E/rho)/l^2 on the root diameter, 0.8 of it; supported at both ends the
    root of the bending equation is pi."""
    line = line_of(verdict_of(SCREW + 'root_diameter = "27.5 mm"\nends = "supported-supported"'),
                   "screw-critical-speed")  # fmt: skip
    wave = math.sqrt(2.06e11 / 7850)
    assert line.demand == pytest.approx(SPEED / LEAD)
    assert line.limit == pytest.approx(0.8 * math.pi**2 * 0.0275 / 4 * wave / 1.3**2)
    assert line.severity == "must"


def test_screw_without_root_diameter_is_open():
    line = line_of(verdict_of(SCREW), "screw-critical-speed")
    assert (line.severity, line.state) == ("note", "not-checked")
    assert "root diameter" in line.missing[0]
    nut = verdict_of(SCREW + 'rotating = "nut"\nroot_diameter = "27.5 mm"')
    assert line_of(nut, "screw-critical-speed") is None


def test_root_of_a_trapezoidal_screw_is_known():
    """Tr 12x3 has a root of 8.5 mm (ISO 2904, from memory); two starts do not change it."""
    text = 'kind = "lead-screw"\npitch = "3 mm"\nstarts = 2\ndiameter = "12 mm"\n' \
           'length = "400 mm"\nefficiency = 0.6'  # fmt: skip
    line = line_of(verdict_of(text), "screw-critical-speed")
    root = 3.9266023120  # of tan x = tanh x
    assert math.tan(root) == pytest.approx(math.tanh(root))
    wave = math.sqrt(2.06e11 / 7850)
    assert line.limit == pytest.approx(0.8 * root**2 * 0.0085 / 4 * wave / 0.4**2)
    assert "ISO 2904" in line.text
    assert line.severity == "must"
    bent = line_of(verdict_of(text), "screw-buckling")
    assert (bent.severity, bent.text) == ("must", line.text)


def test_speed_value_of_the_nut():
    line = line_of(verdict_of(SCREW + 'speed_value = "120000 mm*rpm"'), "screw-speed-value")
    assert line.demand == pytest.approx(0.032 * SPEED / LEAD)
    assert line.limit == pytest.approx(120000e-3 * math.pi / 30)


NUT = """
kind = "lead-screw"
pitch = "5 mm"
starts = 2
diameter = "24 mm"
length = "600 mm"
mean_diameter = "21.5 mm"
friction = 0.1
pressure_speed_limit = "20 MPa*m/s"
"""


def test_pressure_times_speed_of_a_sliding_nut():
    """The largest force times speed of the ramps, the nut's thread unrolled to a wedge.

    The nut slides v/sin(lambda) along the thread, tan(lambda) = 10 mm/(pi 21.5 mm); the force
    with the ramp up, 788 N up and 648 N down, has its top speed at the end of the ramp.
    """
    line = line_of(verdict_of(NUT + 'nut_area = "600 mm^2"'), "nut-pressure-speed")
    slope = math.atan(0.010 / (math.pi * 0.0215))
    assert line.demand == pytest.approx(PEAK * SPEED / math.sin(slope) / 600e-6, rel=1e-9)
    assert line.limit == pytest.approx(20e6)
    open_line = line_of(verdict_of(NUT), "nut-pressure-speed")
    assert (open_line.state, open_line.severity) == ("not-checked", "must")
    assert "area" in open_line.missing[0]
    assert line_of(verdict_of(NUT.rpartition("pressure")[0]), "nut-pressure-speed") is None


def test_buckling_of_the_screw():
    """Hinged at both ends: pi^2 E I/l^2; the force of the stop is the larger one."""
    more = 'root_diameter = "20 mm"\nbuckling_length = "1.2 m"\nends = "supported-supported"'
    line = line_of(verdict_of(SCREW + more), "screw-buckling")
    euler = math.pi**2 * 2.06e11 * math.pi * 0.02**4 / 64 / 1.2**2
    assert line.limit == pytest.approx(euler / 2.5)
    assert line.demand == pytest.approx(max(PEAK, stop_force(LEAD, SCREW_INERTIA)), rel=1e-9)


def test_static_safety_of_the_screw():
    line = line_of(verdict_of(SCREW + 'static_rating = "55 kN"'), "screw-static")
    force = max(PEAK, stop_force(LEAD, SCREW_INERTIA))
    assert (line.demand, line.limit) == (2.0, pytest.approx(55e3 / force, rel=1e-9))


def test_preload_costs_static_safety():
    """A half of the nut under 1500 N and F carries 1500 (1 + F/4243)^1.5, at most F."""
    more = 'static_rating = "55 kN"\npreload = "1500 N"'
    line = line_of(verdict_of(SCREW + more), "screw-static")
    force = max(PEAK, stop_force(LEAD, SCREW_INERTIA))
    pressed = 1500 * (1 + force / (2**1.5 * 1500)) ** 1.5 if force < 2**1.5 * 1500 else force
    assert line.limit == pytest.approx(55e3 / pressed, rel=1e-9)


def test_life_of_the_screw():
    """Each flank by the cubic mean over all turns, both together by the Weibull sum."""
    line = line_of(verdict_of(SCREW + 'dynamic_rating = "12 kN"'), "screw-life")
    way = sum(s for _, s in FORCES)
    lives = []
    for sign in (1, -1):
        mean = (sum(max(sign * f, 0.0) ** 3 * s for f, s in FORCES) / way) ** (1 / 3)
        lives.append((12e3 / mean) ** 3 * 1e6)
    turns = (lives[0] ** (-10 / 9) + lives[1] ** (-10 / 9)) ** -0.9
    hours = turns / (way / 0.02) * 2.0
    assert line.limit == pytest.approx(hours, rel=1e-9)
    assert (line.demand, line.severity) == (HOURS, "must")


def test_preload_costs_life():
    """Under 1500 N both halves always carry: 1500 (1 + F/4243)^1.5 and what is left of it."""
    line = line_of(verdict_of(SCREW + 'dynamic_rating = "12 kN"\npreload = "1500 N"'), "screw-life")
    way = sum(s for _, s in FORCES)
    lives = []
    for sign in (1, -1):
        worn = 0.0
        for force, s in FORCES:
            pressed = 1500 * (1 + abs(force) / (2**1.5 * 1500)) ** 1.5
            own = pressed if sign * force > 0 else pressed - abs(force)
            worn += own**3 * s
        lives.append((12e3 / (worn / way) ** (1 / 3)) ** 3 * 1e6)
    turns = (lives[0] ** (-10 / 9) + lives[1] ** (-10 / 9)) ** -0.9
    assert line.limit == pytest.approx(turns / (way / 0.02) * 2.0, rel=1e-9)


RADIUS = 32 * 0.005 / (2 * math.pi)


def test_belt_of_an_axis():
    """Pretension and force add; 12 of 16 teeth in mesh count; slack needs the whole force."""
    more = 'pretension = "1200 N"\nforce_limit = "4 kN"\ntooth_limit = "150 N"'
    found = verdict_of(BELT + more)
    force = max(PEAK, stop_force(RADIUS, 0.0))
    tight, tooth = line_of(found, "belt-force"), line_of(found, "belt-teeth")
    assert tight.demand == pytest.approx(1200 + force, rel=1e-9)
    assert tight.limit == 4000.0
    assert (tooth.demand, tooth.limit) == (pytest.approx(force / 12, rel=1e-9), 150.0)
    slack = line_of(found, "belt-slack")
    assert (slack.demand, slack.limit) == (pytest.approx(force, rel=1e-9), 1200.0)
    assert {tight.severity, tooth.severity, slack.severity} == {"must"}


def test_belt_with_a_limit_and_no_pretension_is_open():
    line = line_of(verdict_of(BELT + 'force_limit = "4 kN"'), "belt-force")
    assert line.state == "not-checked"
    assert "pretension" in line.missing[0]


def test_belt_between_two_pulleys():
    """24 to 72 teeth of 5 mm at 300 mm: 165.4 deg round the small one, 11 teeth whole; half of
    the force adds to the pretension and half is needed against slack."""
    stage = """
[[stage]]
kind = "belt-reduction"
teeth = [24, 72]
pitch = "5 mm"
centre_distance = "300 mm"
pretension = "500 N"
force_limit = "2 kN"
tooth_limit = "80 N"
efficiency = 1
"""
    found = verdict_of(BELT + "efficiency = 1", stage)
    line = stocked()
    motor = line.motors[line.motor_index[PARTS.motor]]
    brake = line.brakes[line.brake_index[PARTS.brake]]
    held = max(1.5 * brake.torque_static, motor.torque_peak)
    load = MASS * RADIUS**2 / 9  # at the motor
    share = load / (load + motor.inertia_with_brake)
    torque = max(PEAK * RADIUS, share * held * 3)  # at the large pulley
    force = torque / (72 * 0.005 / (2 * math.pi))
    wrap = math.pi - 2 * math.asin((72 - 24) * 0.005 / math.pi / 2 / 0.3)
    assert math.degrees(wrap) == pytest.approx(165.37, abs=0.01)
    assert line_of(found, "belt-force").demand == pytest.approx(500 + force / 2, rel=1e-9)
    assert line_of(found, "belt-teeth").demand == pytest.approx(force / 11, rel=1e-9)
    assert line_of(found, "belt-slack").demand == pytest.approx(force / 2, rel=1e-9)


def test_force_at_the_pinion():
    rack = 'kind = "rack"\nteeth = 20\nmodule = "2 mm"\nforce_limit = "3 kN"'
    line = line_of(verdict_of(rack), "pinion-force")
    assert line.demand == pytest.approx(max(PEAK, stop_force(0.02, 0.0)), rel=1e-9)
    assert (line.limit, line.severity) == (3000.0, "must")


COUPLING = """
[[stage]]
name = "bellows"
kind = "coupling"
inertia = "0 kg*cm^2"
{fields}
"""


def screw_torque() -> float:
    """At the screw, the inertia of the screw included in the stop, losses in the cycle."""
    line = stocked()
    motor = line.motors[line.motor_index[PARTS.motor]]
    brake = line.brakes[line.brake_index[PARTS.brake]]
    held = max(1.5 * brake.torque_static, motor.torque_peak)
    load = MASS * LEAD**2 + SCREW_INERTIA
    stop = load / (load + motor.inertia_with_brake) * held
    cycle = PEAK * LEAD / 0.9 + SCREW_INERTIA * ACCEL / LEAD
    return max(stop, cycle)


def test_torque_of_a_coupling():
    line = line_of(verdict_of(SCREW, COUPLING.format(fields='torque_limit = "12 N*m"')),
                   "coupling-torque")  # fmt: skip
    assert line.demand == pytest.approx(screw_torque(), rel=1e-9)
    assert (line.limit, line.unit, line.severity) == (12.0, "N*m", "must")


def test_input_speed_of_a_stage():
    line = line_of(verdict_of(SCREW, COUPLING.format(fields='speed_limit = "3000 rpm"')),
                   "coupling-torque")  # fmt: skip
    assert line.demand == pytest.approx(SPEED / LEAD)
    assert (line.unit, line.limit) == ("rad/s", pytest.approx(100 * math.pi))


def test_mean_torque_of_a_worm():
    """Torque to the power 10/3 over the turns, at the output of the stage."""
    stage = '\n[[stage]]\nkind = "reduction"\nratio = 2\ntorque_limit = "10 N*m"\n'
    line = line_of(verdict_of(BELT + "efficiency = 1", stage), "coupling-torque")
    way = sum(s for _, s in FORCES)
    mean = (sum(abs(f) ** (10 / 3) * s for f, s in FORCES) / way) ** 0.3
    assert line.demand == pytest.approx(mean * RADIUS, rel=1e-9)


def test_slip_of_a_clamped_hub():
    fields = 'hub_force = "20 kN"\nhub_friction = 0.12\nbore = "14 mm"'
    line = line_of(verdict_of(SCREW, COUPLING.format(fields=fields)), "hub-slip")
    assert line.demand == pytest.approx(1.5 * screw_torque(), rel=1e-9)
    assert line.limit == pytest.approx(0.12 * 20e3 * 0.007)
    open_ = verdict_of(SCREW, COUPLING.format(fields='hub_force = "20 kN"'))
    assert line_of(open_, "hub-slip").state == "not-checked"


def test_driven_wheel():
    wheel = 'kind = "rack"\ndiameter = "120 mm"\n' \
            'traction = { normal_force = "2 kN", friction = 0.4 }'  # fmt: skip
    line = line_of(verdict_of(wheel), "traction")
    assert (line.demand, line.limit) == (pytest.approx(PEAK), pytest.approx(800.0))
    assert (line.severity, line.text) == ("must", "driven wheel")
    part = 'kind = "rack"\ndiameter = "120 mm"\ntraction = { normal_force = "2 kN" }'
    assert line_of(verdict_of(part), "traction").state == "not-checked"


def test_goods_on_a_belt_up_a_slope():
    """They have to follow acceleration and slope by friction alone: mu g cos against a + g sin."""
    belt = 'kind = "conveyor"\ndiameter = "100 mm"\nfriction = 0.2\ngoods_friction = 0.5\n' \
           'bed = "slider"'  # fmt: skip
    text = BASE.format(mechanism=belt, stages="", more="", load='incline = "8 deg"')
    text = text.replace("friction = 0\ndrag", "drag").replace('force = "500 N"\n', "")
    text = text.replace('force = "-400 N"\n', "")
    line = line_of(judged(read_axis("belt.toml", text=text), stocked(), PARTS), "traction")
    lean = math.radians(8)
    assert line.demand == pytest.approx(ACCEL + 9.80665 * math.sin(lean), rel=1e-9)
    assert line.limit == pytest.approx(0.5 * 9.80665 * math.cos(lean))
    assert line.unit == "m/s^2"


GUIDE = """
[guide]
kind = "ball"
carriages = 4
spacing = ["240 mm", "180 mm"]
dynamic_rating = "9 kN"
static_rating = "14 kN"
rating_travel = "50 km"
mass_at = ["30 mm", "-20 mm", "150 mm"]
drive_at = ["10 mm", "-40 mm"]
"""


def carriages(pull: float) -> np.ndarray:
    """Loads of four equal springs under a rigid slide, normal and sideways, from its balance."""
    g = 9.80665
    places = np.array([(a * 0.12, b * 0.09) for a in (1, -1) for b in (1, -1)])
    # normal: N_i = c0 + c1 x + c2 y; sum N = m g, sum N x = m g x_s - pull (z_s - z_d), ...
    rows = np.column_stack([np.ones(4), places])
    weight = MASS * g
    wanted = [weight, weight * 0.03 - pull * (0.15 + 0.04), weight * -0.02]
    normal = rows @ np.linalg.solve(rows.T @ rows, wanted)
    sideways = pull * (-0.02 - 0.01) / (2 * 0.24)
    return np.abs(normal) + abs(sideways)


def test_life_of_the_guide():
    """Each carriage by the cubic mean over the way; 50 km of rating are 9/2^(1/3) kN for 100 km."""
    line = line_of(verdict_of(BELT, more=GUIDE), "guide-life")
    way = sum(s for _, s in FORCES)
    worn = sum(carriages(f) ** 3 * s for f, s in FORCES) / way
    mean = float(worn.max() ** (1 / 3))
    life = (9e3 / 2 ** (1 / 3) / mean) ** 3 * 1e5
    assert line.limit == pytest.approx(life / (way / 2.0), rel=1e-9)
    assert (line.demand, line.severity) == (HOURS, "must")


def test_static_safety_of_the_guide():
    """The stop pulls either way at the centre of mass; the worst carriage counts."""
    line = line_of(verdict_of(BELT, more=GUIDE), "guide-static")
    cycle = max(float(carriages(f).max()) for f, _ in FORCES)
    stop = stop_force(RADIUS, 0.0)
    levers = 0.25 + 0.03 / 0.48 + 0.02 / 0.36
    worst = max(cycle, MASS * 9.80665 * levers + stop * (0.19 + 0.03) / 0.48)
    assert line.limit == pytest.approx(14e3 / worst, rel=1e-9)
    assert line.demand == 3.0


def test_two_carriages_in_a_row():
    """Each takes half the weight, and the moments over the whole spacing."""
    text = GUIDE.replace("carriages = 4", "carriages = 2").replace('"-20 mm"', '"0 mm"')
    line = line_of(verdict_of(BELT, more=text), "guide-life")
    way, g = sum(s for _, s in FORCES), 9.80665
    worn = np.zeros(2)
    for force, s in FORCES:
        moment = MASS * g * 0.03 - force * 0.19
        sideways = abs(force * (0.0 - 0.01)) / 0.24
        ends = np.abs(MASS * g / 2 + np.array([1, -1]) * moment / 0.24) + sideways
        worn += ends**3 * s / way
    mean = float(worn.max() ** (1 / 3))
    life = (9e3 / 2 ** (1 / 3) / mean) ** 3 * 1e5
    assert line.limit == pytest.approx(life / (way / 2.0), rel=1e-9)


@pytest.mark.parametrize("lost", ["spacing", "mass_at", "drive_at", "rating_travel"])
def test_guide_with_a_gap_is_open(lost):
    text = "\n".join(row for row in GUIDE.splitlines() if not row.startswith(lost))
    line = line_of(verdict_of(BELT, more=text), "guide-life")
    assert (line.state, line.severity) == ("not-checked", "must")


MINE = ("screw-critical-speed", "nut-pressure-speed", "screw-speed-value",
        "screw-buckling", "screw-static",
        "screw-life", "guide-static", "guide-life", "belt-force", "belt-teeth", "belt-slack",
        "pinion-force", "coupling-torque", "hub-slip", "traction")  # fmt: skip


def test_nothing_stated_no_lines():
    for mechanism in (BELT, 'kind = "rack"\nteeth = 20\nmodule = "2 mm"'):
        found = verdict_of(mechanism)
        assert [ln.check for ln in found.ledger if ln.check in MINE] == []


KEYED = """
[[stage]]
kind = "coupling"
bore = "14 mm"
key = ["5 mm", "5 mm", "25 mm"]
{more}
"""


def test_pressure_on_a_key():
    """2 T/(d (h - t1)(l - b)): DIN 6885-1 has t1 3 mm for 5 x 5, the ends are round."""
    line = line_of(verdict_of(BELT, KEYED.format(more='key_limit = "100 MPa"')), "key-pressure")
    torque = max(PEAK, stop_force(RADIUS, 0.0)) * RADIUS / 0.96
    assert line.demand >= 2 * PEAK * RADIUS / (0.014 * 0.002 * 0.020)
    assert line.demand <= 2 * torque / (0.014 * 0.002 * 0.020) * 1.0001
    assert (line.limit, line.severity) == (100e6, "must")


@pytest.mark.parametrize(
    ("old", "new"),
    [('bore = "14 mm"', ""), ('"5 mm", "5 mm"', '"5 mm", "6 mm"'), ('"25 mm"', '"5 mm"')],
)
def test_key_that_cannot_be_judged_is_open(old, new):
    stage = KEYED.format(more='key_limit = "100 MPa"').replace(old, new)
    line = line_of(verdict_of(BELT, stage), "key-pressure")
    assert (line.state, line.severity) == ("not-checked", "must")


def test_key_without_a_limit_is_a_note():
    line = line_of(verdict_of(BELT, KEYED.format(more="")), "key-pressure")
    assert (line.state, line.severity) == ("not-checked", "note")
    assert "pressure that the key bears" in line.missing[0]


CAM = """
schema = 1
[axis]
title = "cam"
[load]
mass = "3 kg"
friction = 0
drag = "{drag} N"
incline = "90 deg"
[mechanism]
kind = "cam"
inertia = "0.002 kg*m^2"
sections = [{{ angle = "180 deg", lift = "20 mm", law = "simple-sine" }},
            {{ angle = "180 deg", lift = "-20 mm", law = "simple-sine" }}]
{spring}
[[phase]]
do = "run"
speed = "240 rpm"
turns = 1
[site]
mains = "230 V"
phases = 3
"""


def follower(spring, drag=0, incline="90 deg"):
    text = CAM.format(spring=spring, drag=drag).replace("90 deg", incline)
    return line_of(judged(read_axis("cam.toml", text=text), stocked(), PARTS), "follower-contact")


@pytest.mark.parametrize("drag", [0.0, 7.0])
def test_follower_is_held_on_its_cam(drag):
    """s = h/2 (1 - cos q): 1.2 m h/2 w^2 (-cos q) against F + c s + m g, drag off while falling;
    worst of a fine sweep."""
    line = follower('spring_force = "30 N"\nspring_stiffness = "1 N/mm"', drag)
    speed, place = 240 * math.pi / 30, np.linspace(0, 2 * np.pi, 200001)[1:-1]
    lifting = -1.2 * 3 * 0.01 * speed**2 * np.cos(place)
    held = 30 + 1e3 * 0.01 * (1 - np.cos(place)) + 3 * 9.80665
    held = held - np.where(place > np.pi, drag, 0.0)
    k = np.argmax(lifting / held)
    assert line.demand / line.limit == pytest.approx(lifting[k] / held[k], rel=1e-5)
    assert line.severity == "must"


def test_follower_of_a_cycloid():
    """m h w^2 2 pi/b^2 lifts at the middle of the last quarter of the rise; nothing weighs."""
    text = CAM.format(spring='spring_force = "900 N"', drag=0).replace("90 deg", "0 deg")
    text = text.replace("simple-sine", "cycloid").replace("180 deg", "120 deg", 1)
    text = text.replace("180 deg", "240 deg", 1)
    line = line_of(judged(read_axis("cam.toml", text=text), stocked(), PARTS), "follower-contact")
    lifting = 3 * 0.02 * (8 * math.pi) ** 2 * 2 * math.pi / (2 * math.pi / 3) ** 2
    assert line.demand == pytest.approx(1.2 * lifting, rel=1e-5)
    assert line.limit == pytest.approx(900.0, rel=1e-12)


def test_cam_without_a_spring_may_have_a_groove():
    assert follower("") is None


@pytest.mark.parametrize("incline", ["0 deg", "-90 deg"])
def test_follower_that_flies_fails(incline):
    """Level, 23 N lift it against 1 N; hanging below the cam, its weight takes it off."""
    line = follower('spring_force = "1 N"', incline=incline)
    assert line.state == "fails"
    assert line.demand > line.limit
