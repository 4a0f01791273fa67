"""What can hurt and what to set, on numbers worked by hand."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest

from dutyline.catalogue.library import demo_line
from dutyline.replacement.around_rows import gear_limit
from dutyline.replacement.read import read_plate
from dutyline.replacement.search import find
from support.plates import PRINT_16, plate_of, states


@pytest.fixture(scope="module")
def offer():
    found = find(read_plate("plate.toml", text=PRINT_16), demo_line())
    return next(one for one in found.equivalents if one.offered)


def hurt(one, key):
    return next(h for h in one.hurts if h.key == key)


def test_inertia_ratio_before_and_after(offer):
    # 14 / 2.8 = 5.00 and 14 / 0.9 = 15.6
    text = hurt(offer, "inertia").text
    assert "5.00 before" in text
    assert "15.6 after" in text
    assert "tuned again" in text


def test_torque_limit_for_the_old_gearhead(offer):
    # 11.4 * 7 * 0.95 = 75.81 N*m on 70; 70 / (7 * 0.95) = 10.526 N*m, 10.526 / 3.2 = 328.9 %,
    # rounded down as every limit
    found = hurt(offer, "gear-torque")
    assert "75.8" in found.text
    (limit,) = found.settings
    assert limit.value == pytest.approx(70 / (7 * 0.95), rel=1e-12)
    assert limit.also[0].startswith("328")


def test_the_voltage_is_not_enough(offer):
    # 70 V/krpm at 3000 r/min is 210 V; 325 V * 0.9 / sqrt(2) = 206.8 V
    row = next(r for r in offer.rows if r.key == "voltage-at-speed")
    assert row.new_si == pytest.approx(210.0, rel=1e-9)
    assert row.old_si == pytest.approx(325 * 0.9 / 2**0.5, rel=1e-12)
    assert (row.state, row.severity) == ("fails", "must")
    assert "Another winding" in hurt(offer, "voltage").text
    assert offer.state == "fails"


def test_what_is_unknown_of_the_offer_is_not_checked(offer):
    found = states(offer)
    for key in ("torque-at-speed", "feedback", "shaft", "brake", "connector", "mains"):
        assert found[key] == "not-checked", key


def test_without_an_efficiency_the_limit_is_on_the_safe_side():
    text = PRINT_16.replace('efficiency = { value = 0.95, status = "assumed" }\n', "")
    found = find(read_plate("plate.toml", text=text), demo_line())
    one = next(e for e in found.equivalents if e.offered)
    (limit,) = hurt(one, "gear-torque").settings
    assert limit.value == pytest.approx(10.0)  # 70 / 7


@pytest.mark.parametrize(
    ("stated", "takes"),
    [
        ({"torque": 40, "emergency_torque": 120}, 40),
        ({"torque": 40, "acceleration_torque": 70, "emergency_torque": 120}, 70),
        ({"acceleration_torque": 70, "emergency_torque": 60}, 60),
        ({"emergency_torque": 120}, 120),
        ({}, None),
    ],
)
def test_what_a_gearhead_takes_a_few_times_stands_last(stated, takes):
    lines = "".join(f'{name} = "{value} Nm"\n' for name, value in stated.items())
    found = gear_limit(plate_of(f'[motor]\ntorque = "2 Nm"\n[gearhead]\nratio = "7"\n{lines}'))
    assert (None if found is None else found.si) == takes


def test_another_ratio_scales_positions_by_the_exact_fraction():
    plate = plate_of("""[motor]
torque = "1.5 Nm"
speed = "3000 r/min"
[gearhead]
ratio = "91/9"
[keep]
gearhead = false
mains = "230 V"
phases = 3
""")
    found = find(plate, demo_line())
    nine = next(e for e in found.equivalents if e.combination.gearhead == "XG72-9")
    told = hurt(nine, "ratio")
    assert told.settings[0].also == ("exactly 81/91",)
    assert told.settings[0].value == pytest.approx(81 / 91)
    row = next(r for r in nine.rows if r.key == "torque-at-speed")
    # the same torque at the output: 1.5 * (91/9) / 9 at the new shaft
    assert row.old_si == pytest.approx(1.5 * float(Fraction(91, 9)) / 9, rel=1e-12)


def test_counts_scale_exactly():
    found = find(plate_of("[motor]\nlines = 2500\n"), demo_line())
    told = hurt(found.equivalents[0], "counts")
    assert told.settings[0].also == ("exactly 65536/625",)  # 2^20 / 10000


def test_speed_limit_where_the_new_motor_is_faster():
    found = find(plate_of('[motor]\ntop_speed = "3600 r/min"\n'), demo_line())
    one = next(e for e in found.equivalents if e.combination.motor == "XM54-0120H")
    assert hurt(one, "speed").settings[0].value == pytest.approx(3600 * 2 * pi / 60)


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ('feedback = "resolver"', "homing of the control changes"),
        ('feedback = "incremental"', "homing of the control changes"),
    ],
)
def test_feedback_that_knows_its_place(entry, words):
    found = find(plate_of(f"[motor]\n{entry}\n"), demo_line())
    assert words in hurt(found.equivalents[0], "feedback").text


def test_gravity_is_told_first():
    found = find(plate_of("[motor]\n[keep]\ngravity = true\n"), demo_line())
    assert "mechanically" in found.cautions[0]
    still = find(plate_of("[motor]\n[keep]\ngravity = false\n"), demo_line())
    assert not any("Gravity" in text for text in still.cautions)


def test_what_lines_do_not_state_is_named():
    found = find(plate_of("[motor]\n"), demo_line())
    text = hurt(found.equivalents[0], "not-in-data").text
    assert "connectors" in text
    assert "shaft length" in text


def test_a_motor_without_a_brake_does_not_stand_for_one_with_it():
    from dataclasses import replace

    line = demo_line()
    bare = replace(line, pairings=tuple(p for p in line.pairings if p.kind != "motor-brake"),
                   motors=tuple(replace(m, brake="") for m in line.motors))  # fmt: skip
    found = find(plate_of('[motor]\n[brake]\ntorque = "1 Nm"\n'), bare)
    assert states(found.equivalents[0])["brake"] == "fails"
