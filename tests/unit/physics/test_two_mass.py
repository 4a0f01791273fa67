"""The march in time against solvers that know nothing of it, its steps, its energy and its limits.

Constants are those of the reference runs in tests/published/drives-examples.toml.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from dutyline.core.errors import RangeError, ShapeError
from dutyline.physics.control import (
    CURRENT_LAG,
    loop_lag,
    settling_time,
    tracking_error,
    velocity_bandwidth,
)
from dutyline.physics.two_mass import Loop, TwoMass, course, settled, substeps

PLANT = TwoMass(5e-5, 2e-4, 28.424, friction=0.01)
TRAVEL, MOVE, TAIL, TOLERANCE = 2 * math.pi, 0.2, 0.6, 0.002


def loop(bandwidth: float, **other) -> Loop:
    return Loop(bandwidth * 2.5e-4, 4 / bandwidth, bandwidth / 4,
                **{"sample": 125e-6, "current_lag": 4e-4, **other})  # fmt: skip


def reference(time):
    """Place, speed and acceleration of a move in thirds."""
    third, top = MOVE / 3, 1.5 * TRAVEL / MOVE
    accel = top / third
    t = np.asarray(time, dtype=float)
    to_go = np.clip(MOVE - t, 0.0, None)
    place = np.select(
        [t < third, t < 2 * third], [accel * t**2 / 2, top * (t - third / 2)],
        TRAVEL - accel * to_go**2 / 2)  # fmt: skip
    speed = np.select([t < third, t < 2 * third], [accel * t, top], accel * to_go)
    change = np.select([t < third, t < 2 * third, t < MOVE], [accel, 0.0, -accel], 0.0)
    return place, speed, change


def marched(plant, own, tail=TAIL, **other):
    time = np.arange(round((MOVE + tail) / own.sample) + 1) * own.sample
    found = course(plant, own, *reference(time), **other)
    return found, reference(time)[0]


def settle_of(plant, own, tail=TAIL, **other):
    found, place = marched(plant, own, tail, **other)
    return settled(found.time, place - found.load - found.rest, TOLERANCE, MOVE)


def continuous(plant, own, time):
    """Load angle by a general solver, the controller without samples and without delay."""
    k, d = plant.stiffness, plant.damping

    def flow(t, x):
        a, b, u, v, torque, total = x
        place, speed, change = (float(c) for c in reference(t))
        error = own.position_gain * (place - a) + own.feed_forward * speed - u
        command = own.velocity_gain * (error + total / own.integral_time)
        command += own.inertia_feed_forward * change
        spring = k * (a - b) + d * (u - v)
        rub = plant.friction * math.tanh(v / plant.friction_width)
        return [u, v, (torque - spring) / plant.inertia_motor, (spring - rub) / plant.inertia_load,
                (command - torque) / own.current_lag, error]  # fmt: skip

    edges = [0.0, MOVE / 3, 2 * MOVE / 3, MOVE, time[-1]]
    state, parts = np.zeros(6), []
    for first, last in pairwise(edges):
        inside = time[(time >= first) & ((time < last) | (last == edges[-1]))]
        run = solve_ivp(flow, (first, last), state, method="LSODA", t_eval=inside,
                        rtol=1e-8, atol=1e-10)  # fmt: skip
        end = solve_ivp(flow, (first, last), state, method="LSODA", rtol=1e-8, atol=1e-10)
        state = end.y[:, -1]
        parts.append(run.y[1])
    return np.concatenate(parts)


@pytest.mark.parametrize(("bandwidth", "fed"), [(113.0, 0.0), (170.0, 0.0), (170.0, 0.8)])
def test_short_samples_approach_the_continuous_loop(bandwidth, fed):
    """The march converges with the sample: to 2 % of the error at the end of the move."""
    own = loop(bandwidth, sample=1e-5, feed_forward=fed, inertia_feed_forward=fed * 2.5e-4)
    time = np.arange(round(0.4 / 1e-5) + 1) * 1e-5
    found = course(PLANT, own, *reference(time), steps=2)
    exact = continuous(PLANT, own, time)
    at_end = round(MOVE / 1e-5)
    scale = abs(reference(MOVE)[0] - exact[at_end])
    assert np.abs(found.load - exact).max() < 0.02 * scale
    by_solver = settled(time, reference(time)[0] - exact, TOLERANCE, MOVE)
    by_march = settled(time, reference(time)[0] - found.load, TOLERANCE, MOVE)
    assert by_march == pytest.approx(by_solver, rel=0.01)


def test_samples_and_delay_against_the_exact_linear_response():
    """Without friction and play every sample is a matrix exponential; the delay is one state."""
    plant, own = replace(PLANT, friction=0.0), loop(170.0)
    k, d, j1, j2 = plant.stiffness, plant.damping, plant.inertia_motor, plant.inertia_load
    flow = np.zeros((6, 6))  # a, b, u, v, torque, held command
    flow[0, 2] = flow[1, 3] = 1.0
    flow[2] = [-k / j1, k / j1, -d / j1, d / j1, 1 / j1, 0.0]
    flow[3] = [k / j2, -k / j2, d / j2, -d / j2, 0.0, 0.0]
    flow[4, 4:] = -1 / own.current_lag, 1 / own.current_lag
    over = expm(flow * own.sample)
    count = round(0.7 / own.sample) + 1
    place, _, _ = reference(np.arange(count) * own.sample)
    state, total, load = np.zeros(6), 0.0, []
    for wanted in place:
        load.append(state[1])
        error = own.position_gain * (wanted - state[0]) - state[2]
        command = own.velocity_gain * (error + total / own.integral_time)
        total += error * own.sample
        state = over @ state
        state[5] = command
    time = np.arange(count) * own.sample
    found = course(plant, own, *reference(time))
    assert np.abs(found.load - load).max() < 2e-3 * TRAVEL
    exact = settled(time, place - np.array(load), TOLERANCE, MOVE)
    assert settled(time, place - found.load, TOLERANCE, MOVE) == pytest.approx(exact, rel=0.01)
    fine = course(plant, own, *reference(time), steps=160)
    assert np.abs(fine.load - load).max() < 2e-4 * TRAVEL


@pytest.mark.parametrize("changes", [{}, {"gap": 0.0015}, {"friction": 0.05}])
@pytest.mark.parametrize("bandwidth", [113.0, 226.0])
def test_half_the_step_changes_little(changes, bandwidth):
    plant = replace(PLANT, **changes)
    whole, half = (settle_of(plant, loop(bandwidth), steps=n) for n in (10, 20))
    assert half == pytest.approx(whole, rel=1e-3, abs=1.5e-4)  # one sample


def test_energy_given_is_energy_stored_and_lost():
    """Work of the motor: kinetic, in the spring, in its damper and in friction, at any time."""
    own = loop(170.0)
    found, _ = marched(PLANT, own, steps=80)
    bent, slip = found.motor - found.load, found.motor_speed - found.load_speed
    stored = 0.5 * PLANT.inertia_motor * found.motor_speed**2
    stored += 0.5 * PLANT.inertia_load * found.load_speed**2 + 0.5 * PLANT.stiffness * bent**2

    def integral(power):
        return np.concatenate([[0.0], np.cumsum((power[1:] + power[:-1]) / 2) * own.sample])

    given = integral(found.torque * found.motor_speed)
    rub = PLANT.friction * np.tanh(found.load_speed / PLANT.friction_width)
    lost = integral(PLANT.damping * slip**2) + integral(rub * found.load_speed)
    assert np.abs(given - stored - lost).max() < 0.01 * stored.max()


def test_a_stiffer_train_becomes_the_rigid_one():
    """Both marches of a train that hardly gives, and the count of steps that decides which."""
    hard = replace(PLANT, stiffness=4e4)
    assert substeps(hard, 125e-6) > 10
    assert substeps(replace(PLANT, stiffness=1e9), 125e-6) == 0
    assert substeps(replace(PLANT, stiffness=math.inf), 125e-6) == 0
    own = loop(226.0)
    elastic, _ = marched(hard, own)
    rigid, _ = marched(replace(PLANT, stiffness=math.inf), own)
    assert np.abs(elastic.load - rigid.load).max() < 2e-3 * TRAVEL


def test_mirrored_motion_mirrors_the_answer():
    own = loop(113.0, torque_limit=0.15)
    time = np.arange(6000) * own.sample
    ahead = course(replace(PLANT, gap=0.001), own, *reference(time), 0.04)
    back = course(replace(PLANT, gap=0.001), own, *(-c for c in reference(time)), -0.04)
    assert back.load == pytest.approx(-ahead.load, abs=1e-12)
    assert ahead.limited == back.limited > 0


@pytest.mark.parametrize("at_load", [False, True])
def test_weight_at_rest_stays_at_rest(at_load):
    """The integral part carries it; the sag of spring and gap is what the load lies behind."""
    plant, own = replace(PLANT, gap=0.002), loop(113.0, at_load=at_load)
    still = np.zeros(800)
    found = course(plant, own, still, still, still, 0.3)
    sag = 0.3 / PLANT.stiffness + 0.001
    assert found.torque == pytest.approx(0.3, rel=1e-9)
    place = found.load if at_load else found.motor
    assert place == pytest.approx(0.0, abs=1e-12)
    assert found.motor - found.load == pytest.approx(sag, rel=1e-9)
    assert found.rest == (0.0 if at_load else pytest.approx(sag))


def test_steady_speed_goes_on_as_it_began():
    """Behind the reference by speed over gain, less what is fed forward."""
    own = loop(170.0, feed_forward=0.6)
    time = np.arange(4000) * own.sample
    found = course(PLANT, own, 30.0 * time, np.full(4000, 30.0), np.zeros(4000))
    behind = 30.0 * time - found.motor
    assert behind == pytest.approx(0.4 * 30 / own.position_gain, rel=1e-3)


def test_losses_of_gears_brake_the_load():
    """A share of the spring's torque as friction: a move needs more torque."""
    own = loop(170.0)
    free, _ = marched(replace(PLANT, friction=0.0), own)
    lossy, _ = marched(replace(PLANT, friction=0.0, friction_share=0.1), own)
    rising = slice(100, 500)  # acceleration
    assert lossy.torque[rising].mean() > free.torque[rising].mean()


def test_gap_lets_no_torque_through():
    """Motor and load move apart freely within the play: the load stands while the motor swings."""
    plant = replace(PLANT, gap=0.02, friction=0.0)
    time = np.arange(1600) * 125e-6
    wave = 0.002 * (1 - np.cos(2 * math.pi * 5 * time))
    found = course(plant, loop(113.0), wave, np.zeros_like(time), np.zeros_like(time))
    assert np.ptp(found.motor) > 0.003
    assert np.abs(found.load).max() == 0.0


@pytest.mark.parametrize("seed", range(12))
def test_estimate_is_a_little_too_long_without_feed_forward(seed):
    """Inertia ratios up to ten by chance, lags and swing as bounds: 60 to 100 % are simulated."""
    rng = np.random.default_rng(seed)
    ratio, swing = 10 ** rng.uniform(-0.5, 1.0), 10 ** rng.uniform(1.3, 2.1)
    inertia = 5e-5 * ratio
    plant = TwoMass(5e-5, inertia, (2 * math.pi * swing) ** 2 * inertia)
    bandwidth = min(float(w) for w in velocity_bandwidth(loop_lag(8000.0), swing))
    gain = bandwidth / 4
    own = Loop(bandwidth * (5e-5 + inertia), 4 / bandwidth, gain, 125e-6, CURRENT_LAG)
    left = float(tracking_error(4.5 * TRAVEL / MOVE**2, MOVE / 3, gain))
    estimate = float(settling_time(left, TOLERANCE, gain, bandwidth))
    found = settle_of(plant, own, tail=1.2 * estimate + 0.1)
    assert 0.6 * estimate < found < 1.02 * estimate


def test_what_cannot_be_is_refused():
    with pytest.raises(ShapeError, match="three vectors"):
        course(PLANT, loop(113.0), np.zeros(3), np.zeros(2), np.zeros(3))
    with pytest.raises(RangeError, match="inertia_load"):
        course(replace(PLANT, inertia_load=0.0), loop(113.0), *np.zeros((3, 4)))
    with pytest.raises(RangeError, match="torque_limit"):
        course(PLANT, loop(113.0, torque_limit=0.0), *np.zeros((3, 4)))
