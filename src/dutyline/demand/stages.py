"""What mechanism and stages between load and output shaft carry over the cycle."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.core import series
from dutyline.demand.instants import instants
from dutyline.demand.points import sticking, sticks
from dutyline.motion.pieces import Piece
from dutyline.train.records import Chain
from dutyline.train.recursion import ShaftState

Array = NDArray[np.float64]


@dataclass(frozen=True)
class StageUse:
    """One stage; ``K`` pieces, ``n`` Gauss points each. The first is the mechanism."""

    effort: Array
    """(K, n) [N or N*m] at its output, positive towards + travel of the output"""
    ends: Array
    """(2K,) the same at both one-sided ends, static friction counted at starts"""
    speed: Array
    """(K, n) [rad/s] of its input shaft"""
    end_speed: Array
    """(2K,) [rad/s]"""
    weight: Array
    """(K, n) [s]"""
    end_time: Array
    """(2K,) [s]"""

    @cached_property
    def peak(self) -> float:
        """Largest magnitude of the effort [N or N*m]."""
        highest = float(np.abs(self.ends).max())
        coefficient = series.coefficients(self.effort)
        coefficient = coefficient[series.reaching(coefficient, highest)]
        row, place = series.roots(series.slope(coefficient))
        inside = np.abs(series.at(coefficient[row], place[:, None])).max(initial=0.0)
        return max(highest, float(inside))

    @cached_property
    def peak_rub(self) -> float:
        """Largest product of effort and shaft speed, in magnitude [N*rad/s or W]."""
        z, _ = series.gauss(2 * self.effort.shape[1])
        effort, speed = (series.at(series.coefficients(v), z) for v in (self.effort, self.speed))
        product = series.coefficients(effort * speed)
        row, place = series.roots(series.slope(product))
        inside = np.abs(series.at(product[row], place[:, None])).max(initial=0.0)
        return max(float(np.abs(self.ends * self.end_speed).max()), float(inside))

    @property
    def peak_time(self) -> float:
        """Instant of the largest effort among the ends [s]."""
        return float(self.end_time[int(np.argmax(np.abs(self.ends)))])

    @property
    def top_speed(self) -> float:
        """[rad/s] of its input shaft"""
        return float(np.abs(self.end_speed).max())

    @property
    def turned(self) -> float:
        """[rad] of its input shaft in one cycle, both ways added"""
        return float((self.weight * np.abs(self.speed)).sum())

    def mean_effort(self, effort: Array, exponent: float) -> float:
        """Mean of a (K, n) effort to a power, weighted with the turns of the shaft; ISO 281."""
        if self.turned == 0:
            return 0.0
        worn = (self.weight * np.abs(self.speed) * np.abs(effort) ** exponent).sum()
        return float((worn / self.turned) ** (1 / exponent))


def stage_uses(
    axis: Axis,
    pieces: tuple[Piece, ...],
    points: int,
    known: tuple[ShaftState, ShaftState] | None = None,
) -> tuple[StageUse, ...]:
    """Use of every stage of the main chain, from the mechanism towards the motor.

    Parameters
    ----------
    axis : Axis
    pieces : tuple of Piece
        Smooth, and cut where the power through a contact changes its sign.
    points : int
        Gauss points on each piece.
    known : two ShaftState, optional
        At the Gauss points and at the ends of the pieces, where they were worked out already.
    """
    parts = list(pieces)
    z, w = series.gauss(points)
    ends = np.array([-1.0, 1.0])
    state, edge = known or (instants(parts, axis.train, axis.cycle, at)[0] for at in (z, ends))
    stuck = edge
    if sticks(axis.train):
        stuck, _ = instants(parts, sticking(axis.train), axis.cycle, ends)
    shaft = np.abs(edge.motion.speed)
    still = shaft <= 1e-9 * shaft.max(initial=0.0)
    starts = still & (np.arange(still.size) % 2 == 0)
    half = np.array([p.duration for p in parts]) / 2
    start = np.array([p.start for p in parts])
    shape = (len(parts), points)
    found = []
    rows = contact_rows(axis.train.chain)
    for row, inside, outside in zip(rows, state.nodes[1:], edge.nodes[1:], strict=True):
        found.append(
            StageUse(
                effort=state.contacts[row].reshape(shape),
                ends=np.where(starts, stuck.contacts[row], edge.contacts[row]),
                speed=inside.speed.reshape(shape),
                end_speed=outside.speed,
                weight=np.outer(half, w),
                end_time=(start[:, None] + (ends + 1) * half[:, None]).ravel(),
            )
        )
    return tuple(found)


def contact_rows(chain: Chain) -> list[int]:
    """Row of each stage in :attr:`ShaftState.contacts`; joined loads follow their stage."""
    rows, row = [], 0
    for stage in chain.stages:
        rows.append(row)
        row += 1 + sum(len(inner.stages) for inner in stage.joined)
    return rows
