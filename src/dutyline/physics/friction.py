"""Normal forces and the friction that comes of them: inclines, slewing rings, feed, slow motion."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers, within

LEVEL = 1e-12
"""A cosine smaller than this is a right angle that was rounded."""


def incline_forces(mass: ArrayLike, incline: ArrayLike, gravity: float) -> tuple[Array, Array]:
    """Weight along and across a straight axis.

    Parameters
    ----------
    mass : array_like [kg]
    incline : array_like [rad]
        Direction of + travel above the horizontal, -90 to +90 deg.
    gravity : float [m/s^2]

    Returns
    -------
    along, normal : ndarray [N]
        ``along`` is positive where it has to be overcome in + travel; ``normal`` is never negative.

    Raises
    ------
    RangeError
        Negative mass or an incline beyond the vertical.

    Notes
    -----
    ``m g sin a`` and ``m g cos a``; exactly zero across a vertical axis.

    Source
    ------
    Inclined plane, derived here from the potential ``m g x sin a``.

    Examples
    --------
    >>> along, normal = incline_forces(85.0, np.pi / 2, 9.80665)
    >>> round(float(along), 3), float(normal)
    (833.565, 0.0)
    """
    slope = within("incline", incline, -np.pi / 2 - LEVEL, np.pi / 2 + LEVEL, "rad")
    weight = at_least("mass", mass, 0.0, "kg") * at_least("gravity", gravity, 0.0, "m/s^2")
    across = np.where(np.cos(slope) < LEVEL, 0.0, np.cos(slope))
    return numbers(weight * np.sin(slope)), numbers(weight * across)


def slewing_normal_sum(axial: ArrayLike, moment: ArrayLike, diameter: ArrayLike) -> Array:
    """Sum of the magnitudes of the rolling-element forces of a slewing ring.

    Parameters
    ----------
    axial : array_like [N]
        Zero or more.
    moment : array_like [N*m]
        Tilting moment, zero or more.
    diameter : array_like [m]
        Mean diameter of the raceway.

    Returns
    -------
    ndarray [N]
        The axial force alone until one side begins to lift (moment over ``axial * diameter / 4``),
        then more; ``8 M / (pi d)`` for a pure moment.

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    The force per angle is ``F / (2 pi) + A cos t`` with ``A = 2 M / (pi d)``. With
    ``k = F d / (4 M) < 1`` it changes sign and the integral of its magnitude is
    ``4 A (k asin k + sqrt(1 - k^2))``.

    Source
    ------
    Derived here for a rigid ring with double-acting raceway (cosine load distribution).

    Examples
    --------
    >>> round(float(slewing_normal_sum(0.0, 500.0, 0.4)), 3)
    3183.099
    >>> round(float(slewing_normal_sum(1000.0, 100.0, 0.4)), 3)
    1000.0
    """
    force, tilt = at_least("axial", axial, 0.0, "N"), at_least("moment", moment, 0.0, "N*m")
    wide = above("diameter", diameter, 0.0, "m")
    slope = 2 * tilt / (np.pi * wide)
    lifted = 4 * tilt > force * wide
    share = np.where(lifted, force * wide / np.where(lifted, 4 * tilt, 1.0), 1.0)
    beyond = 4 * slope * (share * np.arcsin(share) + np.sqrt(1 - share**2))
    return np.where(lifted, beyond, force)


def slewing_torque(
    friction: ArrayLike, axial: ArrayLike, moment: ArrayLike, diameter: ArrayLike
) -> Array:
    """Friction torque of a slewing ring under axial force and tilting moment.

    Parameters
    ----------
    friction : array_like [1]
    axial : array_like [N]
    moment : array_like [N*m]
    diameter : array_like [m]

    Returns
    -------
    ndarray [N*m]

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    Friction times :func:`slewing_normal_sum` at half the mean diameter.

    Source
    ------
    Derived here, see :func:`slewing_normal_sum`.

    Examples
    --------
    >>> round(float(slewing_torque(0.01, 0.0, 500.0, 0.4)), 5)
    6.3662
    """
    rub = at_least("friction", friction, 0.0)
    return rub * slewing_normal_sum(axial, moment, diameter) * numbers(diameter) / 2


def feed_force(rate: ArrayLike, speed: ArrayLike, feed_speed: ArrayLike = 0.0) -> Array:
    """Force that brings goods falling on a belt to its speed.

    Parameters
    ----------
    rate : array_like [kg/s]
        Zero or more.
    speed, feed_speed : array_like [m/s]
        Of the belt, and of the goods along the belt where they arrive.

    Returns
    -------
    ndarray [N]
        Positive where the belt has to be pushed in + travel.

    Raises
    ------
    RangeError
        Negative rate.

    Notes
    -----
    ``F = m' (v - v_in)``. Half of the power becomes motion of the goods, half is lost in slip.

    Source
    ------
    Momentum balance, derived here.

    Examples
    --------
    >>> float(feed_force(20.0, 1.5, 0.5))
    20.0
    """
    return at_least("rate", rate, 0.0, "kg/s") * (numbers(speed) - numbers(feed_speed))


def stribeck_friction(
    speed: ArrayLike,
    running: ArrayLike,
    static: ArrayLike,
    stribeck_speed: float,
    exponent: float = 2.0,
) -> Array:
    """Friction that fades from its static to its running value with the speed.

    Parameters
    ----------
    speed : array_like [m/s or rad/s]
        Of either sign.
    running, static : array_like [N or N*m]
        Zero or more.
    stribeck_speed : float [m/s or rad/s]
        More than zero.
    exponent : float [1]
        Usually 1 to 2.

    Returns
    -------
    ndarray [N or N*m]
        Magnitude, without viscous drag.

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    ``F_c + (F_s - F_c) exp(-|v/v_s|^d)``.

    Source
    ------
    Armstrong-Helouvry, Dupont, Canudas de Wit, Automatica 30 (1994); formula from memory.

    Examples
    --------
    >>> round(float(stribeck_friction(0.005, 40.0, 60.0, 0.01)), 4)
    55.576
    """
    steady, first = at_least("running", running, 0.0, "N"), at_least("static", static, 0.0, "N")
    slow = above("stribeck_speed", stribeck_speed, 0.0, "m/s")
    share = (np.abs(numbers(speed)) / slow) ** above("exponent", exponent, 0.0)
    return steady + (first - steady) * np.exp(-share)
