"""Demand at the output shaft: the shaft to which a gearhead or a motor is fitted.

No rotor, brake or gearhead is in these figures. On a linear direct axis torques are forces and
speeds are m/s.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.core import series
from dutyline.core.errors import Fault, InputError, RangeError
from dutyline.demand.balance import energies, require_balance
from dutyline.demand.cuts import hold_directions, smooth_pieces
from dutyline.demand.instants import directions, instants
from dutyline.demand.moments import Moments, moments
from dutyline.demand.points import (
    CREDIT,
    FREE,
    IDEAL,
    MOVING,
    WORST,
    Points,
    credited,
    fastest,
    points,
    released,
    with_breakaway,
)
from dutyline.demand.stages import StageUse, stage_uses
from dutyline.demand.stopping import StopStates, stop_states
from dutyline.motion.pieces import Piece
from dutyline.train.recursion import (
    PROCESS,
    ShaftState,
    travel_per_turn,
)

Array = NDArray[np.float64]
ROUNDING = 1e-12
"""Share of the energy put in below which a returned one is a residue of rounding."""


@dataclass(frozen=True)
class OutputDemand:
    """Everything candidate-free about one cycle. ``K`` pieces, ``n`` Gauss points each."""

    axis: Axis
    pieces: tuple[Piece, ...]
    cycle_time: float
    """[s]"""
    phase: NDArray[np.intp]
    """(K,) index of the phase"""
    start: Array
    """(K,) [s]"""
    duration: Array
    """(K,) [s]"""
    direction: Array
    """(K,) sign of speed, 0 at rest; sign of the torque for the hold policies worst and credit"""
    hold: NDArray[np.int8]
    """(K,) see :data:`HOLDS`"""
    driving: NDArray[np.bool_]
    """(K,) True where the shaft puts power into the axis"""
    speed: Array
    """(K, n) [rad/s]"""
    acceleration: Array
    """(K, n) [rad/s^2]"""
    torque: Array
    """(K, n) [N*m]"""
    weight: Array
    """(K, n) [s] so that the sum of weight times value is the integral"""
    nodes: Points
    ends: Points
    """Both one-sided ends of every piece, (2K), and the break-away points behind them."""
    inertia_min: float
    """[kg*m^2] referred to the output shaft without losses"""
    inertia_max: float
    lost: Array
    """(contacts,) energy lost per cycle at each contact [J]"""
    friction_work: float
    """[J] per cycle: drags and friction"""
    process_work: float
    """[J] per cycle done on the process, feed included"""
    task_work: float
    """[J] per cycle done by the stated forces alone"""
    inertia_work: float
    """[J] per cycle into masses: nothing, but for what the web of a roll brings (negative)"""
    lifted: float
    """[J] potential energy carried away by goods per cycle"""
    balance: float
    """Residue of the energy balance over the motoring energy [1]"""
    static_torque: float
    """[N*m] largest weight torque over all places and payloads of the cycle, lossless"""
    static_inertia: float
    """[kg*m^2] inertia in that payload state"""
    braked_torque: float
    """[N*m] largest magnitude of weight and process force in phases at rest that the brake holds,
    lossless"""
    moving: tuple[ShaftState, ShaftState] | None
    """At nodes and ends while friction follows the stated motion; None where a hold leans on it"""
    balance_lost: bool
    """True where the static torque is the one with a balance gone"""
    travel_per_radian: float | None
    """Stated travel per radian of the output shaft [m or rad], signed"""

    @property
    def gravity_acts(self) -> bool:
        """True when some place of the travel needs torque at rest."""
        return abs(self.static_torque) > 1e-9 * max(self.peak_torque, 1e-12)

    @property
    def brake_holds(self) -> bool:
        """True when a phase at rest leaves weight or process force to the brake."""
        return self.braked_torque > 1e-9 * max(self.peak_torque, 1e-12)

    @property
    def held_torque(self) -> float:
        """[N*m] largest magnitude that the brake has to hold: anywhere a weight, and its phases."""
        return max(abs(self.static_torque), self.braked_torque)

    @cached_property
    def moments(self) -> Moments:
        """The cycle in the form in which every combination is evaluated."""
        return moments(self.nodes, self.ends, self.hold, self.driving, self.weight)

    @cached_property
    def of_cases(self) -> tuple[OutputDemand, ...]:
        """Demand of every case beside this one."""
        return tuple(output_demand(case) for case in self.axis.cases)

    @cached_property
    def stops(self) -> StopStates:
        """The worst states of the cycle to lose power in."""
        return stop_states(self.axis, self.pieces, self.hold != FREE)

    @cached_property
    def stages(self) -> tuple[StageUse, ...]:
        """What mechanism and stages carry, from the mechanism towards the motor."""
        return stage_uses(self.axis, self.pieces, self.speed.shape[1], self.moving)

    def mean(self, value: Array) -> float:
        """Time mean over the cycle of a (K, n) array."""
        return float((self.weight * value).sum() / self.cycle_time)

    @cached_property
    def peak_torque(self) -> float:
        """[N*m] largest magnitude, one-sided values and break-away included"""
        return max(float(np.abs(self.ends.torque).max()), self._crest[0])

    @cached_property
    def _turns(self) -> tuple[NDArray[np.intp], Array, Array]:
        """As :func:`_crests`, on the pieces of ramps and on those that may reach the peak."""
        coefficient = series.coefficients(self.torque)
        near = series.reaching(coefficient, float(np.abs(self.ends.torque).max()))
        able = np.nonzero((self._ramp != 0) | near)[0]
        row, value, place = _crests(coefficient[able])
        return able[row], value, place

    @cached_property
    def _ramp(self) -> Array:
        """(K,) +1 where the shaft is made faster, -1 where slower, else 0"""
        kind = np.sign(self.acceleration[:, self.acceleration.shape[1] // 2]) * self.direction
        return np.where(self.hold == MOVING, kind, 0)

    @cached_property
    def _crest(self) -> tuple[float, float]:
        """Largest magnitude inside the pieces and its time, where it may be the peak."""
        row, value, place = self._turns
        if row.size == 0:
            return 0.0, 0.0
        k = int(np.argmax(np.abs(value)))
        time = self.start[row[k]] + (place[k] + 1) / 2 * self.duration[row[k]]
        return float(abs(value[k])), float(time)

    @cached_property
    def peak_time(self) -> float:
        """[s] instant of the peak torque"""
        peak, time = self._crest
        size = np.abs(self.ends.torque)
        k = int(fastest(size[None, :], np.abs(self.ends.speed)[None, :])[0])
        return float(self.ends.time[k]) if size[k] >= peak else time

    @property
    def rms_torque(self) -> float:
        """[N*m]"""
        return float(np.sqrt(self.mean(self.torque**2)))

    @property
    def mean_speed(self) -> float:
        """[rad/s] mean magnitude, pauses included"""
        return self.mean(np.abs(self.speed))

    @property
    def peak_speed(self) -> float:
        """[rad/s] largest magnitude"""
        return float(np.abs(self.ends.speed).max())

    def equivalent_torque(self, exponent: float) -> float:
        """Speed-weighted mean of torque to a power [N*m]; 3 is the cubic mean.

        Source: ISO 281 (mean load), from memory.
        """
        turned = (self.weight * np.abs(self.speed)).sum()
        if turned == 0:
            return 0.0
        worn = (self.weight * np.abs(self.speed) * np.abs(self.torque) ** exponent).sum()
        return float((worn / turned) ** (1 / exponent))

    @property
    def energy_motoring(self) -> float:
        """[J] per cycle into the axis at the output shaft"""
        return float((self.weight * np.maximum(self.torque * self.speed, 0)).sum())

    @property
    def energy_regenerated(self) -> float:
        """[J] per cycle returned at the output shaft, as a magnitude; residues of rounding are 0"""
        returned = float((self.weight * np.maximum(-self.torque * self.speed, 0)).sum())
        return returned if returned > ROUNDING * self.energy_motoring else 0.0

    @property
    def hold_torque(self) -> float:
        """[N*m] largest torque the motor side holds at standstill, lossless"""
        hold = self.ends.hold
        held = (hold == IDEAL) | (hold == WORST) | (hold == CREDIT)
        return float(np.abs(self.ends.torque[held]).max(initial=0.0))

    def ramps(self) -> Array:
        """Largest torque of every acceleration and deceleration in the cycle [N*m]."""
        kind = self._ramp
        peaks: list[float] = []
        count = self.start.size
        highest = np.abs(self.ends.torque[: 2 * count]).reshape(count, 2).max(axis=1)
        row, crest, _ = self._turns
        np.maximum.at(highest, row, np.abs(crest))
        for k in range(count):
            if kind[k] == 0:
                continue
            peak = float(highest[k])
            joined = k > 0 and kind[k] == kind[k - 1] and self.phase[k] == self.phase[k - 1]
            if joined:
                peaks[-1] = max(peaks[-1], peak)
            else:
                peaks.append(peak)
        return np.array(peaks)

    @cached_property
    def _until(self) -> Array:
        """(K,) [s] ends of the pieces"""
        return self.start + self.duration

    def phase_at(self, time: float) -> str:
        """Name of the phase at an instant; instants of :attr:`ends` know their side of a joint."""
        index = int(self._until.searchsorted(time))
        index = min(index, self.start.size - 1)
        return self.axis.cycle.phases[int(self.phase[index])].name


def _crests(coefficient: Array) -> tuple[NDArray[np.intp], Array, Array]:
    """Pieces, values and places at which the values turn round."""
    row, place = series.roots(series.slope(coefficient))
    return row, series.at(coefficient[row], place[:, None])[:, 0], place


def _distinct(rows: Array) -> Array:
    """Each row once, in the order of the first of them; many rows are left as they are."""
    if len(rows) > series.MANY:
        return rows
    return np.array(list(dict.fromkeys(map(tuple, rows.tolist()))))


def output_demand(axis: Axis) -> OutputDemand:
    """Speed, torque, inertia and energy over the cycle at the output shaft.

    Parameters
    ----------
    axis : Axis
        A complete axis.

    Returns
    -------
    OutputDemand
        Smooth pieces with exact integrals; see its fields.

    Raises
    ------
    InputError
        The cycle falls into too many pieces.
    """
    cycle, train = axis.cycle, axis.train
    try:
        pieces = smooth_pieces(cycle, train)
    except RangeError as error:
        remedy = "State fewer phases, turns of a weight or points of a force per cycle."
        if "smooth pieces" not in str(error):
            remedy = "Let the motion go less far, the way of an emergency ramp included."
        subject = axis.file or axis.title
        raise InputError(subject, [Fault(subject, "phase", str(error), remedy)]) from None
    facing = directions(pieces)
    phase = np.array([p.phase for p in pieces], dtype=np.intp)
    hold = np.where(facing != 0, MOVING, [_policy(cycle.phases[p.phase].hold) for p in pieces])
    hold = hold.astype(np.int8)
    load_facing = hold_directions(pieces, train, cycle)
    order = _points_needed(pieces, axis)
    z, w = series.gauss(order)
    state, process = instants(pieces, train, cycle, z, load_facing)
    edge, _ = instants(pieces, train, cycle, np.array([-1.0, 1.0]), load_facing)
    moving = (state, edge) if np.array_equal(load_facing, facing) else None
    braked = np.array([cycle.phases[p.phase].hold == "brake" for p in pieces]) & (facing == 0)
    at_rest, pushed = _held((state, order), (edge, 2), braked=braked)
    state, edge = released(state, hold, order), released(edge, hold, 2)
    state, edge = credited(state, hold, order, load_facing), credited(edge, hold, 2, load_facing)
    nodes = points(state, pieces, hold, z)
    ends = points(edge, pieces, hold, np.array([-1.0, 1.0]))
    ends = with_breakaway(ends, axis, pieces)
    duration = np.array([p.duration for p in pieces])
    shape = (len(pieces), order)
    weight = np.outer(duration / 2, w)
    torque = nodes.torque.reshape(shape)
    speed = nodes.speed.reshape(shape)
    power = torque * speed
    static, inertia = _static(state, edge, len(pieces))
    bare = _bare_static(axis, pieces, z, load_facing)
    lost = bare is not None and abs(bare[0]) > abs(static)
    if bare is not None and lost:
        static, inertia = bare
        at_rest = max(at_rest, abs(static) + pushed) if braked.any() else at_rest
    crest = _crests(series.coefficients(_distinct(state.effort.inertia.reshape(shape))))[1]
    inertias = np.concatenate([state.effort.inertia, edge.effort.inertia, crest])
    figures = energies(axis, state, edge, process, weight)
    require_balance(figures)
    direction = np.where(hold == MOVING, nodes.direction.reshape(shape)[:, 0], 0.0)
    held = (hold == WORST) | (hold == CREDIT)
    direction = np.where(held, np.sign(torque[:, 0]), direction)
    return OutputDemand(
        axis=axis,
        pieces=tuple(pieces),
        cycle_time=cycle.duration,
        phase=phase,
        start=np.array([p.start for p in pieces]),
        duration=duration,
        direction=direction,
        hold=hold,
        driving=power.sum(axis=1) > 0,
        speed=speed,
        acceleration=nodes.acceleration.reshape(shape),
        torque=torque,
        weight=weight,
        nodes=nodes,
        ends=ends,
        moving=moving,
        inertia_min=float(inertias.min()),
        inertia_max=float(inertias.max()),
        static_torque=static,
        static_inertia=inertia,
        braked_torque=at_rest,
        balance_lost=lost,
        travel_per_radian=travel_per_turn(train),
        **figures,
    )


def _policy(name: str) -> int:
    return {"ideal": IDEAL, "worst": WORST, "credit": CREDIT, "brake": FREE, "off": FREE}[name]


def _points_needed(pieces: list[Piece], axis: Axis) -> int:
    """Gauss points that integrate speed times torque cubed exactly if it is a polynomial."""
    base = [axis.train.chain.load.base, *axis.train.chain.load.payloads.values()]
    turning = any(b.gravity_cos or b.gravity_sin for b in base)
    if axis.train.curved or turning or any(p.waves for p in pieces):
        return 16
    degree = max(p.degree for p in pieces)
    placed = any(b.gravity_rise for b in base) or any(f.over == "travel" for f in axis.train.forces)
    chains = [axis.train.chain, *(c for s in axis.train.chain.stages for c in s.joined)]
    viscous = any(
        b.viscous for c in chains for b in [c.load.base, *c.load.payloads.values()]
    ) or any(s.viscous_in or s.viscous_out for c in chains for s in c.stages)
    torque = degree if placed else degree - 1 if viscous else max(degree - 2, 0)
    torque = max(torque, 1 if any(f.over == "time" for f in axis.train.forces) else 0)
    exact = (max(degree - 1, 0) + 3 * torque) // 2 + 1
    return int(np.clip(exact, 4 if torque == 0 else 8, 16))


def _bare_static(
    axis: Axis, pieces: list[Piece], z: Array, facing: Array
) -> tuple[float, float] | None:
    """As :func:`_static`, with the balances gone that may be lost."""
    if axis.train.unbalanced is None:
        return None
    train = replace(axis.train, chain=axis.train.unbalanced)
    state, _ = instants(pieces, train, axis.cycle, z, facing)
    edge, _ = instants(pieces, train, axis.cycle, np.array([-1.0, 1.0]), facing)
    return _static(state, edge, len(pieces))


def _held(*states: tuple[ShaftState, int], braked: NDArray[np.bool_]) -> tuple[float, float]:
    """Largest torque, and of it the largest by process forces, where the brake holds; no losses."""
    whole, process = 0.0, 0.0
    for state, count in states:
        some = np.repeat(braked, count)
        force = state.effort.causes[PROCESS][some]
        process = max(process, float(np.abs(force).max(initial=0.0)))
        torque = np.abs(state.effort.static[some] + force)
        whole = max(whole, float(torque.max(initial=0.0)))
    return whole, process


def _static(state: ShaftState, edge: ShaftState, pieces: int) -> tuple[float, float]:
    """Largest weight torque over the travel, and the least inertia that goes with it."""
    inner = state.effort.static.reshape(pieces, -1)
    first = state.effort.inertia.reshape(pieces, -1)[:, :1]
    unlike = _distinct(np.concatenate([inner, first], axis=1))
    row, crest, _ = _crests(series.coefficients(unlike[:, :-1]))
    among = unlike[row, -1]
    static = np.concatenate([inner.ravel(), edge.effort.static, crest])
    inertia = np.concatenate([state.effort.inertia, edge.effort.inertia, among])
    worst = np.abs(static) >= np.abs(static).max() * (1 - 1e-12)
    k = int(np.argmax(np.where(worst, -inertia, -np.inf)))
    return float(static[k]), float(inertia[k])
