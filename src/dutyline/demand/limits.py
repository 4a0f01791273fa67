"""The cycle against boundaries that depend on motor speed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.boundaries import Boundary, boundary_limit
from dutyline.core import series
from dutyline.core.grouping import distinct_values, rising
from dutyline.demand.motor import (
    Index,
    Shafts,
    chunks,
    end_torques,
    speed_mean_square,
    torque_coefficients,
)
from dutyline.demand.nearest import nearest, share
from dutyline.demand.output import OutputDemand
from dutyline.demand.points import fastest

Array = NDArray[np.float64]
SLICES = 6
"""Slices of a piece on which speeds are bounded."""


class Boundaries(Protocol):
    """Boundaries by number; None where data are missing."""

    def __getitem__(self, number: int, /) -> Boundary | None:
        """The boundary of this number."""
        ...


@dataclass(frozen=True, slots=True)
class WorstPoint:
    """Where the torque comes nearest to a boundary, one element per combination."""

    torque: Array
    """[N*m] magnitude of the motor torque there"""
    limit: Array
    """[N*m] torque of the boundary at that speed; zero beyond its end"""
    time: Array
    """[s]"""
    speed: Array
    """[rad/s] magnitude of the motor speed there"""


def worst_point(
    out: OutputDemand,
    shafts: Shafts,
    boundaries: Boundaries,
    index: Index,
    reserve: float | None = None,
) -> WorstPoint:
    """Nearest approach of the duty trace to the boundary of each combination.

    Parameters
    ----------
    out : OutputDemand
    shafts : Shafts
        ``c`` combinations.
    boundaries : Boundaries
        The boundary of combination ``k`` is ``boundaries[index[k]]``.
    index : (c,) ndarray of int
    reserve : float, optional
        Where only the state against this reserve is wanted: a point whose share falls on the same
        side of 1 and of 1 minus the reserve as the worst one may stand for it.

    Returns
    -------
    WorstPoint
        nan where the boundary is None or a datum of the shafts is missing.
    """
    count = index.size
    result = WorstPoint(*(np.full(count, np.nan) for _ in range(4)))
    known = np.isfinite(shafts.vector).all(axis=1)
    for which in distinct_values(index):
        boundary = boundaries[which]
        if boundary is None:
            continue
        rows = np.nonzero((index == which) & known)[0]
        for part in chunks(rows.size, out.start.size):
            _search(out, shafts.take(rows[part]), boundary, rows[part], result, reserve)
    return result


def _search(
    out: OutputDemand,
    shafts: Shafts,
    boundary: Boundary,
    rows: Index,
    result: WorstPoint,
    reserve: float | None,
) -> None:
    torque = np.abs(end_torques(out, shafts))
    speed = shafts.ratio[:, None] * out.moments.end_speed
    used = share(torque, boundary_limit(boundary, speed))
    best = fastest(used, speed)
    here = np.arange(rows.size)
    top = used[here, best]
    found = [torque[here, best], out.ends.time[best], speed[here, best]]
    coefficient = torque_coefficients(out, shafts)
    floor = _lowest(boundary, shafts.ratio[:, None] * out.moments.top_speed)
    bound = share(np.abs(coefficient).sum(axis=2), floor)
    open_ = (bound > top[:, None] * (1 + 1e-12)) & np.isfinite(top)[:, None] & ~out.moments.credit
    if reserve is not None:
        wanted = 1 - reserve
        side = (top > 1).astype(int) + (top > wanted * (1 - 1e-9))
        reach = (bound > 1).astype(int) + (bound > wanted * (1 - 1e-9))
        open_ &= reach > side[:, None]
    owner, piece = np.nonzero(open_)
    for part in chunks(owner.size, boundary.speed.size):
        c, k = owner[part], piece[part]
        velocity = out.moments.speed[k] * shafts.ratio[c, None]
        inner = nearest(coefficient[c, k], velocity, boundary, top[c])
        for row, u, place, t, v in zip(*inner, strict=True):
            if u > top[c[row]] * (1 + 1e-12):
                top[c[row]] = u
                time = out.start[k[row]] + (place + 1) / 2 * out.duration[k[row]]
                found[0][c[row]], found[1][c[row]], found[2][c[row]] = t, time, v
    result.torque[rows], result.time[rows], result.speed[rows] = found
    result.limit[rows] = boundary_limit(boundary, result.speed[rows])


def _lowest(boundary: Boundary, speed: Array) -> Array:
    """Smallest torque of the boundary between standstill and a speed."""
    knots = np.concatenate([boundary.speed, [boundary.speed[-1] * (1 + 1e-9)]])
    lowest = np.minimum.accumulate(np.concatenate([boundary.torque, [0.0]]))
    step = np.clip(np.searchsorted(knots, speed), 0, knots.size - 1)
    return np.minimum(lowest[np.maximum(step - 1, 0)], boundary_limit(boundary, speed))


def continuous_limit(
    out: OutputDemand, shafts: Shafts, boundaries: Boundaries, index: Index
) -> Array:
    """Root of the time mean of the squared continuous torque over the speeds of the cycle [N*m].

    The loss that may be spent depends on speed through the iron loss; over a cycle much shorter
    than the winding's time constant the means of allowed and spent loss decide. (Derived here.)
    """
    result = np.full(index.size, np.nan)
    for which in distinct_values(index):
        boundary = boundaries[which]
        if boundary is None:
            continue
        limits = boundary
        rows = np.nonzero((index == which) & np.isfinite(shafts.ratio))[0]

        def square(speed: Array, limits: Boundary = limits) -> Array:
            return boundary_limit(limits, speed) ** 2

        ratio = rising(shafts.ratio[rows])
        back = np.searchsorted(ratio, shafts.ratio[rows])
        mean = speed_mean_square(out, ratio, limits.speed[1:], square)
        result[rows] = np.sqrt(mean)[back]
    return result


def continuous_bounds(
    out: OutputDemand, shafts: Shafts, boundaries: Boundaries, index: Index
) -> tuple[Array, Array]:
    """Numbers between which :func:`continuous_limit` lies, from slices of the speed range.

    On every slice of a piece the speed runs one way, so its ends bound the torque of a boundary
    that does not rise; of one that rises the largest torque is taken.
    """
    low, high = np.full(index.size, np.nan), np.full(index.size, np.nan)
    z = np.linspace(-1.0, 1.0, SLICES + 1)
    edge = np.abs(series.at(out.moments.speed, z[None, :]))
    slow = np.minimum(edge[:, 1:], edge[:, :-1]).ravel()
    fast = np.maximum(edge[:, 1:], edge[:, :-1]).ravel()
    share = np.repeat(out.duration / out.cycle_time / SLICES, SLICES)
    for which in distinct_values(index):
        boundary = boundaries[which]
        if boundary is None:
            continue
        rows = np.nonzero(index == which)[0]
        rises = bool(np.any(np.diff(boundary.torque) > 0))
        for part in chunks(rows.size, share.size):
            some = rows[part]
            ratio = shafts.ratio[some, None]
            low[some] = np.sqrt(_lowest(boundary, ratio * fast) ** 2 @ share)
            top = np.full(some.size, boundary.torque.max())
            high[some] = (
                top if rises else np.sqrt(boundary_limit(boundary, ratio * slow) ** 2 @ share)
            )
    return low, high


def limit_at_mean_speed(
    out: OutputDemand, shafts: Shafts, boundaries: Boundaries, index: Index
) -> Array:
    """Continuous torque at the mean motor speed [N*m], for the plain criterion."""
    result = np.full(index.size, np.nan)
    for which in distinct_values(index):
        boundary = boundaries[which]
        if boundary is not None:
            rows = index == which
            result[rows] = boundary_limit(boundary, shafts.ratio[rows] * out.mean_speed)
    return result
