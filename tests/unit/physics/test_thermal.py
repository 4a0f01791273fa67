"""Two stores of heat against a general solver, the matrix exponential, and limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from dutyline.core.errors import RangeError, ShapeError
from dutyline.physics.continuous_duty import COPPER, copper_loss, loss_use, plain_use
from dutyline.physics.thermal import (
    feedback_gain,
    periodic_state,
    single_pass,
    steady_rise,
    time_constants,
)
from dutyline.physics.two_nodes import Network
from dutyline.physics.warming import on_off_ripple, periodic_response, response

NETWORK = Network(62.0, 980.0, 0.42, 0.98, ambient=35.0)


def rates(network: Network, copper: float, iron: float) -> tuple[np.ndarray, np.ndarray]:
    """Matrix and force of the heat balance, written out again."""
    ra, rb = network.winding_resistance, network.housing_resistance
    ca, cb = network.winding_capacity, network.housing_capacity
    matrix = np.array(
        [
            [(COPPER * copper - 1 / ra) / ca, 1 / (ra * ca)],
            [1 / (ra * cb), -(1 / ra + 1 / rb) / cb],
        ]
    )
    warm = copper * (1 + COPPER * (network.ambient - 20.0))
    return matrix, np.array([warm / ca, iron / cb])


def test_one_pass_against_a_general_solver():
    copper, iron, time = [180.0, 0.0, 90.0], [3.0, 12.0, 0.0], [40.0, 15.0, 200.0]
    found = single_pass(copper, iron, time, NETWORK, start=(12.0, 5.0))
    state, peak = np.array([12.0, 5.0]), 12.0
    for p, fe, dt in zip(copper, iron, time, strict=True):
        matrix, force = rates(NETWORK, p, fe)
        run = solve_ivp(
            lambda t, x, m=matrix, f=force: m @ x + f,
            (0.0, dt),
            state,
            method="DOP853",
            rtol=1e-11,
            atol=1e-11,
            max_step=dt / 400,
        )
        state, peak = run.y[:, -1], max(peak, run.y[0].max())
    assert found.winding[-1] == pytest.approx(state[0], rel=1e-9)
    assert found.housing[-1] == pytest.approx(state[1], rel=1e-9)
    assert found.winding_max == pytest.approx(peak, rel=1e-5)


SEGMENT = st.tuples(st.floats(0.0, 200.0), st.floats(0.0, 30.0), st.floats(0.001, 600.0))


@given(st.lists(SEGMENT, min_size=1, max_size=5))
@settings(max_examples=60, deadline=None)
def test_periodic_state_repeats_itself_and_balances(cycle):
    copper, iron, time = np.array(cycle).T
    found = periodic_state(copper, iron, time, NETWORK)
    if not found.radius < 1.0 - 1e-9:
        return
    assert found.winding[-1] == pytest.approx(found.winding[0], rel=1e-6, abs=1e-7)
    # over a settled cycle the heat given equals the heat that leaves the housing
    states = [np.array([found.winding[0], found.housing[0]])]
    left, gained = 0.0, 0.0
    for p, fe, dt in zip(copper, iron, time, strict=True):
        matrix, force = rates(NETWORK, p, fe)
        block = np.zeros((5, 5))
        block[:2, :2], block[:2, 2], block[2, 3] = matrix, force, 1.0
        whole = np.zeros((5, 5))
        whole[:2, :2], whole[:2, 2] = matrix, force
        whole[3, 0] = whole[4, 1] = 1.0  # integrals of both rises
        grown = expm(whole * dt) @ np.array([*states[-1], 1.0, 0.0, 0.0])
        states.append(grown[:2])
        left += grown[4] / NETWORK.housing_resistance
        warm = 1 + COPPER * (NETWORK.ambient - 20.0)
        gained += p * (warm * dt + COPPER * grown[3]) + fe * dt
    assert np.allclose([s[0] for s in states], found.winding, rtol=1e-6, atol=1e-6)
    assert left == pytest.approx(gained, rel=1e-6, abs=1e-6)


def test_mean_of_the_winding_is_its_integral():
    found = periodic_state([148, 19, 122, 0], [4, 14, 8, 0], [9, 25, 6, 20], NETWORK)
    fine = 1500
    parts = [
        single_pass(
            np.full(fine, p),
            np.full(fine, fe),
            np.full(fine, dt / fine),
            NETWORK,
            (found.winding[k], found.housing[k]),
        )
        for k, (p, fe, dt) in enumerate([(148, 4, 9), (19, 14, 25), (122, 8, 6), (0, 0, 20)])
    ]
    integral = sum(
        dt / fine * (part.winding.sum() - (part.winding[0] + part.winding[-1]) / 2)
        for part, dt in zip(parts, (9, 25, 6, 20), strict=True)
    )
    assert found.winding_mean == pytest.approx(integral / 60, rel=1e-6)
    assert found.winding_max == pytest.approx(max(p.winding.max() for p in parts), rel=1e-7)
    assert found.housing_max == pytest.approx(max(p.housing.max() for p in parts), rel=1e-6)


def test_short_cycles_come_to_the_steady_rise_of_the_mean_losses():
    plain = Network(62.0, 980.0, 0.42, 0.98, copper=0.0)
    found = periodic_state([100.0, 0.0], [0.0, 20.0], [1e-3, 1e-3], plain)
    winding, housing = steady_rise(50.0, 10.0, plain)
    assert found.winding_mean == pytest.approx(winding, rel=1e-6)
    assert found.housing_max == pytest.approx(housing, rel=1e-4)


def test_too_much_loss_runs_away():
    heavy = 1.05 / (COPPER * (0.42 + 0.98))
    found = periodic_state([heavy], [0.0], [10.0], NETWORK)
    assert feedback_gain(heavy, NETWORK) > 1.0
    assert found.radius > 1.0
    assert np.isinf(found.winding_max)
    assert np.isinf(found.housing).all()


def test_just_short_of_running_away_is_hot_but_finite():
    near = 0.95 / (COPPER * (0.42 + 0.98))
    found = periodic_state([near], [0.0], [10.0], NETWORK)
    warm = near * (1 + COPPER * (35.0 - 20.0))
    assert found.winding_max == pytest.approx(warm * 1.4 / (1 - 0.95), rel=1e-6)


def test_many_combinations_at_once_are_the_same_one_by_one():
    rng = np.random.default_rng(1)
    copper, iron = rng.uniform(0, 200, (7, 4)), rng.uniform(0, 20, (7, 4))
    time = rng.uniform(0.1, 50, 4)
    sizes = rng.uniform(0.5, 2.0, (4, 7)) * np.array([[62.0], [980.0], [0.42], [0.9]])
    together = periodic_state(copper, iron, time, Network(*sizes))
    for k in range(7):
        alone = periodic_state(copper[k], iron[k], time, Network(*sizes[:, k]))
        assert together.winding_max[k] == pytest.approx(alone.winding_max, rel=1e-12)
        assert together.housing[k] == pytest.approx(alone.housing, rel=1e-12)


def test_a_missing_datum_stays_missing():
    network = Network([62.0, np.nan], 980.0, 0.42, 0.98)
    found = periodic_state(np.ones((2, 3)), np.ones((2, 3)), np.ones(3), network)
    assert np.isfinite(found.winding_max[0])
    assert np.isnan(found.winding_max[1])


def test_time_constants_are_those_of_the_matrix():
    matrix, _ = rates(NETWORK, 0.0, 0.0)
    expected = sorted(-1.0 / np.linalg.eigvals(matrix))
    assert [float(t) for t in time_constants(NETWORK)] == pytest.approx(expected, rel=1e-12)


def test_negative_time_is_refused_with_its_place():
    with pytest.raises(RangeError, match=r"duration\[1\] is -1 s; it must be 0 or more s"):
        periodic_state([1.0, 1.0], [0.0, 0.0], [1.0, -1.0], NETWORK)


def test_lengths_that_differ_are_refused():
    with pytest.raises(ShapeError, match="last axes"):
        periodic_response([1.0, 2.0], [1.0, 2.0, 3.0], 1.0)


@given(st.floats(0.02, 0.98), st.floats(0.01, 20.0))
def test_on_off_ripple_is_the_ripple_of_the_settled_response(share, period):
    rise = periodic_response([1.0, 0.0], [share * period, (1 - share) * period], 3.0)
    assert on_off_ripple(1.0, share, period, 3.0) == pytest.approx(
        rise.max() - rise.min(), rel=1e-9, abs=1e-12
    )


def test_response_settles_to_the_periodic_one():
    cycle = ([80.0, 10.0, 40.0], [5.0, 9.0, 2.0])
    settled = periodic_response(*cycle, 30.0)
    again = response(*cycle, 30.0, settled[0])
    assert again == pytest.approx(settled, rel=1e-12)


def test_loss_criterion_is_the_steady_heat_balance():
    """At constant speed the use squared is the share of the permitted loss (derived here)."""
    torque, limit, time = [2.0, 0.0], [1.5, 1.5], [1.0, 1.0]
    assert loss_use(torque, limit, time) ** 2 == pytest.approx(0.5 * 4.0 / 1.5**2)
    assert loss_use(torque, limit, time) == pytest.approx(plain_use(np.sqrt(2.0), 1.5))


def test_plain_criterion_is_optimistic_at_varying_speed():
    """Jensen: the squared boundary is concave in speed for an iron exponent above 1."""
    speed = np.array([0.0, 1.0])
    limit = np.sqrt(1.0 - 0.4 * speed**1.5)
    at_mean = np.sqrt(1.0 - 0.4 * 0.5**1.5)
    torque = np.array([0.9, 0.9])
    assert loss_use(torque, limit, [1.0, 1.0]) > plain_use(0.9, at_mean)


def test_copper_loss_of_a_star_winding():
    """Three phases of half the terminal resistance each."""
    assert copper_loss(3.0, 2.0) == pytest.approx(3 * 1.0 * 9.0)
