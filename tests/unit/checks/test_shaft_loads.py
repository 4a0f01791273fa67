"""What sits on the output shaft, its bearing and the bearings of other shafts, worked by hand.

A carriage of 40 kg goes 0.3 m there in 0.5 s and back, ramps a third each: the force is constant
on every part, 75 mm of the way in each ramp and 150 mm between.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from dutyline.axis.read import read_axis
from dutyline.checks.records import Combination
from dutyline.checks.sentence import open_lines
from dutyline.remedies.advice import advised
from support.judged import changed, judged, line_of, stocked

G = 9.80665
BASE = """
schema = 1
[axis]
title = "carriage"
[load]
{load}
[mechanism]
{mechanism}
{stages}
[[phase]]
do = "move"
by = "{way}"
time = "0.5 s"
[[phase]]
do = "dwell"
time = "0.5 s"
[[phase]]
do = "move"
by = "-{way}"
time = "0.5 s"
[[phase]]
do = "dwell"
time = "0.5 s"
[site]
mains = "230 V"
phases = 3
{more}
"""
CARRIAGE = 'mass = "40 kg"\nfriction = 0\ndrag = "0 N"'
MASS = 40.0
SPEED = 1.5 * 0.3 / 0.5
ACCEL = SPEED / (0.5 / 3)
FORCE = MASS * ACCEL
HOURS = 16 * 250 * 8 * 3600.0
GEARED = Combination("XM72-0450H", "XG72-6", "XD-H4")
BARE = Combination("XM88-0800H", None, "XD-H6")
BELT = 'kind = "belt"\nteeth = 32\npitch = "5 mm"\nefficiency = 1\n'
RADIUS = 32 * 0.005 / (2 * math.pi)
LINE = stocked()


def verdict_of(mechanism, stages="", parts=GEARED, load=CARRIAGE, way="300 mm", more="", line=LINE):
    text = BASE.format(mechanism=mechanism, stages=stages, load=load, way=way, more=more)
    return judged(read_axis("carriage.toml", text=text), line, parts)


def gear(parts=GEARED):
    return LINE.gearheads[LINE.gearhead_index[parts.gearhead]]


def motor(parts=GEARED):
    return LINE.motors[LINE.motor_index[parts.motor]]


def stop_force(parts=GEARED, reach=RADIUS, mass=MASS):
    """Mass times deceleration by the drive: the share of the load's inertia in the whole."""
    own, ratio, torque = motor(parts).inertia, 1.0, motor(parts).torque_peak
    if parts.gearhead:
        ratio = gear(parts).ratio
        own += gear(parts).inertia_in
        torque = min(torque, gear(parts).torque_acceleration / ratio)
    assert LINE.drives[LINE.drive_index[parts.drive]].current_peak > motor(parts).current_peak
    whole = own * ratio**2 + mass * reach**2
    return mass * reach * torque * ratio / whole


def told(line, cycle, stop, limit):
    """The line says the cycle, as a must; share of a stop, for :func:`stopped`."""
    assert line.severity == "must"
    assert line.demand == pytest.approx(cycle, rel=1e-9)
    assert line.limit == pytest.approx(limit, rel=1e-9)
    return stop / limit


def stopped(verdict, *shares):
    """The caution on the stop says the largest of its shares."""
    line = line_of(verdict, "shaft-stop-load")
    assert line.severity == "caution"
    assert line.demand / line.limit == pytest.approx(max(shares), rel=1e-9)


def test_belt_pulls_with_both_branches_all_the_time():
    """Slack F_p, tight F_p + F_u side by side; at x the gearhead bears F z/(z + x)."""
    verdict = verdict_of(BELT + 'pretension = "150 N"\noverhang = "12 mm"')
    z, stop = gear().bearing_offset, max(FORCE, stop_force())
    limit = gear().radial * z / (z + 0.012)
    radial = told(line_of(verdict, "gear-radial"), 300 + FORCE, 300 + stop, limit)
    arms = [(300 + force) * (z + 0.012) for force in (FORCE, stop)]
    stopped(verdict, radial, told(line_of(verdict, "gear-tilting"), *arms, gear().tilting))
    assert line_of(verdict, "gear-axial") is None
    assert line_of(verdict, "motor-shaft-load") is None


def test_loss_of_the_belt_pulls_too():
    """The pulley feels its torque over its radius, F/eta."""
    text = BELT.replace("efficiency = 1", "efficiency = 0.8") + 'pretension = "150 N"'
    line = line_of(verdict_of(text + '\noverhang = "2 mm"'), "gear-radial")
    z, stop = gear().bearing_offset, max(FORCE, stop_force())
    told(line, 300 + FORCE / 0.8, 300 + stop / 0.8, gear().radial * z / (z + 0.002))


def test_length_of_the_shaft_moves_the_point_of_the_rating():
    line = changed(LINE, "gearhead", GEARED.gearhead, shaft_out_length=0.04)
    verdict = verdict_of(BELT + 'pretension = "150 N"\noverhang = "12 mm"', line=line)
    z = gear().bearing_offset
    limit = line_of(verdict, "gear-radial").limit
    assert limit == pytest.approx(gear().radial * (z + 0.02) / (z + 0.012), rel=1e-12)


def test_life_of_the_output_bearing():
    """Cubes of the force over the way; the rated life belongs to the permitted force."""
    verdict = verdict_of(BELT + 'pretension = "150 N"\noverhang = "12 mm"')
    z = gear().bearing_offset
    allowed = gear().radial * z / (z + 0.012)
    shares = [((300 + FORCE) / allowed, 0.3), (300 / allowed, 0.3)]
    turning = 0.6 / RADIUS / 2.0
    lives = []
    for p in (3.0, 10 / 3):
        equal = sum(share**p * way for share, way in shares) / 0.6
        lives.append(gear().life / equal * gear().speed_rated_out / turning)
    line = line_of(verdict, "bearing-life")
    assert (line.part, line.demand) == ("gearhead", HOURS)
    assert line.limit == pytest.approx(min(lives), rel=1e-6)


def test_chain_pulls_with_its_load_alone():
    text = BELT.replace("efficiency", 'element = "chain"\nefficiency')
    line = line_of(verdict_of(text + 'overhang = "12 mm"'), "gear-radial")
    chain = 0.005 / math.sin(math.pi / 32) / 2
    z, stop = gear().bearing_offset, max(FORCE, stop_force(reach=chain))
    told(line, FORCE, stop, gear().radial * z / (z + 0.012))


def test_reeved_belt_carries_half():
    text = BELT + 'layout = "reeved"\npretension = "150 N"\noverhang = "12 mm"'
    line = line_of(verdict_of(text), "gear-radial")
    z, stop = gear().bearing_offset, max(FORCE, stop_force(reach=RADIUS / 2))
    told(line, 300 + FORCE / 2, 300 + stop / 2, gear().radial * z / (z + 0.012))


HELICAL = 'kind = "rack"\nteeth = 20\nmodule = "2 mm"\nhelix = "19.5 deg"\nefficiency = 1\n'


def test_helical_pinion_pushes_three_ways():
    """F_t, F_t tan alpha/cos beta and F_t tan beta; the last has the pitch radius as its arm."""
    helix, radius = math.radians(19.5), 0.02 / math.cos(math.radians(19.5))
    verdict = verdict_of(HELICAL + 'overhang = "20 mm"')
    z, rows = gear().bearing_offset, []
    for along in (FORCE, max(FORCE, stop_force(reach=radius))):
        radial = along * math.hypot(1, math.tan(math.radians(20)) / math.cos(helix))
        axial = along * math.tan(helix)
        rows.append((radial, axial, radial * (0.02 + z) + axial * radius))
    limits = (gear().radial * z / (z + 0.02), gear().axial, gear().tilting)
    checks = ("gear-radial", "gear-axial", "gear-tilting")
    shares = [
        told(line_of(verdict, check), cycle, stop, limit)
        for check, cycle, stop, limit in zip(checks, *rows, limits, strict=True)
    ]
    stopped(verdict, *shares)


def test_axial_share_wears_the_output_bearing_too():
    """P = X F_r + Y F_a: both permitted forces bring the rated life, so their shares add."""
    helix, radius = math.radians(19.5), 0.02 / math.cos(math.radians(19.5))
    verdict = verdict_of(HELICAL + 'overhang = "20 mm"')
    z = gear().bearing_offset
    across = math.tan(math.radians(20)) / math.cos(helix)
    radial, axial = FORCE * math.hypot(1.0, across), FORCE * math.tan(helix)
    share = (radial * (0.02 + z) + axial * radius) / (gear().radial * z) + axial / gear().axial
    turning = 0.6 / radius / 2.0
    lives = [gear().life / (share**p / 2) * gear().speed_rated_out / turning for p in (3, 10 / 3)]
    assert line_of(verdict, "bearing-life").limit == pytest.approx(min(lives), rel=1e-6)


def test_driven_wheel_is_pressed_too():
    rolled = 'kind = "rack"\ndiameter = "50 mm"\ntraction = { normal_force = "600 N" }\n' \
             'efficiency = 1\noverhang = "20 mm"'  # fmt: skip
    z, stop = gear().bearing_offset, max(FORCE, stop_force(reach=0.025))
    sums = [math.hypot(600, force) for force in (FORCE, stop)]
    told(line_of(verdict_of(rolled), "gear-radial"), *sums, gear().radial * z / (z + 0.02))


def test_rope_of_a_hoist():
    """Two rope parts, with the loss as while lifting; the drum's weight as a further force."""
    hoist = 'kind = "hoist"\ndiameter = "60 mm"\nparts = 2\nefficiency = 0.9\n' \
            'overhang = "20 mm"\nradial_force = "80 N"'  # fmt: skip
    line = line_of(verdict_of(hoist, parts=BARE), "motor-shaft-load")
    assert line.demand == pytest.approx(MASS * (G + ACCEL) / 2 / 0.9 + 80, rel=1e-9)


REDUCTION = """
[[stage]]
kind = "belt-reduction"
name = "timing"
diameters = ["40 mm", "80 mm"]
efficiency = 1
pretension = "{held}"
{more}
"""


def reduction(held="200 N", more=""):
    return REDUCTION.format(held=held, more=more)


def test_belt_to_the_motor_with_its_wrap():
    """Vector sum at the wrap of the small pulley; the motor bears F (z + x_r)/(z + x)."""
    more = 'centre_distance = "100 mm"\noverhang = "15 mm"'
    verdict = verdict_of(BELT + 'pretension = "150 N"', reduction("200 N", more), BARE)
    whole = motor(BARE).inertia * 4 + MASS * RADIUS**2
    stop = MASS * RADIUS**2 / whole * motor(BARE).torque_peak * 2 / 0.04
    sums = []
    for effort in (FORCE * RADIUS / 0.04, max(stop, FORCE * RADIUS / 0.04)):
        tight, slack = (200 + effort / 2, 200 - effort / 2) if effort < 400 else (effort, 0.0)
        wrap = math.pi - 2 * math.asin(0.02 / 0.1)
        sums.append(math.sqrt(tight**2 + slack**2 - 2 * tight * slack * math.cos(wrap)))
    line, m = line_of(verdict, "motor-shaft-load"), motor(BARE)
    limit = m.radial_load * (m.bearing_offset + m.radial_load_point) / (m.bearing_offset + 0.015)
    stopped(verdict, told(line, *sums, limit))
    assert line_of(verdict, "gear-radial") is None


def test_unknown_wrap_counts_as_side_by_side():
    far = verdict_of(BELT, reduction("900 N", 'overhang = "15 mm"'), BARE)
    line = line_of(far, "motor-shaft-load")
    assert (line.demand, line.state) == (pytest.approx(1800.0, rel=1e-9), "fails")


def test_teeth_of_a_stage_on_the_shaft():
    gears = '[[stage]]\nkind = "reduction"\ndiameters = ["40 mm", "120 mm"]\nefficiency = 1\n'
    bare = verdict_of(BELT, gears, BARE)
    assert line_of(bare, "motor-shaft-load") is None
    verdict = verdict_of(BELT, gears + 'overhang = "10 mm"', BARE)
    whole = motor(BARE).inertia * 9 + MASS * RADIUS**2
    stop = MASS * RADIUS**2 / whole * motor(BARE).torque_peak * 3
    sums = [t / 0.06 / math.cos(math.radians(20)) for t in (FORCE * RADIUS, stop)]
    m = motor(BARE)
    limit = m.radial_load * (m.bearing_offset + m.radial_load_point) / (m.bearing_offset + 0.01)
    told(line_of(verdict, "motor-shaft-load"), *sums, limit)


def test_coupling_hands_on_nothing_but_torque():
    verdict = verdict_of(BELT + 'overhang = "30 mm"', '[[stage]]\nkind = "coupling"')
    for check in ("gear-radial", "gear-tilting", "bearing-life", "motor-shaft-load",
                  "shaft-stop-load"):  # fmt: skip
        assert line_of(verdict, check) is None


TABLE = 'kind = "rotary-table"\noverhang = "25 mm"\ntilt = "30 deg"\nefficiency = 1\n'
DISC = 'mass = "6 kg"\ninertia = "0.05 kg*m^2"\narm = "40 mm"'


def test_table_on_the_output_flange():
    """Weight across and along a tilted axis, the whirl of a mass 40 mm off it."""
    verdict = verdict_of(TABLE, load=DISC, way="90 deg",
                         more='[reserve]\ngear-radial = 0.2')  # fmt: skip
    speed = 1.5 * (math.pi / 2) / 0.5
    accel, z = speed / (0.5 / 3), gear().bearing_offset
    weight, lever = 6.0 * G, 6.0 * 0.04
    line = line_of(verdict, "gear-radial")
    across = weight * math.sin(math.pi / 6) + lever * math.hypot(speed**2, accel)
    assert (line.required, line.severity) == (0.2, "must")
    assert line.demand == pytest.approx(across, rel=1e-9)
    assert line_of(verdict, "gear-axial").demand == pytest.approx(
        weight * math.cos(math.pi / 6), rel=1e-9
    )
    moment = line.demand * (0.025 + z) + lever * G * math.cos(math.pi / 6)
    assert line_of(verdict, "gear-tilting").demand == pytest.approx(moment, rel=1e-9)


def test_centred_table_weighs_and_no_more():
    """No mass off the axis: nothing whirls, and a stop changes nothing."""
    load = 'mass = "6 kg"\ninertia = "0.05 kg*m^2"'
    verdict = verdict_of(TABLE, load=load, way="90 deg")
    assert line_of(verdict, "gear-radial").demand == pytest.approx(6 * G / 2, rel=1e-9)
    z = gear().bearing_offset
    assert line_of(verdict, "gear-tilting").demand == pytest.approx(6 * G / 2 * (0.025 + z))


def test_table_with_bearings_of_its_own():
    own = TABLE.replace('overhang = "25 mm"\n', "") + 'friction = 0.003\nbearing_diameter = "1 m"'
    assert line_of(verdict_of(own, load=DISC, way="90 deg"), "gear-radial") is None


def test_screw_without_bearings_pushes_on_the_motor():
    """Thrust against the axial rating, and the radial rating less by its share."""
    screw = 'kind = "ball-screw"\nlead = "20 mm"\ndiameter = "16 mm"\nlength = "300 mm"\n' \
            'efficiency = 1\noverhang = "20 mm"\nradial_force = "{}"'  # fmt: skip
    light = 'mass = "2 kg"\nfriction = 0\ndrag = "0 N"'
    m = motor(BARE)
    lead = 0.02 / (2 * math.pi)
    spindle = math.pi / 32 * 7850 * 0.3 * 0.016**4
    stop = 2 * lead * m.torque_peak / (m.inertia + spindle + 2 * lead**2)
    alone = verdict_of(screw.format("0 N"), parts=BARE, load=light)
    stopped(alone, told(line_of(alone, "motor-shaft-load"), 2 * ACCEL, stop, m.axial_load))
    both = line_of(verdict_of(screw.format("10 N"), parts=BARE, load=light), "motor-shaft-load")
    bears = m.radial_load * (m.bearing_offset + m.radial_load_point) / (m.bearing_offset + 0.02)
    assert both.demand == pytest.approx(10.0)
    assert both.limit == pytest.approx(bears * (1 - 2 * ACCEL / m.axial_load), rel=1e-9)


def test_axial_force_beside_the_axis_tilts_the_motor_shaft():
    """Its moment counts as the radial force at the overhang that has the same about z."""
    stated = 'kind = "rotary-load"\ntorque = "1 N*m"\noverhang = "46 mm"\n{}' \
             'axial_force = "60 N"\naxial_arm = "90 mm"\ninertia = "0.001 kg*m^2"'  # fmt: skip
    m, lever = motor(BARE), 60 * 0.09
    arm = m.bearing_offset + 0.046
    limit = m.radial_load * (m.bearing_offset + m.radial_load_point) / arm
    for radial in (0.0, 80.0):
        text = stated.format(f'radial_force = "{radial} N"\n')
        line = line_of(verdict_of(text, load="", way="90 deg", parts=BARE), "motor-shaft-load")
        assert line.demand == pytest.approx(radial + lever / arm, rel=1e-9)
        assert line.limit == pytest.approx(limit * (1 - 60 / m.axial_load), rel=1e-9)


def test_without_an_overhang_the_line_is_open_and_says_so():
    """The seat is the machine's own, and nothing says that there is none: no verdict without it."""
    verdict = verdict_of(BELT + 'pretension = "150 N"')
    line = line_of(verdict, "gear-radial")
    assert (line.state, line.severity) == ("not-checked", "must")
    assert "mechanism.overhang" in line.missing[0]
    assert line in open_lines(verdict.ledger)
    assert line_of(verdict, "gear-tilting") is None
    line = line_of(verdict_of(BELT, parts=BARE), "motor-shaft-load")
    assert (line.state, line.severity) == ("not-checked", "must")
    named = line_of(verdict_of(BELT, reduction()), "gear-radial")
    assert "stage.timing.overhang" in named.missing[0]


@pytest.mark.parametrize(
    ("mechanism", "stages", "load", "way", "words"),
    [
        (BELT + 'overhang = "12 mm"', "", CARRIAGE, "300 mm", "pretension"),
        (TABLE, "", 'inertia = "0.05 kg*m^2"', "90 deg", "mass of the load"),
        ('kind = "conveyor"\ndiameter = "60 mm"\nfriction = 0.2\noverhang = "30 mm"', "",
         CARRIAGE, "300 mm", "pretension"),
        ('kind = "feed-rolls"\ndiameter = "60 mm"\noverhang = "30 mm"', "", "", "300 mm",
         "radial force"),
        (BELT + 'overhang = "12 mm"\npretension = "100 N"',
         '[[balance]]\nkind = "counterweight"\nmass = "5 kg"', CARRIAGE, "300 mm", "counterweight"),
    ],
)  # fmt: skip
def test_what_the_file_does_not_say_is_named(mechanism, stages, load, way, words):
    """With an overhang stated the line is a must, open for what else is needed."""
    line = line_of(verdict_of(mechanism, stages, load=load, way=way), "gear-radial")
    assert (line.state, line.severity) == ("not-checked", "must")
    assert any(words in said for said in line.missing)


SHAFT = """
[[stage]]
kind = "shaft"
diameter = "20 mm"
length = "200 mm"
overhang = "60 mm"
bearing_span = "100 mm"
bearing_ratings = ["14 kN", "9.3 kN"]
{more}
[[stage]]
kind = "coupling"
"""


@pytest.mark.parametrize(("kind", "p"), [("ball", 3.0), ("roller", 10 / 3)])
def test_life_of_the_bearings_of_a_shaft(kind, p):
    """Reactions 1.6 F and 0.6 F (statics); (C/P)^p million turns of the pulley."""
    text = SHAFT.format(more=f'bearing_kind = "{kind}"')
    verdict = verdict_of(BELT + 'pretension = "150 N"', text)
    turns = 0.6 / (2 * math.pi * RADIUS)
    lives = []
    for rating, reaction in ((14e3, 1.6), (9.3e3, 0.6)):
        loads = [(300 + FORCE) * reaction, 300 * reaction]
        mean = (sum(load**p for load in loads) / 2) ** (1 / p)
        lives.append((rating / mean) ** p * 1e6 / turns * 2.0)
    line = line_of(verdict, "bearing-life", "axis")
    assert line.limit == pytest.approx(min(lives), rel=1e-6)
    assert (line.demand, line.severity) == (HOURS, "must")
    assert line.text == ("shaft, front bearing" if lives[0] < lives[1] else "shaft, rear bearing")


def test_bearings_of_a_shaft_between_two_belts_are_open():
    """The second pulley pulls as well, and nothing tells where."""
    text = SHAFT.format(more="").split('[[stage]]\nkind = "coupling"')[0] + reduction()
    line = line_of(verdict_of(BELT + 'pretension = "150 N"', text), "bearing-life", "axis")
    assert line.state == "not-checked"
    assert any("coupling" in said for said in line.missing)


@pytest.mark.parametrize("force", [0.0, 150.0, 900.0])
def test_more_pretension_never_helps_the_bearing(force):
    text = BELT + f'pretension = "{force} N"\noverhang = "12 mm"'
    more = BELT + f'pretension = "{force + 50} N"\noverhang = "12 mm"'
    for check in ("gear-radial", "gear-tilting", "bearing-life"):
        assert line_of(verdict_of(more), check).margin < line_of(verdict_of(text), check).margin


def test_numbers_of_the_worked_example():
    """Drives example 5: 420 N at 46 mm before and 31 mm behind the shoulder, 150 N at 38 mm."""
    stated = 'kind = "rotary-load"\ntorque = "1 N*m"\noverhang = "46 mm"\n' \
             'radial_force = "420 N"\naxial_force = "150 N"\naxial_arm = "38 mm"\n' \
             'inertia = "0.01 kg*m^2"'  # fmt: skip
    line = changed(LINE, "gearhead", GEARED.gearhead, bearing_offset=0.031, tilting=58.0)
    verdict = verdict_of(stated, load="", way="90 deg", line=line)
    found = line_of(verdict, "gear-tilting")
    assert found.demand == pytest.approx(38.04, rel=1e-9)
    assert found.margin == pytest.approx(0.3441379, abs=1e-7)
    assert np.isclose(line_of(verdict, "gear-axial").demand, 150.0)


def test_direct_load_that_weighs_is_asked_for_its_seat():
    """Nothing tells whether it has bearings of its own; one that states no mass says nothing."""
    heavy = verdict_of('kind = "direct"', load=DISC.replace('\narm = "40 mm"', ""), way="90 deg",
                       parts=BARE)  # fmt: skip
    assert line_of(heavy, "motor-shaft-load").state == "not-checked"
    bare = verdict_of('kind = "direct"', load='inertia = "0.05 kg*m^2"', way="90 deg", parts=BARE)
    assert line_of(bare, "motor-shaft-load") is None


def test_axis_of_a_direct_load_may_lie_either_way():
    """The weight counts along the shaft and across it: across less by the share along."""
    text = 'kind = "direct"\noverhang = "30 mm"'
    load = 'mass = "6 kg"\ninertia = "0.05 kg*m^2"'
    line = line_of(verdict_of(text, load=load, way="90 deg", parts=BARE), "motor-shaft-load")
    m = motor(BARE)
    bears = m.radial_load * (m.bearing_offset + m.radial_load_point) / (m.bearing_offset + 0.03)
    assert line.demand == pytest.approx(6 * G)
    assert line.limit == pytest.approx(bears * (1 - 6 * G / m.axial_load))


def test_shorter_overhang_is_a_remedy():
    """Equal moment: F_r (z + x) may be what the shoulder bears less the reserve of a tenth."""
    text = BASE.format(mechanism=BELT + 'pretension = "150 N"\noverhang = "45 mm"', stages="",
                       load=CARRIAGE.replace("40", "20"), way="300 mm", more="")  # fmt: skip
    verdict = advised(judged(read_axis("carriage.toml", text=text), LINE, GEARED))
    line = line_of(verdict, "gear-radial")
    assert line.state == "short"
    (found,) = [r for r in line.remedies if r.field == "mechanism.overhang"]
    number, unit = found.after.split()
    z, force = gear().bearing_offset, 300 + 20 * ACCEL
    most = 0.9 * gear().radial * z / force - z
    assert unit == "mm"
    assert 0.9 * most < float(number) / 1e3 <= most
