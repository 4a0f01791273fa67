"""The plain reference: dense NumPy over combinations times samples of one millisecond.

Written without any of the package's evaluation: torque from the text-book formula of each
sample, means as sums. It is as fast as plain blocks of NumPy are, and as exact as its step.
"""

from __future__ import annotations

import numpy as np

from dutyline.axis.model import Axis
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.tables import tables
from dutyline.checks.sides import Choice

STEP = 1e-3
BLOCK = 512


def load_samples(axis: Axis) -> dict[str, np.ndarray]:
    """Speed, acceleration and torque at the rack's pinion, in the middle of every step."""
    cycle = axis.cycle
    t = (np.arange(round(cycle.duration / STEP)) + 0.5) * STEP
    v, a, mass = np.empty(t.size), np.empty(t.size), np.empty(t.size)
    for piece in cycle.pieces:
        own = (t >= piece.start) & (t < piece.end)
        v[own] = piece.speed(t[own] - piece.start)
        a[own] = piece.acceleration(t[own] - piece.start)
        mass[own] = axis.train.chain.load.total(cycle.phases[piece.phase].carry).inertia
    base, rack = axis.train.chain.load.base, axis.train.chain.stages[0]
    r = rack.ratio.constant
    force = mass * (a + 9.80665) + base.friction * np.sign(v) + base.viscous * v
    power = force * v
    mesh = np.where(power > 0, 1 / rack.efficiency, np.where(power < 0, rack.efficiency_back, 1))
    torque = force * r * mesh + rack.inertia_in * a / r + rack.drag_in * np.sign(v)
    return {"speed": v / r, "acceleration": a / r, "torque": torque, "mass": mass}


def verdicts(axis: Axis, line: ProductLine, choice: Choice, reserve: dict[str, float]) -> np.ndarray:
    """True where every must check of the synthetic line is met without being short."""
    load = load_samples(axis)
    meets = np.zeros(choice.size, dtype=bool)
    for first in range(0, choice.size, BLOCK):
        index = np.arange(first, min(first + BLOCK, choice.size))
        meets[index] = _block(axis, line, choice.take(index), load, reserve)
    return meets


def _block(axis, line, choice, load, reserve):
    own = tables(line)
    m = {n: own.motors[n][choice.motor][:, None] for n in (
        "inertia", "torque_stall", "torque_constant", "current_stall", "current_peak",
        "saturation_peak", "speed_max", "resistance", "iron_loss_rated", "speed_rated",
        "rth_winding_housing", "rth_housing_ambient")}
    g = {n: own.gearheads[n][choice.gearhead][:, None] for n in (
        "ratio", "efficiency", "no_load_torque", "torque_rated", "torque_acceleration",
        "inertia_in", "speed_in_mean", "speed_in_max", "life", "speed_rated_out")}
    d = {n: own.drives[n][choice.drive][:, None] for n in (
        "current_rated", "current_peak", "bus_capacitance", "chopper_on", "loss_fixed",
        "loss_per_ampere", "resistor_min", "peak_time")}
    i = g["ratio"]
    mesh = 1 / (1 / g["efficiency"] - g["no_load_torque"] * i / g["torque_rated"])
    w, a, t_out = load["speed"], load["acceleration"], load["torque"]
    power = t_out * w
    gain = np.where(power > 0, 1 / mesh, np.where(power < 0, mesh, 1.0))
    rotor = m["inertia"] + own.brakes["inertia"][0] + g["inertia_in"]
    torque = rotor * i * a + t_out / i * gain + g["no_load_torque"] * np.sign(w)
    speed = np.abs(i * w)
    size = np.abs(torque)
    # current with saturation
    kt, i0, ipk, sat = m["torque_constant"], m["current_stall"], m["current_peak"], m["saturation_peak"]
    fall = (1 - sat) / (ipk - i0)
    straight = size / kt
    root = np.sqrt(np.maximum((1 + fall * i0) ** 2 - 4 * fall * straight, 0))
    current = np.where(straight > i0, 2 * straight / (1 + fall * i0 + root), straight)
    peak_limit, steady = np.empty_like(speed), np.empty_like(speed)
    end = np.empty(choice.size)
    for row, motor in enumerate(choice.motor):
        curve, lasting = line.curves[4 * motor], line.curves[4 * motor + 2]
        peak_limit[row] = np.interp(speed[row], curve.speed, curve.torque, right=0.0)
        steady[row] = np.interp(speed[row], lasting.speed, lasting.torque)
        end[row] = curve.speed[-1]
    dt = STEP
    cycle = w.size * dt
    ok = [(peak_limit - size) / np.maximum(peak_limit, 1e-12) >= reserve["peak-torque"]]
    cap = np.where(d["current_peak"] < ipk, kt * d["current_peak"] * (1 - fall * np.maximum(d["current_peak"] - i0, 0)), np.inf)
    ok.append(1 - size / cap >= reserve["peak-torque"])
    checks = [o.all(axis=1) for o in ok]
    square = (current**2).mean(axis=1)
    rms_i = np.sqrt(square)
    reach = np.minimum(d["current_rated"] / i0, 1.0)[:, 0]
    use = rms_i * kt[:, 0] / (np.sqrt((steady**2).mean(axis=1)) * reach)
    checks.append(1 - use >= reserve["continuous-use"])
    checks.append(1 - rms_i / d["current_rated"][:, 0] >= reserve["drive-continuous-current"])
    checks.append(1 - current.max(axis=1) / d["current_peak"][:, 0] >= reserve["drive-peak-current"])
    loss = 1.5 * m["resistance"][:, 0] * square
    warm = 0.00393 * loss * (m["rth_winding_housing"] + m["rth_housing_ambient"])[:, 0]
    checks.append(1 - warm >= reserve["thermal-runaway"])
    checks.append(1 - speed.max(axis=1) / end >= reserve["top-speed"])
    checks.append(speed.max(axis=1) <= g["speed_in_max"][:, 0])
    checks.append(1 - speed.mean(axis=1) / g["speed_in_mean"][:, 0] >= reserve["gear-mean-speed"])
    still = (w == 0)
    held = size[:, still].max(axis=1)
    checks.append(1 - held / (steady[:, still][:, 0] / np.sqrt(2)) >= reserve["standstill-torque"])
    # gearhead
    peak_out = np.abs(t_out).max()
    ramps = _ramps(a, w, t_out)
    count = (ramps[None, :] > 0.5 * g["torque_acceleration"]).sum(axis=1) * 3600 / cycle
    factor = np.interp(np.log(np.maximum(count, 1)), np.log([1000.0, 3000.0, 10000.0]), [1.0, 0.9, 0.7])
    checks.append(1 - peak_out / (factor * g["torque_acceleration"][:, 0]) >= reserve["gear-peak"])
    turned = np.abs(w).sum()
    equal = ((np.abs(w) * np.abs(t_out) ** (10 / 3)).sum() / turned) ** 0.3
    slow = np.abs(w).mean() < 0.3 * g["speed_rated_out"][:, 0]
    checks.append(slow | (equal <= g["torque_rated"][:, 0]))
    life = g["life"][:, 0] * (g["torque_rated"][:, 0] / equal) ** (10 / 3) * g["speed_rated_out"][:, 0] / np.abs(w).mean()
    checks.append(life >= 16 * 3600 * 250 * 8)
    weight = load["mass"].max() * 9.80665 * 0.03 / i[:, 0]
    checks.append(0.8 * own.brakes["torque_static"][0] / weight >= 1.5)
    checks.append(d["resistor_min"][:, 0] <= own.resistors["resistance"][0])
    checks += _overload(current, np.minimum(i0, d["current_rated"]), line, choice, dt, reserve)
    checks += _bus(torque, i * w, current, m, d, axis, own, cycle, dt, reserve)
    return np.logical_and.reduce(checks)


def _ramps(a, w, torque):
    kind = np.sign(a) * np.sign(w)
    edges = np.flatnonzero(np.diff(kind) != 0) + 1
    parts = np.split(np.arange(a.size), edges)
    return np.array([np.abs(torque[p]).max() for p in parts if kind[p[0]] != 0])


def _overload(current, reference, line, choice, dt, reserve):
    x = current / reference
    knots = np.array([1.2, 1.5, 2.0, 3.0])
    times = np.array([14.0, 6.2, 2.3, 0.6])
    log = np.interp(np.log(np.maximum(x, 1.2)), np.log(knots), np.log(times))
    over = x > knots[-1]
    slope = np.log(times[-2] / times[-1]) / np.log(knots[-1] / knots[-2])
    log = np.where(over, np.log(times[-1]) - slope * np.log(np.maximum(x, 3.0) / 3.0), log)
    allowed = np.where(x > 1.2, np.exp(log), 14.0 * (1.2**2 - 1) / np.maximum(x**2 - 1, 1e-12))
    rate = np.where(x > 1, 1 / allowed, -(1 - x**2) / 10.0) * dt
    level, top = np.zeros(x.shape[0]), np.zeros(x.shape[0])
    for _ in range(2):
        for k in range(rate.shape[1]):
            level = np.maximum(level + rate[:, k], 0)
            top = np.maximum(top, level)
    grows = rate.sum(axis=1) > 0
    accumulated = np.where(grows, np.inf, top)
    single = np.zeros(x.shape[0])
    for row in np.flatnonzero(x.max(axis=1) > 1):
        for threshold in np.unique(np.round(x[row][x[row] > 1], 2))[::4]:
            on = np.concatenate([[False], x[row] >= threshold, [False]])
            edges = np.flatnonzero(np.diff(on.astype(np.int8)))
            if edges.size:
                run = (edges[1::2] - edges[::2]).max() * dt
                t = np.exp(np.interp(np.log(threshold), np.log(knots), np.log(times))) if threshold >= 1.2 else 14.0 * 0.44 / (threshold**2 - 1)
                single[row] = max(single[row], run / t)
    return [1 - accumulated >= reserve["overload-accumulated"], 1 - single >= reserve["overload-single"]]


def _bus(torque, speed, current, m, d, axis, own, cycle, dt, reserve):
    iron = m["iron_loss_rated"] * (np.abs(speed) / m["speed_rated"]) ** 1.5
    drawn = torque * speed + 1.5 * m["resistance"] * current**2 + iron + d["loss_fixed"] + d["loss_per_ampere"] * current
    idle = np.sqrt(2) * 230.0 * 1.1
    capacity = 0.5 * 0.8 * d["bus_capacitance"][:, 0] * (d["chopper_on"][:, 0] ** 2 - idle**2)
    store = np.zeros(torque.shape[0])
    for again in range(2):
        burnt, peak = np.zeros(torque.shape[0]), np.zeros(torque.shape[0])
        run, pulse = np.zeros(torque.shape[0]), np.zeros(torque.shape[0])
        for k in range(torque.shape[1]):
            level = store - drawn[:, k] * dt
            over = np.maximum(level - capacity, 0)
            store = np.clip(level, 0, capacity)
            burnt += over
            run = np.where(over > 0, run + over, 0)
            pulse = np.maximum(pulse, run)
            peak = np.where(over > 0, np.maximum(peak, -drawn[:, k]), peak)
    r = own.resistors
    return [
        1 - burnt / cycle / r["power_mean"][0] >= reserve["resistor-mean"],
        1 - peak / (d["chopper_on"][:, 0] ** 2 / r["resistance"][0]) >= reserve["resistor-peak"],
        1 - pulse / r["pulse_energy"][0] >= reserve["resistor-pulse"],
    ]
