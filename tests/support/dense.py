"""Plain dense sampling of an axis and a combination, from the text-book equations.

A second way to every number of a cycle: midpoints of equal steps, sums instead of integrals, a
march through time instead of closed forms. Nothing of the package's evaluation is used; the
motion itself (position, speed and acceleration of its pieces) and the records of the train are
the only input. Exact to the square of the step where the torque has no jump inside a piece.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from scipy.optimize import minimize_scalar

NUDGE = 1e-9
"""Ends of a piece are looked at this share of its length inside it, from the piece's own side."""


@dataclass(frozen=True)
class Samples:
    """One shaft over the cycle. Ends of pieces have no weight, the rest stands in their middle."""

    time: np.ndarray
    weight: np.ndarray
    speed: np.ndarray
    acceleration: np.ndarray
    direction: np.ndarray
    torque: np.ndarray
    hold: np.ndarray
    """``moving``, ``ideal``, ``worst``, ``credit`` or ``free``"""
    start: np.ndarray
    """True at the start of a motion from rest"""
    breakaway: np.ndarray
    """Torque with static friction, at starts from rest only; nan elsewhere"""
    lost: np.ndarray
    """(contacts, n) power lost [W]"""
    friction: np.ndarray
    """Power into drags and friction [W]"""
    process: np.ndarray
    """Power into the process [W]"""
    lifting: np.ndarray
    """Power into weights [W]"""
    inertia: np.ndarray
    static: np.ndarray

    @property
    def inner(self) -> np.ndarray:
        """Where a sample stands for a length of time."""
        return self.weight > 0

    @property
    def cycle_time(self) -> float:
        return float(self.weight.sum())

    def mean(self, value: np.ndarray) -> float:
        return float((self.weight * value).sum() / self.cycle_time)

    def total(self, value: np.ndarray) -> float:
        return float((self.weight * value).sum())

    @property
    def rms(self) -> float:
        return float(np.sqrt(self.mean(self.torque**2)))

    @property
    def peak(self) -> float:
        return float(max(np.abs(self.torque).max(), np.nanmax(np.abs(self.breakaway), initial=0.0)))

    def equivalent(self, exponent: float) -> float:
        turned = self.total(np.abs(self.speed))
        worn = self.total(np.abs(self.speed) * np.abs(self.torque) ** exponent)
        return 0.0 if turned == 0 else float((worn / turned) ** (1 / exponent))

    @property
    def motoring(self) -> float:
        return self.total(np.maximum(self.torque * self.speed, 0))

    @property
    def regenerated(self) -> float:
        return self.total(np.maximum(-self.torque * self.speed, 0))


# --- motion and process -------------------------------------------------------------------------


def _cut_times(axis) -> list[float]:
    """Instants of the cycle at which a force over time has a point of its table."""
    times = []
    for force in axis.train.forces:
        if force.over != "time":
            continue
        for k, phase in enumerate(axis.cycle.phases):
            if force.phases is None:
                times += list(force.places)
            elif k in force.phases:
                times += [phase.start + place for place in force.places]
    return times


def _grid(axis, steps: int):
    """Local times, weights and owners of all samples, piece after piece."""
    cuts = _cut_times(axis)
    rows = []
    for number, piece in enumerate(axis.cycle.pieces):
        inside = sorted({c - piece.start for c in cuts if piece.start < c < piece.end})
        edges = [0.0, *inside, piece.duration]
        for a, b in pairwise(edges):
            if b - a <= 1e-12 * piece.duration:
                continue
            width = (b - a) / steps
            middle = a + (np.arange(steps) + 0.5) * width
            tau = np.concatenate([[a + NUDGE * (b - a)], middle, [b - NUDGE * (b - a)]])
            weight = np.concatenate([[0.0], np.full(steps, width), [0.0]])
            rows.append((number, tau, weight))
    return rows


def _table(force, place):
    """Value of a force at places of its table; nothing outside."""
    places, values = np.array(force.places), np.array(force.values)
    inside = (place >= places[0]) & (place < places[-1])
    if force.between == "step":
        index = np.clip(np.searchsorted(places, place, side="right") - 1, 0, places.size - 1)
        found = values[index]
    else:
        found = np.interp(place, places, values)
    return np.where(inside, found, 0.0)


def _process(axis, phase: int, time, position, direction):
    total = np.full_like(time, axis.cycle.phases[phase].force)
    for force in axis.train.forces:
        if force.phases is not None and phase not in force.phases:
            continue
        if force.over == "constant":
            value = np.full_like(time, force.values[0])
        elif force.over == "time":
            since = axis.cycle.phases[phase].start if force.phases is not None else 0.0
            value = _table(force, time - since)
        else:
            value = _table(force, position)
        if force.only != "both":
            wanted = 1 if force.only == "forward" else -1
            value = np.where(direction == wanted, value, 0.0)
        if force.sense == "opposing":
            value = np.abs(value) * direction
        total = total + value
    return total


# --- train --------------------------------------------------------------------------------------


@dataclass
class _Node:
    """Effort at a node, and where power goes on the load side of it."""

    effort: np.ndarray
    inertia: np.ndarray
    static: np.ndarray
    friction: np.ndarray
    lifting: np.ndarray
    lost: list


def _burden(load, carry, x, v, a, s, process, scale: float = 1.0) -> _Node:
    parts = [load.base, *(load.payloads[name] for name in carry)]
    zero = np.zeros_like(x)
    mass, weight, rub = zero.copy(), zero.copy(), zero.copy()
    other = zero + process
    for b in parts:
        mass += b.inertia
        weight += b.gravity + b.gravity_rise * x
        weight += b.gravity_cos * np.cos(x) + b.gravity_sin * np.sin(x)
        rub += scale * b.friction * s + b.viscous * v
        other = other + b.steady
    return _Node(mass * a + weight + rub + other, mass, weight, rub * v, weight * v, [])


def _stage(stage, node: _Node, v_out, a_out, s_out) -> tuple[_Node, tuple]:
    """One stage towards the motor: what crosses the contact decides the efficiency."""
    r = stage.ratio.value
    v_in, a_in, s_in = v_out / r, a_out / r, s_out * np.sign(r)
    drag = stage.drag_out * s_out + stage.viscous_out * v_out
    m = node.effort + stage.inertia_out * a_out + drag
    flow = m * s_out
    carried = np.select(
        [flow > 0, flow < 0], [m * r / stage.efficiency, m * r * stage.efficiency_back], m * r
    )
    lost = carried * v_in - m * v_out
    own = stage.drag_in * s_in + stage.viscous_in * v_in
    after = _Node(
        effort=carried + stage.inertia_in * a_in + own,
        inertia=(node.inertia + stage.inertia_out) * r * r + stage.inertia_in,
        static=node.static * r,
        friction=node.friction + drag * v_out + own * v_in,
        lifting=node.lifting,
        lost=[*node.lost, lost],
    )
    return after, (v_in, a_in, s_in)


def _chain(chain, carry, x, v, a, s, process, scale: float = 1.0):
    node = _burden(chain.load, carry, x, v, a, s, process, scale)
    here = (v, a, s)
    for stage in chain.stages:
        x = x / stage.ratio.value
        node, here = _stage(stage, node, *here)
        for other in stage.joined:
            down = float(np.prod([q.ratio.value for q in other.stages]))
            own = (x * down, here[0] * down, here[1] * down, here[2] * np.sign(down))
            beside, _ = _chain(other, (), *own, np.zeros_like(x))
            node = _Node(
                node.effort + beside.effort,
                node.inertia + beside.inertia,
                node.static + beside.static,
                node.friction + beside.friction,
                node.lifting + beside.lifting,
                [*node.lost, *beside.lost],
            )
    return node, here


POLICIES = {"ideal": "ideal", "worst": "worst", "credit": "credit", "brake": "free", "off": "free"}


def _facing(speed, fastest):
    """Sign of the speed; of the neighbour where an end is slower than its own rounding."""
    sign = np.sign(speed)
    slow = np.abs(speed) <= 1e-9 * fastest
    sign[0] = sign[1] if slow[0] else sign[0]
    sign[-1] = sign[-2] if slow[-1] else sign[-1]
    return sign


def _piece_samples(axis, piece, tau, weight):
    phase = axis.cycle.phases[piece.phase]
    x, v, a = (piece.derivative(k, tau) for k in range(3))
    time = piece.start + tau
    chain = axis.train.chain
    still = piece.at_rest
    fastest = max(
        float(np.abs(p.speed(np.linspace(0, p.duration, 9))).max()) for p in axis.cycle.pieces
    )
    s = np.zeros_like(v) if still else _facing(v, fastest)
    ratio = float(np.prod([q.ratio.value for q in chain.stages])) if chain.stages else 1.0

    def effort(way, scale=1.0):
        force = _process(axis, piece.phase, time, x, np.zeros_like(v) if still else way)
        return force, *_chain(chain, phase.carry, x, v, a, way, force, scale)

    force, node, (v_in, a_in, s_in) = effort(s)
    torque = node.effort
    hold = POLICIES[phase.hold] if still else "moving"
    if hold in ("worst", "credit"):
        sense = np.sign(torque)
        way = sense * np.sign(ratio) * (1 if hold == "worst" else -1)
        held = effort(way)[1].effort
        torque = np.where(held * sense > 0, held, 0.0)
    elif hold == "free":
        torque = np.zeros_like(torque)
    start = np.zeros(tau.size, dtype=bool)
    breakaway = np.full(tau.size, np.nan)
    if (
        not still
        and abs(float(piece.speed(0.0))) <= 1e-9 * fastest
        and tau[0] < 1e-6 * piece.duration
    ):
        start[0] = True
        if chain.load.breakaway != 1.0:
            breakaway[0] = effort(s, chain.load.breakaway)[1].effort[0]
    return Samples(
        time=time,
        weight=weight,
        speed=v_in,
        acceleration=a_in,
        direction=s_in,
        torque=torque,
        hold=np.full(tau.size, hold),
        start=start,
        breakaway=breakaway,
        lost=np.stack(node.lost) if node.lost else np.zeros((0, tau.size)),
        friction=node.friction,
        process=(force + _steady(chain.load, phase.carry)) * v,
        lifting=node.lifting,
        inertia=node.inertia,
        static=node.static,
    )


def _steady(load, carry) -> float:
    return load.base.steady + sum(load.payloads[name].steady for name in carry)


def output_samples(axis, steps: int = 400) -> Samples:
    """The output shaft, ``steps`` samples on every piece of the motion."""
    pieces = axis.cycle.pieces
    found = [_piece_samples(axis, pieces[k], tau, weight) for k, tau, weight in _grid(axis, steps)]
    return Samples(
        *(
            np.concatenate([getattr(f, name) for f in found], axis=-1)
            for name in Samples.__dataclass_fields__
        )
    )


def motor_samples(out: Samples, ratio=1.0, inertia=0.0, mesh=1.0, drag=0.0) -> Samples:
    """The motor shaft behind a gearhead with mesh efficiency and no-load torque at its input."""

    def at_motor(torque):
        flow = torque * out.direction
        gain = np.select([flow > 0, flow < 0], [1 / mesh, mesh], 1.0)
        return inertia * ratio * out.acceleration + torque / ratio * gain + drag * out.direction

    sense = np.sign(out.torque)
    helped = out.torque * mesh / ratio - drag * sense
    torque = np.select(
        [out.hold == "ideal", out.hold == "worst", out.hold == "credit", out.hold == "free"],
        [
            out.torque / ratio,
            out.torque / (ratio * mesh) + drag * sense,
            np.where(helped * sense > 0, helped, 0.0),
            0.0 * out.torque,
        ],
        at_motor(out.torque),
    )
    return replace(
        out,
        speed=out.speed * ratio,
        acceleration=out.acceleration * ratio,
        torque=torque,
        breakaway=at_motor(out.breakaway),
        inertia=out.inertia / ratio**2 + inertia,
        static=out.static / ratio,
    )


# --- limits, currents, protection, bus ------------------------------------------------------------


def shares(motor: Samples, speed, torque) -> np.ndarray:
    """Torque over a boundary given by points, at every sample; nothing left beyond its end."""
    speed, torque = np.asarray(speed), np.asarray(torque)
    at = np.abs(motor.speed)
    limit = np.where(at <= speed[-1] * (1 + 1e-12), np.interp(at, speed, torque), 0.0)
    need = np.fmax(np.abs(motor.torque), np.abs(motor.breakaway))
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(limit > 0, need / limit, np.where(need > 0, np.inf, 0.0))


def worst_share(motor: Samples, speed, torque) -> float:
    """The largest of the shares."""
    return float(shares(motor, speed, torque).max())


def continuous_limit(motor: Samples, speed, torque) -> float:
    """Root of the mean of the squared boundary over the speeds of the cycle."""
    at = np.abs(motor.speed)
    limit = np.where(at <= speed[-1] * (1 + 1e-12), np.interp(at, speed, torque), 0.0)
    return float(np.sqrt(motor.mean(limit**2)))


@dataclass(frozen=True)
class Winding:
    """Torque and current of a motor whose iron saturates above the stall current."""

    constant: float
    stall: float
    peak: float
    bent: float = 1.0

    def torque(self, current):
        over = np.clip(current - self.stall, 0.0, max(self.peak - self.stall, 0.0))
        fall = (1 - self.bent) / (self.peak - self.stall) if self.peak > self.stall else 0.0
        return self.constant * current * (1 - fall * over)

    def current(self, torque):
        """By bisection of the curve above."""
        need = np.abs(torque)
        low, high = np.zeros_like(need), need / (self.constant * min(self.bent, 1.0)) + 1e-30
        for _ in range(60):
            middle = (low + high) / 2
            under = self.torque(middle) < need
            low, high = np.where(under, middle, low), np.where(under, high, middle)
        return (low + high) / 2


def allowed_time(factor, curve):
    """Straight in both logarithms; first-order shape below the first point, none at 1 or less."""
    x = np.asarray(factor, dtype=float)
    at, seconds = np.array([p[0] for p in curve]), np.array([p[1] for p in curve])
    log = np.interp(np.log(np.maximum(x, at[0])), np.log(at), np.log(seconds))
    slope = np.log(seconds[-1] / seconds[-2]) / np.log(at[-1] / at[-2])
    beyond = np.log(seconds[-1]) + slope * np.log(np.maximum(x, at[-1]) / at[-1])
    log = np.where(x > at[-1], beyond, log)
    with np.errstate(divide="ignore", invalid="ignore"):
        low = seconds[0] * (at[0] ** 2 - 1) / (x**2 - 1)
    return np.where(x <= 1, np.inf, np.where(x < at[0], low, np.exp(log)))


def damage(motor: Samples, winding: Winding, reference: float, curve, recovery: float):
    """Largest damage of the settled cycle and its change per cycle, by a march through time."""
    on = motor.inner
    x = winding.current(motor.torque[on]) / reference
    with np.errstate(divide="ignore"):
        rate = np.where(x > 1, 1 / allowed_time(x, curve), -(1 - x**2) / recovery)
    step = rate * motor.weight[on]
    net = float(step.sum())
    level, top = 0.0, 0.0
    for again in range(2):
        top = 0.0 if again else top
        for change in step.tolist():
            level = max(level + change, 0.0)
            top = max(top, level)
    return (np.inf if net > 0 else top), net


def burst(motor: Samples, winding: Winding, reference: float, curve, levels: int = 400) -> float:
    """Longest time at or above a level over the time allowed there, the worst of many levels."""
    on = motor.inner
    x = winding.current(motor.torque[on]) / reference
    weight = motor.weight[on]
    if x.max() <= 1:
        return 0.0
    steps = x.max() ** np.linspace(0.0, 1.0, levels + 1)[1:] * (1 - 1e-9)
    corners = np.unique(x[x > 1])
    if corners.size > levels:
        corners = corners[:: corners.size // levels]
    worst = 0.0
    for level in np.concatenate([steps, corners]):
        longest = longest_stretch(x >= level, weight)
        worst = max(worst, longest / float(allowed_time(level, curve)))
    return worst


def fine_burst(motor: Samples, winding: Winding, reference: float, curve) -> float:
    """As :func:`burst`, straight between samples and with the best level refined (scipy).

    Exact to the square of the step.
    """
    x = winding.current(motor.torque) / reference
    if x.max() <= 1:
        return 0.0

    def use(level: float) -> float:
        longest = straight_stretch(motor.time, x, level, motor.cycle_time)
        return longest / float(allowed_time(level, curve))

    steps = x.max() ** np.linspace(0.0, 1.0, 301)[1:]
    low = x[1:-1][(x[1:-1] <= x[:-2]) & (x[1:-1] <= x[2:])]
    low = np.concatenate([low, x[~motor.inner]])  # and where a piece ends, before a jump
    low = np.unique(low[low > 1 + 1e-6].round(7)) - 1e-7
    levels = np.unique(np.concatenate([steps * (1 - 1e-10), low]))
    found = [use(level) for level in levels]
    best = int(np.argmax(found))
    worst = found[best]
    for first in range(max(best - 3, 0), min(best + 3, levels.size - 1)):
        bounds = (levels[first] * (1 + 1e-9), levels[first + 1])
        if bounds[0] < bounds[1]:
            at = minimize_scalar(lambda v: -use(v), bounds=bounds, method="bounded",
                                 options={"xatol": 1e-8})  # fmt: skip
            worst = max(worst, -at.fun)
    return worst


def straight_stretch(time, value, level, cycle) -> float:
    """Longest stretch at or above a level, straight between samples, around the end too."""
    on = value >= level
    if on.all():
        return np.inf
    first = int(np.argmin(on))
    time = np.concatenate([time[first:], time[:first] + cycle, time[first : first + 1] + cycle])
    value = np.concatenate([value[first:], value[: first + 1]])
    on = value >= level
    up, down = np.flatnonzero(~on[:-1] & on[1:]), np.flatnonzero(on[:-1] & ~on[1:])

    def cross(k):
        share = (level - value[k]) / (value[k + 1] - value[k])
        return time[k] + share * (time[k + 1] - time[k])

    return float((cross(down) - cross(up)).max(initial=0.0))


def longest_stretch(on, weight) -> float:
    """Longest stretch without a break, around the end of the cycle too."""
    if on.all():
        return np.inf
    first = int(np.argmin(on))
    on, weight = np.roll(on, -first), np.roll(weight, -first)
    gone = np.concatenate([[0.0], np.cumsum(weight)])
    edges = np.flatnonzero(np.diff(np.concatenate([[0], on.astype(int), [0]])))
    return float((gone[edges[1::2]] - gone[edges[::2]]).max(initial=0.0))


@dataclass(frozen=True)
class Bus:
    """Energies of the settled cycle [J], powers [W]."""

    surplus: float
    largest_store: float
    burnt: float
    peak_power: float
    pulse: float


def bus(
    motor: Samples,
    winding: Winding,
    capacity: float,
    *,
    resistance,
    iron,
    speed_rated,
    exponent=1.5,
    fixed=0.0,
    per_ampere=0.0,
) -> Bus:
    """Capacitor and resistor behind a drive, by a march through time.

    ``resistance`` is that of one phase; the mains refills the capacitor to its idle voltage.
    """
    on = motor.inner
    current = winding.current(motor.torque[on])
    heat = iron * (np.abs(motor.speed[on]) / speed_rated) ** exponent
    drawn = motor.torque[on] * motor.speed[on] + 3 * resistance * current**2
    drawn = drawn + heat + fixed + per_ampere * current
    gain = -drawn * motor.weight[on]
    store, free = (capacity, 0.0) if gain.sum() > 0 else (0.0, 0.0)
    burnt = peak = run = pulse = top = 0.0
    for again in range(3):
        if again == 2:
            burnt = peak = pulse = 0.0
        for change, power in zip(gain.tolist(), (-drawn).tolist(), strict=True):
            free = max(free + change, 0.0)
            top = max(top, free)
            over = max(store + change - capacity, 0.0)
            store = min(max(store + change, 0.0), capacity)
            burnt += over
            run = run + over if over > 0 else 0.0
            pulse = max(pulse, run)
            if over > 0:
                peak = max(peak, power)
    return Bus(
        surplus=float(np.maximum(gain, 0).sum()),
        largest_store=np.inf if gain.sum() > 0 else top,
        burnt=burnt,
        peak_power=peak,
        pulse=pulse,
    )
