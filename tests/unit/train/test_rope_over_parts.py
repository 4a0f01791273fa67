"""Inertia of a rope over several parts, by the kinetic energy of every piece of it."""

from __future__ import annotations

import numpy as np
import pytest

from dutyline.axis.read import read_axis
from dutyline.demand.output import output_demand

G = 9.80665
HOIST = """
schema = 1
[axis]
title = "Hoist"
[load]
mass = "40 kg"
[mechanism]
kind = "hoist"
diameter = "200 mm"
parts = PARTS
rope_mass = "0.8 kg/m"
rope_length = "24 m"
efficiency = 1
[[phase]]
do = "move"
by = "6 m"
time = "3 s"
[[phase]]
do = "move"
by = "-6 m"
time = "3 s"
"""
LENGTH, MASS = 24.0, 0.8


def energy(x: float, v: float, parts: int) -> float:
    """Kinetic energy of load and rope, the parts at the speeds of a tackle and the drum's turns at
    that of the lead line."""
    speeds = {1: [1], 2: [0, 2], 3: [1, 1, 3], 4: [0, 2, 2, 4]}[parts]
    each = LENGTH / parts - x
    rope = sum(MASS * each * (s * v) ** 2 / 2 for s in speeds)
    return 40 * v**2 / 2 + rope + MASS * parts * x * (parts * v) ** 2 / 2


@pytest.mark.parametrize("parts", [1, 2, 3, 4])
def test_torque_is_the_change_of_energy(parts):
    """Power at the drum is that of weight and kinetic energy, by differences over the motion."""
    out = output_demand(read_axis("axis.toml", text=HOIST.replace("PARTS", str(parts))))
    nodes = out.nodes
    reach = 0.1 / parts
    step = 1e-5
    for k in range(0, nodes.time.size, 7):
        x, v, a = nodes.position[k], nodes.speed[k] * reach, nodes.acceleration[k] * reach
        if abs(v) < 0.05:
            continue
        later = energy(x + v * step + a * step**2 / 2, v + a * step, parts)
        before = energy(x - v * step + a * step**2 / 2, v - a * step, parts)
        weight = (40 + MASS * (LENGTH - parts * x)) * G
        power = (later - before) / (2 * step) + weight * v
        assert nodes.torque[k] * nodes.speed[k] == pytest.approx(power, rel=1e-6), (x, v)


def test_one_part_moves_alike_on_the_drum():
    out = output_demand(read_axis("axis.toml", text=HOIST.replace("PARTS", "1")))
    assert out.inertia_min == pytest.approx(out.inertia_max)
    assert out.inertia_max == pytest.approx((40 + MASS * LENGTH) * 0.01)
    assert np.isclose(out.balance, 0.0, atol=1e-9)
