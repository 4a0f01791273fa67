"""Optimum ratios by search, frequencies by eigenvalues, means by quadrature."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.linalg import eigh
from scipy.optimize import minimize_scalar

from dutyline.physics.duty import mean, mean_magnitude, power_mean, root_mean_square
from dutyline.physics.oscillation import (
    chain_frequencies,
    free_frequency,
    locked_frequency,
    referred_stiffness,
    series_stiffness,
)
from dutyline.physics.ratios import (
    best_acceleration_ratio,
    inertia_ratio_optimum,
    least_inertia_torque,
    least_rms_torque,
    peak_ratio_optimum,
    ratio_range,
    rms_ratio_optimum,
    rms_torque,
)

POSITIVE = st.floats(0.05, 20.0)


@given(POSITIVE, POSITIVE, POSITIVE, st.floats(-0.99, 0.99), st.floats(0.5, 1.0))
def test_rms_optimum_by_search(rotor, accel, torque, correlation, eta):
    moments = accel**2, torque**2, correlation * accel * torque
    best = float(rms_ratio_optimum(rotor, moments[0], moments[1], eta))
    found = minimize_scalar(
        lambda x: float(rms_torque(np.exp(x), rotor, *moments, eta)),
        bounds=(np.log(best) - 3, np.log(best) + 3),
        method="bounded",
        options={"xatol": 1e-8},
    )
    assert np.exp(found.x) == pytest.approx(best, rel=1e-3)
    assert found.fun >= float(least_rms_torque(rotor, *moments, eta)) * (1 - 1e-9)
    assert rms_torque(best, rotor, *moments, eta) == pytest.approx(
        least_rms_torque(rotor, *moments, eta), rel=1e-7
    )


@given(POSITIVE, POSITIVE, POSITIVE, st.floats(1.001, 4.0))
def test_at_the_ends_of_the_range_the_torque_is_used_up(rotor, accel, torque, more):
    moments = accel**2, torque**2, 0.3 * accel * torque
    allowed = float(least_rms_torque(rotor, *moments)) * more
    for ratio in ratio_range(allowed, rotor, *moments):
        assert rms_torque(ratio, rotor, *moments) == pytest.approx(allowed, rel=1e-6)


def test_no_ratio_helps_a_motor_that_is_too_weak():
    moments = 4.0, 9.0, 1.0
    weak = 0.99 * float(least_rms_torque(0.5, *moments))
    assert all(np.isnan(r) for r in ratio_range(weak, 0.5, *moments))


def test_twice_the_optimum_costs_a_quarter():
    best = float(inertia_ratio_optimum(0.5, 2e-3))
    least = float(least_inertia_torque(10.0, 0.5, 2e-3))
    for i in (best / 2, 2 * best):
        assert 10.0 * (2e-3 * i + 0.5 / i) == pytest.approx(1.25 * least)


@given(POSITIVE, POSITIVE, POSITIVE, POSITIVE)
def test_peak_optimum_by_search(accel, load, rotor, torque):
    best = float(peak_ratio_optimum(accel, load, rotor, torque))

    def peak(i):
        return rotor * i * accel + (load * accel + torque) / i

    assert peak(best) <= min(peak(best * 1.01), peak(best / 1.01))


@given(POSITIVE, POSITIVE, POSITIVE, POSITIVE, st.floats(0.5, 1.0))
def test_best_acceleration_by_search(motor, load, rotor, torque, eta):
    best = float(best_acceleration_ratio(motor, load, rotor, torque, eta))

    def accel(i):
        return (i * eta * motor - torque) / (load + eta * i**2 * rotor)

    assert accel(best) >= max(accel(best * 1.01), accel(best / 1.01))


@given(st.lists(POSITIVE, min_size=2, max_size=5), st.data())
def test_chain_by_a_general_eigenvalue_solver(inertias, data):
    springs = data.draw(st.lists(POSITIVE, min_size=len(inertias) - 1, max_size=len(inertias) - 1))
    stiffness = np.zeros((len(inertias), len(inertias)))
    for k, spring in enumerate(springs):
        stiffness[k, k] += spring
        stiffness[k + 1, k + 1] += spring
        stiffness[k, k + 1] = stiffness[k + 1, k] = -spring
    squares = eigh(stiffness, np.diag(inertias), eigvals_only=True)[1:]
    found = chain_frequencies(inertias, springs)
    assert (2 * np.pi * found) ** 2 == pytest.approx(squares, rel=1e-7)


def test_two_masses_are_the_shortest_chain():
    assert chain_frequencies([2e-4, 7e-4], [30.0])[0] == pytest.approx(
        float(free_frequency(30.0, 7e-4, 2e-4))
    )
    assert locked_frequency(30.0, 7e-4) < free_frequency(30.0, 7e-4, 2e-4)


def test_a_rigid_part_leaves_the_series_as_it_is():
    assert series_stiffness(100.0, np.inf) == 100.0
    assert np.isinf(series_stiffness(np.inf, np.inf))
    assert referred_stiffness(400.0, 0.5) == 100.0


RAMP = st.tuples(st.floats(-9.0, 9.0), st.floats(-9.0, 9.0), st.floats(0.1, 3.0))


@given(st.lists(RAMP, min_size=1, max_size=4))
def test_means_of_ramps_by_quadrature(ramps):
    start, end, time = np.array(ramps).T

    def integral(power):
        return sum(
            t * quad(power, 0, 1, args=(a, b), points=[_zero(a, b)], limit=200)[0]
            for a, b, t in ramps
        )

    def line(s, a, b):
        return a + (b - a) * s

    total = time.sum()
    assert mean(start, time, end) == pytest.approx(integral(line) / total, abs=1e-9)
    assert mean_magnitude(start, time, end) == pytest.approx(
        integral(lambda s, a, b: abs(line(s, a, b))) / total, rel=1e-6, abs=1e-9
    )
    assert root_mean_square(start, time, end) ** 2 == pytest.approx(
        integral(lambda s, a, b: line(s, a, b) ** 2) / total, rel=1e-9, abs=1e-12
    )
    assert power_mean(start, time, 3.0, end) ** 3 == pytest.approx(
        integral(lambda s, a, b: abs(line(s, a, b)) ** 3) / total, rel=1e-5, abs=1e-9
    )


def _zero(a, b):
    """Place between 0 and 1 where a line crosses zero, else the middle."""
    place = a / (a - b) if a != b else 0.5
    return place if 0.0 < place < 1.0 else 0.5


def test_splitting_a_ramp_changes_nothing():
    whole = power_mean([1.0], [1.0], 10 / 3, [4.0])
    split = power_mean([1.0, 2.5], [0.5, 0.5], 10 / 3, [2.5, 4.0])
    assert split == pytest.approx(whole, rel=1e-12)
