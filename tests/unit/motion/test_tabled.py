"""Phases given by samples."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from dutyline.motion.cycle import build_cycle
from dutyline.motion.faults import MotionFaults
from dutyline.motion.specs import PhaseSpec

REST = PhaseSpec(do="dwell", time=0.2)


def quintic(z):
    return z**3 * (10 - 15 * z + 6 * z**2)


def table(when, value, **other) -> PhaseSpec:
    return PhaseSpec(do="table", samples=tuple(zip(when, value, strict=True)), **other)


def build(*specs, **other):
    return build_cycle(list(specs), linear=True, **other)


def state(cycle, time, order):
    piece = next(p for p in cycle.pieces if p.start <= time <= p.end)
    return float(piece.derivative(order, time - piece.start))


def faults(*specs, **other) -> str:
    with pytest.raises(MotionFaults) as caught:
        build(*specs, **other)
    return str(caught.value)


def there(n=201):
    time = np.linspace(0.0, 0.6, n)
    return time, 0.3 * quintic(time / 0.6)


def test_places_become_scipys_spline():
    time, place = there(61)
    cycle = build(table(time, place), PhaseSpec(do="move", to=0.0, time=1.0))
    theirs = CubicSpline(time, place, bc_type="clamped")
    for at in (0.101, 0.2345, 0.45):
        for order in range(3):
            assert state(cycle, at, order) == pytest.approx(float(theirs(at, order)), rel=1e-9)


def test_a_table_of_a_law_moves_as_the_law():
    """3-4-5 polynomial sampled 200 times: peaks of speed and acceleration to 1e-4."""
    time, place = there()
    back = PhaseSpec(do="move", to=0.0, time=0.6, law="quintic")
    cycle = build(table(time, place), back)
    sampled, law = cycle.phases
    assert sampled.distance == pytest.approx(0.3)
    assert sampled.top_speed == pytest.approx(law.top_speed, rel=1e-4)
    assert sampled.top_acceleration == pytest.approx(law.top_acceleration, rel=2e-4)


def test_a_table_that_is_the_whole_cycle_joins_its_own_end():
    angle = np.linspace(0.0, 2 * np.pi, 73)
    place = 0.05 * (1 - np.cos(angle - 0.4))
    cycle = build(table(angle, place, over="leader", leader_speed=10.0))
    assert cycle.duration == pytest.approx(0.2 * np.pi)
    for order in (1, 2):
        first, last = cycle.pieces[0], cycle.pieces[-1]
        end = float(last.derivative(order, last.duration))
        assert float(first.derivative(order, 0.0)) == pytest.approx(end, rel=1e-9)
    assert state(cycle, 0.0, 1) == pytest.approx(0.05 * 10 * np.sin(-0.4), rel=1e-4)


def test_an_electronic_cam_scales_with_its_leader():
    """v = s' w and a = s'' w^2 at a constant leader."""
    angle = np.linspace(0.0, 2.0, 401)
    slow, fast = (
        build(table(angle, 0.09 * np.sin(np.pi * angle / 2) ** 4, over="leader", leader_speed=w))
        for w in (2.0, 6.0)
    )
    assert fast.phases[0].top_speed == pytest.approx(3 * slow.phases[0].top_speed)
    assert fast.phases[0].top_acceleration == pytest.approx(9 * slow.phases[0].top_acceleration)
    timed = build(table(angle, 0.09 * np.sin(np.pi * angle / 2) ** 4, over="leader", time=1.0))
    assert timed.duration == pytest.approx(slow.duration)


def test_speeds_are_integrated_exactly():
    """A trapezoid by its corners is the trapezoid."""
    speeds = table((0.0, 0.2, 0.5, 0.6), (0.0, 0.5, 0.5, 0.0), gives="speed")
    cycle = build(speeds, PhaseSpec(do="move", to=0.0, time=1.0))
    assert cycle.phases[0].distance == pytest.approx(0.05 + 0.15 + 0.025)
    assert cycle.phases[0].top_acceleration == pytest.approx(5.0)
    assert state(cycle, 0.1, 0) == pytest.approx(0.5 * 2.5 * 0.1**2)


def test_speeds_may_begin_and_end_in_motion():
    speeds = table((0.0, 0.5, 1.0), (0.2, 0.6, 0.2), gives="speed")
    assert build(speeds, endless=True).net_travel == pytest.approx(0.4)
    said = faults(speeds, REST)
    assert "start at 0.2 m/s" in said or "needs standstill" in said


def test_smoothing_takes_noise_out_and_says_what_is_left():
    time, place = there(601)
    noisy = place + 1e-5 * np.random.default_rng(1).normal(size=time.size)
    noisy[0], noisy[-1] = 0.0, 0.3
    back = PhaseSpec(do="move", to=0.0, time=0.6, law="quintic")
    raw, law = build(table(time, noisy), back).phases
    soft = build(table(time, noisy, smoothing=0.04), back).phases[0]
    assert raw.top_acceleration > 3 * law.top_acceleration
    assert "second derivatives" in raw.warning
    assert soft.top_acceleration == pytest.approx(law.top_acceleration, rel=0.05)
    assert "smoothed over" in soft.note
    assert not soft.warning


def test_a_coarse_table_is_named():
    time, place = there(12)
    phase = build(table(time, place), PhaseSpec(do="move", to=0.0, time=1.0)).phases[0]
    assert "12 samples" in phase.warning


@pytest.mark.parametrize(
    ("spec", "words"),
    [
        (table((0.0, 1.0), (0.0, 0.1)), "needs 4"),
        (table((0.0,), (0.0,), gives="speed"), "needs 2"),
        (table((0.0, 0.1, 0.1, 0.2), (0.0, 0.1, 0.1, 0.2)), "sample 3 lies at 0.1"),
        (table((0.0, 0.1, 0.3, 0.2), (0.0, 0.1, 0.1, 0.2)), "rising order"),
        (table((0.0, 0.1, 0.2, 0.3), (0.0, float("nan"), 0.1, 0.2)), "sample 2 is 0.1, nan"),
        (table(*there(1200)), "1200 samples; without smoothing 1000"),
        (table(*there(50), over="leader"), "State leader_speed"),
        (table(*there(50), leader_speed=2.0), "stand over time"),
        (table(*there(50), time=0.7), "samples take 0.6 s"),
        (table(*there(50), over="leader", leader_speed=2.0, time=1.0), "leader takes 0.3 s"),
        (table(*there(50), smoothing=0.001), "nothing would be smoothed"),
        (table(*there(50), smoothing=0.5), "leaves 1 parts"),
        (table((0.0, 0.1, 0.2, 0.3), (0.0, 0.1, 0.2, 0.3)), "start at about 1 m/s"),
    ],
)
def test_what_cannot_be_used_is_told(spec, words):
    assert words in faults(spec, REST)
