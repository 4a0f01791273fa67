"""Rating life of rolling contacts: bearings, ball screws, linear guides."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers, within

MILLION = 1e6
"""Revolutions to which a dynamic rating belongs (ISO 281, ISO 3408-5)."""
BALL = 3.0
"""Life exponent of balls (ISO 281)."""
ROLLER = 10.0 / 3.0
"""Life exponent of rollers (ISO 281)."""
WEIBULL_SLOPE = 1.5
"""Slope of the life distribution behind the reliability factor (ISO 281, from memory)."""
MINIMUM_LIFE = 0.05
"""Life that practically all reach, over the rating life (ISO 281:2007, from memory)."""


def equivalent_load(
    radial: ArrayLike, axial: ArrayLike, radial_factor: ArrayLike, axial_factor: ArrayLike
) -> Array:
    """Radial load that a bearing feels as much as a radial and an axial one, ``X Fr + Y Fa`` [N].

    Parameters
    ----------
    radial, axial : array_like [N]
        Magnitudes.
    radial_factor, axial_factor : array_like [1]
        Of the bearing.

    Source
    ------
    ISO 281.

    Examples
    --------
    >>> float(equivalent_load(2500.0, 1000.0, 0.56, 1.6))
    3000.0
    """
    radial_part = numbers(radial_factor) * np.abs(numbers(radial))
    return numbers(radial_part + numbers(axial_factor) * np.abs(numbers(axial)))


def life_revolutions(rating: ArrayLike, load: ArrayLike, exponent: float = BALL) -> Array:
    """Revolutions that nine of ten contacts reach, ``(C/P)**p`` million [1].

    Parameters
    ----------
    rating : array_like [N]
        Dynamic rating; more than 0.
    load : array_like [N]
        Equivalent or mean load; infinite life where it is 0.
    exponent : float
        3 for balls, 10/3 for rollers.

    Source
    ------
    ISO 281; ISO 3408-5 for ball screws.

    Examples
    --------
    >>> float(life_revolutions(16e3, 2e3) / 1e6)
    512.0
    """
    c = above("rating", rating, 0.0, "N")
    with np.errstate(divide="ignore"):
        return numbers((c / np.abs(numbers(load))) ** exponent * MILLION)


def life_time(revolutions: ArrayLike, speed_mean: ArrayLike) -> Array:
    """Time in which revolutions are used up at a mean speed [s].

    Parameters
    ----------
    revolutions : array_like
    speed_mean : array_like [rad/s]
        Mean magnitude over the time that counts.

    Source
    ------
    Definition.

    Examples
    --------
    >>> n = 720 * np.pi / 30
    >>> round(float(life_time(life_revolutions(41e3, 20e3), n)) / 3600, 3)
    199.424
    """
    with np.errstate(divide="ignore"):
        return numbers(2.0 * np.pi * numbers(revolutions) / np.abs(numbers(speed_mean)))


def rating_needed(load: ArrayLike, revolutions: ArrayLike, exponent: float = BALL) -> Array:
    """Dynamic rating that reaches a number of revolutions under a load [N].

    Parameters
    ----------
    load : array_like [N]
        Equivalent or mean load.
    revolutions : array_like
        Zero or more.
    exponent : float
        As in :func:`life_revolutions`.

    Source
    ------
    ISO 281.

    Examples
    --------
    >>> round(float(rating_needed(400.0, 5000 * 60 * 1725)))
    3211
    """
    turns = at_least("revolutions", revolutions, 0.0)
    return numbers(np.abs(numbers(load)) * (turns / MILLION) ** (1.0 / exponent))


def reliability_factor(
    reliability: ArrayLike, slope: float = WEIBULL_SLOPE, minimum: float = MINIMUM_LIFE
) -> Array:
    """Life at a higher reliability over the rating life at 90 % [1].

    Parameters
    ----------
    reliability : array_like [1]
        Share that has to survive, above 0 and below 1.
    slope : float
        Of the Weibull distribution.
    minimum : float
        Life that all reach, over the rating life; 0 gives the factors of ISO 281:1990.

    Source
    ------
    Weibull distribution; reproduces the table of ISO 281:2007 (from memory) to its two digits.

    Examples
    --------
    >>> reliability_factor([0.9, 0.95, 0.99]).round(2).tolist()
    [1.0, 0.64, 0.25]
    >>> reliability_factor([0.9, 0.95, 0.99], minimum=0.0).round(2).tolist()
    [1.0, 0.62, 0.21]
    """
    share = within("reliability", reliability, 0.0, 1.0)
    spread = (np.log(1.0 / share) / np.log(1.0 / 0.9)) ** (1.0 / slope)
    return numbers(minimum + (1.0 - minimum) * spread)


def two_flank_life(forward: ArrayLike, backward: ArrayLike) -> Array:
    """Life of a screw whose two thread flanks wear apart, in revolutions or in time.

    Parameters
    ----------
    forward, backward : array_like
        Lives of the two flanks, each over the total revolutions, in one unit; infinite where a
        flank is never loaded.

    Source
    ------
    Weibull combination with the slope 10/9, ISO 3408-5 (from memory).

    Examples
    --------
    >>> round(float(two_flank_life(7.27302822e8, 2.6026951e9)) / 1e6, 2)
    598.19
    """
    e = 10.0 / 9.0
    with np.errstate(divide="ignore"):
        wear = numbers(forward) ** -e + numbers(backward) ** -e
        return numbers(wear ** (-1.0 / e))


def guide_rating(rating_50: ArrayLike, exponent: float = BALL) -> Array:
    """Dynamic rating of a linear guide for 100 km from one stated for 50 km [N].

    Parameters
    ----------
    rating_50 : array_like [N]
        For 50 km.
    exponent : float
        3 for balls, 10/3 for rollers.

    Source
    ------
    ISO 14728-1 states both distances (from memory); equal life at equal load.

    Examples
    --------
    >>> round(float(guide_rating(22e3)), 1)
    17461.4
    """
    return numbers(numbers(rating_50) / 2.0 ** (1.0 / exponent))


def guide_life(rating_100: ArrayLike, load: ArrayLike, exponent: float = BALL) -> Array:
    """Distance that nine of ten guide carriages reach [m].

    Parameters
    ----------
    rating_100 : array_like [N]
        Dynamic rating for 100 km.
    load : array_like [N]
        Mean load of the carriage.
    exponent : float
        3 for balls, 10/3 for rollers.

    Source
    ------
    ISO 14728-1 (from memory).

    Examples
    --------
    >>> round(float(guide_life(17461.4116, 2381.91852)) / 1e3)
    39396
    """
    with np.errstate(divide="ignore"):
        return numbers((numbers(rating_100) / np.abs(numbers(load))) ** exponent * 1e5)


def static_factor(static_rating: ArrayLike, load: ArrayLike) -> Array:
    """Static rating over the largest load, stops included [1].

    Parameters
    ----------
    static_rating, load : array_like [N]

    Source
    ------
    ISO 76 for the rating (from memory).

    Examples
    --------
    >>> round(float(static_factor(55e3, 9e3)), 3)
    6.111
    """
    with np.errstate(divide="ignore"):
        return numbers(numbers(static_rating) / np.abs(numbers(load)))
