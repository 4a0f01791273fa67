"""How much samples scatter, and what that makes of second derivatives."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

USUAL = 50
"""Samples of a move below which nobody knows what lies between (common practice)."""
_ALTERNATES = -0.4
"""Correlation of neighbours below which departures are scatter and no shape; pure scatter has
-0.8, a smooth motion is positive."""
_KEPT = 0.9
"""Share of the departures that count: kinks of a motion are the largest."""


def scatter(time: Array, value: Array) -> float:
    """Standard deviation of the scatter of samples about a smooth course; 0 where none is seen.

    Every sample is predicted by the cubic through its two neighbours on either side. Departures
    that alternate in sign are scatter: rounding of the file or noise of a measurement.

    Parameters
    ----------
    time, value : (n,) ndarray

    Notes
    -----
    For equal distances the departure is a sixth of the fourth difference. Derived here.
    """
    if time.size < 3 * 4:
        return 0.0
    x = np.stack([time[k : time.size - 4 + k] for k in (0, 1, 3, 4)])
    middle = time[2:-2]
    weights = np.ones_like(x)
    for i in range(4):
        for j in range(4):
            if i != j:
                weights[i] *= (middle - x[j]) / (x[i] - x[j])
    y = np.stack([value[k : value.size - 4 + k] for k in (0, 1, 3, 4)])
    departure = (value[2:-2] - (weights * y).sum(axis=0)) / np.sqrt(1 + (weights**2).sum(axis=0))
    if np.abs(departure).max() <= 1e-12 * np.abs(value - value[0]).max(initial=1e-300):
        return 0.0
    limit = np.quantile(np.abs(departure), _KEPT)
    usual = np.clip(departure, -limit, limit)
    square = float((usual**2).sum())
    if square == 0.0 or float((usual[1:] * usual[:-1]).sum()) > _ALTERNATES * square:
        return 0.0
    inside = np.abs(departure) <= limit
    return float(np.sqrt(np.mean(departure[inside] ** 2)))


def acceleration_scatter(time: Array, size: float) -> float:
    """Standard deviation of the second derivative of the spline through scattered samples.

    Parameters
    ----------
    time : (n,) ndarray [s]
    size : float
        Standard deviation of the samples.

    Notes
    -----
    White scatter over equal distances h passes the cubic spline with
    12 (1 - cos u)/(4 + 2 cos u)/h^2; its mean square over u is 36. Derived here.

    Examples
    --------
    Places rounded to 1 um, every millisecond: 1 um/sqrt(12) each.

    >>> round(acceleration_scatter(np.arange(5) * 1e-3, 1e-6 / 12**0.5), 3)
    1.732
    """
    return float(6.0 * size / np.median(np.diff(time)) ** 2)
