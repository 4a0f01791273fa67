"""Emergency stops of the lift a second way: equations of motion marched through time.

Data of the parts are read as they stand in the product line. The weights, inertias and speeds of
the lift are worked out by hand from its masses, its belt and its moves.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import dutyline as dl
from dutyline.axis.model import Stop, StopRamp
from support import axes, dense
from support.judged import PARTS, changed, judged, lift, line_of, lines_of, stocked

G = 9.80665
RADIUS, PULLEY, BELT = 0.0305, 5.8e-4, 0.97
FREE = (0.06, 0.09)
REACTION = 0.012


def parts_of(line, parts=PARTS):
    return (line.motors[line.motor_index[parts.motor]],
            line.gearheads[line.gearhead_index[parts.gearhead]],
            line.drives[line.drive_index[parts.drive]],
            line.brakes[line.brake_index[parts.brake]])  # fmt: skip


@cache
def bench(coil: str = "varistor"):
    axis = lift(stop=Stop(reaction=REACTION, drop=0.005, free_distance=FREE, coil=coil))
    return axis, lines_of(judged(axis, stocked()))


@cache
def top_speed(first: bool):
    """Peak speed of a move of the lift at the motor, by sampling it [rad/s]."""
    axis, _ = bench()
    found = dense.output_samples(axis, 2000)
    phase = axis.cycle.phases[0 if first else 2]
    own = (found.time >= phase.start) & (found.time <= phase.start + phase.duration)
    return float(np.abs(found.speed[own]).max()) * parts_of(stocked())[1].ratio


def whole(mass: float):
    """Inertia and weight torque at the motor of a mass on the belt."""
    motor, gear, _, _ = parts_of(stocked())
    load = (mass * RADIUS**2 + PULLEY) / gear.ratio**2
    return motor.inertia_with_brake + gear.inertia_in + load, mass * G * RADIUS / gear.ratio


def march(speed: float, mass: float, delay: float, hold: float, rises: bool = False):
    """Speed when the brake grips, angle until then, whole angle, work of the brake, time."""
    inertia, weight = whole(mass)
    pull = -weight if rises else weight
    fall = solve_ivp(lambda t, y: [y[1], pull / inertia], (0, delay), [0.0, speed], rtol=1e-10)
    ahead, fast = fall.y[:, -1]

    def rest(t, y):
        return y[1]

    rest.terminal, rest.direction = True, -1
    brake = solve_ivp(lambda t, y: [y[1], (pull - hold) / inertia], (0, 10), [ahead, fast],
                      events=rest, rtol=1e-10, atol=1e-12)  # fmt: skip
    end = float(brake.y_events[0][0][0])
    return float(fast), float(ahead), end, hold * (end - ahead), delay + float(brake.t_events[0][0])


def cases():
    """Down empty, up with the tray, and at rest with the tray: what may happen to the lift."""
    _, _, _, brake = parts_of(stocked())
    hold, delay = 0.8 * brake.torque_static, brake.engage_time + REACTION
    return [march(top_speed(False), 12.0, delay, hold),
            march(top_speed(True), 19.0, delay, hold, rises=True),
            march(0.0, 19.0, delay, hold)]  # fmt: skip


def test_friction_work_of_the_worst_stop():
    _, lines = bench()
    line = lines[("brake-stop-energy", "brake")]
    _, _, _, brake = parts_of(stocked())
    assert line.demand == pytest.approx(max(c[3] for c in cases()), rel=1e-5)
    assert (line.limit, line.severity) == (brake.work_per_stop, "must")


def test_stops_over_the_years():
    """100 a year for eight years against the total work over that of the worst stop."""
    _, lines = bench()
    line = lines[("brake-life", "brake")]
    _, _, _, brake = parts_of(stocked())
    assert line.demand == 800.0
    assert line.limit == pytest.approx(brake.work_total / max(c[3] for c in cases()), rel=1e-5)


def test_speed_when_the_brake_grips():
    _, lines = bench()
    line = lines[("brake-speed", "brake")]
    assert line.demand == pytest.approx(max(c[0] for c in cases()), rel=1e-6)
    assert line.limit == parts_of(stocked())[3].speed_max


def test_distance_by_the_brake():
    """Down and falling count against the room below, up against the room above."""
    _, lines = bench()
    line = lines[("brake-stop-distance", "brake")]
    reach = RADIUS / parts_of(stocked())[1].ratio
    down, up, fall = (c[2] * reach for c in cases())
    shares = {down / FREE[0]: (down, FREE[0]), up / FREE[1]: (up, FREE[1]),
              fall / FREE[0]: (fall, FREE[0])}  # fmt: skip
    distance, limit = shares[max(shares)]
    assert line.demand == pytest.approx(distance, rel=1e-5)
    assert (line.limit, line.severity) == (limit, "must")


def test_figures_of_the_stop():
    """Distance, fall before the brake grips and time in the verdict, without any room stated."""
    verdict = judged(lift(), stocked())
    reach = RADIUS / parts_of(stocked())[1].ratio
    assert verdict.demand["stop"]["distance"] == pytest.approx(
        max(c[2] for c in cases()) * reach, rel=1e-5)  # fmt: skip
    assert verdict.demand["stop"]["before_grip"] == pytest.approx(
        max(c[1] for c in cases()) * reach, rel=1e-6)  # fmt: skip
    assert verdict.demand["stop"]["time"] == pytest.approx(max(c[4] for c in cases()), rel=1e-5)


def test_a_diode_on_the_coil_delays_the_brake():
    """Five times the engage time, the upper end of common practice."""
    _, slow = bench("diode")
    _, _, _, brake = parts_of(stocked())
    hold, delay = 0.8 * brake.torque_static, 5 * brake.engage_time + REACTION
    work = max(march(top_speed(False), 12.0, delay, hold)[3], march(0.0, 19.0, delay, hold)[3])
    assert slow[("brake-stop-energy", "brake")].demand == pytest.approx(work, rel=1e-5)


def through_the_gear(torque: float, mass: float, rises: bool = False) -> float:
    """Both free bodies: J_m a = T_g/i - T, J_l a/i = weight - T_g, solved for T_g."""
    motor, gear, _, _ = parts_of(stocked())
    own = motor.inertia_with_brake + gear.inertia_in
    load, weight = mass * RADIUS**2 + PULLEY, mass * G * RADIUS * (-1 if rises else 1)
    bodies = np.array([[own, -1 / gear.ratio], [load / gear.ratio, 1.0]])
    return abs(float(np.linalg.solve(bodies, [-torque, weight])[1]))


def test_gearhead_in_a_brake_stop():
    _, lines = bench()
    line = lines[("brake-gear-load", "gearhead")]
    _, gear, _, brake = parts_of(stocked())
    strong = 1.5 * brake.torque_static
    worst = max(through_the_gear(strong, m, r) for m, r in
                ((12.0, False), (19.0, True), (19.0, False)))  # fmt: skip
    assert line.demand == pytest.approx(worst, rel=1e-9)
    assert (line.limit, line.severity) == (gear.torque_emergency, "must")


def test_emergency_torque_of_the_drive():
    """With a weak brake the drive is the worse one: the motor's peak torque, unless the file states
    how the drive stops."""
    line = changed(stocked(), "brake", PARTS.brake, torque_static=1.0)
    motor, _, _, _ = parts_of(line)
    found = line_of(judged(replace(bench()[0], stops=()), line), "gear-emergency")
    worst = max(through_the_gear(motor.torque_peak, m, r) for m, r in
                ((12.0, False), (19.0, True), (19.0, False)))  # fmt: skip
    assert found.demand == pytest.approx(worst, rel=1e-9)
    assert line_of(judged(bench()[0], line), "gear-emergency").demand < 0.6 * worst
    assert found.text.startswith("by the drive")


def test_stops_are_counted_where_they_are_more_than_ordinary_peaks():
    """Above the acceleration torque so many a life; below it a stop is a peak like others."""
    axis = lift(duty=replace(lift().duty, stops=200.0))
    few = changed(stocked(), "gearhead", PARTS.gearhead, emergency_count=1000.0,
                  torque_acceleration=10.0)  # fmt: skip
    found = line_of(judged(axis, few), "gear-emergency")
    assert (found.demand, found.limit, found.unit, found.state) == (1600.0, 1000.0, "1", "fails")
    unknown = changed(few, "gearhead", PARTS.gearhead, emergency_count=None)
    assert line_of(judged(axis, unknown), "gear-emergency").state == "not-checked"
    many = changed(few, "gearhead", PARTS.gearhead, torque_acceleration=60.0)
    found = line_of(judged(axis, many), "gear-emergency")
    assert found.unit == "N*m"


def test_distance_by_the_drive():
    """Reaction at full speed, then the motor's torque at that speed against the weight."""
    _, lines = bench()
    line = lines[("stop-distance", "drive")]
    motor, gear, drive, _ = parts_of(stocked())
    curve = next(c for c in stocked().curves if (c.motor, c.kind, c.mains) ==
                 (motor.name, "peak", 230.0))  # fmt: skip
    assert drive.current_peak > motor.current_peak
    found = []
    for speed, mass, rises, free in ((top_speed(False), 12.0, False, FREE[0]),
                                     (top_speed(True), 19.0, True, FREE[1])):  # fmt: skip
        torque = min(float(np.interp(speed, curve.speed, curve.torque)), motor.torque_peak,
                     gear.torque_acceleration / gear.ratio)  # fmt: skip
        inertia, weight = whole(mass)
        slowing = (torque + (weight if rises else -weight)) / inertia
        angle = speed * REACTION + speed**2 / (2 * slowing)
        found.append((angle * RADIUS / gear.ratio, free))
    demand, limit = max(found, key=lambda f: f[0] / f[1])
    assert line.demand == pytest.approx(demand, rel=1e-5)
    assert (line.limit, line.severity) == (limit, "must")


def level():
    """The carriage of the lift on the level."""
    load = replace(axes.slide().train.chain.load, base=axes.weight(8.0, 0.0, friction=20.0))
    axis = axes.swap(axes.slide(), load=load)
    return replace(axis, stop=Stop(reaction=REACTION, free_distance=(0.5, 0.5)))


def test_distance_with_shorted_windings():
    """The voltage equations with no outer voltage, and the motion, marched together; a hot and a
    cold winding."""
    axis, line = level(), stocked()
    motor, gear, _, _ = parts_of(line)
    found = line_of(judged(axis, line), "short-circuit-stop", "motor")
    stage = axis.train.chain.stages[0]
    load = (8.0 + stage.inertia_out) * stage.ratio.value**2 + stage.inertia_in
    inertia = motor.inertia_with_brake + gear.inertia_in + load / gear.ratio**2
    p = motor.pole_pairs
    psi = motor.voltage_constant * np.sqrt(2 / 3) / p
    samples = dense.output_samples(axis, 2000)
    start = float(np.abs(samples.speed).max()) * gear.ratio
    reach = stage.ratio.value / gear.ratio
    distances = []
    for warm in (20.0, motor.winding_limit):
        r = motor.resistance / 2 * (1 + 0.00393 * (warm - 20))
        ell = motor.inductance / 2

        def quasi(t, y, r=r, ell=ell):
            w = y[1]
            a = np.array([[r, -p * w * ell], [p * w * ell, r]])
            i_q = np.linalg.solve(a, [0.0, -p * w * psi])[1]
            return [w, 1.5 * p * psi * i_q / inertia]

        run = solve_ivp(quasi, (0, 60), [0.0, start], rtol=1e-8, atol=1e-10)
        assert run.y[1, -1] < 1e-3 * start
        distances.append(run.y[0, -1] * reach + start * REACTION * reach)
    assert found.demand == pytest.approx(max(distances), rel=1e-4)
    assert found.severity == "note"  # a brake is fitted
    bare = judged(axis, line, replace(PARTS, brake=None))
    assert line_of(bare, "short-circuit-stop", "motor").severity == "caution"


def test_shorted_windings_hold_no_weight():
    """No line that could be read as help for a hanging load."""
    assert ("short-circuit-stop", "motor") not in bench()[1]


def test_stop_on_the_energy_of_the_bus():
    """Power at the bus over the stop, sampled, against the capacitor from low mains to trip."""
    _, lines = bench()
    line = lines[("bus-stop", "supply")]
    motor, gear, drive, _ = parts_of(stocked())
    curve = next(c for c in stocked().curves if (c.motor, c.kind, c.mains) ==
                 (motor.name, "peak", 230.0))  # fmt: skip
    worst = 0.0
    for speed, mass, rises in ((top_speed(False), 12.0, False), (top_speed(True), 19.0, True)):
        torque = min(float(np.interp(speed, curve.speed, curve.torque)), motor.torque_peak,
                     gear.torque_acceleration / gear.ratio)  # fmt: skip
        inertia, weight = whole(mass)
        slowing = (torque + (weight if rises else -weight)) / inertia
        time = np.linspace(0.0, speed / slowing, 4001)
        winding = dense.Winding(motor.torque_constant, motor.current_stall, motor.current_peak,
                                motor.saturation_peak)  # fmt: skip
        current = float(winding.current(np.array([torque]))[0])
        hot = motor.resistance / 2 * (1 + 0.00393 * (motor.winding_limit - 20))
        power = (3 * hot * current**2 + drive.loss_fixed + drive.loss_per_ampere * current
                 + motor.iron_loss_rated - torque * (speed - slowing * time))  # fmt: skip
        worst = max(worst, float(np.trapezoid(power, time)))
    assert line.demand == pytest.approx(max(worst, 0.0), rel=1e-5)
    low = 1.35 * 230.0 * 0.9
    held = 0.5 * 0.8 * drive.bus_capacitance * (low**2 - drive.undervoltage_trip**2)
    assert line.limit == pytest.approx(held, rel=1e-4)
    assert line.severity == "note"


def test_weak_brake_never_stops():
    """A brake below the weight torque: endless distance and work, no wear that would be left."""
    weak = changed(stocked(), "brake", PARTS.brake, torque_static=0.1)
    verdict = judged(bench()[0], weak)
    assert line_of(verdict, "brake-stop-energy").state == "fails"
    assert line_of(verdict, "brake-stop-distance").state == "fails"
    assert line_of(verdict, "brake-life").state == "fails"
    assert line_of(verdict, "brake-stop-energy").text == "the brake does not stop the falling load"


def test_loss_of_power_is_told_in_millimetres_and_work_a_year():
    """Worst distance, fall before the brake grips and work, marched; 100 stops a year."""
    verdict = judged(lift(), stocked())
    found = next(c for c in verdict.cautions if c.startswith("Loss of power:"))
    reach = RADIUS / parts_of(stocked())[1].ratio
    far, ahead, work = (max(c[k] for c in cases()) for k in (2, 1, 3))
    assert f"within {1e3 * far * reach:.3g}\u00a0mm" in found
    assert f"{1e3 * ahead * reach:.3g}\u00a0mm of it before" in found
    assert f"{work:.3g}\u00a0J of friction work each time" in found
    yearly = found.split("each time, ")[1].split("\u00a0J")[0].replace("\u202f", "")
    assert float(yearly) == pytest.approx(100 * work, rel=5e-3)
    weak = changed(stocked(), "brake", PARTS.brake, torque_static=0.1)
    assert ("Loss of power: the brake does not stop the falling load."
            in judged(lift(), weak).cautions)  # fmt: skip
    assert not any(c.startswith("Loss of power") for c in
                   judged(level(), stocked(), replace(PARTS, brake=None)).cautions)  # fmt: skip


def test_what_the_brake_does_not_stop_is_told_by_its_cause():
    """A level slide is driven on by a force, and nothing falls there."""
    axis = dl.read_axis("slide.toml", text=ALONG.replace("FORCE", "-200 N"))
    weak = changed(stocked(), "brake", PARTS.brake, torque_static=0.1)
    lines = lines_of(judged(axis, weak))
    told = lines[("brake-stop-energy", "brake")].text
    assert told == "the brake does not stop the force that drives it"
    assert lines[("brake-speed", "brake")].text == ""
    hangs = line_of(judged(bench()[0], stocked()), "brake-speed")
    assert hangs.text.startswith("a falling load")


def test_no_room_stated_no_distance_judged():
    verdict = judged(lift(stop=Stop(reaction=0.012)), stocked())
    for check in ("brake-stop-distance", "stop-distance"):
        assert line_of(verdict, check) is None


def test_axis_without_brake_and_gearhead_has_no_lines_of_stops():
    verdict = judged(level(), stocked(), replace(PARTS, brake=None, gearhead=None))
    assert not any(ln.check.startswith("brake-") or ln.check == "gear-emergency"
                   for ln in verdict.ledger)  # fmt: skip


def test_brake_brings_its_caution_with_the_torque_that_proves_it():
    """1.3 times the weight torque at the motor, tray on board (common practice, no source)."""
    found = next(c for c in judged(lift(), stocked()).cautions if c.startswith("Brake wear:"))
    gear = parts_of(stocked())[1]
    proof = 1.3 * 19.0 * G * RADIUS / gear.ratio
    assert f"{proof:.2f}\u00a0N·m of the motor" in found
    bare = judged(level(), stocked(), replace(PARTS, brake=None))
    assert not any(c.startswith("Brake wear:") for c in bare.cautions)


ALONG = """
schema = 1
[axis]
title = "Pulled slide"
[load]
mass = "30 kg"
[mechanism]
kind = "belt"
diameter = "60 mm"
efficiency = 1
[[phase]]
name = "out"
do = "move"
by = "500 mm"
time = "0.8 s"
force = "FORCE"
[[phase]]
name = "wait"
do = "dwell"
time = "0.5 s"
[[phase]]
name = "back"
do = "move"
by = "-500 mm"
time = "0.8 s"
[stop]
free_distance = "900 mm"
[site]
mains = "230 V"
phases = 3
"""


@pytest.mark.parametrize("force", [0.0, -60.0, 60.0])
def test_a_force_along_the_motion_lengthens_the_stop(force):
    """Constant torques while the brake closes and after: v t + a t^2/2 and v^2/(2 a).

    A force against the motion helps to stop and is not relied on.
    """
    axis = dl.read_axis("slide.toml", text=ALONG.replace("FORCE", f"{force:g} N"))
    motor, gear, _, brake = parts_of(stocked())
    line = lines_of(judged(axis, stocked()))[("brake-stop-distance", "brake")]
    reach = 0.03 / gear.ratio
    inertia = motor.inertia_with_brake + gear.inertia_in + 30.0 * reach**2
    pull = max(-force, 0.0) * reach
    speed, delay = 1.5 * 0.5 / 0.8 / reach, brake.engage_time
    grips = speed + pull / inertia * delay
    ahead = speed * delay + pull / inertia * delay**2 / 2
    whole = ahead + grips**2 * inertia / (2 * (0.8 * brake.torque_static - pull))
    assert line.demand == pytest.approx(whole * reach, rel=1e-6)


def test_a_load_that_turns_round_before_the_brake_grips_needs_room_both_ways():
    """The rise v^2/(2 g) of a light, slow axis is held against the room above."""
    rise_room = Stop(reaction=0.5, free_distance=(5.0, 0.001))
    axis = lift(stop=rise_room)
    line = lines_of(judged(axis, stocked()))[("brake-stop-distance", "brake")]
    _, gear, _, _ = parts_of(stocked())
    inertia, weight = whole(19.0)
    rise = top_speed(True) ** 2 * inertia / (2 * weight) * RADIUS / gear.ratio
    assert line.limit == 0.001
    assert line.demand == pytest.approx(rise, rel=1e-5)
    assert line.state == "fails"


@pytest.mark.parametrize(
    ("ramp", "counts"),
    [(("worst", "drive"), False), (("worst", "bus"), True), (("1", "drive"), True)],
)
def test_a_ramp_takes_the_place_of_the_peak_torque_only_where_it_is_every_stop(ramp, counts):
    """A ramp without mains, or from one phase alone, leaves others at all that the drive can."""
    line = changed(stocked(), "brake", PARTS.brake, torque_static=1.0)
    stop = StopRamp("r", *ramp, 1, decel=4.0)
    found = line_of(judged(lift(stops=(stop,)), line), "gear-emergency")
    assert found.text.startswith("by the drive") is counts
