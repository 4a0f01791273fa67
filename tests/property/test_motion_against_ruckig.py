"""Jerk-limited moves against the time-optimal ones of the ruckig package.

ruckig is a general library for trajectories; it stops at 7600 s and does not explain limits of
zero, so the cases stay well inside.
"""

import numpy as np
import pytest

from dutyline.motion.ramps import Limits, fastest, jerk_limited

ruckig = pytest.importorskip("ruckig")


def _optimum(distance, speed, accel, decel, jerk, before, after):
    """Duration [s], largest speed and extremes of the acceleration of the time-optimal move."""
    order = ruckig.InputParameter(1)
    order.current_position, order.target_position = [0.0], [distance]
    order.current_velocity, order.target_velocity = [before], [after]
    order.current_acceleration = order.target_acceleration = [0.0]
    order.max_velocity, order.max_acceleration = [speed], [accel]
    order.min_acceleration, order.max_jerk = [-decel], [jerk]
    trajectory = ruckig.Trajectory(1)
    ruckig.Ruckig(1).calculate(order, trajectory)
    duration = trajectory.duration
    assert 0 < duration < 7600
    (profile,) = trajectory.profiles[0]
    return duration, _largest_speed(profile), max(profile.a), min(profile.a)


def _largest_speed(profile):
    """Also inside a phase, where its acceleration passes zero."""
    found = list(profile.v)
    for t, v, a, j in zip(profile.t, profile.v, profile.a, profile.j, strict=False):
        if j != 0 and 0 < -a / j < t:
            found.append(v - a * a / (2 * j))
    return max(found)


def _logarithmic(rng, low, high, size):
    return np.exp(rng.uniform(np.log(low), np.log(high), size))


def test_rest_to_rest():
    rng = np.random.default_rng(20801)
    size = 3000
    limits = zip(
        _logarithmic(rng, 1e-3, 30, size),
        _logarithmic(rng, 1e-2, 10, size),
        _logarithmic(rng, 1e-1, 100, size),
        _logarithmic(rng, 1, 1e4, size),
        strict=True,
    )
    shapes = set()
    for distance, speed, accel, jerk in limits:
        t1, t2, t3 = jerk_limited(distance, speed, accel, jerk)
        duration, top, rise, _ = _optimum(distance, speed, accel, accel, jerk, 0.0, 0.0)
        assert 4 * t1 + 2 * t2 + t3 == pytest.approx(duration, rel=1e-9)
        assert jerk * t1 * (t1 + t2) == pytest.approx(top, rel=1e-9)
        assert jerk * t1 == pytest.approx(rise, rel=1e-9)
        shapes.add((t2 > 1e-9 * duration, t3 > 1e-9 * duration))
    assert len(shapes) == 4  # every degenerate case came up


def test_end_speeds_and_unequal_ramps():
    rng = np.random.default_rng(20802)
    compared = refused = 0
    for _ in range(1500):
        speed = _logarithmic(rng, 0.1, 5, 1)[0]
        accel, decel = _logarithmic(rng, 0.5, 50, 2)
        jerk = _logarithmic(rng, 5, 2000, 1)[0]
        before, after = rng.uniform(0, speed, 2)
        distance = _logarithmic(rng, 0.01, 20, 1)[0]
        profile = fastest(distance, Limits(accel, decel, jerk), speed, before, after)
        if profile is None:
            refused += 1
            continue
        duration, top, rise, fall = _optimum(distance, speed, accel, decel, jerk, before, after)
        assert profile.duration == pytest.approx(duration, rel=1e-9)
        assert profile.top_speed == pytest.approx(top, rel=1e-9)
        assert max(0.0, profile.first.acceleration) == pytest.approx(rise, rel=1e-7, abs=1e-9)
        assert min(0.0, profile.last.acceleration) == pytest.approx(fall, rel=1e-7, abs=1e-9)
        compared += 1
    assert compared > 500
    assert refused > 50


def test_closed_form_and_bisection_agree():
    """The general solution, forced by a decel that differs in the last digit, meets the closed."""
    rng = np.random.default_rng(20803)
    for _ in range(500):
        distance, speed, accel, jerk = (
            float(_logarithmic(rng, low, high, 1)[0])
            for low, high in ((1e-3, 30), (1e-2, 10), (0.1, 100), (1, 1e4))
        )
        closed = fastest(distance, Limits(accel, accel, jerk), speed)
        general = fastest(distance, Limits(accel, accel * (1 + 1e-14), jerk), speed)
        assert closed is not None
        assert general is not None
        assert general.duration == pytest.approx(closed.duration, rel=1e-11)
        assert general.speed == pytest.approx(closed.speed, rel=1e-11)
