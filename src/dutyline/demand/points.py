"""Shaft states at sets of instants, and what the hold policies leave of them."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.demand.instants import instants
from dutyline.motion.pieces import Piece
from dutyline.motion.rows import rows_of
from dutyline.train.records import Chain, Train
from dutyline.train.recursion import ShaftState

Array = NDArray[np.float64]

HOLDS = ("moving", "ideal", "worst", "credit", "free")
"""Meaning of :attr:`OutputDemand.hold`; brake and off both leave the shaft free of torque."""
MOVING, IDEAL, WORST, CREDIT, FREE = range(5)


@dataclass(frozen=True, slots=True)
class Points:
    """Shaft state at a set of instants, flat."""

    time: Array
    """[s]; at ends moved inward by 1e-14 of the cycle, so that a joint has two sides"""
    speed: Array
    """[rad/s or m/s]"""
    acceleration: Array
    """[rad/s^2 or m/s^2]"""
    torque: Array
    """[N*m or N]"""
    causes: Array
    """(5, m) rows as :data:`dutyline.train.recursion.CAUSES`"""
    direction: Array
    """-1, 0, +1; sign of the torque where a worst-case hold asks for it"""
    piece: NDArray[np.intp]
    hold: NDArray[np.int8]
    position: Array
    """Stated travel [m or rad]"""


def points(state: ShaftState, pieces: list[Piece], hold: NDArray[np.int8], z: Array) -> Points:
    """Points of a shaft state at local places ``z`` of every piece."""
    rows, count = rows_of(tuple(pieces)), z.size
    tau = rows.local(z)
    total = state.effort.total
    held = hold.repeat(count)
    direction = np.where(held == MOVING, state.motion.direction, 0.0)
    direction = np.where((held == WORST) | (held == CREDIT), np.sign(total), direction)
    aside = 1e-14 * (pieces[-1].end) * -np.sign(z) * (np.abs(z) == 1)
    return Points(
        time=(rows.start[:, None] + tau + aside).ravel(),
        speed=state.motion.speed,
        acceleration=state.motion.acceleration,
        torque=total,
        causes=state.effort.causes,
        direction=direction,
        piece=np.arange(len(pieces)).repeat(count),
        hold=held,
        position=rows.derivative(0, tau).ravel(),
    )


def with_breakaway(ends: Points, axis: Axis, pieces: list[Piece]) -> Points:
    """Starts from rest once more with static friction, behind the ordinary ends."""
    if not sticks(axis.train):
        return ends
    state, _ = instants(pieces, sticking(axis.train), axis.cycle, np.array([-1.0, 1.0]))
    still = np.abs(ends.speed) <= 1e-9 * np.abs(ends.speed).max(initial=0.0)
    first = np.arange(ends.time.size) % 2 == 0
    pick = np.nonzero(still & first & (ends.hold == MOVING))[0]

    def both(a: Array, b: Array) -> Array:
        return np.concatenate([a, b[..., pick]], axis=-1)

    return Points(
        time=both(ends.time, ends.time),
        speed=both(ends.speed, ends.speed),
        acceleration=both(ends.acceleration, ends.acceleration),
        torque=both(ends.torque, state.effort.total),
        causes=both(ends.causes, state.effort.causes),
        direction=both(ends.direction, ends.direction),
        piece=np.concatenate([ends.piece, ends.piece[pick]]),
        hold=np.concatenate([ends.hold, ends.hold[pick]]),
        position=both(ends.position, ends.position),
    )


def sticks(train: Train) -> bool:
    """Whether :func:`sticking` changes anything."""
    chain = train.chain
    loads = [chain.load, *(other.load for stage in chain.stages for other in stage.joined)]
    return any(load.breakaway != 1.0 and load.fading is None for load in loads)


def sticking(train: Train) -> Train:
    """The train with static friction in place of the running one.

    Static friction that fades with the speed is in the running one already.
    """
    return replace(train, chain=_raised(train.chain))


def _raised(chain: Chain) -> Chain:
    """The chain with static friction at its load and at all joined ones."""
    load = chain.load
    factor = 1.0 if load.fading is not None else load.breakaway
    static = replace(
        load,
        base=replace(load.base, friction=load.base.friction * factor),
        payloads={k: replace(b, friction=b.friction * factor) for k, b in load.payloads.items()},
    )
    stages = tuple(
        replace(stage, joined=tuple(_raised(other) for other in stage.joined))
        for stage in chain.stages
    )
    return Chain(static, stages)


def released(state: ShaftState, hold: NDArray[np.int8], count: int) -> ShaftState:
    """No torque anywhere in pieces held by the brake or at the load."""
    free = np.repeat(hold == FREE, count)
    causes = np.where(free, 0.0, state.effort.causes)
    return replace(state, effort=replace(state.effort, causes=causes))


def credited(state: ShaftState, hold: NDArray[np.int8], count: int, facing: Array) -> ShaftState:
    """Friction that would hold more than the load needs leaves no torque, never a reversed one."""
    credit = np.repeat(hold == CREDIT, count)
    if not credit.any():
        return state
    against = np.repeat(-facing, count) * np.sign(state.motion.direction * np.repeat(facing, count))
    total = state.effort.total
    gone = credit & (total * against <= 0)
    causes = np.where(gone, 0.0, state.effort.causes)
    return replace(state, effort=replace(state.effort, causes=causes))


def fastest(value: Array, speed: Array) -> NDArray[np.intp]:
    """Column of the largest value of each row; of equal ones that of the largest speed.

    On a plateau of torque the end with the highest speed is the one that matters.
    """
    level = value >= value.max(axis=1, keepdims=True) * (1 - 1e-12)
    best: NDArray[np.intp] = np.where(level, speed, -1.0).argmax(axis=1)
    return best
