"""Resonance and anti-resonance of the real chain against two general libraries.

python-control gives poles and zeros of the motor's answer to its torque, from a model in state
space or as a transfer function; scipy.linalg.eigh the frequencies of rows of several masses.
"""

from __future__ import annotations

import math
from dataclasses import replace

import control
import numpy as np
import pytest
from scipy.linalg import eigh

from dutyline.axis.equipment import Equipment
from dutyline.axis.model import Require
from dutyline.catalogue.library import demo_line
from dutyline.physics.oscillation import (
    chain_frequencies,
    free_frequency,
    locked_chain_frequency,
    locked_frequency,
)
from dutyline.train.records import Burden, Chain
from support import axes
from support.judged import PARTS, judged, lift, line_of, stocked

pytestmark = pytest.mark.published

RADIUS, RATIO = 0.0305, 6.0
LINE = demo_line()
MOTOR = LINE.motors[LINE.motor_index[PARTS.motor]]
HEAD = LINE.gearheads[LINE.gearhead_index[PARTS.gearhead]]
OWN = MOTOR.inertia_with_brake + HEAD.inertia_in


def row(inertias, springs) -> control.StateSpace:
    """Torque at the last rotor of a free row in, its speed out; states are angles and speeds."""
    n = len(inertias)
    stiffness = np.zeros((n, n))
    for k, spring in enumerate(springs):
        stiffness[k : k + 2, k : k + 2] += spring * np.array([[1.0, -1.0], [-1.0, 1.0]])
    a = np.zeros((2 * n, 2 * n))
    a[:n, n:] = np.eye(n)
    a[n:, :n] = -stiffness / np.asarray(inertias, dtype=float)[:, None]
    b, c = np.zeros((2 * n, 1)), np.zeros((1, 2 * n))
    b[-1, 0], c[0, -1] = 1.0 / inertias[-1], 1.0
    return control.ss(a, b, c, 0.0)


def swings(roots) -> np.ndarray:
    """[Hz] of the complex roots, rising."""
    up = roots[roots.imag > 1e-3 * np.abs(roots).max()]
    return np.sort(np.abs(up)) / (2 * math.pi)


@pytest.mark.parametrize(("motor", "load", "spring"), [
    (5e-5, 2e-4, 28.424), (1.0, 2.0, 800.0), (4.7e-5, 9e-3, 3.1),
])  # fmt: skip
def test_two_masses_as_a_transfer_function(motor, load, spring):
    """w(s)/T(s) = (J_L s^2 + k)/(s (J_M J_L s^2 + k (J_M + J_L)))."""
    plant = control.tf([load, 0, spring], [motor * load, 0, spring * (motor + load), 0])
    (zero,), (pole,) = swings(plant.zeros()), swings(plant.poles())
    assert float(locked_frequency(spring, load)) == pytest.approx(zero, rel=1e-9)
    assert float(free_frequency(spring, load, motor)) == pytest.approx(pole, rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_rows_of_masses_in_state_space(seed):
    """Two to six rotors of sizes by chance: lowest zero with the motor held, all poles free."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 7))
    inertias, springs = 10 ** rng.uniform(-4, -1, count), 10 ** rng.uniform(1, 4, count - 1)
    plant = row(inertias, springs)
    assert chain_frequencies(inertias, springs) == pytest.approx(swings(plant.poles()), rel=1e-5)
    held = locked_chain_frequency(inertias[:-1], springs)
    assert held == pytest.approx(swings(plant.zeros())[0], rel=1e-5)


def lumps(heavy: float, head_spring: float) -> tuple[list[float], list[float]]:
    """Load, belt pulley with gear wheel, pinion, motor; referred to the load by hand [kg, N/m]."""
    half = RADIUS / 2  # the load moves so far per radian of the gearhead's output
    masses = [heavy, (5.8e-4 + 4e-4) / RADIUS**2, 3e-5 / half**2, OWN * RATIO**2 / half**2]
    return masses, [4e5, 900.0 / RADIUS**2, head_spring / half**2]


def geared():
    """The lift with a soft belt and a gear pair in front of its gearhead."""
    axis = lift(require=Require(position=0.0005, bandwidth=200.0))
    (belt,) = axis.train.chain.stages
    pair = axes.stage(1 / 2, 0.97, inertia_in=3e-5, inertia_out=4e-4, stiffness=900.0)
    return axes.swap(axis, stages=[replace(belt, stiffness=4e5), pair])


def test_real_chain_of_a_verdict():
    """The figures and the line of a verdict: zero and pole of the motor's answer."""
    verdict = judged(geared(), stocked())
    masses, springs = lumps(19.0, HEAD.stiffness)
    plant = row(masses, springs)
    own = verdict.demand["control"]
    assert own["locked_frequency"] == pytest.approx(swings(plant.zeros())[0], rel=1e-6)
    assert own["resonance"] == pytest.approx(swings(plant.poles())[0], rel=1e-6)
    line = line_of(verdict, "first-resonance")
    assert line.limit == pytest.approx(0.3 * 2 * math.pi * swings(plant.zeros())[0], rel=1e-6)


def test_real_chain_by_generalised_eigenvalues():
    verdict = judged(geared(), stocked())
    masses, springs = lumps(19.0, HEAD.stiffness)
    stiffness = np.zeros((4, 4))
    for k, spring in enumerate(springs):
        stiffness[k : k + 2, k : k + 2] += spring * np.array([[1.0, -1.0], [-1.0, 1.0]])
    free = np.sqrt(np.maximum(eigh(stiffness, np.diag(masses), eigvals_only=True), 0.0))
    held = eigh(stiffness[:3, :3], np.diag(masses[:3]), eigvals_only=True)
    own = verdict.demand["control"]
    assert own["resonance"] == pytest.approx(free[1] / (2 * math.pi), rel=1e-6)
    assert own["locked_frequency"] == pytest.approx(math.sqrt(held[0]) / (2 * math.pi), rel=1e-6)


def test_counterweight_swings_along():
    """A further load on the shaft of the belt counts there, over the square of its ratio."""
    weight = Chain(axes.Load(True, Burden(inertia=15.0, mass=15.0)),
                   (axes.stage(RADIUS, linear_out=True),))  # fmt: skip
    axis = geared()
    belt, pair = axis.train.chain.stages
    hung = axes.swap(axis, stages=[replace(belt, joined=(weight,)), pair])
    masses, springs = lumps(19.0, HEAD.stiffness)
    masses[1] += 15.0
    plant = row(masses, springs)
    own = judged(hung, stocked()).demand["control"]
    assert own["locked_frequency"] == pytest.approx(swings(plant.zeros())[0], rel=1e-6)
    assert own["resonance"] == pytest.approx(swings(plant.poles())[0], rel=1e-6)


def test_direct_drive_has_no_resonance():
    table = axes.make(axes.Load(False, Burden(inertia=2e-3)), [],
                      [axes.move(1.0, 0.2), axes.dwell(0.3), axes.move(-1.0, 0.2), axes.dwell(0.3)],
                      require=Require(bandwidth=300.0), equipment=Equipment())  # fmt: skip
    verdict = judged(table, LINE, replace(PARTS, gearhead=None))
    line = line_of(verdict, "first-resonance")
    assert (line.limit, line.state) == (math.inf, "meets")
    assert verdict.demand["control"]["resonance"] in (None, math.inf)
