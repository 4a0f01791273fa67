"""Torque over speed: worked example, a grid of currents, algebra, and limits."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from dutyline.core.errors import RangeError
from dutyline.physics.continuous_torque import (
    altitude_share,
    ambient_share,
    continuous_torque,
    derated_torque,
    housing_resistance,
    iron_loss,
)
from dutyline.physics.field_weakening import weakened_current
from dutyline.physics.torque_speed import (
    bus_voltage,
    corner_speed,
    current_of_torque,
    flux_linkage,
    hot_resistance,
    peak_torque,
    phase_voltage,
    saturation_factor,
    torque_constant_of_emf,
    torque_of_current,
    voltage_limited_current,
)

RPM = math.pi / 30
EXAMPLES = tomllib.loads(
    (Path(__file__).parents[2] / "published" / "drives-examples.toml").read_text("utf-8")
)["example"]


def example(number: int) -> tuple[dict[str, Any], dict[str, float], dict[str, float]]:
    found = next(e for e in EXAMPLES if e["number"] == number)
    return found["input"], found["expected"], {"rel": found["rel_tol"], "abs": found["abs_tol"]}


def winding(given: dict[str, Any]) -> tuple[float, float, float, float]:
    """Resistance, inductance, flux linkage and pole pairs of example 1."""
    ke = given["ke_ll_rms_v_per_krpm"] / (1000 * RPM)
    flux = float(flux_linkage(ke, given["pole_pairs"]))
    return (
        given["resistance_phase_ohm"],
        given["inductance_phase_h"],
        flux,
        given["pole_pairs"],
    )


def test_worked_example_of_the_voltage_limit() -> None:
    """drives-examples.toml number 1, there compared with a fine grid of currents."""
    given_, expected, tol = example(1)
    r, ind, psi, p = winding(given_)
    current = given_["current_peak_arms"]
    got: dict[str, float] = {
        "flux_linkage_wb": psi,
        "kt_nm_per_arms": float(
            torque_constant_of_emf(given_["ke_ll_rms_v_per_krpm"] / (1000 * RPM))
        ),
        "characteristic_current_a_peak": psi / ind,
        "emf_ll_peak_at_high_speed_v": math.sqrt(2)
        * given_["ke_ll_rms_v_per_krpm"]
        * given_["high_speed_rpm"]
        / 1000,
    }
    for name, mains in (
        ("nominal", given_["mains_v"]),
        ("low", given_["mains_v"] * (1 - given_["mains_drop"])),
    ):
        v = float(phase_voltage(bus_voltage(mains, 3), given_["modulation_reserve"]))
        got[f"phase_voltage_peak_v_{name}"] = v
        got[f"corner_speed_rpm_{name}"] = float(corner_speed(current, v, r, ind, psi, p)) / RPM
        got[f"no_load_limit_rpm_{name}"] = float(corner_speed(0.0, v, r, ind, psi, p)) / RPM
        for label, speed in (("probe", "probe_speed_rpm"), ("high", "high_speed_rpm")):
            w = given_[speed] * RPM
            plain = peak_torque(w, v, r, ind, psi, p, current)
            i_d, i_q = weakened_current(w, v, r, ind, psi, p, current)
            got[f"torque_{label}_no_fw_nm_{name}"] = float(plain)
            got[f"torque_{label}_fw_nm_{name}"] = float(1.5 * p * psi * i_q)
            if label == "probe":
                got[f"id_probe_fw_a_peak_{name}"] = float(i_d)
    got["torque_peak_nm"] = float(peak_torque(0.0, 1e3, r, ind, psi, p, current))
    assert got == pytest.approx(expected, **tol)


@pytest.mark.parametrize("mains", [207.0, 230.0])
@pytest.mark.parametrize("speed", [3000.0, 4200.0, 5500.0, 6500.0, 9000.0])
def test_field_weakening_against_a_grid_of_currents(mains: float, speed: float) -> None:
    """Nothing on a dense grid inside both limits makes more torque; the best comes close."""
    r, ind, psi, p = winding(example(1)[0])
    v, limit = float(phase_voltage(bus_voltage(mains, 3))), 5.6 * math.sqrt(2)
    w = speed * RPM * p
    axis = np.linspace(-limit, limit, 1601)
    d, q = np.meshgrid(axis, axis)
    fits = (d**2 + q**2 <= limit**2) & (
        (r * d - w * ind * q) ** 2 + (r * q + w * (ind * d + psi)) ** 2 <= v**2
    )
    best = np.max(q[fits])
    i_d, i_q = weakened_current(speed * RPM, v, r, ind, psi, p, 5.6)
    assert best <= i_q + 1e-9
    assert i_q - best < 2 * (axis[1] - axis[0])
    assert math.hypot(float(i_d), float(i_q)) <= limit * (1 + 1e-9)


def test_speed_that_no_current_reaches() -> None:
    r, ind, psi, p = winding(example(1)[0])
    i_d, i_q = weakened_current(3000 * RPM, 30.0, r, ind, psi, p, 0.5)
    assert math.isnan(float(i_d))
    assert math.isnan(float(i_q))


@given(
    st.floats(0.0, 1500.0),
    st.floats(5.0, 400.0),
    st.floats(0.01, 50.0),
    st.floats(1e-5, 0.1),
    st.floats(1e-3, 1.0),
    st.integers(1, 12),
)
def test_the_current_uses_the_whole_voltage(
    speed: float, v: float, r: float, ind: float, psi: float, p: int
) -> None:
    """Put back into the voltage equations, the current gives the voltage again."""
    i = float(voltage_limited_current(speed, v, r, ind, psi, p)) * math.sqrt(2)
    w = speed * p
    if i == 0.0:
        assert w * psi >= v * (1 - 1e-12)
    else:
        back = math.hypot(r * i + w * psi, w * ind * i)
        assert back == pytest.approx(v, rel=1e-9)


@given(
    st.floats(0.1, 50.0),
    st.floats(5.0, 400.0),
    st.floats(0.01, 50.0),
    st.floats(1e-5, 0.1),
    st.floats(1e-3, 1.0),
    st.integers(1, 12),
)
def test_corner_speed_is_where_the_voltage_just_drives_the_current(
    current: float, v: float, r: float, ind: float, psi: float, p: int
) -> None:
    corner = float(corner_speed(current, v, r, ind, psi, p))
    if corner == 0.0:
        assert r * current * math.sqrt(2) >= v * (1 - 1e-12)
    else:
        assert float(voltage_limited_current(corner, v, r, ind, psi, p)) == pytest.approx(
            current, rel=1e-7, abs=1e-9
        )


def test_torque_falls_more_than_the_voltage() -> None:
    """Ten per cent less mains takes almost half of the torque at high speed (the emf stays)."""
    r, ind, psi, p = winding(example(1)[0])
    high, low = (
        float(peak_torque(6500 * RPM, phase_voltage(bus_voltage(m, 3)), r, ind, psi, p, 5.6))
        for m in (230.0, 207.0)
    )
    assert low < 0.6 * high


def test_missing_data_travel_through() -> None:
    assert np.isnan(voltage_limited_current(100.0, 100.0, np.nan, 0.01, 0.05, 4))
    assert np.isnan(current_of_torque(2.0, np.nan, 1.0, 3.0, 0.95))
    assert np.isnan(current_of_torque(2.0, 1.0, np.nan, 3.0, 0.95))
    assert np.isnan(current_of_torque(2.0, 1.0, 1.0, 3.0, np.nan))
    assert current_of_torque(0.5, 1.0, 1.0, 3.0, np.nan) == 0.5
    assert torque_of_current(0.5, 1.0, 1.0, np.nan, np.nan) == 0.5


@given(
    st.floats(0.05, 5.0),
    st.floats(0.1, 40.0),
    st.floats(1.0, 6.0),
    st.floats(0.75, 1.03),
    st.floats(-2.0, 2.0),
)
def test_current_and_torque_undo_each_other(
    kt: float, stall: float, over: float, sat: float, share: float
) -> None:
    peak = stall * over
    assume(over > 1.001)
    assume((1 - sat) / (over - 1) * (2 * over - 1) <= 0.99)
    current = share * peak
    torque = torque_of_current(current, kt, stall, peak, sat)
    back = current_of_torque(torque, kt, stall, peak, sat)
    assert float(back) == pytest.approx(current, rel=1e-6, abs=1e-9)


def test_saturation_meets_its_two_fixed_points() -> None:
    factors = saturation_factor([0.0, 3.222, 8.852], 3.222, 8.852, 0.95)
    assert factors.tolist() == pytest.approx([1.0, 1.0, 0.95], rel=1e-15)
    assert saturation_factor(9.0, 3.0, 3.0, 0.95) == 1.0


def test_beyond_the_peak_current_saturation_stays() -> None:
    assert float(current_of_torque(1e3, 0.5, 1.0, 3.0, 0.8)) == pytest.approx(2500.0)
    assert float(torque_of_current(2500.0, 0.5, 1.0, 3.0, 0.8)) == pytest.approx(1000.0)


def test_hot_copper() -> None:
    """IEC 60028 in its other form: R is proportional to 234.5 + temperature (from memory)."""
    ratio = float(hot_resistance(1.0, 140.0))
    assert ratio == pytest.approx((234.5 + 140) / (234.5 + 20), rel=1e-3)


def test_buses() -> None:
    """Six-pulse mean value 3*sqrt(2)/pi of the line voltage; direct current is its own bus."""
    assert float(bus_voltage(400.0, 3)) == pytest.approx(400 * 3 * math.sqrt(2) / math.pi, rel=5e-4)
    assert float(bus_voltage(48.0, "dc")) == 48.0
    assert float(bus_voltage(230.0, 1)) < 230 * math.sqrt(2)


@pytest.mark.parametrize("phases", [2, 0, "ac"])
def test_phases_that_are_none(phases: int | str) -> None:
    with pytest.raises(RangeError, match="phases"):
        bus_voltage(230.0, phases)


@pytest.mark.parametrize("mains", [0.0, -230.0])
def test_mains_that_are_none(mains: float) -> None:
    with pytest.raises(RangeError, match="mains"):
        bus_voltage(mains, 3)


def test_worked_example_of_the_continuous_limit() -> None:
    """drives-examples.toml number 2: limits at two speeds from iron loss and housing."""
    given_, expected, tol = example(2)
    for speed in (3000.0, 5500.0):
        loss = iron_loss(
            speed, given_["iron_loss_ref_w"], given_["iron_ref_speed_rpm"], given_["iron_exponent"]
        )
        limit = continuous_torque(
            loss,
            given_["torque_stall_nm"],
            given_["rise_limit_k"],
            given_["r_housing_ambient_k_per_w"],
        )
        assert float(limit) == pytest.approx(expected[f"limit_{speed:.0f}_nm"], **tol)


@given(
    st.floats(0.0, 40.0),
    st.floats(50.0, 120.0),
    st.floats(0.3, 1.0),
    st.floats(0.05, 2.0),
    st.floats(0.1, 4.0),
    st.floats(1.0, 2.5),
)
def test_derated_torque_heats_the_winding_to_its_limit(
    iron: float, rise: float, share: float, r_wh: float, r_ha: float, worse: float
) -> None:
    """Steady heat balance of both nodes at the derated torque ends at the permitted rise."""
    stall = 2.0
    copper_at_stall = rise / (r_wh + r_ha)
    torque = float(continuous_torque(iron, stall, rise, r_ha))
    if torque == 0.0:
        return
    here = r_ha * worse
    reduced = float(derated_torque(torque, stall, share, r_wh, r_ha, here))
    copper = copper_at_stall * (reduced / stall) ** 2
    winding_rise = copper * (r_wh + here) + iron * here
    if reduced > 0.0:
        assert winding_rise == pytest.approx(rise * share, rel=1e-9)
    else:
        assert winding_rise >= rise * share * (1 - 1e-9)


def test_surroundings() -> None:
    assert float(ambient_share(50.0, 140.0)) == pytest.approx(0.9)
    assert float(ambient_share(0.0, 140.0)) == 1.0
    assert float(ambient_share(60.0, 140.0)) == pytest.approx(0.8)
    assert math.isnan(float(ambient_share(60.1, 140.0)))
    assert float(altitude_share(4000.0)) == pytest.approx(0.7)
    assert math.isnan(float(altitude_share(4000.1)))


def test_no_plate_takes_the_usual_share_of_torque() -> None:
    """Common practice, no source: without plate about 0.71 to 0.84 of the torque is left."""
    here = float(housing_resistance(1.0, 0.0))
    left = float(derated_torque(1.0, 1.0, 1.0, 0.0, 1.0, here))
    assert 0.71 <= left <= 0.84
    assert float(housing_resistance(1.05, 3.0)) == 1.05
    assert float(housing_resistance(1.0, 1.0, enclosed=True)) > 1.0
