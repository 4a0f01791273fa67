"""Belts and other friction or tooth contacts: tensions, wrap, grip, keys and clamping hubs."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers

MESH_TEETH_MOST = 12
"""Belt teeth in mesh that are counted at most (common practice, no source)."""


def tension_ratio(friction: ArrayLike, wrap: ArrayLike) -> Array:
    """Largest tight over slack tension before a belt or rope slips, ``exp(mu beta)`` [1].

    Parameters
    ----------
    friction : array_like [1]
        Divide by the sine of half the groove angle for V grooves.
    wrap : array_like [rad]

    Source
    ------
    Euler and Eytelwein.

    Examples
    --------
    >>> round(9000.0 / float(tension_ratio(0.25, 5 * np.pi)), 2)
    177.33
    """
    return numbers(np.exp(numbers(friction) * numbers(wrap)))


def wrap_angle(small: ArrayLike, large: ArrayLike, distance: ArrayLike) -> Array:
    """Wrap on the smaller pulley of an open belt [rad].

    Parameters
    ----------
    small, large : array_like [m]
        Pitch diameters.
    distance : array_like [m]
        Between the axes.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> round(float(np.degrees(wrap_angle(4.0, 6.0, 19.12))), 2)
    174.0
    """
    half = (numbers(large) - numbers(small)) / (2.0 * above("distance", distance, 0.0, "m"))
    return numbers(np.pi - 2.0 * np.arcsin(half))


def belt_length(small: ArrayLike, large: ArrayLike, distance: ArrayLike) -> Array:
    """Pitch length of an open belt [m], to second order in the difference of the diameters.

    Parameters
    ----------
    small, large, distance : array_like [m]
        As in :func:`wrap_angle`.

    Source
    ------
    Series of the plane geometry, as handbooks print it.

    Examples
    --------
    >>> round(float(belt_length(4.0, 6.0, 19.0)), 3)
    53.761
    """
    d, big, c = numbers(small), numbers(large), above("distance", distance, 0.0, "m")
    return numbers(2.0 * c + np.pi * (d + big) / 2.0 + (big - d) ** 2 / (4.0 * c))


def centre_distance(small: ArrayLike, large: ArrayLike, length: ArrayLike) -> Array:
    """Distance of the axes at which an open belt of a given length is taut [m].

    Parameters
    ----------
    small, large, length : array_like [m]
        As in :func:`belt_length`, solved for the distance.

    Source
    ------
    Inverse of :func:`belt_length`.

    Examples
    --------
    >>> round(float(centre_distance(4.0, 6.0, 54.0)), 2)
    19.12
    """
    rest = numbers(length) - np.pi * (numbers(small) + numbers(large)) / 2.0
    return numbers((rest + np.sqrt(rest**2 - 2.0 * (numbers(large) - numbers(small)) ** 2)) / 4.0)


def teeth_in_mesh(teeth: ArrayLike, wrap: ArrayLike) -> Array:
    """Whole belt teeth in mesh that count, at most :data:`MESH_TEETH_MOST` [1].

    Parameters
    ----------
    teeth : array_like
        Of the pulley.
    wrap : array_like [rad]

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(teeth_in_mesh(24, 2.88625164))
    11.0
    """
    share = numbers(wrap) / (2.0 * np.pi)
    return numbers(np.minimum(np.floor(numbers(teeth) * share + 1e-9), MESH_TEETH_MOST))


def chain_ripple(teeth: ArrayLike) -> Array:
    """Fall of the speed of a chain within one link on a wheel that turns evenly, as a share.

    Parameters
    ----------
    teeth : array_like
        Of the wheel. Three or more.

    Returns
    -------
    ndarray
        Share of the largest speed.

    Raises
    ------
    RangeError
        Fewer than three teeth.

    Notes
    -----
    The wheel is a polygon: ``1 - cos(pi/z)``.

    Source
    ------
    Norton, Design of Machinery (from memory); geometry of the polygon.

    Examples
    --------
    >>> round(float(chain_ripple(17)), 4)
    0.017
    """
    at_least("teeth", teeth, 3.0, "1")
    return numbers(1.0 - np.cos(np.pi / numbers(teeth)))


def belt_tensions(pretension: ArrayLike, force: ArrayLike) -> tuple[Array, Array]:
    """Tight and slack tension of a belt pretensioned by its axes [N].

    Parameters
    ----------
    pretension : array_like [N]
        In each branch at rest.
    force : array_like [N]
        Carried, magnitude.

    Returns
    -------
    pair of ndarray [N]
        The second is negative where the belt would go slack.

    Source
    ------
    Statics: the sum stays, the difference is the force.

    Examples
    --------
    >>> [float(t) for t in belt_tensions(300.0, 400.0)]
    [500.0, 100.0]
    """
    half = 0.5 * np.abs(numbers(force))
    return numbers(numbers(pretension) + half), numbers(numbers(pretension) - half)


def belt_stiffness(specific: ArrayLike, first: ArrayLike, second: ArrayLike) -> Array:
    """Stiffness of a belt between two branches under tension [N/m].

    Parameters
    ----------
    specific : array_like [N]
        Force per strain of the whole width.
    first, second : array_like [m]
        Free lengths of the branches; infinite for one that is slack.

    Source
    ------
    Hooke's law, two springs side by side.

    Examples
    --------
    >>> round(float(belt_stiffness(7e5, 0.6, 2.0)))
    1516667
    """
    near, far = above("first", first, 0.0, "m"), above("second", second, 0.0, "m")
    return numbers(numbers(specific) * (1.0 / near + 1.0 / far))


def hub_slip_torque(friction: ArrayLike, normal_force: ArrayLike, diameter: ArrayLike) -> Array:
    """Torque at which a clamping hub slips on its shaft, ``mu F d / 2`` [N*m].

    Parameters
    ----------
    friction : array_like [1]
    normal_force : array_like [N]
        Sum of the pressure over the seat.
    diameter : array_like [m]

    Source
    ------
    Coulomb friction.

    Examples
    --------
    >>> round(float(hub_slip_torque(0.12, 20e3, 0.014)), 2)
    16.8
    """
    return numbers(numbers(friction) * numbers(normal_force) * numbers(diameter) / 2.0)


def key_pressure(
    torque: ArrayLike, diameter: ArrayLike, bearing_height: ArrayLike, length: ArrayLike
) -> Array:
    """Pressure on the flank of a parallel key [N/m^2].

    Parameters
    ----------
    torque : array_like [N*m]
    diameter : array_like [m]
        Of the shaft.
    bearing_height, length : array_like [m]
        Of the flank that bears: height of the key less its depth in the shaft.

    Source
    ------
    Statics; DIN 6892 uses the same with further factors (from memory).

    Examples
    --------
    >>> round(float(key_pressure(50.0, 0.03, 0.003, 0.03)) / 1e6, 1)
    37.0
    """
    flank = above("bearing_height", bearing_height, 0.0, "m") * above("length", length, 0.0, "m")
    force = 2.0 * np.abs(numbers(torque)) / above("diameter", diameter, 0.0, "m")
    return numbers(force / flank)


def helical_forces(
    tangential: ArrayLike, pressure_angle: ArrayLike, helix: ArrayLike = 0.0
) -> tuple[Array, Array]:
    """Radial and axial force beside the tangential force of a tooth contact [N].

    Parameters
    ----------
    tangential : array_like [N]
    pressure_angle : array_like [rad]
        In the normal section.
    helix : array_like [rad]

    Source
    ------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design.

    Examples
    --------
    >>> [round(float(f), 1) for f in helical_forces(1000.0, np.radians(20.0))]
    [364.0, 0.0]
    """
    force, slope = np.abs(numbers(tangential)), numbers(helix)
    radial = force * np.tan(numbers(pressure_angle)) / np.cos(slope)
    return numbers(radial), numbers(force * np.tan(slope))


def grip(friction: ArrayLike, normal_force: ArrayLike) -> Array:
    """Largest force between two bodies before they slide, ``mu N`` [N].

    Parameters
    ----------
    friction : array_like [1]
    normal_force : array_like [N]
        Zero or more.

    Source
    ------
    Coulomb friction.

    Examples
    --------
    >>> float(grip(0.3, 200.0))
    60.0
    """
    return numbers(numbers(friction) * at_least("normal_force", normal_force, 0.0, "N"))
