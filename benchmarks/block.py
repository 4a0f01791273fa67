"""The plain reference: dense NumPy over combinations times samples of one millisecond.

Written without any of the package's evaluation: torque from the text-book formula of each
sample, means as sums. It is as fast as plain blocks of NumPy are, and as exact as its step.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.tables import PartTable, tables
from dutyline.checks.sides import Choice

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

STEP = 1e-3
BLOCK = 256
GRAVITY = 9.80665
MAINS = 230.0
KNOTS = np.array([1.2, 1.5, 2.0, 3.0])
TIMES = np.array([14.0, 6.2, 2.3, 0.6])
RECOVERY = 10.0


@dataclass(frozen=True)
class Samples:
    """The cycle at the rack's pinion, in the middle of every step."""

    speed: Array
    acceleration: Array
    torque: Array
    weight: float
    """[N*m] largest weight torque"""
    falling: tuple[tuple[float, float, float], ...]
    """Speed [rad/s], weight torque along the motion [N*m] and inertia [kg*m^2] when power is lost:
    down at top speed, up at top speed, at rest with the box"""


@dataclass(frozen=True)
class Columns:
    """Fields of the parts as columns (c, 1)."""

    table: PartTable
    index: NDArray[np.intp]

    def __getitem__(self, name: str) -> Array:
        return self.table[name][self.index][:, None]


def load_samples(axis: Axis) -> Samples:
    """Sampled speed, acceleration and torque of the rack axis."""
    cycle, load, rack = axis.cycle, axis.train.chain.load, axis.train.chain.stages[0]
    t = (np.arange(round(cycle.duration / STEP)) + 0.5) * STEP
    v, a, mass = np.empty(t.size), np.empty(t.size), np.empty(t.size)
    for piece in cycle.pieces:
        own = (t >= piece.start) & (t < piece.end)
        v[own] = piece.speed(t[own] - piece.start)
        a[own] = piece.acceleration(t[own] - piece.start)
        mass[own] = load.total(cycle.phases[piece.phase].carry).inertia
    r = rack.ratio.constant or 1.0
    force = mass * (a + GRAVITY) + load.base.friction * np.sign(v) + load.base.viscous * v
    power = force * v
    mesh = np.where(power > 0, 1 / rack.efficiency, np.where(power < 0, rack.efficiency_back, 1))
    torque = force * r * mesh + rack.inertia_in * a / r + rack.drag_in * np.sign(v)
    turned = rack.inertia_in + mass * r**2
    down, up, full = np.argmin(v), np.argmax(v), np.argmax(mass)
    falling = tuple(
        (abs(v[k]) / r * moves, sign * mass[k] * GRAVITY * r, turned[k])
        for k, sign, moves in ((down, 1, 1), (up, -1, 1), (full, 1, 0))
    )
    return Samples(v / r, a / r, torque, mass.max() * GRAVITY * r, falling)


def verdicts(
    axis: Axis, line: ProductLine, choice: Choice, reserve: Mapping[str, float]
) -> NDArray[np.bool_]:
    """True where every must check of the synthetic line is met without being short."""
    load = load_samples(axis)
    meets = np.zeros(choice.size, dtype=bool)
    for first in range(0, choice.size, BLOCK):
        index = np.arange(first, min(first + BLOCK, choice.size))
        meets[index] = _block(line, choice.take(index), load, reserve)
    return meets


def _block(line: ProductLine, choice: Choice, load: Samples, reserve: Mapping[str, float]) -> Flags:
    own = tables(line)
    m, g, d = (
        Columns(own.motors, choice.motor),
        Columns(own.gearheads, choice.gearhead),
        Columns(own.drives, choice.drive),
    )
    i = g["ratio"]
    mesh = 1 / (1 / g["efficiency"] - g["no_load_torque"] * i / g["torque_rated"])
    power = load.torque * load.speed
    gain = np.where(power > 0, 1 / mesh, np.where(power < 0, mesh, 1.0))
    rotor = m["inertia"] + own.brakes["inertia"][0] + g["inertia_in"]
    torque = rotor * i * load.acceleration + load.torque / i * gain
    torque += g["no_load_torque"] * np.sign(load.speed)
    speed = i * load.speed
    current = _current(np.abs(torque), m)
    checks = _motor(torque, speed, current, line, choice, m, d, load, reserve)
    checks += _gearhead(load, g, i, reserve)
    checks.append(0.8 * own.brakes["torque_static"][0] / (load.weight / i[:, 0]) >= 1.5)
    checks.append(d["resistor_min"][:, 0] <= own.resistors["resistance"][0])
    checks += _overload(current / np.minimum(m["current_stall"], d["current_rated"]), reserve)
    checks += _bus(torque * speed, speed, current, m, d, own.resistors, reserve)
    checks += _stops(load, g, i, rotor, own.brakes, m, d, reserve)
    met: Flags = np.logical_and.reduce(checks)
    return met


def _stops(
    load: Samples,
    g: Columns,
    i: Array,
    rotor: Array,
    brake: PartTable,
    m: Columns,
    d: Columns,
    reserve: Mapping[str, float],
) -> list[Flags]:
    """Friction work and wear of the brake, and the torque through the gearhead, in a stop."""
    i, own = i[:, 0], rotor[:, 0]
    held, strong = 0.8 * brake["torque_static"][0], 1.5 * brake["torque_static"][0]
    most = np.minimum(m["torque_peak"], _torque(d["current_peak"], m))
    drive = np.minimum(most[:, 0], g["torque_acceleration"][:, 0] / i)
    work, through, by_drive = np.zeros(i.size), np.zeros(i.size), np.zeros(i.size)
    for speed, pull, inertia in load.falling:
        whole = own + inertia / i**2
        fast = speed * i + pull / i / whole * brake["engage_time"][0]
        work = np.maximum(work, held * fast**2 * whole / 2 / (held - pull / i))
        share = inertia / (inertia + own * i**2)
        through = np.maximum(through, np.abs(share * i * strong + (1 - share) * pull))
        by_drive = np.maximum(by_drive, np.abs(share * i * drive + (1 - share) * pull))
    worst = np.maximum(through, by_drive)
    often = (worst > g["torque_acceleration"][:, 0]) & (g["emergency_count"][:, 0] < 800)
    limit = g["torque_emergency"][:, 0]
    return [
        1 - work / brake["work_per_stop"][0] >= reserve["brake-stop-energy"],
        (held > load.weight / i) & (800 * work <= brake["work_total"][0]),
        1 - through / limit >= reserve["brake-gear-load"],
        (1 - worst / limit >= reserve["gear-emergency"]) & ~often,
    ]


def _torque(current: Array, m: Columns) -> Array:
    """Torque at a current; none above the motor's own peak."""
    straight, stall = m["torque_constant"] * current, m["current_stall"]
    bent = straight * (1 - _fall(m) * np.maximum(current - stall, 0))
    return np.where(current > m["current_peak"], np.inf, bent)


def _fall(m: Columns) -> Array:
    return (1 - m["saturation_peak"]) / (m["current_peak"] - m["current_stall"])


def _current(size: Array, m: Columns) -> Array:
    straight, fall, stall = size / m["torque_constant"], _fall(m), m["current_stall"]
    middle = 1 + fall * stall
    root = np.sqrt(np.maximum(middle**2 - 4 * fall * straight, 0))
    bent = np.where(straight > stall, 2 * straight / (middle + root), straight)
    beyond = straight > m["saturation_peak"] * m["current_peak"]
    return np.where(beyond, straight / m["saturation_peak"], bent)


def _motor(
    torque: Array,
    speed: Array,
    current: Array,
    line: ProductLine,
    choice: Choice,
    m: Columns,
    d: Columns,
    load: Samples,
    reserve: Mapping[str, float],
) -> list[Flags]:
    size, fast = np.abs(torque), np.abs(speed)
    peak, steady, end = np.empty_like(fast), np.empty_like(fast), np.empty(choice.size)
    for row, motor in enumerate(choice.motor):
        curve, lasting = line.curves[4 * motor], line.curves[4 * motor + 2]
        peak[row] = np.interp(fast[row], curve.speed, curve.torque, right=0.0)
        steady[row] = np.interp(fast[row], lasting.speed, lasting.torque)
        end[row] = curve.speed[-1]
    reach = np.maximum(d["current_peak"] - m["current_stall"], 0)
    capped = m["torque_constant"] * d["current_peak"] * (1 - _fall(m) * reach)
    cap = np.where(d["current_peak"] < m["current_peak"], capped, np.inf)
    square = (current**2).mean(axis=1)
    rms = np.sqrt(square)
    share = np.minimum(d["current_rated"] / m["current_stall"], 1.0)[:, 0]
    lasting_rms = np.sqrt((steady**2).mean(axis=1)) * share
    heat = 1.5 * m["resistance"][:, 0] * square
    warm = heat * 0.00393 * (m["rth_winding_housing"] + m["rth_housing_ambient"])[:, 0]
    still = load.speed == 0
    held = size[:, still].max(axis=1)
    return [
        (1 - size / np.maximum(peak, 1e-12) >= reserve["peak-torque"]).all(axis=1),
        (1 - size / cap >= reserve["peak-torque"]).all(axis=1),
        1 - rms * m["torque_constant"][:, 0] / lasting_rms >= reserve["continuous-use"],
        1 - rms / d["current_rated"][:, 0] >= reserve["drive-continuous-current"],
        1 - current.max(axis=1) / d["current_peak"][:, 0] >= reserve["drive-peak-current"],
        1 - warm >= reserve["thermal-runaway"],
        1 - fast.max(axis=1) / end >= reserve["top-speed"],
        1 - held / (steady[:, still][:, 0] / np.sqrt(2)) >= reserve["standstill-torque"],
    ]


def _gearhead(load: Samples, g: Columns, i: Array, reserve: Mapping[str, float]) -> list[Flags]:
    w, torque, cycle = np.abs(load.speed), np.abs(load.torque), load.speed.size * STEP
    rated, mean = g["speed_rated_out"][:, 0], w.mean()
    most = g["torque_acceleration"]
    kind = np.sign(load.acceleration) * np.sign(load.speed)
    runs = np.split(np.arange(kind.size), np.flatnonzero(np.diff(kind)) + 1)
    ramps = np.array([torque[run].max() for run in runs if kind[run[0]] != 0])
    count = (ramps[None, :] > 0.5 * most).sum(axis=1) * 3600 / cycle
    decades = np.log([1000.0, 3000.0, 10000.0])
    factor = np.interp(np.log(np.maximum(count, 1)), decades, [1.0, 0.9, 0.7])
    equal = ((w * torque ** (10 / 3)).sum() / w.sum()) ** 0.3
    worn = (g["torque_rated"][:, 0] / equal) ** (10 / 3)
    return [
        (w.max() * i <= g["speed_in_max"])[:, 0],
        (1 - mean * i / g["speed_in_mean"] >= reserve["gear-mean-speed"])[:, 0],
        1 - torque.max() / (factor * most[:, 0]) >= reserve["gear-peak"],
        (mean < 0.3 * rated) | (equal <= g["torque_rated"][:, 0]),
        g["life"][:, 0] * worn * rated / mean >= 16 * 3600 * 250 * 8,
    ]


def _allowed(factor: Array) -> Array:
    """Seconds at a load factor above 1."""
    log = np.log(np.maximum(factor, KNOTS[0]))
    inner = np.interp(log, np.log(KNOTS), np.log(TIMES))
    slope = np.log(TIMES[-2] / TIMES[-1]) / np.log(KNOTS[-1] / KNOTS[-2])
    outer = np.log(TIMES[-1]) - slope * (log - np.log(KNOTS[-1]))
    steep = np.exp(np.where(factor > KNOTS[-1], outer, inner))
    first = TIMES[0] * (KNOTS[0] ** 2 - 1) / np.maximum(factor**2 - 1, 1e-12)
    return np.where(factor > KNOTS[0], steep, first)


def _overload(x: Array, reserve: Mapping[str, float]) -> list[Flags]:
    rate = np.where(x > 1, 1 / _allowed(x), -(1 - x**2) / RECOVERY).T * STEP
    level, top = np.zeros(x.shape[0]), np.zeros(x.shape[0])
    for step in np.concatenate([rate, rate]):
        level = np.maximum(level + step, 0)
        top = np.maximum(top, level)
    accumulated = np.where(rate.sum(axis=0) > 0, np.inf, top)
    single = np.zeros(x.shape[0])
    heavy = np.flatnonzero(x.max(axis=1) > 1)
    if heavy.size:
        single[heavy] = _bursts(x[heavy])
    return [
        1 - accumulated >= reserve["overload-accumulated"],
        1 - single >= reserve["overload-single"],
    ]


def _bursts(x: Array) -> Array:
    level = x.max(axis=1, keepdims=True) ** np.linspace(0.04, 1.0, 25) * (1 - 1e-9)
    run, longest = np.zeros_like(level), np.zeros_like(level)
    for now in np.ascontiguousarray(x.T):
        run = np.where(now[:, None] >= level, run + STEP, 0.0)
        longest = np.maximum(longest, run)
    worst: Array = (longest / _allowed(level)).max(axis=1)
    return worst


def _bus(
    shaft: Array,
    speed: Array,
    current: Array,
    m: Columns,
    d: Columns,
    resistors: PartTable,
    reserve: Mapping[str, float],
) -> list[Flags]:
    iron = m["iron_loss_rated"] * (np.abs(speed) / m["speed_rated"]) ** 1.5
    drawn = shaft + 1.5 * m["resistance"] * current**2 + iron
    drawn = drawn + d["loss_fixed"] + d["loss_per_ampere"] * current
    idle = np.sqrt(2) * MAINS * 1.1
    on = d["chopper_on"][:, 0]
    capacity = 0.5 * 0.8 * d["bus_capacitance"][:, 0] * (on**2 - idle**2)
    columns = np.ascontiguousarray(-drawn.T)
    store = np.zeros(on.size)
    for gain in columns:
        store = np.clip(store + gain * STEP, 0, capacity)
    burnt, peak, run, pulse = (np.zeros(on.size) for _ in range(4))
    for gain in columns:
        level = store + gain * STEP
        over = np.maximum(level - capacity, 0)
        store = np.clip(level, 0, capacity)
        burnt += over
        run = np.where(over > 0, run + over, 0)
        pulse = np.maximum(pulse, run)
        peak = np.where(over > 0, np.maximum(peak, gain), peak)
    cycle = speed.shape[1] * STEP
    return [
        1 - burnt / cycle / resistors["power_mean"][0] >= reserve["resistor-mean"],
        1 - peak / (on**2 / resistors["resistance"][0]) >= reserve["resistor-peak"],
        1 - pulse / resistors["pulse_energy"][0] >= reserve["resistor-pulse"],
    ]
