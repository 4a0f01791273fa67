"""Splines through samples, against scipy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline

from dutyline.motion.scatter import acceleration_scatter, scatter
from dutyline.motion.splines import Ends, smoothed, spline_pieces, spline_slopes, spline_values

gaps = st.lists(st.floats(0.01, 1.0), min_size=4, max_size=25)
heights = st.lists(st.floats(-1.0, 1.0), min_size=30, max_size=30)
slopes = st.floats(-5.0, 5.0)


@given(gaps, heights, slopes, slopes)
def test_clamped_slopes_are_scipys(gap, height, first, last):
    x = np.concatenate([[0.0], np.cumsum(gap)])
    y = np.array(height[: x.size])
    theirs = CubicSpline(x, y, bc_type=((1, first), (1, last)))(x, 1)
    size = np.abs(theirs).max() + 1.0
    assert spline_slopes(x, y, Ends(first, last)) == pytest.approx(theirs, abs=1e-9 * size)


@given(gaps, heights)
def test_periodic_slopes_are_scipys(gap, height):
    x = np.concatenate([[0.0], np.cumsum(gap)])
    y = np.array(height[: x.size])
    y[-1] = y[0]
    theirs = CubicSpline(x, y, bc_type="periodic")(x, 1)
    size = np.abs(theirs).max() + 1.0
    assert spline_slopes(x, y, Ends()) == pytest.approx(theirs, abs=1e-9 * size)


def test_pieces_are_the_spline():
    x, y = np.linspace(0.0, 2.0, 17), np.sin(np.linspace(0.0, 5.0, 17))
    theirs = CubicSpline(x, y, bc_type=((1, 0.5), (1, -0.2)))
    pieces = spline_pieces(x, y, spline_slopes(x, y, Ends(0.5, -0.2)))
    for piece in pieces:
        tau = np.linspace(0.0, piece.duration, 5)
        for order in (1, 2):
            wanted = theirs(piece.start + tau, order)
            assert piece.derivative(order, tau) == pytest.approx(wanted, abs=1e-11)
        assert piece.position(tau) + y[0] == pytest.approx(theirs(piece.start + tau), abs=1e-13)


@pytest.mark.parametrize("ends", [Ends(0.0, 0.0), Ends(0.3, -0.1), Ends()])
def test_smoothing_is_least_squares(ends):
    """No spline on the same knots with the same ends lies nearer: the residue is square to all.

    The splines to be square to are scipy's.
    """
    time = np.linspace(0.0, 1.0, 401)
    value = np.sin(2 * np.pi * time) ** 2 + 0.01 * np.random.default_rng(7).normal(size=401)
    value[-1] = value[0]
    knots = np.linspace(0.0, 1.0, 15)
    found = smoothed(time, value, knots, ends)
    assert (found[0], found[-1]) == (value[0], value[-1])
    residue = value - spline_values(knots, found, spline_slopes(knots, found, ends), time)
    kind = "periodic" if ends.periodic else ((1, 0.0), (1, 0.0))
    for unit in np.eye(knots.size)[1:-1]:
        other = CubicSpline(knots, unit, bc_type=kind)(time)
        assert abs(residue @ other) < 1e-9


def test_a_drift_of_a_periodic_spline_goes_on():
    time = np.linspace(0.0, 1.0, 101)
    knots = np.linspace(0.0, 1.0, 11)
    found = smoothed(time, 2.0 * time, knots, Ends())
    assert found == pytest.approx(2.0 * knots, abs=1e-12)
    assert spline_slopes(knots, found, Ends()) == pytest.approx(2.0)


def smooth(time):
    return 0.3 * (10 - 15 * time + 6 * time**2) * time**3


def test_scatter_of_known_size_is_found():
    time = np.linspace(0.0, 1.0, 1001)
    value = smooth(time) + 2e-5 * np.random.default_rng(3).normal(size=time.size)
    assert scatter(time, value) == pytest.approx(2e-5, rel=0.25)


def test_a_clean_motion_has_no_scatter():
    time = np.linspace(0.0, 1.0, 101)
    assert scatter(time, smooth(time)) == 0.0
    trapezoid = np.where(time < 0.5, 2 * time**2, 1 - 2 * (1 - time) ** 2)
    assert scatter(time, trapezoid) == 0.0


def test_scatter_of_the_acceleration_is_scipys():
    """Second derivative of scipy's spline through pure scatter: six times its size over h^2."""
    time = np.arange(4001) * 1e-3
    noise = 1e-6 * np.random.default_rng(5).normal(size=time.size)
    swing = float(np.std(CubicSpline(time, noise)(time[100:-100], 2)))
    assert acceleration_scatter(time, 1e-6) == pytest.approx(swing, rel=0.05)
