"""States of the cycle from which an emergency stop may start, at the output shaft.

Friction, efficiencies and process forces that help to stop are left out: nobody may rely on them.
What drives the motion on counts: weights, process forces along it, the tension of a web.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.core import series
from dutyline.demand.instants import instants
from dutyline.demand.loading import burden_of
from dutyline.demand.ways import Ways, ways_of
from dutyline.motion.pieces import Piece
from dutyline.motion.rows import rows_of
from dutyline.train.recursion import (
    PROCESS,
    load_effort,
    shaft_place,
    stated_sense,
    travel_per_turn,
)

Array = NDArray[np.float64]
POINTS = 8
"""Places looked at inside a piece, besides its ends and the extremes of speed."""
BENT_POINTS = 24
"""The same where weight or inertia depend on the place: 0.1 % at most is missed between them."""
ALIKE = 1e-9
"""Relative difference below which two states count as the same."""


@dataclass(frozen=True, slots=True)
class StopStates:
    """``n`` states, the ones that no other is worse than; rest under a weight is one of them."""

    time: Array
    """(n,) [s]"""
    speed: Array
    """(n,) [rad/s] magnitude at the output shaft"""
    pull: Array
    """(n,) [N*m] weight torque at the output shaft, positive where it pulls along the motion"""
    inertia: Array
    """(n,) [kg*m^2] at the output shaft"""
    load_pull: Array
    """(n,) [N or N*m] weight effort at the load, positive where it pulls along the motion"""
    load_inertia: Array
    """(n,) [kg or kg*m^2] what moves behind the mechanism"""
    forward: NDArray[np.bool_]
    """(n,) True where the load moves, or would fall, in + direction"""
    rest: NDArray[np.bool_]
    """(n,) True where the axis stands and a weight pulls"""
    place: Array
    """(n,) [rad] of the output shaft"""
    sense: Array
    """(n,) +1 or -1: the way the output shaft turns, or would"""
    way: NDArray[np.intp]
    """(n,) row of the tables"""
    ways: Ways | None
    """Weight and inertia further on; None where they are the same everywhere"""
    followed: dict[bytes, Array] = field(default_factory=dict, repr=False, compare=False)
    """Stops followed from these states already, by what stops them"""

    def take(self, index: NDArray[np.intp]) -> StopStates:
        """Some of the states."""
        some: dict[str, Any] = {n: getattr(self, n)[index] for n in _ARRAYS}
        return replace(self, **some, followed={})

    @property
    def size(self) -> int:
        """Number of states."""
        return int(self.time.size)


_ARRAYS = tuple(f.name for f in fields(StopStates) if f.name not in ("ways", "followed"))


def stop_states(axis: Axis, pieces: tuple[Piece, ...], held: NDArray[np.bool_]) -> StopStates:
    """The worst states of a cycle to lose power in.

    Parameters
    ----------
    axis : Axis
    pieces : tuple of Piece
        Of the cycle, smooth.
    held : (K,) ndarray of bool
        False for pieces at rest in which brake or clamp holds already.
    """
    parts = list(pieces)
    rows = rows_of(pieces)
    grid = rows.derivative(0, rows.local(np.linspace(-1.0, 1.0, POINTS + 1)))
    reached = shaft_place(axis.train, grid)
    low, high = float(reached.min()), float(reached.max())
    ways = ways_of(axis.train, axis.cycle, low, high)
    inner, _ = series.gauss(POINTS if ways is None else BENT_POINTS)
    z = np.concatenate([[-1.0], inner, [1.0]])
    state, process = instants(parts, axis.train, axis.cycle, z)
    phases = rows.phase.repeat(z.size)
    burden = burden_of(axis.train, axis.cycle, phases)
    load = load_effort(axis.train.chain.load, burden, state.load, process)
    moved = np.asarray(burden.inertia) + (
        axis.train.chain.stages[0].inertia_out if axis.train.chain.stages else 0.0
    )
    reach = _reach(axis, state.motion.position, phases, ways)
    time = (rows.start[:, None] + rows.local(z)).ravel()
    speed, static = state.motion.speed, state.effort.static
    slow = np.abs(speed) <= ALIKE * np.abs(speed).max(initial=0.0)
    sign = np.sign(speed)
    moving = StopStates(
        time=time,
        speed=np.abs(speed),
        pull=-static * sign + np.maximum(-state.effort.causes[PROCESS] * sign, 0.0),
        inertia=state.effort.inertia,
        load_pull=-load.static * sign * reach
        + np.maximum(-load.causes[PROCESS] * sign * reach, 0.0),
        load_inertia=moved,
        forward=sign * reach > 0,
        rest=np.zeros(time.size, dtype=bool),
        place=state.motion.position,
        sense=sign,
        way=phases,
        ways=ways,
    ).take(np.nonzero(~slow)[0])
    idle, steady = (
        _without_process(axis, parts, z, phases)
        if _pushed(axis)
        else (np.asarray(burden.steady) + process, state.effort.causes[PROCESS])
    )
    lasting = static + np.where(np.abs(static + steady) > np.abs(static), steady, 0.0)
    still = replace(
        moving,
        time=time,
        speed=np.zeros(time.size),
        pull=np.abs(lasting),
        inertia=state.effort.inertia,
        load_pull=(load.static + np.where(lasting != static, idle, 0.0)) * np.sign(lasting) * reach,
        load_inertia=moved,
        forward=-lasting * reach > 0,
        rest=np.ones(time.size, dtype=bool),
        place=state.motion.position,
        sense=-np.sign(lasting),
        way=phases,
    )
    pulled = np.abs(lasting) > ALIKE * np.abs(lasting).max(initial=0.0)
    still = still.take(np.nonzero(slow & pulled & np.repeat(held, z.size))[0])
    every: dict[str, Any] = {
        n: np.concatenate([getattr(moving, n), getattr(still, n)]) for n in _ARRAYS
    }
    both = replace(moving, **every)
    return both.take(_worst(both))


def _reach(axis: Axis, place: Array, phases: NDArray[np.intp], ways: Ways | None) -> Array:
    """+1 where the stated travel grows with the output shaft at a place, -1 where it shrinks."""
    travel = travel_per_turn(axis.train)
    if travel is not None:
        return np.full_like(place, np.sign(travel))
    if ways is None:
        return np.full_like(place, stated_sense(axis.train))
    small = ways.step / 4
    ahead, behind = (ways.travel_at(phases, place + d) for d in (small, -small))
    return np.where(ahead >= behind, 1.0, -1.0)


def _pushed(axis: Axis) -> bool:
    """Whether process forces that a phase or a table states act on the load."""
    return bool(axis.train.forces) or any(phase.force for phase in axis.cycle.phases)


def _without_process(
    axis: Axis, parts: list[Piece], z: Array, at: NDArray[np.intp]
) -> tuple[Array, Array]:
    """Lasting efforts beside the weight, such as the tension of a web, at load and shaft."""
    phases = tuple(replace(phase, force=0.0) for phase in axis.cycle.phases)
    train, cycle = replace(axis.train, forces=()), replace(axis.cycle, phases=phases)
    state, process = instants(parts, train, cycle, z)
    burden = burden_of(train, cycle, at)
    return np.asarray(burden.steady) + process, state.effort.causes[PROCESS]


def _worst(states: StopStates) -> NDArray[np.intp]:
    """Of states alike in inertia and direction those that none beats in both speed and pull.

    On an arm or a crank what lies ahead differs as well: all are kept that are not the same.
    """
    if states.ways is not None and not states.ways.even:
        same = np.stack(
            [states.place, states.sense, states.speed, states.pull, states.way.astype(float)],
            axis=1,
        ).round(12)
        same += 0.0  # no minus zeros
        first: dict[bytes, int] = {}
        for k, row in enumerate(same):
            first.setdefault(row.tobytes(), k)
        return np.array(list(first.values()), dtype=np.intp)
    scale = max(float(np.abs(states.pull).max(initial=0.0)), 1e-300)
    order = np.lexsort((-states.pull, -states.speed))
    kept: list[int] = []
    best: dict[tuple[float, float, bool, bool, int], float] = {}
    way = np.zeros_like(states.way) if states.ways is None else states.way
    columns = states.inertia, states.load_inertia, states.forward, way, states.pull
    rows = zip(order.tolist(), *(column[order].tolist() for column in columns), strict=True)
    for k, inertia, load_inertia, forward, row, pull in rows:
        key = (_rounded(inertia), _rounded(load_inertia), forward, pull >= 0, row)
        known = best.get(key)
        if known is None or pull > known + ALIKE * scale:
            best[key] = pull
            kept.append(k)
    return np.array(sorted(kept), dtype=np.intp)


@lru_cache(maxsize=256)
def _rounded(value: float) -> float:
    """To ten digits."""
    return float(f"{value:.9e}")


def load_effort_in_stop(
    states: StopStates, ratio: Array, inertia: Array, torque: Array, reach: float, pull: Array
) -> Array:
    """(c, n) effort through the mechanism while a torque at the motor stops the axis [N or N*m].

    The load is slowed by what is left of the torque after the weight; through the mechanism goes
    what slows the load, and its weight where that pulls along.

    Parameters
    ----------
    states : StopStates
    ratio : (c,) ndarray
        Motor speed over output speed.
    inertia : (c,) ndarray [kg*m^2]
        Rotor, brake and gearhead input.
    torque : (c,) ndarray [N*m]
        Braking torque at the motor, magnitude.
    reach : float
        Load travel per radian of the output shaft.
    pull : (c, n) ndarray [N*m]
        Largest pull along the motion at the output shaft on the way to rest.
    """
    gear = ratio[:, None]
    whole = states.inertia + inertia[:, None] * gear**2
    slowing = (torque[:, None] * gear - pull) / whole
    weight = states.load_pull + (pull - states.pull) / abs(reach)
    effort: Array = np.abs(states.load_inertia * slowing * abs(reach) + weight)
    return effort
