"""Figures worked out of a plate, by hand, and figures that do not go together."""

from __future__ import annotations

from math import pi

import pytest

from dutyline.catalogue.library import demo_line
from dutyline.replacement.family import with_family
from support.plates import plate_of


def test_torque_of_power_and_speed():
    plate = plate_of('[motor]\npower = "750 W"\nspeed = "3000 r/min"\n')
    fact = plate.facts["motor.torque"]
    assert fact.si == pytest.approx(750.0 / (3000.0 * 2 * pi / 60), rel=1e-12)
    assert (fact.status, fact.method) == ("assumed", "power over speed")


def test_stall_torque_stands_for_the_rated_one_as_the_safe_side():
    plate = plate_of('[motor]\nstall_torque = "3.2 Nm"\nspeed = "3000 r/min"\n')
    fact = plate.facts["motor.torque"]
    assert (fact.si, fact.low, fact.high) == (3.2, pytest.approx(2.0), 3.2)
    assert fact.status == "assumed"


def test_peak_torque_of_the_peak_current_is_an_upper_end():
    plate = plate_of("""[motor]
peak_current = "12 A"
current_form = "rms"
kt = "0.7 Nm/A"
kt_form = "rms"
""")
    fact = plate.facts["motor.peak_torque"]
    assert (fact.si, fact.high) == (pytest.approx(8.4), pytest.approx(8.4))
    assert fact.low == pytest.approx(6.3)


def test_peak_torque_is_not_guessed():
    plate = with_family(plate_of('[motor]\ntorque = "2 Nm"\nspeed = "3000 r/min"\n'), demo_line())
    assert "motor.peak_torque" not in plate.facts


@pytest.mark.parametrize(("entry", "counts"), [("lines = 2500", 10_000), ("bits = 17", 131_072)])
def test_counts_per_turn(entry, counts):
    assert plate_of(f"[motor]\n{entry}\n").si("motor.counts") == counts


def test_poles_are_pairs_and_odd_poles_are_none():
    assert plate_of("[motor]\npoles = 8\n").si("motor.pole_pairs") == 4


def test_flywheel_effect_is_a_quarter():
    plate = plate_of('[motor]\ninertia = "GD2 0.0012 kgf*m^2"\n')
    assert plate.si("motor.inertia") == pytest.approx(0.0003, rel=1e-9)


def test_ratio_is_kept_as_a_fraction():
    plate = plate_of('[motor]\n[gearhead]\nratio = "91/9"\n')
    assert (plate.ratio_text, plate.ratio.numerator, plate.ratio.denominator) == ("91/9", 91, 9)
    assert plate_of('[motor]\n[gearhead]\nratio = "12,25"\n').ratio_text == "49/4"


def test_inertia_from_the_family_has_its_scatter_as_range():
    # A family that follows J = 1e-4 T^1.5 exactly: the law gives it back without scatter.
    from dataclasses import replace

    line = demo_line()
    motors = tuple(replace(m, inertia=1e-4 * m.torque_rated**1.5) for m in line.motors)
    plate = with_family(plate_of('[motor]\ntorque = "2 Nm"\n'), replace(line, motors=motors))
    fact = plate.facts["motor.inertia"]
    assert fact.si == pytest.approx(1e-4 * 2.0**1.5, rel=1e-9)
    assert fact.low == pytest.approx(fact.high, rel=1e-9)
    assert fact.status == "assumed"


def test_both_figures_and_their_ratio_are_told():
    # 2 N*m at 3000 r/min is 628 W.
    plate = plate_of('[motor]\npower = "842 W"\ntorque = "2 Nm"\nspeed = "3000 r/min"\n')
    (found,) = plate.contradictions
    assert found.ratio == pytest.approx(2 * 100 * pi / 842, rel=1e-9)
    assert set(found.paths) == {"motor.power", "motor.torque", "motor.speed"}
    assert "628" in found.text
    assert "842" in found.text


def test_torque_left_in_pound_inches_is_named():
    # 17.7 lbf*in are 2 N*m; taken for N*m the power is 8.85 times too large.
    plate = plate_of('[motor]\npower = "628 W"\ntorque = "17.7 Nm"\nspeed = "3000 r/min"\n')
    (found,) = plate.contradictions
    assert "pound-force inches" in found.question


def test_consistent_plate_is_silent():
    plate = plate_of("""[motor]
power = "628 W"
torque = "2 Nm"
speed = "3000 r/min"
current = "4 A"
current_form = "rms"
kt = "0.5 Nm/A"
kt_form = "rms"
ke = "0.2887 V*s/rad"
ke_form = "line rms"
""")
    assert plate.contradictions == ()


def test_stall_below_rated_torque():
    plate = plate_of('[motor]\ntorque = "2 Nm"\nstall_torque = "1.5 Nm"\n')
    assert "exchanged" in plate.contradictions[0].question


def test_the_most_influential_questions_come_first():
    questions = plate_of("[motor]\n").questions
    assert [q.path for q in questions[:3]] == ["motor.torque", "motor.speed", "keep.mains"]
