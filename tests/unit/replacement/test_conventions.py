"""Forms of currents and constants: stated, the one reading that agrees, or left open."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from support.plates import plate_of

KE = 42.0 / (1000.0 * 2.0 * pi / 60.0)  # V per rad/s


def test_the_one_reading_that_agrees_is_taken_as_assumed_and_asked():
    # 2.9 / 4.2 = 0.690 and sqrt(3) * 42 V/krpm = 0.695: rms currents, rms between terminals.
    plate = plate_of("""[motor]
stall_torque = "2.9 Nm"
stall_current = "4.2 A"
ke = "42 V/krpm"
""")
    current, constant = plate.facts["motor.stall_current"], plate.facts["motor.voltage_constant"]
    assert (current.si, current.status) == (4.2, "assumed")
    assert constant.si == pytest.approx(KE, rel=1e-12)
    assert plate.open_forms == ()
    assert {"motor.current_form", "motor.voltage_constant_form"} <= {
        q.path for q in plate.questions
    }
    assert plate.si("motor.torque_constant") == pytest.approx(2.9 / 4.2, rel=1e-12)


def test_two_readings_that_agree_leave_the_figures_unused():
    # Torque constant and current alone agree as rms with rms and as crest with crest.
    plate = plate_of("""[motor]
torque = "2 Nm"
current = "4 A"
torque_constant = "0.5 Nm/A"
""")
    assert set(plate.open_forms) == {"motor.current", "motor.torque_constant"}
    assert "motor.torque_constant" not in plate.facts
    assert next(q for q in plate.questions if q.path == "motor.current_form").used == ""


@pytest.mark.parametrize(
    ("form", "factor"),
    [("line rms", 1.0), ("line peak", 1 / sqrt(2)), ("phase rms", sqrt(3)),
     ("phase peak", sqrt(3) / sqrt(2))],
)  # fmt: skip
def test_a_stated_form_is_converted_to_rms_between_terminals(form, factor):
    plate = plate_of(f'[motor]\nke = "42 V/krpm"\nke_form = "{form}"\n')
    fact = plate.facts["motor.voltage_constant"]
    assert fact.si == pytest.approx(KE * factor, rel=1e-12)
    assert fact.status == "given"
    assert plate.si("motor.torque_constant") == pytest.approx(sqrt(3) * KE * factor, rel=1e-12)


def test_crest_currents_and_constants_become_rms():
    plate = plate_of("""[motor]
torque = "2 Nm"
current = "5.656854249492381 A"
current_form = "peak"
kt = "0.35355339059327373 Nm/A"
kt_form = "peak"
""")
    assert plate.si("motor.current") == pytest.approx(4.0, rel=1e-12)
    assert plate.si("motor.torque_constant") == pytest.approx(0.5, rel=1e-12)
    assert plate.contradictions == ()
