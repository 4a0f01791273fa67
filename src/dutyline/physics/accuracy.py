"""Accuracy budget of an axis and the quantities of the positioning test.

Widths are full ranges at the load, in one unit.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, numbers, segments

STEEL_EXPANSION = 1.15e-5
"""[1/K] linear thermal expansion of steel (handbooks, from memory)."""
TRAVEL_VARIATION = {0: 3.5e-6, 1: 6e-6, 3: 12e-6, 5: 23e-6, 7: 52e-6, 10: 210e-6}
"""[m] travel variation of a ball screw within 300 mm by grade (ISO 3408-3, from memory)."""


def resolution(counts: ArrayLike, travel_per_turn: ArrayLike) -> Array:
    """Travel of the load per count of the motor encoder.

    Parameters
    ----------
    counts : array_like
        Per motor turn.
    travel_per_turn : array_like [m or rad]
        Of the load, per motor turn.

    Source
    ------
    Definition.

    Examples
    --------
    >>> round(float(resolution(2**20, 0.02 / 3.0)) * 1e6, 6)
    0.006358
    """
    return numbers(np.abs(numbers(travel_per_turn)) / above("counts", counts, 0.0))


def encoder_width(error: ArrayLike, travel_per_turn: ArrayLike) -> Array:
    """Width at the load from an encoder error of plus or minus ``error``.

    Parameters
    ----------
    error : array_like [rad]
        At the motor.
    travel_per_turn : array_like [m or rad]
        Of the load, per motor turn.

    Source
    ------
    Definition.

    Examples
    --------
    >>> round(float(encoder_width(np.radians(20 / 3600), 0.02 / 3.0)) * 1e6, 5)
    0.20576
    """
    per_radian = np.abs(numbers(travel_per_turn)) / (2.0 * np.pi)
    return numbers(2.0 * np.abs(numbers(error)) * per_radian)


def friction_width(friction: ArrayLike, stiffness: ArrayLike) -> Array:
    """Lost motion of a reversal from friction behind a spring, ``2 F/k``.

    Parameters
    ----------
    friction : array_like [N or N*m]
    stiffness : array_like [N/m or N*m/rad]
        More than 0.

    Source
    ------
    Statics.

    Examples
    --------
    >>> round(float(friction_width(80.0, 9e7)) * 1e6, 4)
    1.7778
    """
    return numbers(2.0 * np.abs(numbers(friction)) / above("stiffness", stiffness, 0.0))


def thermal_growth(
    length: ArrayLike, temperature: ArrayLike, expansion: ArrayLike = STEEL_EXPANSION
) -> Array:
    """Growth of a length with its temperature [m].

    Parameters
    ----------
    length : array_like [m]
    temperature : array_like [K]
        Change.
    expansion : array_like [1/K]

    Source
    ------
    Definition.

    Examples
    --------
    >>> round(float(thermal_growth(0.6, 5.0)) * 1e6, 3)
    34.5
    """
    return numbers(numbers(expansion) * numbers(temperature) * numbers(length))


def total_width(systematic: ArrayLike, deviations: ArrayLike) -> tuple[Array, Array]:
    """Width of all contributions together, at worst and as root of the sum of squares.

    Parameters
    ----------
    systematic : (..., n) array_like
        Full widths.
    deviations : (..., m) array_like
        Standard deviations of the random contributions.

    Returns
    -------
    pair of (...) ndarray
        Widths added up, and widths squared and added; four joint standard deviations on both.

    Source
    ------
    Common practice; four standard deviations after ISO 230-2 (from memory).

    Examples
    --------
    >>> [round(float(w), 3) for w in total_width([4.0, 3.0], [0.3, 0.4])]
    [9.0, 7.0]
    """
    wide, random = np.abs(numbers(systematic)), numbers(deviations)
    spread = 4.0 * np.sqrt(np.sum(random**2, axis=-1))
    root = np.sqrt(np.sum(wide**2, axis=-1))
    return numbers(wide.sum(axis=-1) + spread), numbers(root + spread)


def positioning_test(forward: ArrayLike, backward: ArrayLike) -> tuple[Array, Array, Array]:
    """Reversal value, one-way repeatability forward and accuracy at one target.

    Parameters
    ----------
    forward, backward : (..., n) array_like
        Deviations of the runs from either side; two or more.

    Returns
    -------
    triple of (...) ndarray
        ``B``, ``R`` forward and ``A``.

    Source
    ------
    ISO 230-2:2014 definitions (from memory), standard deviation with ``n - 1``.

    Examples
    --------
    >>> [round(float(v), 3) for v in positioning_test([3, 4, 5, 4, 4], [-1, 0, 1, 0, 0])]
    [4.0, 2.828, 6.828]
    """
    up, down = segments(forward=forward, backward=backward)
    means = [v.mean(axis=-1) for v in (up, down)]
    spreads = [v.std(axis=-1, ddof=1) for v in (up, down)]
    top = np.maximum(means[0] + 2.0 * spreads[0], means[1] + 2.0 * spreads[1])
    low = np.minimum(means[0] - 2.0 * spreads[0], means[1] - 2.0 * spreads[1])
    return numbers(means[0] - means[1]), numbers(4.0 * spreads[0]), numbers(top - low)
