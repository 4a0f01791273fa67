"""Encoder, electronic gear, pulse command and slow creep, by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from dutyline.axis.model import Require
from dutyline.axis.read import read_axis
from dutyline.checks.records import Combination
from dutyline.checks.slow import _sums
from support import axes, dense
from support.judged import PARTS, changed, judged, lift, line_of, stocked

TABLE = """
schema = 1
[axis]
title = "table"
[load]
inertia = "0.5 kg*m^2"
[mechanism]
kind = "rotary-table"
endless = true
[[phase]]
do = "move"
by = "60 deg"
time = "0.6 s"
[[phase]]
do = "dwell"
time = "0.4 s"
[require]
absolute = true
unit = "0.001 deg"
[site]
mains = "230 V"
phases = 3
"""
RACK = TABLE.replace("endless = true\n", "").replace("rotary-table", "rack").replace(
    'inertia = "0.5 kg*m^2"', 'mass = "10 kg"').replace('by = "60 deg"', 'by = "600 mm"').replace(
    'kind = "rack"', 'kind = "rack"\nteeth = 20\nmodule = "2 mm"\ntravel = "1 m"').replace(
    'unit = "0.001 deg"', 'unit = "1 um"\ncommand = "pulse"')  # fmt: skip
TABLE_PARTS = Combination("XM88-0800H", "XG88-24", "XD-H6", None, "XR-H80-90")


def of(text: str, parts: Combination = TABLE_PARTS):
    return judged(read_axis("axis.toml", text=text), stocked(), parts)


def rack():
    text = RACK.replace('[require]', '[[phase]]\ndo = "move"\nby = "-600 mm"\ntime = "0.6 s"\n'
                        '[require]')  # fmt: skip
    return judged(read_axis("rack.toml", text=text), stocked(), TABLE_PARTS)


def encoder():
    line = stocked()
    return line.motors[line.motor_index[TABLE_PARTS.motor]]


def test_electronic_gear_is_a_whole_fraction():
    """Example 8 of the worked examples: 2^20 counts, 24 to 1, a thousandth of a degree."""
    line = line_of(of(TABLE), "gear-ratio-registers")
    assert encoder().encoder_bits == 20
    wanted = Fraction(2**20 * 24, 360000)
    assert wanted == Fraction(131072, 1875)
    assert line.text.startswith("131072/1875 counts per unit")
    assert (line.demand, line.severity, line.state) == (131072.0, "note", "meets")


def test_gear_of_a_rack_is_no_fraction():
    """The pitch circle has pi in it: the best fraction, and how far it is off."""
    line = line_of(rack(), "gear-ratio-registers")
    wanted = 2**20 * 24 / (math.pi * 40e3)
    top, bottom = (int(n) for n in line.text.split(" counts")[0].split("/"))
    error = abs(top / bottom / wanted - 1)
    assert 0 < error < 1e-7
    said = float(line.text.split("off by ")[1].split(" ppm")[0])
    assert said == pytest.approx(error * 1e6, rel=5e-3)


def test_pulses_at_top_speed():
    """1.5 times 600 mm in 0.6 s at 1 um a pulse; a differential input takes 500 kHz."""
    line = line_of(rack(), "command-frequency")
    assert line.demand == pytest.approx(1.5 * 0.6 / 0.6 / 1e-6)
    assert (line.limit, line.severity, line.state) == (5e5, "must", "fails")
    assert line_of(judged(lift(), stocked()), "command-frequency") is None


def test_endless_table_and_the_range_of_the_encoder():
    """Turns over ratio in lowest terms: 2^16/24 = 8192/3, whole after three ranges."""
    assert encoder().encoder_turn_bits == 16
    line = line_of(of(TABLE), "absolute-range")
    assert (line.demand, line.limit, line.state) == (3.0, 1.0, "fails")
    assert line.severity == "caution"
    whole = line_of(of(TABLE, replace(TABLE_PARTS, gearhead="XG88-16")), "absolute-range")
    assert (whole.demand, whole.state) == (1.0, "meets")


def test_turns_of_the_encoder_over_the_travel():
    line = line_of(rack(), "absolute-range")
    assert line.demand == pytest.approx(1.0 / (math.pi * 0.04) * 24)
    assert line.limit == 2.0**16


def test_bits_that_are_wanted():
    verdict = judged(lift(require=Require(encoder_bits=22)), stocked())
    line = line_of(verdict, "encoder-resolution", "motor")
    assert (line.demand, line.limit, line.severity, line.state) == (22.0, 20.0, "must", "fails")
    assert line_of(judged(lift(), stocked()), "encoder-resolution", "motor") is None


def test_holding_longer_than_a_second():
    """Two seconds at rest with the tray: the current of its weight against 0.707 of the rating."""
    axis = lift()
    load = axis.train.chain.load
    held = axes.make(load, axis.train.chain.stages, [
        axes.move(0.7, 0.5, carry=("tray",)), axes.dwell(2.0, carry=("tray",)),
        axes.move(-0.7, 0.5), axes.dwell(0.5),
    ], site=axis.site)  # fmt: skip
    line = line_of(judged(held, stocked()), "drive-low-frequency")
    parts = stocked()
    motor = parts.motors[parts.motor_index[PARTS.motor]]
    gear = parts.gearheads[parts.gearhead_index[PARTS.gearhead]]
    drive = parts.drives[parts.drive_index[PARTS.drive]]
    torque = np.array([19.0 * 9.80665 * 0.0305 / gear.ratio])
    winding = dense.Winding(motor.torque_constant, motor.current_stall, motor.current_peak,
                            motor.saturation_peak)  # fmt: skip
    assert line.demand == pytest.approx(float(winding.current(torque)[0]), rel=2e-2)
    assert line.limit == pytest.approx(drive.current_rated / math.sqrt(2))
    assert line.severity == "caution"


def test_short_rests_and_idle_ones_have_no_line():
    assert line_of(judged(lift(), stocked()), "drive-low-frequency") is None


def test_stretches_run_over_the_end_of_the_cycle():
    on = np.array(
        [[True, False, True, True], [True, True, True, True], [False, True, False, False]]
    )
    value = np.array([[1.0, 2.0, 4.0, 8.0]] * 3)
    found = _sums(on, value)
    assert found.tolist() == [[13.0, 0.0, 13.0, 13.0], [15.0] * 4, [0.0, 2.0, 0.0, 0.0]]


def test_missing_data_are_open():
    line = changed(stocked(), "motor", TABLE_PARTS.motor, encoder_bits=None, encoder_turn_bits=None)
    verdict = judged(read_axis("axis.toml", text=TABLE), line, TABLE_PARTS)
    for check in ("gear-ratio-registers", "absolute-range"):
        assert line_of(verdict, check).state == "not-checked"
