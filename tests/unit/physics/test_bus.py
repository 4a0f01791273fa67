"""Store and overflow of the bus against plain repetition, and its energy balance."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.core.errors import RangeError
from dutyline.physics.bus import (
    bus_power,
    capacitor_energy,
    resistor_heat_use,
    resistor_window,
    settled_cycle,
)

STEPS = st.lists(st.tuples(st.floats(-50.0, 50.0), st.floats(0.05, 2.0)), min_size=1, max_size=9)


@given(STEPS, st.floats(0.0, 60.0))
@settings(max_examples=150, deadline=None)
def test_settled_cycle_is_reached_by_repetition(steps, capacity):
    gain, time = np.array(steps).T
    if 0.0 < abs(gain.sum()) < 0.5:
        return  # repetition would take too long
    level, flow = 0.0, np.zeros(gain.size)
    for _ in range(400):
        for k, g in enumerate(gain):
            flow[k] = max(level + g - capacity, 0.0)
            level = min(max(level + g, 0.0), capacity)
    found = settled_cycle(gain, time, capacity)
    assert found.overflow == pytest.approx(flow, abs=1e-9)
    assert found.stored[0] == pytest.approx(level, abs=1e-9)
    assert found.overflow_mean == pytest.approx(flow.sum() / time.sum(), abs=1e-9)


@given(STEPS)
@settings(max_examples=80, deadline=None)
def test_a_store_without_a_limit_by_repetition(steps):
    gain, time = np.array(steps).T
    if 0.0 < abs(gain.sum()) < 0.5:
        return
    level, most = 0.0, 0.0
    for cycle in range(400):
        most = most if cycle < 399 else level
        for g in gain:
            level = max(level + g, 0.0)
            most = max(most, level)
    found = settled_cycle(gain, time, 1.0).most
    settled = np.inf if gain.sum() > 0.0 else most
    assert found == pytest.approx(settled, abs=1e-9)


@given(STEPS, st.floats(0.0, 60.0))
@settings(max_examples=80, deadline=None)
def test_nothing_is_lost_and_nothing_appears(steps, capacity):
    gain, time = np.array(steps).T
    found = settled_cycle(gain, time, capacity)
    bought = np.diff(found.stored) - gain + found.overflow  # what the mains refills
    assert np.all(bought >= -1e-9)
    assert np.all(bought[gain > 0] <= 1e-9)
    assert found.overflow_total == pytest.approx(gain.sum() + bought.sum(), abs=1e-9)


def test_a_bigger_store_never_burns_more():
    gain, time = [-30.0, 45.0, -20.0, 30.0], [1.0, 1.0, 1.0, 1.0]
    burnt = [float(settled_cycle(gain, time, c).overflow_total) for c in (0, 10, 20, 40, 80)]
    assert burnt == sorted(burnt, reverse=True)
    assert burnt[0] == 75.0


def test_pulse_runs_over_the_end_of_the_cycle():
    found = settled_cycle([20.0, -50.0, 30.0], [1.0, 1.0, 1.0], 0.0)
    assert found.pulse == 50.0
    assert found.overflow_peak == 30.0
    assert np.isinf(settled_cycle([5.0], [1.0], 1.0).pulse)


def test_sharing_a_bus_never_burns_more_than_two_halves():
    rng = np.random.default_rng(7)
    one, two = rng.normal(0, 20, (2, 200, 12)) - 5.0
    time = np.ones(12)
    shared = settled_cycle(one + two, time, 40.0).overflow_total
    apart = settled_cycle(one, time, 20.0).overflow_total
    apart = apart + settled_cycle(two, time, 20.0).overflow_total
    assert np.all(shared <= apart + 1e-9)


def test_capacitor_stores_nothing_downwards():
    assert capacitor_energy(1e-3, 300.0, 325.0) == 0.0
    with pytest.raises(RangeError, match="capacitance is -1 F"):
        capacitor_energy(-1.0, 400.0, 300.0)


def test_power_balance_at_the_bus():
    assert bus_power(100.0, 2.0, 0.5, 3.0, 4.0) == pytest.approx(100 + 3 * 0.5 * 4 + 7)


def test_resistor_window_is_open_above_without_overflow():
    low, high = resistor_window(400.0, 0.0, 20.0)
    assert low == 20.0
    assert np.isinf(high)


def test_resistor_at_its_rated_power_for_ever_is_full():
    assert resistor_heat_use([60.0], [1.0], 60.0, 30.0) == pytest.approx(1.0)
