"""From the output shaft to the motor shaft, for any number of combinations at once.

Every function takes arrays with one element per combination and gives the exact number, the same
for one combination as for a million: rms values from second moments, everything with a kink from
pieces that are cut at the kink.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.core.series import combined, total
from dutyline.demand.output import OutputDemand
from dutyline.demand.points import fastest

Array = NDArray[np.float64]
Index = NDArray[np.intp]

NARROW = 1e-15
"""Half width, of a piece of width 2, below which a part between two cuts counts as none."""
FLAT = 1e-12
"""Share of a torque below which its changes on a piece are rounding."""
POINTS = 8
"""Gauss points on a strip, at least."""
ROWS = 60_000
"""Pieces times combinations worked on at a time; keeps the memory bounded."""


@dataclass(frozen=True)
class Shafts:
    """What a gearhead, rotor and brake put between the output shaft and the motor torque."""

    ratio: Array
    """(c,) motor speed over output speed; 1 without a gearhead"""
    inertia: Array
    """(c,) [kg*m^2] rotor, brake and gearhead input together"""
    efficiency: Array
    """(c,) mesh efficiency, no-load torque taken out; the same in both directions"""
    drag: Array
    """(c,) [N*m] no-load torque at the gearhead input"""

    @cached_property
    def vector(self) -> Array:
        """(c, 5) the x of :class:`dutyline.demand.output.Moments`"""
        i, eta = self.ratio, self.efficiency
        columns = [self.inertia * i, 1 / (i * eta), eta / i, 1 / i, self.drag]
        found = np.stack(columns, axis=1)
        found.setflags(write=False)
        return found

    def take(self, index: Index) -> Shafts:
        """The same for some of the combinations."""
        if index.size == self.ratio.size == 1:
            return self
        return Shafts(
            self.ratio[index], self.inertia[index], self.efficiency[index], self.drag[index]
        )


def rms_torque(out: OutputDemand, shafts: Shafts) -> Array:
    """(c,) rms torque at the motor shaft over the cycle [N*m]."""
    x = shafts.vector
    m = out.moments
    square = np.zeros(x.shape[0])
    for f in range(5):
        for g in range(5):
            square = square + m.gram[f, g] * (x[:, f] * x[:, g])
    if m.credit.any():
        held = int(m.credit.sum())
        for part in chunks(square.size, held):
            square[part] -= _reversed_square(out, x[part]) / out.cycle_time
    root: Array = np.sqrt(np.maximum(square, 0.0))
    return root


def _reversed_square(out: OutputDemand, vector: Array) -> Array:
    """(c,) integral of the squared torque where friction holds more than the load asks for."""
    piece = np.nonzero(out.moments.credit)[0]
    flat = combined(_columns(vector, 2), list(out.moments.coefficients[:, piece]))
    count, pieces, order = flat.shape
    flat = flat.reshape(-1, order)
    z, w = series.gauss(max(order, POINTS))
    edge = series.edges(flat.shape[0], *series.roots(flat))
    half = np.diff(edge, axis=1) / 2
    where = (edge[:, :-1] + half)[:, :, None] + half[:, :, None] * z
    value = series.at(flat, where.reshape(flat.shape[0], -1)).reshape(where.shape)
    helped = np.tile(np.sign(out.torque[piece, 0]), count)[:, None, None]
    found = (np.where(value * helped < 0, value**2, 0.0) * w).sum(axis=2) * half
    return total(found.sum(axis=1).reshape(count, pieces) * (out.duration[piece] / 2))


def end_torques(out: OutputDemand, shafts: Shafts) -> Array:
    """(c, m) motor torque at the one-sided ends of the pieces and at break-away [N*m]."""
    value = combined(_columns(shafts.vector, 1), list(out.moments.ends))
    if out.moments.credit.any():
        piece = out.ends.piece
        helped = np.sign(out.ends.torque)
        against = out.moments.credit[piece] & (value * helped < 0)
        value = np.where(against, 0.0, value)
    return value


def _columns(vector: Array, axes: int) -> list[Array]:
    """The columns of (c, 5), each with further axes of length 1."""
    return list(vector.T.reshape((vector.shape[1], -1) + (1,) * axes))


def torque_coefficients(out: OutputDemand, shafts: Shafts, piece: Index | None = None) -> Array:
    """Legendre coefficients of the motor torque: (c, K, n), or (c, n) for one piece each."""
    phi = out.moments.coefficients
    if piece is None:
        return combined(_columns(shafts.vector, 2), list(phi))
    return combined(_columns(shafts.vector, 1), list(phi[:, piece]))


def piece_reach(out: OutputDemand, shafts: Shafts) -> Array:
    """(c, K) a torque that is not exceeded on each piece [N*m], break-away left out."""
    result = np.empty((shafts.ratio.size, out.start.size))
    for part in chunks(shafts.ratio.size, out.start.size):
        result[part] = np.abs(torque_coefficients(out, shafts.take(part))).sum(axis=2)
    return result


def part_range(out: OutputDemand, shafts: Shafts, parts: int) -> tuple[Array, Array]:
    """(c, K * parts) torques between which the magnitude lies on equal parts of every piece [N*m].

    In the order of time; break-away left out.
    """
    coefficient = torque_coefficients(out, shafts)
    split = coefficient @ series.subdivision(coefficient.shape[2], parts)
    split = split.reshape(coefficient.shape[0], -1, coefficient.shape[2])
    middle, swing = np.abs(split[:, :, 0]), np.abs(split[:, :, 1:]).sum(axis=2)
    low = np.maximum(middle - swing, 0.0)
    low[:, np.repeat(out.moments.credit, parts)] = 0.0
    return low, middle + swing


def returned_bounds(out: OutputDemand, shafts: Shafts, reach: Array) -> tuple[Array, Array]:
    """Energy [J] and power [W] that the mechanical return of one cycle does not exceed.

    Inertia and driven torque alone are counted; what the motor drives, drag and electrical
    losses only lower them.
    """
    falling = np.maximum(-out.acceleration * out.speed, 0.0)
    driven = np.maximum(-out.torque * out.speed, 0.0)
    by_inertia = float((out.weight * falling).sum())
    by_load = float((out.weight * driven).sum())
    energy = shafts.inertia * shafts.ratio**2 * by_inertia + shafts.efficiency * by_load
    able = (falling > 0).any(axis=1) | (driven > 0).any(axis=1)
    if not able.any():
        return energy, np.zeros(energy.size)
    power = (reach[:, able] * out.moments.top_speed[able]).max(axis=1) * shafts.ratio
    return energy, power


def peak_torque(out: OutputDemand, shafts: Shafts) -> tuple[Array, Array]:
    """Largest magnitude of the motor torque [N*m] and its instant [s], both (c,)."""
    ends = np.abs(end_torques(out, shafts))
    best = fastest(ends, np.broadcast_to(out.moments.end_speed, ends.shape))
    rows = np.arange(best.size)
    peak, at = ends[rows, best], out.ends.time[best]
    for part in chunks(best.size, out.start.size):
        coefficient = torque_coefficients(out, shafts.take(part))
        bound = np.where(out.moments.credit, 0.0, np.abs(coefficient).sum(axis=2))  # straight there
        c, k = np.nonzero(bound > peak[part, None] * (1 + 1e-12))
        if c.size == 0:
            continue
        some = coefficient[c, k]
        row, place = series.roots(series.slope(some))
        value = np.abs(series.at(some[row], place[:, None])[:, 0])
        time = out.start[k[row]] + (place + 1) / 2 * out.duration[k[row]]
        for r, v, t in zip(c[row], value, time, strict=True):
            if v > peak[part[r]]:
                peak[part[r]], at[part[r]] = v, t
    return peak, at


def chunks(count: int, pieces: int) -> Iterator[Index]:
    """Index arrays that cover ``count`` combinations in bounded portions."""
    step = max(1, ROWS // max(pieces, 1))
    for first in range(0, count, step):
        yield np.arange(first, min(first + step, count))


@dataclass(frozen=True, slots=True)
class Strips:
    """Every piece of some combinations cut where the motor torque has a kink of interest.

    ``c`` combinations, ``s`` strips in order of time, ``q`` points in each. Where a combination
    has fewer strips than another, strips of no length follow at the end of its cycle.
    """

    torque: Array
    """(c, s, q) [N*m]"""
    speed: Array
    """(c, s, q) [rad/s] at the motor"""
    weight: Array
    """(c, s, q) [s]"""
    time: Array
    """(c, s, q) [s]"""
    duration: Array
    """(c, s) [s]"""

    def integral(self, value: Array) -> Array:
        """(c, s) integral of a (c, s, q) array over each strip"""
        found: Array = (value * self.weight).sum(axis=2)
        return found


Kink = Callable[[Array, Array, Index], Array]
"""Function of torque, speed (both (r, q)) and combination (r,) whose sign changes are cut."""


def strips(
    out: OutputDemand,
    shafts: Shafts,
    levels: Array,
    kink: Kink | None = None,
    *,
    turns: bool = False,
) -> Strips:
    """Cut all pieces where the magnitude of the motor torque passes the given levels.

    Parameters
    ----------
    out : OutputDemand
    shafts : Shafts
        ``c`` combinations.
    levels : (c, l) ndarray [N*m]
        Zero stands for a change of sign; nan for no cut. Where friction helps to hold, changes of
        sign are cut anyhow.
    kink : callable, optional
        A further function, smooth between the levels, whose sign changes are cut too.
    turns : bool
        Also cut where the torque turns round, on pieces that reach the smallest of the levels:
        from there on its magnitude runs one way on every strip.

    Returns
    -------
    Strips
        With as many Gauss points as the torque has coefficients, :data:`POINTS` at least, and
        both ends.
    """
    torque = torque_coefficients(out, shafts)
    count, pieces, order = torque.shape
    flat = torque.reshape(-1, order)
    row, place = _level_cuts(flat, levels, pieces)
    if out.moments.credit.any():
        helped = np.nonzero(np.tile(out.moments.credit, count))[0]
        more_row, more_place = series.roots(flat[helped])
        row, place = np.concatenate([row, helped[more_row]]), np.concatenate([place, more_place])
    if turns:
        more_row, more_place = _turns(flat, np.repeat(np.nanmin(levels, axis=1), pieces))
        row, place = np.concatenate([row, more_row]), np.concatenate([place, more_place])
    parts = _parts(flat.shape[0], row, place)
    if kink is not None:
        more_row, more_place = _kink_cuts(out, shafts, flat, parts, kink)
        row, place = np.concatenate([row, more_row]), np.concatenate([place, more_place])
        parts = _parts(flat.shape[0], row, place)
    z, w = _with_ends(max(order, POINTS))
    where = parts.middle[:, None] + parts.half[:, None] * z
    value, speed = _values(out, shafts, flat, parts.row, where)
    piece, owner = parts.row % pieces, parts.row // pieces
    scale = out.duration[piece] / 2
    time = out.start[piece, None] + (where + 1) * scale[:, None]
    weight = (parts.half * scale)[:, None] * w
    return _in_order(count, owner, (value, speed, weight, time), 2 * parts.half * scale)


def _in_order(
    count: int, owner: Index, columns: tuple[Array, Array, Array, Array], duration: Array
) -> Strips:
    """Strips of each combination side by side; after its last one that one's end is repeated."""
    if count == 1:
        return Strips(*(column[None] for column in (*columns, duration)))
    number = np.bincount(owner, minlength=count)
    first = np.concatenate([[0], np.cumsum(number)[:-1]])
    shape = (count, int(number.max(initial=1)))
    place = np.minimum(np.arange(shape[1])[None, :], number[:, None] - 1) + first[:, None]
    filler = np.arange(shape[1])[None, :] >= number[:, None]
    torque, speed, weight, time = (column[place] for column in columns)
    for column in (torque, speed, time):
        column[filler] = column[filler][:, -1:]
    weight[filler] = 0.0
    return Strips(torque, speed, weight, time, np.where(filler, 0.0, duration[place]))


@dataclass(frozen=True, slots=True)
class _Parts:
    """Intervals of pieces between cuts, in the order of rows and places; none without length."""

    row: Index
    middle: Array
    half: Array


def _parts(count: int, row: Index, place: Array) -> _Parts:
    every = np.arange(count)
    owner = np.concatenate([every, row, every])
    edge = np.concatenate([np.full(count, -1.0), place, np.ones(count)])
    order = np.lexsort((edge, owner))
    owner, edge = owner[order], edge[order]
    half = (edge[1:] - edge[:-1]) / 2  # below zero from one row to the next
    real = np.nonzero(half > NARROW)[0]
    half = half[real]
    return _Parts(owner[real], edge[real] + half, half)


def _level_cuts(flat: Array, levels: Array, pieces: int) -> tuple[Index, Array]:
    """Places where the torque (rows of coefficients) passes plus or minus each level."""
    rows: list[Index] = [np.empty(0, dtype=np.intp)]
    places: list[Array] = [np.empty(0)]
    reach = np.abs(flat).sum(axis=1)
    for column in range(levels.shape[1]):
        level = np.repeat(levels[:, column], pieces)
        able = np.nonzero(np.isfinite(level) & (reach >= level))[0]
        if able.size == 0:
            continue
        for sign in (1.0, -1.0) if np.any(level[able] > 0) else (1.0,):
            shifted = flat[able]
            shifted[:, 0] -= sign * level[able]
            row, place = series.roots(shifted)
            rows.append(able[row])
            places.append(place)
    return np.concatenate(rows), np.concatenate(places)


def _turns(flat: Array, level: Array) -> tuple[Index, Array]:
    """Places where the torque turns round, in rows whose magnitude may reach their level."""
    reach, swing = np.abs(flat).sum(axis=1), np.abs(flat[:, 1:]).sum(axis=1)
    able = np.nonzero((reach >= level) & (swing > FLAT * reach))[0]
    row, place = series.roots(series.slope(flat[able]))
    return able[row], place


def _kink_cuts(
    out: OutputDemand, shafts: Shafts, flat: Array, parts: _Parts, kink: Kink
) -> tuple[Index, Array]:
    """Places inside the given parts where a further function changes its sign."""
    z, _ = series.gauss(max(flat.shape[1] + 4, 10))
    where = parts.middle[:, None] + parts.half[:, None] * z
    torque, speed = _values(out, shafts, flat, parts.row, where)
    value = kink(torque, speed, parts.row // out.start.size)
    row, place = series.roots(series.coefficients(value))
    return parts.row[row], parts.middle[row] + parts.half[row] * place


def _values(
    out: OutputDemand, shafts: Shafts, flat: Array, row: Index, where: Array
) -> tuple[Array, Array]:
    """Motor torque and speed at places (r, q); ``row`` counts pieces within combinations."""
    pieces = out.start.size
    piece = row % pieces
    torque = series.at(flat[row], where)
    credit = out.moments.credit
    if credit.any():  # no reversed torque where friction holds more than the load asks for
        helped = np.sign(out.torque[piece, 0])[:, None]
        torque = np.where(credit[piece, None] & (torque * helped < 0), 0.0, torque)
    speed = series.at(out.moments.speed[piece], where)
    return torque, speed * shafts.ratio[row // pieces, None]


@lru_cache(maxsize=64)
def _with_ends(n: int) -> tuple[Array, Array]:
    """Gauss points with both ends added at no weight, so that extremes at the ends are seen."""
    z, w = (np.pad(part, 1) for part in series.gauss(n))
    z[[0, -1]] = -1.0, 1.0
    z.setflags(write=False)
    w.setflags(write=False)
    return z, w


def speed_mean_square(
    out: OutputDemand, ratio: Array, knots: Array, square: Callable[[Array], Array]
) -> Array:
    """(c,) time mean of a function of motor speed that has kinks at given speeds.

    Parameters
    ----------
    ratio : (c,) ndarray
        Motor speed over output speed.
    knots : (k,) ndarray [rad/s]
        Motor speeds at which the function has a kink.
    square : callable
        The function of the magnitude of motor speed, for arrays of any shape.
    """
    coefficient = out.moments.speed * np.where(out.speed.mean(axis=1) < 0, -1.0, 1.0)[:, None]
    moving = out.moments.top_speed > 0
    rest = float(out.duration[~moving].sum())
    whole = np.full(ratio.size, rest * float(square(np.zeros(1))[0]))
    if not moving.any():
        return whole / out.cycle_time
    coefficient = coefficient[moving]
    duration = out.duration[moving]
    top = out.moments.top_speed[moving]
    order = coefficient.shape[1]
    z, w = series.gauss(max(order, POINTS))
    for part in chunks(ratio.size, duration.size * max(knots.size, 1)):
        flat = (coefficient[None] * ratio[part, None, None]).reshape(-1, order)
        reach = (ratio[part, None] * top).ravel()
        knot, able = np.nonzero(reach > knots[:, None])
        shifted = flat[able]
        shifted[:, 0] -= knots[knot]
        row, place = series.roots(shifted)
        edge = series.edges(flat.shape[0], able[row], place)
        half = np.diff(edge, axis=1) / 2
        spots = (edge[:, :-1] + half)[:, :, None] + half[:, :, None] * z
        speed = series.at(flat, spots.reshape(flat.shape[0], -1)).reshape(spots.shape)
        mean = total((square(np.abs(speed)) * half[:, :, None] * w).sum(axis=2))
        whole[part] += total(mean.reshape(part.size, -1) * (duration / 2))
    return whole / out.cycle_time
