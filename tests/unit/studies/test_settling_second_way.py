"""One motion of the lift once more: data by hand, a general solver between the samples."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from dutyline.app.settle import settle
from dutyline.axis.equipment import Control
from dutyline.axis.model import Require
from dutyline.physics.gears import mesh_efficiency
from support import axes
from support.judged import PARTS, changed, judged, lift, stocked

RADIUS, RATIO, GRAVITY, RATE, BELT = 0.0305, 6.0, 9.80665, 2000.0, 2e6
PER = RADIUS / RATIO
"""[m] of the load per radian of the motor"""


@pytest.mark.slow
@pytest.mark.parametrize("fed", [0.0, 0.7])
def test_up_by_a_general_solver(fed):
    """RK45 between the samples of a loop at 2 kHz; weight, play, friction and losses in it."""
    axis = lift(require=Require(position=0.0005, settle=0.5))
    (stage,) = axis.train.chain.stages
    axis = axes.swap(axis, stages=[replace(stage, stiffness=BELT)])
    axis = replace(axis, equipment=replace(axis.equipment, control=Control(feed_forward=fed)))
    line = changed(stocked(), "drive", PARTS.drive, velocity_loop=RATE)
    found = settle(judged(axis, line)).runs[0]

    motor = line.motors[line.motor_index[PARTS.motor]]
    head = line.gearheads[line.gearhead_index[PARTS.gearhead]]
    j1 = motor.inertia_with_brake + head.inertia_in
    j2 = (19.0 * RADIUS**2 + 5.8e-4) / RATIO**2
    k = PER**2 / (1 / BELT + RADIUS**2 / head.stiffness)
    d = 2 * 0.03 * math.sqrt(k * j1 * j2 / (j1 + j2))
    half, weight, rub = head.backlash * RATIO / 2, 19.0 * GRAVITY * PER, 35.0 * PER
    mesh = float(mesh_efficiency(head.efficiency, RATIO, head.no_load_torque, head.torque_rated))
    lost = 1 - 0.97 * mesh
    pulley = 5.8e-4 / RADIUS**2
    k1, k2 = BELT, head.stiffness / RADIUS**2
    b = 19.0 * (k1 + k2) + pulley * k1
    swing = math.sqrt((b - math.sqrt(b * b - 4 * 19.0 * pulley * k1 * k2)) / (2 * 19.0 * pulley))
    w = min(0.3 * swing, 1 / (2 * (1.5 / RATE + 3.5e-4)))
    gain, inner, integral = w / 4, w * (j1 + j2), 4 / w

    def pull(a, b, u, v):
        bent = a - b
        bent = math.copysign(max(abs(bent) - half, 0.0), bent)
        if bent == 0.0:
            return 0.0
        torque = k * bent + d * (u - v)
        return torque if torque * bent > 0 else 0.0

    def flow(_, x, held):
        a, b, u, v, torque = x
        spring = pull(a, b, u, v)
        brake = (rub + lost * abs(spring)) * math.tanh(v / 0.02)
        return [u, v, (torque - spring) / j1, (spring - weight - brake) / j2,
                (held - torque) / 3.5e-4]  # fmt: skip

    pieces = [p for p in axis.cycle.pieces if p.phase == 0]

    def reference(t):
        for piece in pieces:
            if t <= piece.end + 1e-12:
                tau = min(max(t - piece.start, 0.0), piece.duration)
                return float(piece.position(tau)) / PER, float(piece.speed(tau)) / PER
        return 0.7 / PER, 0.0

    sag = weight / k + half
    state = np.array([0.0, -sag, 0.0, 0.0, weight])
    held, total, errors = weight, weight * integral / inner, []
    for step in range(round(0.9 * RATE) + 1):
        place, speed = reference(step / RATE)
        errors.append((place - state[1] - sag) * PER)
        wrong = gain * (place - state[0]) + fed * speed - state[2]
        command = inner * (wrong + total / integral)
        total += wrong / RATE
        state = solve_ivp(flow, (0, 1 / RATE), state, args=(held,), rtol=1e-7, atol=1e-9).y[:, -1]
        held = command
    errors = np.array(errors)
    assert found.time[0] == pytest.approx(-0.5)
    assert found.error == pytest.approx(errors[: found.error.size], abs=0.01 * errors.max())
    outside = np.nonzero(np.abs(errors) > 0.0005)[0][-1]
    assert found.settle == pytest.approx(outside / RATE - 0.5, rel=0.02, abs=1.1 / RATE)
