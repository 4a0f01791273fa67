"""Tools that follow a line: closed forms, and a second computation in scipy's cubic of time."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from dutyline.motion.cycle import build_cycle
from dutyline.motion.faults import MotionFaults
from dutyline.motion.laws import coefficients
from dutyline.motion.specs import PhaseSpec

RADIUS, LINE = 0.08, 1.5
TURN = 2 * pi * RADIUS


def knife(length, *, blades=1, sync=pi / 6, law="quintic", **other) -> PhaseSpec:
    fields = {"line_speed": LINE, "diameter": 2 * RADIUS, **other}
    return PhaseSpec(do="follow", tool="rotary-knife", length=length, blades=blades, sync=sync,
                     law=law, **fields)  # fmt: skip


def saw(length, *, sync=0.4, accel=8.0, line=1.0, **other) -> PhaseSpec:
    return PhaseSpec(do="follow", tool="flying-cut", length=length, sync=sync, accel=accel,
                     line_speed=line, **other)  # fmt: skip


def marks(correction, *, line=2.0, length=0.5, **other) -> PhaseSpec:
    return PhaseSpec(do="follow", tool="registration", line_speed=line, length=length,
                     correction=correction, **other)  # fmt: skip


def build(*specs, linear=False):
    return build_cycle(list(specs), linear=linear, endless=True)


def faults(*specs, linear=False) -> str:
    with pytest.raises(MotionFaults) as caught:
        build(*specs, linear=linear)
    return str(caught.value)


def sampled(cycle, order, count=400):
    return np.concatenate([
        piece.derivative(order, np.linspace(0.0, piece.duration, count)) for piece in cycle.pieces
    ])  # fmt: skip


def test_a_knife_of_the_circumference_runs_at_constant_speed():
    for blades in (1, 2, 3):
        cycle = build(knife(TURN / blades, blades=blades))
        assert len(cycle.pieces) == 1
        assert sampled(cycle, 1) == pytest.approx(LINE / RADIUS)
        assert cycle.phases[0].top_acceleration == 0.0
        assert cycle.net_travel == pytest.approx(2 * pi / blades)


@pytest.mark.parametrize("law", ["quintic", "cycloid", "trapezoid", "s-curve", "modified-sine"])
@pytest.mark.parametrize("length", [0.3, 0.45, 0.7])
def test_a_knife_speeds_up_or_slows_down_by_its_law(length, law):
    """Closed form: D = (2 pi R - l)/R over t_r = l/v - sync/w; C_v D/t_r and C_a |D|/t_r^2."""
    cycle = build(knife(length, law=law))
    speed, back = LINE / RADIUS, length / LINE - pi / 6 / (LINE / RADIUS)
    extra = (TURN - length) / RADIUS
    own = coefficients(law)
    extreme = speed + own.speed * extra / back
    found = sampled(cycle, 1)
    assert (found.max() if extra > 0 else found.min()) == pytest.approx(extreme, rel=1e-4)
    assert np.abs(sampled(cycle, 2)).max() == pytest.approx(
        own.acceleration * abs(extra) / back**2, rel=1e-4
    )
    assert cycle.phases[0].top_acceleration == pytest.approx(
        own.acceleration * abs(extra) / back**2
    )
    assert cycle.duration == pytest.approx(length / LINE)
    assert cycle.net_travel == pytest.approx(2 * pi)


@given(st.floats(0.06, 1.0), st.integers(1, 4), st.floats(0.0, 1.2),
       st.sampled_from(["quintic", "cubic", "cycloid", "trapezoid", "septic"]))  # fmt: skip
def test_a_knife_is_smooth_synchronous_and_one_blade_further(length, blades, sync, law):
    try:
        cycle = build(knife(length, blades=blades, sync=sync, law=law))
    except MotionFaults as error:
        told = {fault.field for fault in error.faults}
    else:
        told = set()
    assert told <= {"length", "sync"}
    if told:
        return
    speed = LINE / RADIUS
    assert cycle.net_travel == pytest.approx(2 * pi / blades)
    assert sampled(cycle, 1).min() >= -1e-9 * speed
    for one, other in zip(cycle.pieces, cycle.pieces[1:], strict=False):
        for order in (0, 1):
            end = float(one.derivative(order, one.duration))
            start = float(other.derivative(order, 0.0))
            assert end == pytest.approx(start, abs=1e-9 * speed)
    edge = sync / speed / 2
    for time in (edge * 0.5, cycle.duration - edge * 0.5):
        piece = next(p for p in cycle.pieces if p.start <= time <= p.end)
        assert float(piece.speed(time - piece.start)) == pytest.approx(speed)


def test_the_longest_cut_is_the_one_at_which_the_knife_just_stops():
    said = faults(knife(1.05))
    assert "1\u202f029.2\u00a0mm is the longest" in said
    cycle = build(knife(1.0292))
    assert 0.0 <= sampled(cycle, 1, 4000).min() < 0.01


def test_sync_of_a_knife_longer_than_the_cut():
    assert "too short" in faults(knife(0.02))
    assert "fewer blades" in faults(knife(0.3, blades=20))


@pytest.mark.parametrize("law", ["trapezoid", "s-curve", "quintic"])
def test_a_flying_cut_runs_with_the_line_and_comes_back(law):
    cycle = build(saw(2.5, law=law), linear=True)
    assert cycle.net_travel == pytest.approx(0.0, abs=1e-12)
    assert cycle.duration == pytest.approx(2.5)
    steady = [p for p in cycle.pieces if np.allclose(p.speed(np.array([0.0, p.duration])), 1.0)]
    assert sum(p.duration for p in steady) == pytest.approx(0.4)
    assert cycle.phases[0].top_acceleration <= 8.0 * (1 + 1e-9)


def test_stroke_of_a_flying_cut():
    """S = v^2/2a + v t + v^2/2d."""
    cycle = build(saw(3.0, accel=8.0, decel=5.0), linear=True)
    reach = max(float(p.position(p.duration)) for p in cycle.pieces)
    assert reach == pytest.approx(1 / 16 + 0.4 + 1 / 10)


@given(st.floats(0.2, 4.0), st.floats(1.0, 40.0),
       st.floats(1e-3, 1.0), st.floats(0.3, 8.0))  # fmt: skip
def test_the_shortest_length_is_possible_and_a_shorter_one_is_not(line, accel, sync, length):
    """Second way: out v/a + s/v + v/a, back a triangle over S = v^2/a + s."""
    stroke = line**2 / accel + sync
    least = line * (2 * line / accel + sync / line + 2 * sqrt(stroke / accel))
    assume(abs(length / least - 1) > 1e-6)
    spec = saw(length, sync=sync, accel=accel, line=line)
    if length < least:
        assert "too short" in faults(spec, linear=True)
    else:
        assert build(spec, linear=True).duration == pytest.approx(length / line)


@pytest.mark.parametrize("correction", [0.004, -0.004])
def test_a_registration_adds_its_correction(correction):
    """Dv = C_v d/t_w and Da = C_a d/t_w^2 of a 3-4-5 polynomial."""
    cycle = build(marks(correction, window=0.1, law="quintic"), linear=True)
    assert cycle.net_travel == pytest.approx(0.5 + correction)
    extreme = 2.0 + 15 / 8 * correction / 0.1
    speeds = sampled(cycle, 1)
    assert (speeds.max() if correction > 0 else speeds.min()) == pytest.approx(extreme, rel=1e-5)
    assert cycle.phases[0].top_acceleration == pytest.approx(10 / sqrt(3) * 0.004 / 0.01)
    assert float(cycle.pieces[0].speed(0.0)) == pytest.approx(2.0)
    assert cycle.pieces[0].duration == pytest.approx((0.25 - 0.1) / 2)


def test_a_registration_on_a_wheel():
    cycle = build(marks(0.004, window=0.1, law="quintic", diameter=0.2))
    assert cycle.net_travel == pytest.approx(0.504 / 0.1)


def test_a_knife_behind_a_run():
    speed = LINE / RADIUS
    start = PhaseSpec(do="run", speed=speed, ramp=0.5)
    stop = PhaseSpec(do="run", speed=0.0, ramp=0.5)
    cycle = build(start, knife(0.3), knife(0.3), stop, PhaseSpec(do="dwell", time=1.0))
    assert cycle.phases[1].duration == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("specs", "linear", "words"),
    [
        ((knife(0.3), PhaseSpec(do="dwell", time=1.0)), False, "begins at 18.75 rad/s"),
        ((knife(0.3),), True, "a rotary knife turns"),
        ((saw(2.0),), False, "load of this axis turns"),
        ((PhaseSpec(do="follow", line_speed=1.0, length=1.0),), True, "tool is missing"),
        ((PhaseSpec(do="follow", tool="flying-cut", line_speed=1.0),), True, "length is missing"),
        ((saw(2.0, accel=None),), True, "accel is missing"),
        ((saw(2.0, blades=2),), True, "has no blades"),
        ((knife(0.3, accel=3.0),), False, "has no accel"),
        ((saw(0.5),), True, "too short"),
        ((marks(0.1, window=1.0),), True, "longer than from mark to mark"),
        ((marks(-0.4),), True, "turn back"),
        ((marks(0.1),), False, "diameter is missing"),
        ((marks(0.1, diameter=0.1),), True, "no meaning"),
        ((knife(0.3, by=1.0),), False, "Leave by and to out"),
        ((PhaseSpec(do="run", speed=1.0, time=1.0), saw(2.0)), True, "to rest first"),
    ],
)
def test_what_cannot_be_followed_is_told(specs, linear, words):
    assert words in faults(*specs, linear=linear)


def test_a_distance_that_agrees_is_no_fault():
    assert build(knife(0.3, by=2 * pi)).net_travel == pytest.approx(2 * pi)
