"""Cubic splines through samples, or smoothed between them, as smooth pieces."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.motion.pieces import Piece

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Ends:
    """How a spline begins and ends; periodic where neither slope is stated."""

    first: float | None = None
    """Slope at the start [m/s or rad/s]."""
    last: float | None = None

    @property
    def periodic(self) -> bool:
        """True where slope and second derivative at the end are those at the start."""
        return self.first is None or self.last is None


def spline_slopes(knots: Array, values: Array, ends: Ends) -> Array:
    """Slopes at the knots of the C2 cubic spline through values at them.

    Parameters
    ----------
    knots : (m,) ndarray [s]
        Strictly rising, three or more.
    values : (m,) or (m, k) ndarray
        One or several sets of values; those of a periodic spline may differ by a drift.
    ends : Ends

    Returns
    -------
    ndarray
        Of the shape of ``values``.

    Notes
    -----
    Equal second derivatives on both sides of knot i, with h the distances and d the divided
    differences: h[i] s[i-1] + 2 (h[i-1] + h[i]) s[i] + h[i-1] s[i+1]
    = 3 (h[i] d[i-1] + h[i-1] d[i]). Source: de Boor, *A Practical Guide to Splines*, from memory.

    Examples
    --------
    A cubic is its own spline:

    >>> x = np.array([0.0, 1.0, 3.0, 4.0])
    >>> spline_slopes(x, x**3, Ends(0.0, 48.0)).round(9).tolist()
    [0.0, 3.0, 27.0, 48.0]
    """
    h = np.diff(knots)
    d = np.diff(values, axis=0) / (h if values.ndim == 1 else h[:, None])
    columns = d if d.ndim == 2 else d[:, None]
    found = _periodic(h, columns) if ends.periodic else _clamped(h, columns, ends)
    return found if values.ndim == 2 else found[:, 0]


def _clamped(h: Array, d: Array, ends: Ends) -> Array:
    size = h.size + 1
    low, middle, high = (np.zeros(size) for _ in range(3))
    right = np.zeros((size, d.shape[1]))
    middle[[0, -1]] = 1.0
    right[0], right[-1] = ends.first or 0.0, ends.last or 0.0
    low[1:-1], high[1:-1] = h[1:], h[:-1]
    middle[1:-1] = 2 * (h[:-1] + h[1:])
    right[1:-1] = 3 * (h[1:, None] * d[:-1] + h[:-1, None] * d[1:])
    return _tridiagonal(low, middle, high, right)


def _periodic(h: Array, d: Array) -> Array:
    """By one correction of rank one (Sherman and Morrison) of the cyclic system."""
    size = h.size
    before, after = np.roll(h, 1), h
    low, middle, high = after.copy(), 2 * (before + after), before.copy()
    right = 3 * (after[:, None] * np.roll(d, 1, axis=0) + before[:, None] * d)
    corner_low, corner_high = low[0], high[-1]
    shift = -middle[0]
    bent = middle.copy()
    bent[0] -= shift
    bent[-1] -= corner_low * corner_high / shift
    spike = np.zeros((size, 1))
    spike[0], spike[-1] = shift, corner_high
    both = _tridiagonal(low, bent, high, np.hstack([right, spike]))
    plain, bend = both[:, :-1], both[:, -1]
    tail = corner_low / shift
    share = (plain[0] + tail * plain[-1]) / (1 + bend[0] + tail * bend[-1])
    found = plain - bend[:, None] * share
    return np.vstack([found, found[:1]])


def _tridiagonal(low: Array, middle: Array, high: Array, right: Array) -> Array:
    """Solution of a diagonally dominant system; ``right`` has one column for each set."""
    pivot, result = middle.copy(), right.copy()
    for k in range(1, pivot.size):
        factor = low[k] / pivot[k - 1]
        pivot[k] -= factor * high[k - 1]
        result[k] -= factor * result[k - 1]
    result[-1] /= pivot[-1]
    for k in range(pivot.size - 2, -1, -1):
        result[k] = (result[k] - high[k] * result[k + 1]) / pivot[k]
    return result


def spline_values(knots: Array, values: Array, slopes: Array, at: Array) -> Array:
    """Values of a cubic spline, one row for each instant."""
    k = np.clip(np.searchsorted(knots, at, side="right") - 1, 0, knots.size - 2)
    h = knots[k + 1] - knots[k]
    u = (at - knots[k]) / h
    shape = (-1,) + (1,) * (values.ndim - 1)
    u, h = u.reshape(shape), h.reshape(shape)
    return np.asarray(
        (1 + 2 * u) * (1 - u) ** 2 * values[k]
        + u**2 * (3 - 2 * u) * values[k + 1]
        + h * u * (1 - u) * ((1 - u) * slopes[k] - u * slopes[k + 1])
    )


def smoothed(time: Array, value: Array, knots: Array, ends: Ends) -> Array:
    """Values at knots of the cubic spline that comes nearest to samples in least squares.

    First and last value are those of the samples.

    Parameters
    ----------
    time, value : (n,) ndarray
        Samples, between the first and last knot.
    knots : (m,) ndarray
        Three or more, each between two samples at least.
    ends : Ends
    """
    drift = value[0] + (value[-1] - value[0]) * (time - time[0]) / (time[-1] - time[0])
    line = value[0] + (value[-1] - value[0]) * (knots - knots[0]) / (knots[-1] - knots[0])
    slope = (value[-1] - value[0]) / (time[-1] - time[0])
    inner = Ends() if ends.periodic else Ends(0.0, 0.0)
    unit = np.eye(knots.size)[:, 1:-1]
    basis = spline_values(knots, unit, spline_slopes(knots, unit, inner), time)
    rest = value - drift
    if not ends.periodic:
        none = np.zeros(knots.size)
        bent = Ends((ends.first or 0.0) - slope, (ends.last or 0.0) - slope)
        rest = rest - spline_values(knots, none, spline_slopes(knots, none, bent), time)
    found, *_ = np.linalg.lstsq(basis, rest, rcond=None)
    return np.asarray(line + np.concatenate([[0.0], found, [0.0]]))


def spline_pieces(knots: Array, values: Array, slopes: Array) -> tuple[Piece, ...]:
    """The spline as pieces from time 0 and place 0; terms of rounding size are left out."""
    noise = 1e-13 * max(float(np.ptp(values)), float(np.abs(values).max()) * 1e-3)
    pieces = []
    for k in range(knots.size - 1):
        h, rise = knots[k + 1] - knots[k], values[k + 1] - values[k]
        poly = [
            values[k] - values[0],
            slopes[k],
            (3 * rise / h - 2 * slopes[k] - slopes[k + 1]) / h,
            (slopes[k] + slopes[k + 1] - 2 * rise / h) / h**2,
        ]
        kept = [c if n == 0 or abs(c) * h**n > noise else 0.0 for n, c in enumerate(poly)]
        pieces.append(Piece(float(knots[k] - knots[0]), float(h), tuple(float(c) for c in kept)))
    return tuple(pieces)
