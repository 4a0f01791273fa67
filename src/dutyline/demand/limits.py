"""The cycle against boundaries that depend on motor speed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.boundaries import Boundary
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
from dutyline.demand.output import OutputDemand
from dutyline.demand.points import fastest

Array = NDArray[np.float64]
SLICES = 6
"""Slices of a piece on which speeds are bounded."""
GOLDEN = (np.sqrt(5.0) - 1) / 2


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


def share(torque: Array, limit: Array) -> Array:
    """Torque over limit; infinite where there is no torque left and some is needed."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(limit > 0, torque / limit, np.where(torque > 0, np.inf, 0.0))


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


def _limit(boundary: Boundary, speed: Array) -> Array:
    end = boundary.speed[-1] * (1 + 1e-12)
    inside = np.interp(speed, boundary.speed, boundary.torque)
    return np.where(speed <= end, inside, 0.0)


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
    used = share(torque, _limit(boundary, speed))
    best = fastest(used, speed)
    here = np.arange(rows.size)
    top = used[here, best]
    found = [torque[here, best], out.ends.time[best], speed[here, best]]
    coefficient = torque_coefficients(out, shafts)
    floor = _lowest(boundary, shafts.ratio[:, None] * out.moments.top_speed)
    bound = share(np.abs(coefficient).sum(axis=2), floor)
    open_ = (bound > top[:, None] * (1 + 1e-12)) & np.isfinite(top)[:, None]
    if reserve is not None:
        wanted = 1 - reserve
        side = (top > 1).astype(int) + (top > wanted * (1 - 1e-9))
        reach = (bound > 1).astype(int) + (bound > wanted * (1 - 1e-9))
        open_ &= reach > side[:, None]
    c, k = np.nonzero(open_)
    if c.size:
        inner = _inside(coefficient[c, k], out, k, shafts.ratio[c], boundary)
        for row, piece, place, t, v, u in zip(c, k, *inner, strict=True):
            if u > top[row]:
                top[row] = u
                time = out.start[piece] + (place + 1) / 2 * out.duration[piece]
                found[0][row], found[1][row], found[2][row] = t, time, v
    result.torque[rows], result.time[rows], result.speed[rows] = found
    result.limit[rows] = _limit(boundary, result.speed[rows])


def _lowest(boundary: Boundary, speed: Array) -> Array:
    """Smallest torque of the boundary between standstill and a speed."""
    knots = np.concatenate([boundary.speed, [boundary.speed[-1] * (1 + 1e-9)]])
    lowest = np.minimum.accumulate(np.concatenate([boundary.torque, [0.0]]))
    step = np.clip(np.searchsorted(knots, speed), 0, knots.size - 1)
    return np.minimum(lowest[np.maximum(step - 1, 0)], _limit(boundary, speed))


def _inside(
    coefficient: Array, out: OutputDemand, piece: Index, ratio: Array, boundary: Boundary
) -> tuple[Array, Array, Array, Array]:
    """Place, torque, speed and share of the largest share inside given pieces."""
    velocity = out.moments.speed[piece] * ratio[:, None]

    def shares(z: Array) -> tuple[Array, Array, Array]:
        torque = np.abs(series.at(coefficient, z))
        speed = np.abs(series.at(velocity, z))
        return share(torque, _limit(boundary, speed)), torque, speed

    grid = -np.cos(np.pi * np.arange(33) / 32)
    used, _, _ = shares(np.tile(grid, (piece.size, 1)))
    best = used.argmax(axis=1)
    low, high = grid[np.maximum(best - 1, 0)], grid[np.minimum(best + 1, 32)]
    a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    left, right = shares(a[:, None])[0][:, 0], shares(b[:, None])[0][:, 0]
    for _ in range(50):
        up = left < right
        low, high = np.where(up, a, low), np.where(up, high, b)
        fresh = np.where(up, low + GOLDEN * (high - low), high - GOLDEN * (high - low))
        a, b = np.where(up, b, fresh), np.where(up, fresh, a)
        value = shares(fresh[:, None])[0][:, 0]
        left, right = np.where(up, right, value), np.where(up, value, left)
    place = (low + high) / 2
    found, torque, speed = shares(place[:, None])
    return place, torque[:, 0], speed[:, 0], found[:, 0]


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
            return _limit(limits, speed) ** 2

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
            high[some] = top if rises else np.sqrt(_limit(boundary, ratio * slow) ** 2 @ share)
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
            result[rows] = _limit(boundary, shafts.ratio[rows] * out.mean_speed)
    return result
