"""Damage and excursions against plain simulation, and the shape of the curve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.core.errors import RangeError
from dutyline.physics.excursions import excursion_time, longest_time_above, single_excursion_use
from dutyline.physics.overload import (
    accumulation,
    allowed_time,
    damage_rate,
    extra_rest,
    largest_scale,
    square_memory,
)

CURVE = ((1.2, 14.0), (1.5, 6.2), (2.0, 2.3), (3.0, 0.6))
CYCLE = st.lists(st.tuples(st.floats(0.0, 3.0), st.floats(0.01, 2.0)), min_size=1, max_size=7)


def simulated(factor, time, recovery, cycles):
    """Plain repetition: damage at every boundary, cycle by cycle, and the first trip."""
    level, seconds, peaks, trip = 0.0, 0.0, [], None
    for cycle in range(1, cycles + 1):
        peak = level
        for x, dt in zip(factor, time, strict=True):
            rate = 1 / float(allowed_time(x, CURVE)) if x > 1 else -(1 - x * x) / recovery
            after = max(level + rate * dt, 0.0)
            if trip is None and after >= 1.0:
                trip = cycle, seconds + (1.0 - level) / rate
            level, seconds, peak = after, seconds + dt, max(peak, after)
        peaks.append(peak)
    return peaks, trip


@given(CYCLE)
@settings(max_examples=60, deadline=None)
def test_closed_form_is_plain_repetition(cycle):
    factor, time = np.array(cycle).T
    found = accumulation(factor, time, CURVE, 8.0)
    peaks, trip = simulated(factor, time, 8.0, 60)
    if abs(found.net) < 1e-9:
        return
    if found.net < 0:
        assert found.largest == pytest.approx(peaks[-1], abs=1e-9)
    else:
        assert np.isinf(found.largest)
    near = any(abs(p - 1.0) < 1e-7 for p in peaks)
    if trip is not None and not near:
        assert (found.trip_cycle, found.trip_time) == pytest.approx(trip, rel=1e-7)
    elif found.trip_cycle <= 60 and not near:
        pytest.fail(f"says cycle {found.trip_cycle}, simulation does not trip")


def test_trip_in_the_first_and_in_the_second_cycle():
    first = accumulation([3.0, 0.0], [0.7, 100.0], CURVE, 8.0)
    assert (first.trip_cycle, first.trip_time) == (1, pytest.approx(0.6))
    # the rise at the end of one cycle meets the rise at the start of the next
    second = accumulation([3.0, 0.0, 3.0], [0.4, 100.0, 0.4], CURVE, 8.0)
    assert second.net < 0
    assert second.trip_cycle == 2
    assert second.trip_time == pytest.approx(100.8 + 0.2)


@given(CYCLE)
@settings(max_examples=30, deadline=None)
def test_largest_scale_brings_the_damage_to_one(cycle):
    factor, time = np.array(cycle).T
    scale = largest_scale(factor, time, CURVE, 8.0)
    if not np.isfinite(scale):
        assert factor.max() == 0.0
        return
    just = accumulation(factor * scale * (1 - 1e-9), time, CURVE, 8.0)
    over = accumulation(factor * scale * (1 + 1e-6), time, CURVE, 8.0)
    assert just.largest <= 1.0
    assert over.largest > 1.0


def test_extra_rest_balances_the_cycle():
    factor, time = np.array([2.4, 0.6, 2.0, 0.1]), np.array([0.2, 0.6, 0.2, 1.4])
    net = accumulation(factor, time, CURVE, 8.0).net
    assert net > 0
    time[-1] += extra_rest(net, 0.1, 8.0)
    assert accumulation(factor, time, CURVE, 8.0).net == pytest.approx(0.0, abs=1e-12)
    assert extra_rest(-0.1, 0.1, 8.0) == 0.0
    assert np.isinf(extra_rest(0.1, 1.0, 8.0))


@given(st.floats(0.0, 6.0), st.floats(0.0, 6.0))
def test_allowed_time_never_rises_with_the_load(a, b):
    low, high = sorted((a, b))
    assert allowed_time(low, CURVE) >= allowed_time(high, CURVE) * (1 - 1e-12)


def test_allowed_time_goes_through_its_points():
    for factor, seconds in CURVE:
        assert allowed_time(factor, CURVE) == pytest.approx(seconds, rel=1e-12)
    slope = np.log(0.6 / 2.3) / np.log(3.0 / 2.0)
    assert allowed_time(4.0, CURVE) == pytest.approx(0.6 * (4.0 / 3.0) ** slope)


def test_full_load_never_trips():
    """A straight line in the logarithms would trip at 100 %; the first-order shape does not."""
    assert np.isinf(allowed_time(1.0, CURVE))
    assert damage_rate(1.0, CURVE) == 0.0
    assert accumulation([1.0], [1e6], CURVE).largest == 0.0


def test_first_order_shape_below_the_first_point():
    assert allowed_time(1.1, CURVE) == pytest.approx(14.0 * (1.2**2 - 1) / (1.1**2 - 1))


@pytest.mark.parametrize(
    "curve", [(), ((0.9, 5.0),), ((2.0, 1.0), (1.5, 3.0)), ((1.5, 1.0), (2.0, 3.0)), ((1.5, 0.0),)]
)
def test_curves_that_cannot_be_are_refused(curve):
    with pytest.raises(RangeError, match="load factors must be above 1 and rise"):
        allowed_time(2.0, curve)


def test_missing_current_stays_missing():
    found = accumulation([[np.nan, 0.5], [2.0, 0.5]], [0.1, 1.0], CURVE)
    assert np.isnan(found.largest[0])
    assert np.isfinite(found.largest[1])


def longest_run(level, time, k):
    """The run around one segment, stepping outward over a thrice repeated cycle."""
    n = len(level)
    if min(level) >= level[k]:
        return np.inf
    left = right = 0
    while level[(k + right + 1) % n] >= level[k]:
        right += 1
    while level[(k - left - 1) % n] >= level[k]:
        left += 1
    return sum(time[(k + j) % n] for j in range(-left, right + 1))


@given(st.lists(st.tuples(st.integers(0, 4), st.floats(0.1, 2.0)), min_size=1, max_size=20))
@settings(max_examples=150, deadline=None)
def test_excursion_times_by_stepping_outward(cycle):
    level, time = np.array(cycle).T
    expected = [longest_run(level, time, k) for k in range(len(level))]
    assert excursion_time(level, time) == pytest.approx(expected)


@given(st.lists(st.tuples(st.integers(0, 4), st.floats(0.1, 2.0)), min_size=2, max_size=20))
@settings(max_examples=80, deadline=None)
def test_longest_time_above_is_one_of_the_excursions(cycle):
    level, time = np.array(cycle).T
    over = level >= 2
    found = longest_time_above(level, 2, time)
    if over.any():
        flat = np.where(over, 2.0, 0.0)
        assert found == pytest.approx(excursion_time(flat, time)[over].max())
    else:
        assert found == 0.0


def test_excursion_over_the_end_of_the_cycle_counts_whole():
    use = single_excursion_use([2.0, 0.5, 2.0], [0.5, 5.0, 0.7], CURVE)
    assert use == pytest.approx(1.2 / 2.3)


def test_single_excursion_is_one_where_the_whole_allowance_is_used():
    assert single_excursion_use([2.0, 0.0], [2.3, 9.0], CURVE) == pytest.approx(1.0)
    assert np.isinf(single_excursion_use([1.1], [1.0], CURVE))


def test_square_memory_of_a_short_cycle_is_the_mean_square():
    assert square_memory([2.0, 0.0], [1e-4, 1e-4], 10.0) == pytest.approx(2.0, rel=1e-4)
