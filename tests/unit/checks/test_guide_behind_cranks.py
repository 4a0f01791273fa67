"""Carriages of slides that a crank, a yoke, a toggle or a cam presses sideways.

The rod is worked out from its places alone, by differences in time.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from dutyline.axis.read import read_axis
from dutyline.demand.carriages import carriage_loads
from dutyline.demand.output import output_demand
from support.judged import PARTS, judged, line_of, stocked

G = 9.80665
HEAD = 'schema = 1\n[axis]\ntitle = "Made"\n[site]\nmains = "230 V"\nphases = 3\n'
MASS = '[load]\nmass = "8 kg"\nfriction = 0\n'
GUIDE = """
[guide]
kind = "ball"
carriages = 4
spacing = ["240 mm", "180 mm"]
dynamic_rating = "9 kN"
static_rating = "14 kN"
rating_travel = "50 km"
mass_at = ["0 mm", "0 mm", "0 mm"]
drive_at = ["0 mm", "0 mm"]
"""
TURN = '\n[[phase]]\ndo = "run"\nspeed = "150 r/min"\nturns = 1\n'
SPEED = 5 * math.pi
RADIUS, ROD, OFFSET = 0.05, 0.18, 0.01
CRANK = (
    'kind = "slider-crank"\ncrank = "50 mm"\nrod = "180 mm"\noffset = "10 mm"\n'
    'rod_mass = "1.5 kg"\nrod_cg = "70 mm"\nrod_inertia = "6e-3 kg*m^2"\n'
)


def made(mechanism: str, guide: str = GUIDE, load: str = MASS):
    return read_axis("made.toml", text=f"{HEAD}{load}[mechanism]\n{mechanism}{TURN}{guide}")


def loads(axis) -> tuple[float, float]:
    """Largest load of a carriage, and its cubic mean over the way."""
    found = carriage_loads(output_demand(axis), axis.equipment.guide)
    return found.largest, found.mean(3.0)


def rod_at(q):
    """Pin of the crank, pin of the slide, centre of the rod, angle of the rod."""
    pin = np.array([RADIUS * np.cos(q), RADIUS * np.sin(q)])
    slide = np.array([pin[0] + np.sqrt(ROD**2 - (pin[1] + OFFSET) ** 2), -OFFSET])
    return pin, slide, pin + 70 / 180 * (slide - pin), np.arctan2(*(slide - pin)[::-1])


def across(q: float, mass: float, rod_mass: float, rod_inertia: float) -> tuple[float, float]:
    """Force of the rod on the slide across the travel, and speed of the slide."""
    step = 2e-5

    def fast(part):
        before, here, after = (rod_at(q + k * step * SPEED)[part] for k in (-1, 0, 1))
        return (after - 2 * here + before) / step**2

    pin, slide, centre, _ = rod_at(q)
    push = mass * fast(1)[0]
    own = rod_mass * (fast(2) + np.array([0.0, G]))
    arm, lever = centre - pin, slide - pin
    moment = rod_inertia * fast(3) + arm[0] * own[1] - arm[1] * own[0]
    # about the crank pin: lever x (-push, -side) = moment
    side = (lever[1] * push - moment) / lever[0]
    speed = (rod_at(q + step)[1][0] - rod_at(q - step)[1][0]) / (2 * step) * SPEED
    return float(side), float(speed)


@pytest.mark.parametrize("rod", [(1.5, 6e-3), (0.0, 0.0)])
def test_a_rod_presses_the_slide_sideways(rod):
    text = CRANK
    if rod[0] == 0.0:
        text = "".join(ln for ln in CRANK.splitlines(True) if not ln.startswith("rod_"))
    largest, mean = loads(made(text))
    q = np.linspace(0.0, 2 * np.pi, 4001)
    found = np.array([across(a, 8.0, *rod) for a in q])
    each = 8 * G / 4 + np.abs(found[:, 0]) / 4
    way = np.abs(found[:, 1])
    assert largest == pytest.approx(each.max(), rel=1e-5)
    assert mean == pytest.approx((np.sum(each**3 * way) / way.sum()) ** (1 / 3), rel=1e-3)


def test_a_yoke_turns_its_slide():
    """Force m r w^2 cos q at the pin, r sin q beside the middle, borne over the spacing."""
    largest, _ = loads(made('kind = "scotch-yoke"\ncrank = "50 mm"\n'))
    q = np.linspace(0.0, 2 * np.pi, 4001)
    couple = np.abs(8 * RADIUS * SPEED**2 * np.cos(q) * RADIUS * np.sin(q))
    assert largest == pytest.approx(8 * G / 4 + couple.max() / (2 * 0.24), rel=1e-4)


def test_a_cam_presses_its_follower_sideways():
    """F tan d with tan d = s'/(s + r)."""
    text = (
        'kind = "cam"\nbase_diameter = "80 mm"\nsections = [{ angle = "180 deg", lift = "20 mm", '
        'law = "cycloid" }, { angle = "180 deg", lift = "-20 mm", law = "cycloid" }]\n'
    )
    largest, _ = loads(made(text))
    z = np.linspace(0.0, 1.0, 20001)
    lift = 0.02 * (z - np.sin(2 * np.pi * z) / (2 * np.pi))
    slope = 0.02 / np.pi * (1 - np.cos(2 * np.pi * z))
    push = 8 * 0.02 * 2 * np.pi * np.sin(2 * np.pi * z) * (SPEED / np.pi) ** 2
    side = np.abs(push * slope / (lift + 0.04))
    assert largest == pytest.approx(8 * G / 4 + side.max() / 4, rel=1e-4)
    axis = made(text.replace('base_diameter = "80 mm"\n', ""))
    assert carriage_loads(output_demand(axis), axis.equipment.guide) is None


@pytest.mark.slow
def test_lines_of_the_guide_behind_a_crank():
    """A stop by the brake at its strongest from any angle, marched, stays within the bound."""
    axis = made("".join(ln for ln in CRANK.splitlines(True) if not ln.startswith("rod_")))
    verdict = judged(axis, stocked())
    life, line = line_of(verdict, "guide-life"), line_of(verdict, "guide-static")
    assert (life.state, life.severity, line.severity) == ("meets", "must", "must")
    shelf = stocked()
    motor = shelf.motors[shelf.motor_index[PARTS.motor]]
    gear = shelf.gearheads[shelf.gearhead_index[PARTS.gearhead]]
    brake = shelf.brakes[shelf.brake_index[PARTS.brake]]
    own = (motor.inertia_with_brake + gear.inertia_in) * gear.ratio**2
    hold = max(1.5 * brake.torque_static, motor.torque_peak) * gear.ratio
    step = 1e-5

    def slopes(q):
        a, b, c = (rod_at(q + k * step)[1][0] for k in (-1, 0, 1))
        return (c - a) / (2 * step), (c - 2 * b + a) / step**2

    def slowing(q, w):
        first, second = slopes(q)
        return (-hold - 8 * first * second * w**2) / (own + 8 * first**2)

    worst = 0.0
    for start in np.linspace(0.0, 2 * np.pi, 73):
        run = solve_ivp(lambda t, y: [y[1], slowing(*y)], (0, 0.3), [start, SPEED], max_step=2e-3,
                        events=(event := lambda t, y: y[1]))  # fmt: skip
        del event
        for q, w in run.y.T:
            if w < 0:
                break
            first, second = slopes(q)
            push = 8 * (first * slowing(q, w) + second * w**2)
            pin, slide, _, _ = rod_at(q)
            worst = max(worst, abs(push * (slide - pin)[1] / (slide - pin)[0]))
    found = 14e3 / line.limit
    assert found >= 8 * G / 4 + worst / 4
    assert found < 2.5 * (8 * G / 4 + worst / 4)
