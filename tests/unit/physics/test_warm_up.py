"""A motor from cold against scipy: the matrix exponential pass by pass, and an integrator."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from dutyline.physics.thermal import periodic_state, time_constants
from dutyline.physics.two_nodes import Network
from dutyline.physics.warm_up import COLD, NEAR, cooling_time, rested, warm_up

NETWORK = Network(62.0, 980.0, 0.42, 0.98, 40.0)
CYCLE = (
    np.array([148.0, 19.0, 122.0, 0.0]),
    np.array([4.0, 14.0, 8.0, 0.0]),
    np.array([9.0, 25.0, 6.0, 20.0]),
)


def tops(cycle, net: Network, count: int) -> np.ndarray:
    """Winding maxima of so many passes from cold, by fine steps of the matrix exponential."""
    steps = 60 if cycle[2].sum() > 10.0 else 6
    maps = []
    for copper, iron, length in zip(*cycle, strict=True):
        gain = net.copper * copper
        matrix = np.array([
            [(gain - 1 / net.winding_resistance) / net.winding_capacity,
             1 / net.winding_resistance / net.winding_capacity,
             copper * (1 + net.copper * (net.ambient - 20)) / net.winding_capacity],
            [1 / net.winding_resistance / net.housing_capacity,
             -(1 / net.winding_resistance + 1 / net.housing_resistance) / net.housing_capacity,
             iron / net.housing_capacity],
            [0.0, 0.0, 0.0],
        ])  # fmt: skip
        maps += [expm(matrix * length / steps)] * steps
    state, found = np.array([0.0, 0.0, 1.0]), []
    for _ in range(count):
        high = state[0]
        for step in maps:
            state = step @ state
            high = max(high, state[0])
        found.append(high)
    return np.array(found)


def test_warm_after_as_many_passes_as_stepping_needs():
    found = warm_up(*CYCLE, NETWORK, 80.0)
    every = tops(CYCLE, NETWORK, 400)
    assert float(found.first) == pytest.approx(every[0], rel=1e-9)
    assert int(found.passes) == 1 + int(np.argmax(every >= every[-1] - NEAR))
    assert int(found.allowed) == int((every <= 80.0).sum())


@pytest.mark.parametrize("limit", [15.0, 24.0, 50.0, 95.0, 103.5, 104.5])
def test_passes_from_cold_up_to_any_limit(limit):
    every = tops(CYCLE, NETWORK, 400)
    expected = np.inf if every[-1] <= limit else float((every <= limit).sum())
    assert float(warm_up(*CYCLE, NETWORK, limit).allowed) == expected


@pytest.mark.parametrize("stretch", [0.02, 0.3, 4.0, 60.0])
def test_short_and_long_cycles(stretch):
    cycle = (CYCLE[0], CYCLE[1], CYCLE[2] * stretch)
    every = tops(cycle, NETWORK, int(15000 / (60 * stretch)) + 3)
    top = float(periodic_state(*cycle, NETWORK).winding_max)
    assert top == pytest.approx(every.max(), abs=0.01)
    found = warm_up(*cycle, NETWORK, 0.8 * top)
    assert int(found.passes) == 1 + int(np.argmax(every >= top - NEAR))
    assert int(found.allowed) == int((every <= 0.8 * top).sum())


def test_a_cycle_that_runs_away_is_never_settled_but_starts():
    hot = Network(62.0, 980.0, 0.42, 9.0, 40.0)
    found = warm_up(*CYCLE, hot, 100.0)
    assert np.isinf(found.passes)
    every = tops(CYCLE, hot, 200)
    assert int(found.allowed) == int((every <= 100.0).sum()) > 0


def test_many_at_once_are_the_same_as_one_by_one():
    scale = np.array([0.2, 0.7, 1.0, 1.3])[:, None]
    outer = np.array([0.98, 0.5, 2.0, 1.2])
    net = Network(62.0, 980.0, 0.42, outer, 40.0)
    copper, iron, duration = (np.broadcast_to(v, (4, 4)) for v in CYCLE)
    found = warm_up(copper * scale, iron, duration, net, 75.0)
    for k in range(4):
        alone = warm_up(
            CYCLE[0] * scale[k],
            CYCLE[1],
            CYCLE[2],
            Network(62.0, 980.0, 0.42, outer[k], 40.0),
            75.0,
        )
        assert found.passes[k] == alone.passes
        assert found.allowed[k] == alone.allowed


def test_missing_data_stays_unknown():
    found = warm_up(*CYCLE, Network(np.nan, 980.0, 0.42, 0.98), 80.0)
    assert np.isnan(found.passes)
    assert np.isnan(found.allowed)
    assert np.isnan(warm_up(*CYCLE, NETWORK, np.nan).allowed)


def _cooled(winding: float, housing: float, end: float):
    def slope(_, x):
        between = (x[0] - x[1]) / NETWORK.winding_resistance
        return [
            -between / NETWORK.winding_capacity,
            (between - x[1] / NETWORK.housing_resistance) / NETWORK.housing_capacity,
        ]

    return solve_ivp(
        slope, (0.0, end), [winding, housing], method="DOP853", rtol=1e-11, atol=1e-11,
        dense_output=True,
    )  # fmt: skip


@pytest.mark.parametrize("rises", [(90.0, 65.0), (120.0, 3.0), (40.0, 40.0), (5.0, 50.0)])
def test_rest_and_cooling_against_an_integrator(rises):
    after = _cooled(*rises, 20000.0).sol
    for time in (0.5, 60.0, 900.0):
        assert [float(r) for r in rested(*rises, time, NETWORK)] == pytest.approx(
            list(after(time)), rel=1e-7
        )
    wait = float(cooling_time(*rises, NETWORK))
    assert float(after(wait)[0]) == pytest.approx(COLD, rel=1e-6)


def test_what_is_cold_needs_no_rest():
    assert float(cooling_time(1.5, 1.0, NETWORK)) == 0.0
    _, slow = time_constants(NETWORK)
    assert float(cooling_time(1e3, 1e3, NETWORK)) < 8 * float(slow)


def test_several_ways_to_cool_are_each_their_own():
    winding, housing = np.array([90.0, 1.0, 70.0]), np.array([65.0, 1.0, 20.0])
    alone = [float(cooling_time(w, h, NETWORK)) for w, h in zip(winding, housing, strict=True)]
    assert cooling_time(winding, housing, NETWORK).tolist() == alone
    capacity = np.array([62.0, 80.0])
    networks = [Network(float(c), 980.0, 0.42, 0.98) for c in capacity]
    alone = [float(cooling_time(90.0, 65.0, network)) for network in networks]
    assert cooling_time(90.0, 65.0, Network(capacity, 980.0, 0.42, 0.98)).tolist() == alone
