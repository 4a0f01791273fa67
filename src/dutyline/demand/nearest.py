"""Where torque over speed comes nearest to a boundary inside smooth pieces of the motion.

Between two knots the boundary is straight. Torque over limit is largest at an end of such a part,
or where ``T' (p + q w) = T q w'``: a polynomial like torque and speed themselves. (Derived here.)
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.boundaries import Boundary
from dutyline.core import series
from dutyline.core.grouping import last_of_run

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
    row, number = np.nonzero(edge[:, 1:] > edge[:, :-1])
    low, high = edge[row, number], edge[row, number + 1]
    middle, half = (low + high) / 2, (high - low) / 2
    spots = np.stack([low, middle, high], axis=1)
    speed, size = series.at(velocity[row], spots), np.abs(series.at(torque[row], spots))
    base, rise = _lines(boundary, speed[:, 1])
    limit = base[:, None] + rise[:, None] * speed
    used = share(size, limit)
    best = top.copy()
    np.maximum.at(best, row, used.max(axis=1))
    change = series.slope(torque)
    steep = np.abs(change).sum(axis=1)
    bound = share(size[:, 1] + half * steep[row], np.minimum(limit[:, 0], limit[:, 2]))
    open_ = np.nonzero((bound > best[row] * (1 + 1e-12)) & np.isfinite(best[row]))[0]
    owner = np.concatenate([row, row, row])
    place, used, size, speed = (value.T.ravel() for value in (spots, used, size, speed))
    if open_.size:
        line = base[open_], rise[open_]
        whole = row[open_]
        more, spot = _turns(
            np.stack([torque[whole], change[whole]]),
            velocity[whole],
            middle[open_],
            half[open_],
            *line,
        )
        v = series.at(velocity[whole[more]], spot[:, None])[:, 0]
        t = np.abs(series.at(torque[whole[more]], spot[:, None])[:, 0])
        u = share(t, line[0][more] + line[1][more] * v)
        found = (owner, whole[more]), (place, spot), (used, u), (size, t), (speed, v)
        owner, place, used, size, speed = (np.concatenate(pair) for pair in found)
    order = np.lexsort((speed, used, owner))
    last = order[last_of_run(owner[order])]
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
    """Rows and places at which torque over a straight limit turns round, inside given parts.

    ``torque`` is (2, r, n): with its slope.
    """
    z, _ = series.gauss(torque.shape[2] + velocity.shape[1])
    where = middle[:, None] + half[:, None] * z
    t, t_slope = series.at(torque, where)
    v, v_slope = series.at(np.stack([velocity, series.slope(velocity)]), where)
    limit = base[:, None] + rise[:, None] * v
    change = t_slope * limit - t * (rise[:, None] * v_slope)
    row, place = series.roots(series.coefficients(change))
    return row, middle[row] + half[row] * place
