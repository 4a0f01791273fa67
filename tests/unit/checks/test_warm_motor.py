"""What a verdict says of a motor that warms up, against an integrator over the same losses."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination, Verdict
from dutyline.checks.verdict import verify
from support.judged import changed, line_of

PARTS = Combination("XM72-0450H", None, "XD-H4", None, "XR-H80-90")
LINE = demo_line()
MOTOR = LINE.motors[LINE.motor_index[PARTS.motor]]
SPEED = 3000.0


def axis_text(torque: float, on: float, off: float, ambient: float = 40.0) -> str:
    """A mixer that always turns, under a torque [N*m] for a time and idle for another [s]."""
    return f"""\
schema = 1
[axis]
title = "Mixer"
[load]
inertia = "0.001 kg*m^2"
drag = "0 N*m"
[mechanism]
kind = "direct"
endless = true
[[phase]]
name = "mix"
do = "run"
speed = "{SPEED} rpm"
time = "{on} s"
force = "{torque} N*m"
[[phase]]
name = "idle"
do = "run"
speed = "{SPEED} rpm"
time = "{off} s"
[site]
mains = "230 V"
phases = 3
ambient = "{ambient} degC"
people_near = false
"""


@cache
def judged(torque: float, on: float, off: float) -> Verdict:
    return verify(read_axis("mixer.toml", text=axis_text(torque, on, off)), LINE, PARTS)


@cache
def integrated(torque: float, on: float, off: float, cycles: int) -> np.ndarray:
    """Largest rise of winding and housing in every cycle, and the winding a minute later; (n, 3).

    From the data of the motor alone: copper loss 1.5 R I^2, iron loss with the speed.
    """
    assert torque <= MOTOR.torque_stall  # beyond it the iron saturates
    copper = 1.5 * MOTOR.resistance * (torque / MOTOR.torque_constant) ** 2
    share = SPEED * math.pi / 30 / MOTOR.speed_rated
    iron = MOTOR.iron_loss_rated * share**MOTOR.iron_exponent
    inner, outer = MOTOR.rth_winding_housing, MOTOR.rth_housing_ambient

    def slope(_, x, p20, iron):
        heat = p20 * (1 + 0.00393 * (40.0 + x[0] - 20.0))
        return [
            (heat - (x[0] - x[1]) / inner) / MOTOR.cth_winding,
            (iron + (x[0] - x[1]) / inner - x[1] / outer) / MOTOR.cth_housing,
        ]

    def run(state, p20, iron, time):
        return solve_ivp(
            slope, (0, time), state, args=(p20, iron), method="LSODA", rtol=1e-9, atol=1e-9,
            max_step=max(time / 60, 1.0),
        ).y  # fmt: skip

    state, rows = [0.0, 0.0], []
    for _ in range(cycles):
        found = [run(state, copper, iron, on)]
        found.append(run(found[0][:, -1], 0.0, iron, off))
        both = np.hstack(found)
        state = both[:, -1]
        rows.append([both[0].max(), both[1].max(), run(state, 0.0, 0.0, 60.0)[0, -1]])
    return np.array(rows)


GENTLE = (1.0, 60.0, 120.0)
HARSH = (1.4, 240.0, 20.0)


def test_a_motor_gets_warm_as_the_integrator_says():
    found = judged(*GENTLE).demand["winding"]
    every = integrated(*GENTLE, 60)
    assert found["first_cycle_max"] == pytest.approx(40 + every[0, 0], abs=1e-3)
    assert found["max"] == pytest.approx(40 + every[-1, 0], abs=0.02)
    assert found["housing_max"] == pytest.approx(40 + every[-1, 1], abs=0.02)
    assert found["restart"] == pytest.approx(40 + every[-1, 2], abs=0.02)
    warm = 1 + int(np.argmax(every[:, 0] >= every[-1, 0] - 1.0))
    assert found["cycles_to_warm"] == warm
    assert found["time_to_warm"] == pytest.approx(warm * 180.0)
    assert found["cycles_from_cold"] == np.inf


def test_what_fits_from_cold_but_not_for_ever():
    """Duty type S2: the cycle is too hot once settled, its first runs are not."""
    verdict = judged(*HARSH)
    line, found = line_of(verdict, "winding-temperature"), verdict.demand["winding"]
    every = integrated(*HARSH, 40)
    runs = int((every[:, 0] <= MOTOR.winding_limit - 40.0).sum())
    assert line.state == "fails"
    assert 1 <= runs < 40
    assert found["cycles_from_cold"] == runs
    assert f"from cold {runs} cycles fit" in line.text
    assert "until cold (duty type S2)" in line.text
    assert any(c.startswith("Thermal image: ") for c in verdict.cautions)
    assert found["mean"] > MOTOR.winding_limit - 5.0
    assert "insulation lives half as long" in line.text


def test_a_hot_housing_is_a_caution():
    hot, cool = judged(*HARSH), judged(0.2, 60.0, 600.0)
    assert hot.demand["winding"]["housing_max"] > 70.0 > cool.demand["winding"]["housing_max"]
    said = [c for c in hot.cautions if c.startswith("Hot surface: ")]
    assert len(said) == 1
    assert not any(c.startswith(("Hot surface", "Thermal image")) for c in cool.cautions)


def test_of_several_cases_the_hottest_is_told():
    text = (
        axis_text(1.2, 60.0, 60.0)
        + """
[[case]]
name = "thick"
set = { "phase.mix.force" = "1.4 N*m" }
"""
    )
    verdict = verify(read_axis("mixer.toml", text=text), LINE, PARTS)
    temperature = verdict.cases[1].demand["winding"]["housing_max"]
    assert temperature > verdict.cases[0].demand["winding"]["housing_max"] > 70.0
    said = [c for c in verdict.cautions if c.startswith("Hot surface: ")]
    assert len(said) == 1
    assert f"{temperature:.0f}" in said[0] or f"{temperature:.1f}" in said[0]


@pytest.mark.parametrize("name", ["cth_housing", "rth_housing_ambient", "resistance"])
def test_missing_thermal_data_tell_nothing(name):
    line = changed(LINE, "motor", PARTS.motor, **{name: None})
    verdict = verify(read_axis("mixer.toml", text=axis_text(*GENTLE)), line, PARTS)
    found = verdict.demand["winding"]
    assert found["cycles_to_warm"] is None
    assert found["restart"] is None
    assert line_of(verdict, "winding-temperature").state == "not-checked"
    assert not any(c.startswith(("Hot surface", "Thermal image")) for c in verdict.cautions)
