"""Where the motion of a cycle comes to rest and stays there: what there is to settle."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from dutyline.motion.pieces import Cycle, Piece
from dutyline.motion.rows import rows_of

Array = NDArray[np.float64]

SAMPLES = 33
"""Places on each piece at which the speed is looked at."""
LEVEL = 1e-6
"""Share of a top speed by which a speed may lie below it and still be at it."""


@dataclass(frozen=True, slots=True)
class Standstill:
    """One standstill of a cycle and the motion that leads to it, as stated in the file."""

    moving: tuple[Piece, ...]
    """From the standstill before, in order of time; each starts at its own time of the cycle"""
    time: float
    """[s] end of the motion, from the start of the cycle"""
    rest: float
    """[s] until the next motion begins"""
    phase: int
    """Phase in which the motion ends"""
    top_speed: float
    """[m/s or rad/s] before the last deceleration"""
    deceleration_time: float
    """[s] of the last deceleration"""
    distance: float
    """[m or rad] of the last way in one direction"""

    @property
    def deceleration(self) -> float:
        """[m/s^2 or rad/s^2] mean of the last deceleration"""
        return self.top_speed / self.deceleration_time


@lru_cache(maxsize=16)
def standstills(cycle: Cycle) -> tuple[Standstill, ...]:
    """Every standstill of a closed cycle that a motion leads to.

    Parameters
    ----------
    cycle : Cycle

    Returns
    -------
    tuple of Standstill
        In order of time; none where the axis never rests, never moves or does not repeat itself.
    """
    pieces = cycle.pieces
    resting = [k for k, piece in enumerate(pieces) if piece.at_rest]
    if not cycle.closed or not resting or len(resting) == len(pieces):
        return ()
    order = [*range(resting[0], len(pieces)), *range(resting[0])]
    still = set(resting)
    course = _course(pieces)
    found: list[Standstill] = []
    moving: list[int] = []
    for k, number in enumerate([*order, order[0]]):
        if number not in still:
            moving.append(number)
        elif moving:
            whole, rest = [pieces[n] for n in moving], _rest([pieces[n] for n in order], k)
            found.append(_standstill(whole, course[:, moving[::-1]], rest))
            moving = []
    return tuple(sorted(found, key=lambda one: one.time))


def _rest(pieces: list[Piece], first: int) -> float:
    """[s] of the pieces at rest from one of them on, over the end of the cycle too."""
    total = 0.0
    for piece in [*pieces[first:], *pieces[:first]]:
        if not piece.at_rest:
            break
        total += piece.duration
    return total


def _course(pieces: tuple[Piece, ...]) -> Array:
    """(3, K, samples) local time, speed and place on every piece, from its end backward."""
    rows = rows_of(pieces)
    tau = np.linspace(rows.duration, 0.0, SAMPLES, axis=1)
    return np.stack([tau, rows.derivative(1, tau), rows.derivative(0, tau)])


def _standstill(moving: list[Piece], course: Array, rest: float) -> Standstill:
    """The last deceleration is looked for backward from the end, as ``course`` runs."""
    tau = course[0]
    time = (np.cumsum(tau[:, 0])[:, None] - tau).ravel()
    rate, way = course[1].ravel(), course[2].ravel()
    size = np.abs(rate)
    tiny = LEVEL * size.max()
    onward = np.diff(time) > LEVEL * time[-1] / size.size
    slower = (np.diff(size) <= tiny) & onward & (size[:-1] > tiny)
    peak = int(np.argmax(slower)) if slower.any() else size.size - 1
    top = float(size[: peak + 1].max())
    since = int(np.argmax(size >= top * (1 - LEVEL)))
    heading = np.sign(rate[since])
    back = np.nonzero(rate * heading < -tiny)[0]
    turn = int(back[0]) if back.size else size.size - 1
    return Standstill(
        moving=tuple(moving),
        time=moving[-1].end,
        rest=rest,
        phase=moving[-1].phase,
        top_speed=top,
        deceleration_time=float(time[since]),
        distance=float(np.abs(way[: turn + 1] - way[0]).max()),
    )
