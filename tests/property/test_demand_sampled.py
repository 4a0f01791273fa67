"""Demand of tables and of tools that follow a line, against sampling with scipy.

The second way knows no pieces: it evaluates scipy's spline, or the closed form of the tool, at many
instants, and the torque of a simple train by hand.
"""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import assume
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline

from dutyline.demand.output import output_demand
from dutyline.motion.faults import MotionFaults
from dutyline.motion.specs import PhaseSpec
from dutyline.train.records import Burden, Load
from support import axes
from support.laws import law, often

pytestmark = pytest.mark.property

RADIUS, MASS, RUB = 0.03, 8.0, 12.0
COUNT = 40_000


def by_hand(speed, accel, *, inertia=MASS, radius=RADIUS, friction=RUB):
    return radius * (inertia * accel + friction * np.sign(speed))


def energy(power, step):
    return float(np.clip(power, 0.0, None).sum() * step)


@law(
    st.lists(st.floats(-1.0, 1.0), min_size=6, max_size=14),
    st.floats(0.3, 3.0),
    st.booleans(),
)
def test_a_table_that_is_the_whole_cycle(heights, whole, timed):
    """Peak, rms and energy of the periodic spline of scipy."""
    place = 0.05 * np.array([*heights, heights[0]])
    assume(np.ptp(place) > 1e-3)
    time = np.linspace(0.0, whole, place.size)
    theirs = CubicSpline(time, place, bc_type="periodic")
    leader = {} if timed else {"over": "leader", "leader_speed": 2.0}
    rows = tuple(zip(time if timed else 2.0 * time, place, strict=True))
    axis = axes.make(
        Load(True, Burden(inertia=MASS, friction=RUB, mass=MASS)),
        [axes.stage(RADIUS, linear_out=True)],
        [PhaseSpec(do="table", samples=rows, **leader)],
    )
    out = output_demand(axis)
    step = whole / COUNT
    at = (np.arange(COUNT) + 0.5) * step
    torque = by_hand(theirs(at, 1), theirs(at, 2))
    assert out.rms_torque == pytest.approx(np.sqrt(np.mean(torque**2)), rel=2e-3)
    knots = by_hand(theirs(time, 1), theirs(time, 2))
    largest = max(np.abs(torque).max(), np.abs(knots).max())
    assert out.peak_torque == pytest.approx(largest, rel=1e-3)
    power = torque * theirs(at, 1) / RADIUS
    assert out.energy_motoring == pytest.approx(energy(power, step), rel=2e-3)


@law(st.floats(0.15, 0.9), st.floats(0.3, 2.0), st.floats(0.0, 1.0), st.integers(1, 2))
def test_a_rotary_knife(length, line, sync, blades):
    """3-4-5 polynomial on top of the synchronous speed, evaluated as numpy polynomials."""
    radius, inertia, drag = 0.08, 0.05, 1.5
    spec = PhaseSpec(
        do="follow", tool="rotary-knife", line_speed=line, length=length, sync=sync,
        diameter=2 * radius, blades=blades, law="quintic",
    )  # fmt: skip
    load = Load(False, Burden(inertia=inertia, friction=drag))
    try:
        axis = axes.make(load, [axes.stage(0.25)], [spec], endless=True)
    except MotionFaults:
        assume(False)
    out = output_demand(axis)
    speed, whole = line / radius, length / line
    back = whole - sync / speed
    extra = 2 * pi / blades - speed * whole
    step = whole / COUNT
    at = (np.arange(COUNT) + 0.5) * step
    z = np.clip((at - sync / speed / 2) / back, 0.0, 1.0)
    rate = speed + extra / back * 30 * z**2 * (1 - z) ** 2
    accel = extra / back**2 * 60 * z * (1 - z) * (1 - 2 * z)
    torque = by_hand(rate, accel, inertia=inertia, radius=0.25, friction=drag)
    assert out.rms_torque == pytest.approx(np.sqrt(np.mean(torque**2)), rel=1e-5)
    assert out.peak_torque == pytest.approx(np.abs(torque).max(), rel=1e-4)
    assert out.energy_motoring == pytest.approx(energy(torque * rate / 0.25, step), rel=1e-4)
    assert out.mean_speed == pytest.approx(2 * pi / blades / whole / 0.25)


@law(st.floats(0.3, 2.0), st.floats(2.0, 20.0), st.floats(0.05, 0.6), st.floats(1.02, 3.0))
def test_a_flying_cut(line, accel, sync, longer):
    """Ramps, line speed and a way back at the same acceleration: sums of rectangles."""
    stroke = line**2 / accel + sync
    least = 2 * line / accel + sync / line + 2 * np.sqrt(stroke / accel)
    whole = longer * least
    spec = PhaseSpec(do="follow", tool="flying-cut", line_speed=line, length=line * whole,
                     sync=sync, accel=accel)  # fmt: skip
    load = Load(True, Burden(inertia=MASS, friction=RUB, mass=MASS))
    out = output_demand(axes.make(load, [axes.stage(RADIUS, linear_out=True)], [spec]))
    rest = whole - 2 * line / accel - sync / line
    back = accel * rest / 2 * (1 - np.sqrt(1 - 4 * stroke / (accel * rest**2)))
    squares = 0.0
    for up, ramp, steady in ((line, line / accel, sync / line), (back, back / accel, None)):
        quiet = rest - 2 * ramp if steady is None else steady
        high, low = MASS * accel + RUB, -MASS * accel + RUB
        squares += ramp * (high**2 + low**2) + quiet * RUB**2
        assert up > 0
    assert out.rms_torque == pytest.approx(RADIUS * np.sqrt(squares / whole), rel=1e-6)
    assert out.peak_torque == pytest.approx(RADIUS * (MASS * accel + RUB), rel=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("known", often(globals()), ids=lambda k: k.__name__[5:])
def test_on_many_inputs(known):
    """Every law of this module on many more inputs."""
    known.often()
