"""Gearheads and brakes: balances of power and energy, limits, a general solver."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from dutyline.core.errors import RangeError
from dutyline.physics.brakes import (
    hold_ratio,
    short_circuit_angle,
    short_circuit_torque,
    stop_downward,
    stop_upward,
)
from dutyline.physics.gear_loads import emergency_torque, jam_torque, permissible_radial
from dutyline.physics.gears import (
    cycle_factor,
    equivalent_torque,
    input_torque,
    life,
    mean_loss,
    mesh_efficiency,
    output_torque,
    part_load_efficiency,
)

TORQUE = st.floats(-50.0, 50.0)
SPEED = st.floats(-100.0, 100.0)


@given(TORQUE, SPEED, st.floats(0.3, 1.0), st.floats(0.0, 1.0))
def test_a_gearhead_never_makes_power(torque, speed, mesh, drag):
    lost = input_torque(torque, speed, 8.0, mesh, drag) * speed * 8.0 - torque * speed
    assert lost >= -1e-9
    mean = mean_loss([torque], [speed], [1.0], 8.0, mesh, drag)
    assert mean == pytest.approx(lost, abs=1e-9)


def test_rated_efficiency_comes_back_at_rated_torque():
    mesh = mesh_efficiency(0.93, 6.0, 0.2, 40.0)
    assert part_load_efficiency(40.0, 6.0, mesh, 0.2) == pytest.approx(0.93)
    assert output_torque(input_torque(40.0, 1.0, 6.0, mesh, 0.2), 6.0, mesh, 0.2) == (
        pytest.approx(40.0)
    )


def test_contradicting_efficiency_is_cut_at_no_mesh_loss():
    assert mesh_efficiency(0.99, 10.0, 0.5, 40.0) == 1.0


def test_cycle_factor_falls_and_stays_above_its_floor():
    """Points: common practice, no source."""
    count = np.logspace(0, 8, 200)
    factor = cycle_factor(count)
    assert np.all(np.diff(factor) <= 0.0)
    assert factor[0] == 1.0
    assert factor[-1] == 0.5
    slope = (0.7 - 0.9) / np.log(10 / 3)
    assert cycle_factor(20000.0) == pytest.approx(0.7 + slope * np.log(2.0))


@given(st.lists(st.tuples(TORQUE, SPEED, st.floats(0.01, 5.0)), min_size=1, max_size=6))
def test_equivalent_torque_grows_with_the_exponent_up_to_the_peak(segments):
    torque, speed, time = np.array(segments).T
    turned = np.abs(speed * time) > 1e-6
    if not turned.any():
        return
    means = [float(equivalent_torque(torque, speed, time, q)) for q in (1.0, 3.0, 10 / 3, 9.0)]
    assert all(a <= b * (1 + 1e-9) + 1e-12 for a, b in pairwise(means))
    assert means[-1] <= np.abs(torque).max() * (1 + 1e-9)


def test_equivalent_torque_by_quadrature_of_a_ramp():
    """Speed falling straight from 10 to 0 at constant torque, and torque rising with it."""
    nodes, weights = np.polynomial.legendre.leggauss(12)
    z = (nodes + 1) / 2
    torque, speed = 4.0 + 6.0 * z, 10.0 * (1 - z)
    damage, _ = quad(lambda s: 10 * (1 - s) * (4 + 6 * s) ** 3, 0, 1)
    assert equivalent_torque(torque, speed, weights / 2, 3.0) == pytest.approx(
        (damage / 5.0) ** (1 / 3), rel=1e-12
    )


def test_nothing_turning_lives_for_ever():
    assert equivalent_torque([5.0], [0.0], [1.0]) == 0.0
    assert np.isinf(life(0.0, 0.0, 10.0, 10.0, 1.0))


def test_emergency_torque_is_the_torque_in_the_shaft():
    """Free body of the load: its inertia times the common deceleration, plus its load.

    A load that pulls along lengthens the stop; one that pulls back shortens it and relieves the
    shaft.
    """
    motor, load, i, stop = 8e-4, 0.05, 5.0, 9.0
    for pull in (2.0, -2.0):
        slowing = (stop * i - pull) / (load + motor * i**2)  # of the output
        felt = emergency_torque(stop, i, load, motor, pull)
        assert felt == pytest.approx(load * slowing + pull)


def test_jam_torque_is_the_elastic_impact():
    """Kinetic energy of the rotor at the output equals the energy of the spring."""
    torque = jam_torque(12.0, 4.0, 5e-4, 8e3)
    assert torque**2 / (2 * 8e3) == pytest.approx(0.5 * 5e-4 * 16 * 144)


def test_radial_force_at_the_rated_point_is_the_rated_one():
    assert permissible_radial(500.0, 0.03, 0.03, 0.02) == pytest.approx(500.0)


STOP = st.tuples(
    st.floats(0.0, 300.0),  # speed
    st.floats(0.0, 5.0),  # gravity torque
    st.floats(1e-4, 1e-2),  # inertia
    st.floats(5.5, 20.0),  # brake torque
    st.floats(0.0, 0.1),  # delay
)


@given(STOP)
def test_downward_stop_keeps_the_energy(data):
    speed, pull, inertia, hold, delay = data
    stop = stop_downward(speed, pull, inertia, hold, delay)
    kinetic = 0.5 * inertia * speed**2
    assert stop.energy == pytest.approx(kinetic + pull * stop.angle, rel=1e-9, abs=1e-12)


@given(STOP)
def test_upward_stop_keeps_the_energy(data):
    speed, pull, inertia, hold, delay = data
    stop = stop_upward(speed, pull, inertia, hold, delay)
    if stop.falls:  # from the crest down again
        expected = pull * stop.angle
    else:
        expected = 0.5 * inertia * speed**2 - pull * stop.angle
    assert stop.energy == pytest.approx(expected, rel=1e-7, abs=1e-9 * (1 + inertia * speed**2))


def test_upward_stop_that_turns_round_falls_before_the_brake_grips():
    stop = stop_upward(10.0, 1.0, 1e-2, 3.0, 0.25)  # at rest after 0.1 s
    assert stop.falls
    assert stop.speed == pytest.approx(100.0 * 0.15)
    assert stop.angle_delay == pytest.approx(0.5 * 100.0 * 0.15**2)


def test_stop_against_a_general_solver():
    w0, pull, inertia, hold, delay = 187.5, 0.863, 7.76e-4, 2.72, 0.045

    def slope(t, state):
        return [state[1], (pull - (hold if t > delay else 0.0)) / inertia]

    def at_rest(t, state):
        return state[1]

    at_rest.terminal = True
    run = solve_ivp(slope, (0.0, 1.0), [0.0, w0], events=at_rest, max_step=1e-4, rtol=1e-9)
    stop = stop_downward(w0, pull, inertia, hold, delay)
    assert run.t[-1] == pytest.approx(delay + stop.time_brake, rel=1e-4)
    assert run.y[0, -1] == pytest.approx(stop.angle, rel=1e-4)


def test_a_brake_weaker_than_gravity_never_stops():
    stop = stop_downward(10.0, 3.0, 1e-3, 2.0, 0.0)
    assert np.isinf(stop.time_brake)
    assert np.isinf(stop.angle)
    assert np.isinf(stop.energy)
    assert np.isfinite(stop_upward(10.0, 3.0, 1e-3, 2.0, 0.0).time_brake)


def test_missing_data_stay_missing_among_others():
    stop = stop_downward(10.0, 0.5, 1e-3, [np.nan, 2.0], 0.01)
    assert np.isnan(stop.energy[0])
    assert np.isfinite(stop.energy[1])
    assert np.isnan(hold_ratio([np.nan], 1.0)[0])


def test_level_axis_needs_no_holding():
    assert np.isinf(hold_ratio(2.0, 0.0))


def test_a_brake_of_no_torque_is_refused():
    with pytest.raises(RangeError, match="brake_torque is 0"):
        stop_downward(1.0, 0.0, 1e-3, 0.0, 0.0)


def test_short_circuit_angle_is_the_integral_of_the_torque():
    flux, pairs, r, inductance, inertia = 0.042, 5, 2.4, 6.8e-3, 1e-3
    expected, _ = quad(
        lambda w: inertia * w / float(short_circuit_torque(w, flux, pairs, r, inductance)), 0, 300
    )
    found = short_circuit_angle(300.0, inertia, flux, pairs, r, inductance)
    assert found == pytest.approx(expected, rel=1e-9)


def test_short_circuit_torque_peaks_where_reactance_is_resistance():
    flux, pairs, r, inductance = 0.042, 5, 2.4, 6.8e-3
    top = r / (pairs * inductance)
    speeds = np.linspace(0.1, 4.0, 400) * top
    torque = short_circuit_torque(speeds, flux, pairs, r, inductance)
    assert torque.max() <= 0.75 * pairs * flux**2 / inductance * (1 + 1e-12)
    assert speeds[torque.argmax()] == pytest.approx(top, rel=0.02)
