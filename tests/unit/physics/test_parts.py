"""Rolling life, slender parts, belts, supply, accuracy, control and electronic gear."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from dutyline.core.errors import RangeError
from dutyline.physics import accuracy, control, friction_drives, gearing, rolling_life, slender
from dutyline.physics import supply as mains

BEAM = {
    "fixed-free": (lambda x: np.cosh(x) * np.cos(x) + 1, 1.5, 2.5),
    "supported-supported": (np.sin, 3.0, 3.3),
    "fixed-supported": (lambda x: np.tan(x) - np.tanh(x), 3.6, 4.2),
    "fixed-fixed": (lambda x: np.cosh(x) * np.cos(x) - 1, 4.5, 5.0),
}


@pytest.mark.parametrize("ends", BEAM)
def test_whirling_roots_solve_the_equation_of_the_beam(ends):
    """Characteristic equations of the uniform beam; Thomson, Theory of Vibration."""
    equation, low, high = BEAM[ends]
    assert slender.WHIRL_ROOT[ends] == pytest.approx(brentq(equation, low, high), rel=1e-9)


def test_buckling_factor_of_the_propped_column_solves_its_equation():
    root = brentq(lambda x: np.tan(x) - x, 4.3, 4.6)
    assert slender.BUCKLING_FACTOR["fixed-supported"] == pytest.approx(
        (root / np.pi) ** 2, rel=1e-4
    )


def test_stiffer_ends_carry_and_turn_more():
    order = ("fixed-free", "supported-supported", "fixed-supported", "fixed-fixed")
    speeds = [float(slender.whirling_speed(0.02, 1.0, e)) for e in order]
    forces = [float(slender.buckling_force(0.02, 1.0, e)) for e in order]
    assert speeds == sorted(speeds)
    assert forces == sorted(forces)


def test_a_bore_stiffens_against_whirling_by_weight():
    assert slender.whirling_speed(0.04, 1.0, "fixed-free", 0.02) == pytest.approx(
        float(slender.whirling_speed(0.04, 1.0, "fixed-free")) * math.sqrt(1.25)
    )


def test_two_fixed_ends_are_softest_in_the_middle():
    reach = np.linspace(0.1, 1.1, 101)
    stiffness = slender.axial_stiffness(0.02, reach, 1.2)
    assert reach[np.argmin(stiffness)] == pytest.approx(0.6)
    assert stiffness.min() == pytest.approx(4 * 2.06e11 * np.pi * 1e-4 / 1.2)


def test_overhung_reactions_balance():
    front, rear = slender.overhung_reactions(700.0, 0.05, 0.2)
    assert front - rear == pytest.approx(700.0)
    assert rear * 0.2 == pytest.approx(700.0 * 0.05)


@given(st.floats(1e3, 1e5), st.floats(1e2, 1e4))
def test_rating_and_life_are_inverse(rating, load):
    turns = rolling_life.life_revolutions(rating, load, rolling_life.ROLLER)
    assert rolling_life.rating_needed(load, turns, rolling_life.ROLLER) == pytest.approx(rating)


def test_an_unloaded_flank_does_not_shorten_the_life():
    assert rolling_life.two_flank_life(5e8, np.inf) == pytest.approx(5e8)
    assert rolling_life.two_flank_life(5e8, 5e8) == pytest.approx(5e8 * 2**-0.9)


def test_the_rating_for_50_km_lasts_half_as_long_at_100():
    """Same carriage: the life at one load is the same from either rating."""
    c50, load = 22e3, 3e3
    direct = (c50 / load) ** 3 * 50e3
    through = rolling_life.guide_life(rolling_life.guide_rating(c50), load)
    assert through == pytest.approx(direct)
    assert rolling_life.guide_life(c50, load) == pytest.approx(2 * direct)  # the mistake


def test_equal_pulleys_are_wrapped_by_half():
    assert friction_drives.wrap_angle(0.1, 0.1, 0.5) == pytest.approx(np.pi)
    assert friction_drives.belt_length(0.1, 0.1, 0.5) == pytest.approx(1.0 + 0.1 * np.pi)


@given(st.floats(0.02, 0.1), st.floats(0.1, 0.3), st.floats(0.4, 2.0))
def test_belt_length_against_exact_geometry(small, large, distance):
    lean = math.asin((large - small) / (2 * distance))
    exact = (
        2 * distance * math.cos(lean)
        + large / 2 * (math.pi + 2 * lean)
        + small / 2 * (math.pi - 2 * lean)
    )
    found = float(friction_drives.belt_length(small, large, distance))
    assert found == pytest.approx(exact, rel=2e-3)
    again = friction_drives.centre_distance(small, large, found)
    assert again == pytest.approx(distance, rel=1e-9)


def test_tensions_differ_by_the_force():
    tight, slack = friction_drives.belt_tensions(300.0, -120.0)
    assert tight - slack == pytest.approx(120.0)
    assert tight + slack == pytest.approx(600.0)


def test_no_more_than_twelve_teeth_count():
    assert friction_drives.teeth_in_mesh(60, np.pi) == 12
    assert friction_drives.teeth_in_mesh(20, np.pi) == 10


def test_three_phases_carry_root_three_times_the_power():
    one, three = mains.mains_current(1000.0, 230.0, [1, 3], 0.8)
    assert one / three == pytest.approx(math.sqrt(3))


def test_bigger_sections_carry_more_and_free_air_most():
    for row in mains.CURRENTS.values():
        assert list(row) == sorted(row)
        assert len(row) == len(mains.SECTIONS)
    for b2, b1, c, e in zip(*(mains.CURRENTS[k] for k in ("B2", "B1", "C", "E")), strict=True):
        assert b2 <= b1 <= c <= e


def test_hot_air_leaves_nothing():
    assert mains.temperature_factor(70.0) == 0.0
    assert mains.temperature_factor(90.0) == 0.0


def test_a_year_of_running_leaves_no_idle_time():
    year = 8760 * 3600.0
    assert mains.yearly_energy(100.0, year, 50.0) == pytest.approx(100.0 * year)


def test_rss_is_never_above_the_worst_case():
    worst, root = accuracy.total_width([5.0, 12.0], [1.0])
    assert worst == pytest.approx(21.0)
    assert root == pytest.approx(17.0)


def test_tracking_error_grows_to_the_lag_of_a_ramp():
    """A first-order loop under constant deceleration lags by a/K**2 in the end."""
    assert control.tracking_error(80.0, 10.0, 20.0) == pytest.approx(80.0 / 400.0)
    assert control.tracking_error(80.0, 10.0, 20.0, 1.0) == 0.0


def test_settling_is_immediate_within_the_tolerance():
    assert control.settling_time(0.001, 0.002, 40.0, 160.0) == 0.0
    assert control.settling_time(0.004, 0.002, 40.0, 160.0) > 0.0


SETTLING = [(113.0, 0.286875), (170.0, 0.171875), (226.0, 0.117)]


@pytest.mark.parametrize("bandwidth, simulated", SETTLING)
def test_settling_estimate_against_simulated_runs(bandwidth, simulated):
    """Two-mass axis simulated in time: 2 pi rad in 0.2 s in thirds, tolerance 2 mrad."""
    gain = control.POSITION_SHARE * bandwidth
    decel = 4.5 * 2 * np.pi / 0.2**2
    error = control.tracking_error(decel, 0.2 / 3, gain)
    assert control.settling_time(error, 0.002, gain, bandwidth) == pytest.approx(
        simulated, rel=0.05
    )


@given(st.integers(1, 24), st.integers(1, 400), st.integers(1, 60))
def test_after_the_wraps_the_load_stands_as_before(bits, num, den):
    turns, ratio = 2**bits, Fraction(num, den)
    wraps = gearing.range_wraps(turns, ratio)
    assert (wraps * turns / ratio).denominator == 1
    assert all((k * turns / ratio).denominator > 1 for k in range(1, min(wraps, 50)))


@given(st.floats(1e-3, 1e3))
def test_nearest_gear_is_better_than_its_neighbours(wanted):
    found, error = gearing.nearest_gear(wanted, 300)
    assert found.denominator <= 300
    assert abs(error * wanted) <= 0.5 / found.denominator + 1e-12
    assert gearing.nearest_gear(wanted, 600)[1] ** 2 <= error**2 * (1 + 1e-9)


def test_gears_that_cannot_be_are_refused():
    with pytest.raises(RangeError, match="units_per_load_turn is 0"):
        gearing.gear(1000, Fraction(1), Fraction(0))
    with pytest.raises(RangeError, match="wanted is 0"):
        gearing.nearest_gear(0.0, 10)
    with pytest.raises(RangeError, match="ratio is -1"):
        gearing.range_wraps(8, Fraction(-1))
    with pytest.raises(RangeError, match="unit is 0"):
        gearing.command_frequency(1.0, 0.0)
