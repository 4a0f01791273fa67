"""Means over a cycle of straight segments: rms, mean, mean magnitude, power means.

Each segment runs straight from its start to its end value. Segments stand on the last axis; leave
the end out for constant segments.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, numbers, segments


def mean(start: ArrayLike, duration: ArrayLike, end: ArrayLike | None = None) -> Array:
    """Mean over time, with sign.

    Parameters
    ----------
    start, duration : (..., n) array_like [any, s]
    end : (..., n) array_like
        At the end of each segment; the same as at its start when left out.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(mean([0.0, 2.0], [1.0, 1.0], [2.0, -2.0]))
    0.5
    """
    a, b, dt = _ramps(start, end, duration)
    return numbers(np.sum(0.5 * (a + b) * dt, axis=-1) / np.sum(dt, axis=-1))


def mean_magnitude(start: ArrayLike, duration: ArrayLike, end: ArrayLike | None = None) -> Array:
    """Mean of the magnitude over time, exact where a segment crosses zero.

    Parameters
    ----------
    start, duration, end
        As in :func:`mean`.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(mean_magnitude([0.0, 2.0], [1.0, 1.0], [2.0, -2.0]))
    1.0
    """
    a, b, dt = _ramps(start, end, duration)
    return numbers(np.sum(_magnitude_power(a, b, 1.0) * dt, axis=-1) / np.sum(dt, axis=-1))


def root_mean_square(start: ArrayLike, duration: ArrayLike, end: ArrayLike | None = None) -> Array:
    """Root of the mean square over time.

    Parameters
    ----------
    start, duration, end
        As in :func:`mean`.

    Source
    ------
    Definition; a ramp from a to b has the mean square ``(a**2 + a*b + b**2)/3``.

    Examples
    --------
    >>> float(root_mean_square([3.0, 4.0], [1.0, 1.0]).round(4))
    3.5355
    """
    a, b, dt = _ramps(start, end, duration)
    square = (a**2 + a * b + b**2) / 3.0
    return numbers(np.sqrt(np.sum(square * dt, axis=-1) / np.sum(dt, axis=-1)))


def power_mean(
    start: ArrayLike,
    weight: ArrayLike,
    exponent: float = 3.0,
    end: ArrayLike | None = None,
) -> Array:
    """Constant magnitude with the same mean of its power: the cubic mean for an exponent of 3.

    Parameters
    ----------
    start, end : (..., n) array_like
        Load in each segment.
    weight : (..., n) array_like
        Revolutions or travel of each segment, not its time; zero or more.
    exponent : float
        1 or more.

    Returns
    -------
    (...) ndarray
        Zero where all weights are zero.

    Source
    ------
    Linear damage, ISO 281 (from memory).

    Examples
    --------
    A force rising straight from 1 to 3 kN:

    >>> round(float(power_mean([1000.0], [1.0], 3.0, [3000.0])), 1)
    2154.4
    """
    a, b, w = _ramps(start, end, weight)
    power = np.sum(_magnitude_power(a, b, exponent) * w, axis=-1)
    total = np.sum(w, axis=-1)
    found = np.divide(power, total, out=np.zeros_like(power), where=total != 0.0)
    return numbers(found ** (1.0 / exponent))


def _ramps(
    start: ArrayLike, end: ArrayLike | None, duration: ArrayLike
) -> tuple[Array, Array, Array]:
    a, b, dt = segments(start=start, end=start if end is None else end, duration=duration)
    return a, b, dt


def _magnitude_power(a: Array, b: Array, p: float) -> Array:
    """Mean of ``|x|**p`` for x running straight from a to b."""
    difference = b - a
    flat = np.abs(difference) <= 1e-6 * np.maximum(np.abs(a), np.abs(b))
    middle = np.abs(0.5 * (a + b)) ** p
    rise = np.sign(b) * np.abs(b) ** (p + 1.0) - np.sign(a) * np.abs(a) ** (p + 1.0)
    return numbers(np.where(flat, middle, rise / ((p + 1.0) * np.where(flat, 1.0, difference))))
