"""Stops in which weight or inertia change on the way, marched through time by scipy's integrator.

Masses, levers and the places of the motion are worked out by hand from the axis files below; data
of the parts are read as they stand in the product line.
"""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import dutyline as dl
from support.judged import PARTS, judged, line_of, stocked

G = 9.80665
HEAD = """
schema = 1
[axis]
title = "Stop"
[site]
mains = "230 V"
phases = 3
people_near = false
"""
HOIST = (
    HEAD
    + """
[load]
mass = "9 kg"
[mechanism]
kind = "hoist"
diameter = "80 mm"
efficiency = 1
rope_mass = "0.6 kg/m"
rope_length = "1 m"
[[phase]]
name = "down"
do = "move"
by = "-12 m"
time = "8 s"
[[phase]]
name = "up"
do = "move"
by = "12 m"
time = "40 s"
[stop]
free_distance = "3 m"
reaction = "0.3 s"
"""
)
ARM = (
    HEAD
    + """
[load]
inertia = "1.2 kg*m^2"
mass = "8 kg"
arm = "0.35 m"
angle = "ANGLE"
[mechanism]
kind = "swing-arm"
efficiency = 1
[[phase]]
name = "there"
do = "move"
by = "BY"
time = "0.7 s"
[[phase]]
name = "back"
do = "move"
by = "BACK"
time = "4 s"
[stop]
free_distance = "300 deg"
reaction = "0.15 s"
[[stage]]
kind = "reduction"
ratio = 3
efficiency = 1
"""
)
CRANK = (
    HEAD
    + """
[load]
mass = "60 kg"
[mechanism]
kind = "slider-crank"
crank = "90 mm"
rod = "200 mm"
inertia = "0.02 kg*m^2"
efficiency = 1
start_angle = "20 deg"
[[phase]]
name = "turn"
do = "move"
by = "360 deg"
time = "0.9 s"
[[phase]]
name = "wait"
do = "dwell"
time = "0.3 s"
hold = "off"
[stop]
free_distance = "400 deg"
reaction = "20 ms"
[[stage]]
kind = "reduction"
ratio = 2
efficiency = 1
"""
)


def parts():
    line = stocked()
    return (line.motors[line.motor_index[PARTS.motor]],
            line.gearheads[line.gearhead_index[PARTS.gearhead]],
            line.brakes[line.brake_index[PARTS.brake]])  # fmt: skip


def trapezoid(by: float, whole: float):
    """Place, speed over time of a move in three equal parts."""
    top = 1.5 * by / whole

    def at(t):
        a = top / (whole / 3)
        if t < whole / 3:
            return a * t**2 / 2, a * t
        if t < 2 * whole / 3:
            return top * (t - whole / 6), top
        left = whole - t
        return by - a * left**2 / 2, a * left

    return at


def march(start, speed, slope, delay: float):
    """Angle at gripping, at rest and speed at gripping; ``slope(q, w, braked)`` is w' of the
    shaft."""
    fall = solve_ivp(lambda t, y: [y[1], slope(y[0], y[1], 0.0)], (0, delay), [start, speed],
                     rtol=1e-10, atol=1e-12)  # fmt: skip
    q, w = fall.y[:, -1]

    def rest(t, y):
        return y[1]

    rest.terminal = True
    way = np.sign(w)
    if w == 0:
        return q, q, 0.0
    stop = solve_ivp(lambda t, y: [y[1], slope(y[0], y[1], -way)], (0, 20), [q, w],
                     events=rest, rtol=1e-10, atol=1e-12)  # fmt: skip
    return q, float(stop.y_events[0][0][0]), float(w)


def worst(start: float, moves, slope, delay: float):
    """Largest way from the loss of power either way, angle braked and speed at gripping, over
    instants of motions of the shaft."""
    ways, braked, fast = [], [], []
    for at, times in moves:
        for t in times:
            q0, w0 = (start + at(t)[0], at(t)[1])
            q1, q2, w1 = march(q0, w0, slope, delay)
            ways.append(abs(q2 - q0))
            braked.append(abs(q2 - q1))
            fast.append(abs(w1))
    return max(ways), max(braked), max(fast)


def there_and_back(by: float, times: tuple[float, float], count: int):
    """Both moves and the instants looked at; a stop from rest among them."""
    first, second = trapezoid(by, times[0]), trapezoid(-by, times[1])
    return [
        (first, np.linspace(0.0, times[0], count)),
        (lambda t: (by + second(t)[0], second(t)[1]), np.linspace(0.0, times[1], count)),
    ]


def found(text: str):
    verdict = judged(dl.read_axis("axis.toml", text=text), stocked())
    return (line_of(verdict, "brake-stop-distance").demand,
            line_of(verdict, "brake-stop-energy").demand,
            line_of(verdict, "brake-speed").demand)  # fmt: skip


def test_a_rope_gets_heavier_while_it_pays_out():
    motor, gear, brake = parts()
    own = (motor.inertia_with_brake + gear.inertia_in) * gear.ratio**2
    radius, hold = 0.04, 0.8 * brake.torque_static * gear.ratio
    inertia = own + (9 + 0.6) * radius**2

    def slope(q, w, way):
        return (-(9 + 0.6 * (1 - q * radius)) * G * radius + way * hold) / inertia

    moves = there_and_back(-12 / radius, (8.0, 40.0), 61)
    way, braked, fast = worst(0.0, moves, slope, brake.engage_time + 0.3)
    distance, work, speed = found(HOIST)
    assert distance == pytest.approx(way * radius, rel=1e-5)
    assert work == pytest.approx(braked * hold, rel=1e-5)
    assert speed == pytest.approx(fast * gear.ratio, rel=1e-5)


@pytest.mark.parametrize(
    ("angle", "by"),
    [(80.0, -60.0), (-10.0, -60.0), (60.0, 40.0)],
    ids=["falling on", "past the lowest place", "over the top"],
)
def test_an_arm_is_followed_as_far_as_it_goes(angle, by):
    motor, gear, brake = parts()
    ratio = gear.ratio * 3
    inertia = (motor.inertia_with_brake + gear.inertia_in) * ratio**2 + 1.2
    hold = 0.8 * brake.torque_static * ratio

    def slope(q, w, way):
        return (-8 * G * 0.35 * np.cos(q) + way * hold) / inertia

    moves = there_and_back(np.radians(by), (0.7, 4.0), 73)
    way, braked, fast = worst(np.radians(angle), moves, slope, brake.engage_time + 0.15)
    text = ARM.replace("ANGLE", f"{angle} deg").replace("BY", f"{by} deg")
    distance, work, speed = found(text.replace("BACK", f"{-by} deg"))
    assert distance == pytest.approx(way, rel=1e-3)
    assert work == pytest.approx(braked * hold, rel=1e-3)
    assert speed == pytest.approx(fast * ratio, rel=1e-3)


def test_a_crank_is_stopped_with_the_inertia_of_every_place():
    """J(q) of the slider by differences of its place, the law of energy kept in a / w form."""
    motor, gear, brake = parts()
    ratio = gear.ratio * 2
    own = (motor.inertia_with_brake + gear.inertia_in) * ratio**2 + 0.02
    hold = 0.8 * brake.torque_static * ratio
    step = 1e-4

    def place(q):
        return 0.09 * np.cos(q) + np.sqrt(0.2**2 - (0.09 * np.sin(q)) ** 2)

    def slope(q, w, way):
        first = (place(q + step) - place(q - step)) / (2 * step)
        second = (place(q + step) - 2 * place(q) + place(q - step)) / step**2
        return (-60 * first * second * w**2 + way * hold) / (own + 60 * first**2)

    moves = [(trapezoid(2 * np.pi, 0.9), np.linspace(0.1, 0.8, 141))]
    way, braked, fast = worst(np.radians(20), moves, slope, brake.engage_time + 0.02)
    distance, work, speed = found(CRANK)
    assert distance == pytest.approx(way, rel=1e-3)
    assert work == pytest.approx(braked * hold, rel=1e-3)
    assert speed == pytest.approx(fast * ratio, rel=1e-3)


def test_the_gearhead_feels_an_arm_on_the_whole_way():
    """Largest torque at its output, from both free bodies, while the brake at its strongest stops
    the arm: marched from many instants."""
    motor, gear, brake = parts()
    own, ratio = motor.inertia_with_brake + gear.inertia_in, gear.ratio * 3
    load, hold = 1.2 / 9, 1.5 * brake.torque_static * gear.ratio
    share = load / (load + own * gear.ratio**2)
    moves = there_and_back(np.radians(-60), (0.7, 4.0), 73)

    def pull(q, way):
        return -8 * G * 0.35 * np.cos(q) / 3 * way

    worst = 0.0
    for at, times in moves:
        for t in times[1:-1]:
            q0, w0 = np.radians(80) + at(t)[0], at(t)[1]
            way = np.sign(w0)

            def slope(_, y, way=way):
                arm = -8 * G * 0.35 * np.cos(y[0]) - way * hold * 3
                return [y[1], arm / (1.2 + own * ratio**2)]

            def rest(_, y):
                return y[1]

            rest.terminal = True
            run = solve_ivp(slope, (0, 5), [q0, w0], events=rest, rtol=1e-9, max_step=2e-3)
            torque = share * hold + (1 - share) * pull(run.y[0], way)
            worst = max(worst, float(np.abs(torque).max()))
    text = ARM.replace("ANGLE", "80 deg").replace("BY", "-60 deg").replace("BACK", "60 deg")
    verdict = judged(dl.read_axis("axis.toml", text=text), stocked())
    assert line_of(verdict, "brake-gear-load").demand == pytest.approx(worst, rel=2e-3)


def test_the_drive_stops_an_arm_against_its_weight_further_on():
    """Reaction at speed, then the torque at that speed against what the arm weighs on the way."""
    motor, gear, _ = parts()
    line = stocked()
    ratio = gear.ratio * 3
    inertia = (motor.inertia_with_brake + gear.inertia_in) * ratio**2 + 1.2
    curve = next(c for c in line.curves if (c.motor, c.kind, c.mains) ==
                 (motor.name, "peak", 230.0))  # fmt: skip
    worst = 0.0
    for at, times in there_and_back(np.radians(-60), (0.7, 4.0), 73):
        for t in times[1:-1]:
            q0, w0 = np.radians(80) + at(t)[0], at(t)[1]
            torque = min(float(np.interp(abs(w0) * ratio, curve.speed, curve.torque)),
                         motor.torque_peak, gear.torque_acceleration / gear.ratio)  # fmt: skip
            way = np.sign(w0)

            def slope(_, y, way=way, torque=torque):
                return [y[1], (-8 * G * 0.35 * np.cos(y[0]) - way * torque * ratio) / inertia]

            def rest(_, y):
                return y[1]

            rest.terminal = True
            run = solve_ivp(slope, (0, 9), [q0 + 0.15 * w0, w0], events=rest, rtol=1e-10)
            worst = max(worst, abs(float(run.y_events[0][0][0]) - q0))
    text = ARM.replace("ANGLE", "80 deg").replace("BY", "-60 deg").replace("BACK", "60 deg")
    found = line_of(judged(dl.read_axis("axis.toml", text=text), line), "stop-distance")
    assert found.demand == pytest.approx(worst, rel=1e-3)


WILD = """\
schema = 1
[axis]
title = "Rocker"
[load]
inertia = "0.05 kg*m^2"
[mechanism]
kind = "four-bar"
crank = "40 mm"
coupler = "140 mm"
rocker = "100 mm"
ground = "150 mm"
[[phase]]
do = "run"
speed = "900000 r/min"
turns = 1
[site]
mains = "230 V"
phases = 3
"""


@pytest.mark.parametrize(
    "parts", [("XM88-0800H", "XG88-9", "XB88"), ("XM148-3000H", None, "XB148")]
)
def test_a_stop_that_leaves_all_numbers_behind_fails_and_warns_of_nothing(parts):
    motor, gearhead, brake = parts
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        axis = dl.read_axis("rocker.toml", text=WILD)
        verdict = dl.verify(axis, dl.Combination(motor, gearhead, brake=brake))
    stops = [line for line in verdict.ledger if line.check.startswith("brake-stop")]
    assert stops
    assert {line.state for line in stops} == {"fails"}
