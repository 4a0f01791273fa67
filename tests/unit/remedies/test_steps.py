"""Roots against scipy, and the steps to which a change is rounded."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from dutyline.remedies.steps import crossing, outward, step_of

NUMBERS = st.floats(1e-6, 1e6)


@given(NUMBERS)
def test_a_step_is_a_round_number_of_at_most_two_percent(x):
    step = step_of(x)
    power = 10.0 ** math.floor(math.log10(step * 1.0000001))
    assert round(step / power) in (1, 2, 5)
    assert 0.0079 * x <= step <= 0.0200001 * x


@given(NUMBERS, st.sampled_from((-1, 1)))
def test_rounding_goes_outward_by_less_than_a_step(x, way):
    step = step_of(x)
    found = outward(x, way, step)
    assert -1e-9 * x <= (found - x) * way < step * (1 + 1e-9)
    assert outward(found, way, step) == pytest.approx(found, rel=1e-12)


@given(st.floats(0.01, 0.99), st.sampled_from((0.5, 1.0, 2.0, 3.0, -1.0, -2.0)))
def test_a_crossing_is_where_scipy_has_the_root(share, power):
    """A power law through its root, as torque over time, mass or ratio goes."""
    out, into = (1.0, 4.0) if power > 0 else (4.0, 1.0)
    root = 1.0 + 3.0 * share

    def left(x: float) -> float:
        return x**power - root**power

    expected = brentq(left, 1.0, 4.0, xtol=1e-13)
    before, after = crossing(left, out, into, 1e-9)
    assert left(before) < 0.0 <= left(after)
    assert abs(after - expected) < 2e-9


def test_a_jump_is_enclosed():
    before, after = crossing(lambda x: 1.0 if x >= 2.5 else -math.inf, 1.0, 9.0, 1e-6)
    assert before < 2.5 <= after < before + 1e-6


def test_few_calls_suffice():
    """The dear part is the call: a smooth root takes a dozen, halving would take thirty."""
    calls = []

    def left(x: float) -> float:
        calls.append(x)
        return 1.0 - 1.0 / x**2 - 0.3

    crossing(left, 1.0, 8.0, 1e-8)
    assert len(calls) <= 16
