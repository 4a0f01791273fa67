"""What field weakening would give, against a search over all currents that the voltage leaves."""

from __future__ import annotations

import math

import numpy as np
import pytest

from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination
from dutyline.checks.verdict import verify
from dutyline.core.numbers import quantity
from support.judged import changed, line_of

PARTS = Combination("XM72-0450H", None, "XD-H4", None, "XR-H80-90")
LINE = demo_line()
MOTOR = LINE.motors[LINE.motor_index[PARTS.motor]]


def spin(mains: float, inertia: float = 8e-4, top: float = 5400.0, line=LINE):
    """The line on the peak torque of a wheel that is run up in 0.12 s."""
    text = f"""\
schema = 1
[axis]
title = "Wheel"
[load]
inertia = "{inertia} kg*m^2"
drag = "0 N*m"
[mechanism]
kind = "direct"
endless = true
[[phase]]
name = "up"
do = "run"
speed = "{top} rpm"
ramp = "0.12 s"
time = "0.3 s"
[[phase]]
name = "down"
do = "run"
speed = "0 rpm"
ramp = "2 s"
[[phase]]
do = "dwell"
time = "20 s"
[site]
mains = "{mains} V"
phases = 3
"""
    return line_of(verify(read_axis("wheel.toml", text=text), line, PARTS), "peak-torque")


def searched(speed: float, mains: float) -> float:
    """Most torque over a grid of both currents, voltage equations written out again [N*m]."""
    volts = 0.95 * 1.35 * mains / math.sqrt(3)
    flux = MOTOR.voltage_constant * math.sqrt(2 / 3) / MOTOR.pole_pairs
    ohms = MOTOR.resistance / 2 * (1 + 0.00393 * (MOTOR.winding_limit - 20))
    henry, turning = MOTOR.inductance / 2, MOTOR.pole_pairs * speed
    most = math.sqrt(2) * MOTOR.current_peak
    along = np.linspace(-most, 0.0, 1201)[:, None]
    across = np.linspace(0.0, most, 2401)[None, :]
    fits = along**2 + across**2 <= most**2
    fits &= (ohms * along - turning * henry * across) ** 2 + (
        ohms * across + turning * (henry * along + flux)
    ) ** 2 <= volts**2
    best = float(np.where(fits, across, 0.0).max())
    return MOTOR.torque_constant * best / math.sqrt(2) * MOTOR.saturation_peak


def test_the_torque_with_field_weakening_is_that_of_a_search():
    line = spin(200.0)
    assert line.state == "fails"
    told = searched(line.at_speed, 200.0)
    assert told > 1.05 * line.limit
    assert line.text.startswith("field weakening would give ")
    number = float(line.text.split("give ")[1].split("\u00a0")[0])
    assert number == pytest.approx(told, rel=5e-3)
    assert quantity(number, "N*m") in line.text


def test_nothing_is_said_where_current_and_not_voltage_lacks():
    line = spin(230.0, inertia=3e-3, top=2000.0)
    assert line.state == "fails"
    assert line.text == ""


def test_nothing_is_said_where_it_meets_or_constants_are_missing():
    assert spin(200.0, inertia=1e-4).text == ""
    assert spin(200.0, line=changed(LINE, "motor", PARTS.motor, inductance=None)).text == ""


def test_a_dangerous_emf_is_named():
    low = changed(LINE, "drive", PARTS.drive, overvoltage_trip=100.0)
    emf = math.sqrt(2) * MOTOR.voltage_constant * spin(200.0).at_speed
    assert f"the emf then reaches {quantity(emf, 'V')}" in spin(200.0, line=low).text
    assert "emf" not in spin(200.0).text
