"""Where torque over speed comes nearest to a boundary inside smooth pieces of the motion.

Between two knots the boundary is straight. Torque over limit is largest at an end of such a part,
or where ``T' (p + q w) = T q w'``: a polynomial like torque and speed themselves. (Derived here.)
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.boundaries import Boundary
from dutyline.core import series

Array = NDArray[np.float64]
Index = NDArray[np.intp]


def share(torque: Array, limit: Array) -> Array:
    """Torque over limit; infinite where there is no torque left and some is needed."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(limit > 0, torque / limit, np.where(torque > 0, np.inf, 0.0))


def nearest(
    torque: Array, velocity: Array, boundary: Boundary, top: Array
) -> tuple[Index, Array, Array, Array, Array]:
    """Points inside pieces whose share may be above those known.

    Parameters
    ----------
    torque, velocity : (r, n), (r, d) ndarray [N*m, rad/s]
        Legendre coefficients on pieces in which the speed runs one way and keeps its sign.
    boundary : Boundary
    top : (r,) ndarray [1]
        Known share of the combination of each piece.

    Returns
    -------
    row, share, place, torque, speed
        Largest share of every piece that has one above ``top``, place on -1..1.
    """
    velocity = velocity * np.where(velocity[:, :1] < 0, -1.0, 1.0)
    edge = series.edges(torque.shape[0], *_passed(velocity, boundary.speed))
    row, number = np.nonzero(np.diff(edge, axis=1) > 0)
    low, high = edge[row, number], edge[row, number + 1]
    middle, half = (low + high) / 2, (high - low) / 2
    base, rise = _lines(boundary, series.at(velocity[row], middle[:, None])[:, 0])

    def shares(part: Index, place: Array) -> tuple[Array, Array, Array]:
        t = np.abs(series.at(torque[row[part]], place[:, None])[:, 0])
        v = series.at(velocity[row[part]], place[:, None])[:, 0]
        return share(t, base[part] + rise[part] * v), t, v

    every = np.arange(row.size)
    part, place = np.tile(every, 3), np.concatenate([low, middle, high])
    used, size, speed = shares(part, place)
    best = top.copy()
    np.maximum.at(best, row[part], used)
    steep = np.abs(series.slope(torque)).sum(axis=1)
    least = np.minimum(
        *(base + rise * series.at(velocity[row], z[:, None])[:, 0] for z in (low, high))
    )
    bound = share(size[row.size : 2 * row.size] + half * steep[row], least)
    open_ = np.nonzero((bound > best[row] * (1 + 1e-12)) & np.isfinite(best[row]))[0]
    if open_.size:
        more, spot = _turns(
            torque[row[open_]],
            velocity[row[open_]],
            middle[open_],
            half[open_],
            base[open_],
            rise[open_],
        )
        more = open_[more]
        found = shares(more, spot)
        part, place = np.concatenate([part, more]), np.concatenate([place, spot])
        used, size, speed = (
            np.concatenate(pair) for pair in zip((used, size, speed), found, strict=True)
        )
    owner = row[part]
    order = np.lexsort((speed, used, owner))
    last = order[np.append(np.diff(owner[order]) != 0, True)]
    last = last[used[last] > top[owner[last]] * (1 + 1e-12)]
    return owner[last], used[last], place[last], size[last], speed[last]


def _passed(velocity: Array, knots: Array) -> tuple[Index, Array]:
    """Rows and places at which the speed passes knots."""
    ends = series.at(velocity, np.array([[-1.0, 1.0]]))
    first = np.searchsorted(knots, ends.min(axis=1), side="right")
    number = np.maximum(np.searchsorted(knots, ends.max(axis=1), side="left") - first, 0)
    row = np.repeat(np.arange(velocity.shape[0]), number)
    turn = np.arange(row.size) - np.repeat(np.cumsum(number) - number, number)
    shifted = velocity[row]
    shifted[:, 0] -= knots[first[row] + turn]
    ones = np.ones(row.size)
    return row, series.refined(shifted, -ones, ones)


def _lines(boundary: Boundary, speed: Array) -> tuple[Array, Array]:
    """Torque at standstill and slope of the line on which each speed lies; zero beyond the end."""
    knots, torque = boundary.speed, boundary.torque
    if knots.size == 1:
        rise, base = np.zeros(speed.size), np.full(speed.size, torque[0])
    else:
        k = np.clip(np.searchsorted(knots, speed, side="right") - 1, 0, knots.size - 2)
        rise = (np.diff(torque) / np.diff(knots))[k]
        base = torque[k] - rise * knots[k]
    beyond = speed > knots[-1] * (1 + 1e-12)
    return np.where(beyond, 0.0, base), np.where(beyond, 0.0, rise)


def _turns(
    torque: Array, velocity: Array, middle: Array, half: Array, base: Array, rise: Array
) -> tuple[Index, Array]:
    """Rows and places at which torque over a straight limit turns round, inside given parts."""
    z, _ = series.gauss(torque.shape[1] + velocity.shape[1])
    where = middle[:, None] + half[:, None] * z
    limit = base[:, None] + rise[:, None] * series.at(velocity, where)
    falling = rise[:, None] * series.at(series.slope(velocity), where)
    change = series.at(series.slope(torque), where) * limit - series.at(torque, where) * falling
    row, place = series.roots(series.coefficients(change))
    return row, middle[row] + half[row] * place
