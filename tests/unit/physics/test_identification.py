"""Estimates from records against records whose makers are known, and against scipy's filter."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import lfilter

from dutyline.core.errors import RangeError, ShapeError
from dutyline.physics.identification import (
    CONDITION,
    identified,
    identified_without_filter,
    zero_phase_low_pass,
)

STEP = 1e-3
TIME = np.arange(6000) * STEP
INERTIA, VISCOUS, COULOMB, CONSTANT = 5e-4, 1.2e-3, 0.15, -0.4


def record(noise: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    """Speed and torque of an axis with known parts."""
    speed = 90 * np.sin(2 * np.pi * 0.5 * TIME) + 40 * np.sin(2 * np.pi * 1.75 * TIME)
    rate = np.pi * (90 * np.cos(2 * np.pi * 0.5 * TIME) + 140 * np.cos(2 * np.pi * 1.75 * TIME))
    torque = INERTIA * rate + VISCOUS * speed + COULOMB * np.sign(speed) + CONSTANT
    random = np.random.default_rng(5)
    return speed + noise * random.standard_normal(TIME.size), torque


def test_the_filter_is_that_of_a_general_library():
    signal = np.random.default_rng(2).standard_normal(500) + 3.0
    kept = np.exp(-2 * np.pi * 20.0 * STEP)
    expected = signal
    for _ in range(2):  # lfilter with the state of a signal that has always been its first value
        expected = lfilter([1 - kept], [1, -kept], expected, zi=[kept * expected[0]])[0][::-1]
    assert zero_phase_low_pass(signal, STEP, 20.0) == pytest.approx(expected, rel=1e-12)


def test_a_clean_record_gives_its_makers_back():
    found = identified(*record(), STEP, 100.0, 5.0)
    assert found.inertia == pytest.approx(INERTIA, rel=2e-4)
    assert found.viscous == pytest.approx(VISCOUS, rel=5e-3)
    assert found.coulomb == pytest.approx(COULOMB, rel=5e-3)
    assert found.constant == pytest.approx(CONSTANT, rel=1e-3)
    assert found.condition < CONDITION


def test_noise_makes_the_unfiltered_inertia_small():
    """Errors in variables shrink it by S/(S + N): N of a central difference is var/(2 dt**2)."""
    noise = 0.3
    speed, torque = record(noise)
    rate = np.gradient(record()[0], STEP)
    shrunk = np.mean(rate**2) / (np.mean(rate**2) + noise**2 / (2 * STEP**2))
    assert shrunk < 0.95
    raw = identified_without_filter(speed, torque, STEP)
    assert raw.inertia == pytest.approx(INERTIA * shrunk, rel=0.05)
    assert identified(speed, torque, STEP, 25.0, 5.0).inertia == pytest.approx(INERTIA, rel=0.01)


def test_deviations_hold_what_repeated_records_scatter():
    found = []
    speed, torque = record()
    for seed in range(60):
        noise = np.random.default_rng(seed).standard_normal(TIME.size)
        found.append(identified(speed, torque + 0.2 * noise, STEP, 25.0, 5.0))
    scatter = np.std([f.inertia for f in found], ddof=1)
    told = np.mean([f.deviations[0] for f in found])
    assert 0.5 * scatter < told < 2.0 * scatter


def test_one_speed_cannot_part_friction_from_gravity():
    steady = np.full(2000, 50.0)
    found = identified(steady, np.full(2000, 0.3), STEP, 25.0)
    assert found.condition > CONDITION
    assert found.residual == pytest.approx(0.0, abs=1e-9)


def test_what_cannot_be_used_is_refused():
    with pytest.raises(ShapeError, match="two equal rows"):
        identified([1.0, 2.0], [1.0], STEP, 25.0)
    with pytest.raises(ShapeError, match="samples are left"):
        identified(np.ones(100), np.ones(100), STEP, 25.0, speed_gate=5.0)
    with pytest.raises(ShapeError, match="one row"):
        zero_phase_low_pass(np.ones((2, 2)), STEP, 25.0)
    with pytest.raises(RangeError):
        zero_phase_low_pass([1.0], 0.0, 25.0)
