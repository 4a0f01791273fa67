"""Moments of inertia and masses of plain bodies.

Sources: the table of mass moments of inertia of any handbook of mechanics (for instance Shigley's
Mechanical Engineering Design, from memory); each is the volume integral of the squared distance.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.core.errors import RangeError
from dutyline.physics.ranges import Array, above, at_least, numbers


def _diameters(diameter: ArrayLike, bore: ArrayLike) -> tuple[Array, Array]:
    outer, inner = above("diameter", diameter, 0.0), at_least("bore", bore, 0.0)
    if np.any(inner >= outer):
        raise RangeError(
            f"bore is {inner.max():g} m and diameter {outer.min():g} m; the bore must be smaller."
        )
    return outer, inner


def cylinder_volume(diameter: ArrayLike, length: ArrayLike, bore: ArrayLike = 0.0) -> Array:
    """Volume of a solid or hollow cylinder.

    Parameters
    ----------
    diameter, length, bore : array_like [m]
        Outside diameter, length, inside diameter.

    Returns
    -------
    ndarray [m^3]

    Raises
    ------
    RangeError
        A length is not above zero, or the bore is not smaller than the diameter.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> round(float(cylinder_volume(0.032, 1.2)) * 7850, 4)
    7.576
    """
    outer, inner = _diameters(diameter, bore)
    return np.pi / 4 * (outer**2 - inner**2) * above("length", length, 0.0)


def cylinder_inertia(mass: ArrayLike, diameter: ArrayLike, bore: ArrayLike = 0.0) -> Array:
    """Inertia of a solid or hollow cylinder about its own axis.

    Parameters
    ----------
    mass : array_like [kg]
    diameter, bore : array_like [m]

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        Negative mass, or a bore that is not smaller than the diameter.

    Notes
    -----
    ``J = m (D^2 + d^2) / 8``. The squares add: with the mass held, a bore raises the inertia.

    Source
    ------
    Mass moments of inertia, handbook of mechanics.

    Examples
    --------
    >>> round(float(cylinder_inertia(8.0, 0.2)), 6)
    0.04
    """
    outer, inner = _diameters(diameter, bore)
    return at_least("mass", mass, 0.0) * (outer**2 + inner**2) / 8


def cylinder_inertia_across(
    mass: ArrayLike, diameter: ArrayLike, length: ArrayLike, bore: ArrayLike = 0.0
) -> Array:
    """Inertia of a cylinder about an axis across it, through its centre.

    Parameters
    ----------
    mass : array_like [kg]
    diameter, length, bore : array_like [m]

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    ``J = m (3 (R^2 + r^2) + l^2) / 12``

    Source
    ------
    Mass moments of inertia, handbook of mechanics.

    Examples
    --------
    >>> round(float(cylinder_inertia_across(12.0, 0.2, 1.0)), 6)
    1.03
    """
    outer, inner = _diameters(diameter, bore)
    square = 3 * (outer**2 + inner**2) / 4 + above("length", length, 0.0) ** 2
    return at_least("mass", mass, 0.0) * square / 12


def ring_inertia(mass: ArrayLike, diameter: ArrayLike) -> Array:
    """Inertia of a thin ring about its own axis.

    Parameters
    ----------
    mass : array_like [kg]
    diameter : array_like [m]
        Mean diameter.

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        Negative mass or a diameter that is not above zero.

    Notes
    -----
    ``J = m R^2``; about a diameter it is half of that.

    Source
    ------
    Mass moments of inertia, handbook of mechanics.

    Examples
    --------
    >>> float(ring_inertia(2.0, 1.0))
    0.5
    """
    return at_least("mass", mass, 0.0) * above("diameter", diameter, 0.0) ** 2 / 4


def cuboid_inertia(mass: ArrayLike, width: ArrayLike, depth: ArrayLike) -> Array:
    """Inertia of a cuboid about the axis through its centre, square to two of its sides.

    Parameters
    ----------
    mass : array_like [kg]
    width, depth : array_like [m]
        The two sides square to the axis.

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        Negative mass or a side that is not above zero.

    Notes
    -----
    ``J = m (a^2 + b^2) / 12``

    Source
    ------
    Mass moments of inertia, handbook of mechanics.

    Examples
    --------
    >>> float(cuboid_inertia(12.0, 0.3, 0.4))
    0.25
    """
    square = above("width", width, 0.0) ** 2 + above("depth", depth, 0.0) ** 2
    return at_least("mass", mass, 0.0) * square / 12


def rod_inertia(mass: ArrayLike, length: ArrayLike) -> Array:
    """Inertia of a slender rod about an axis across it, through its centre.

    Parameters
    ----------
    mass : array_like [kg]
    length : array_like [m]

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        Negative mass or a length that is not above zero.

    Notes
    -----
    ``J = m l^2 / 12``; about its end it is ``m l^2 / 3``.

    Source
    ------
    Mass moments of inertia, handbook of mechanics.

    Examples
    --------
    >>> float(rod_inertia(3.0, 2.0))
    1.0
    """
    return at_least("mass", mass, 0.0) * above("length", length, 0.0) ** 2 / 12


def sphere_inertia(mass: ArrayLike, diameter: ArrayLike) -> Array:
    """Inertia of a solid sphere about a diameter.

    Parameters
    ----------
    mass : array_like [kg]
    diameter : array_like [m]

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        Negative mass or a diameter that is not above zero.

    Notes
    -----
    ``J = (2/5) m R^2``

    Source
    ------
    Mass moments of inertia, handbook of mechanics.

    Examples
    --------
    >>> float(sphere_inertia(10.0, 2.0))
    4.0
    """
    return at_least("mass", mass, 0.0) * above("diameter", diameter, 0.0) ** 2 / 10


def cone_inertia(mass: ArrayLike, diameter: ArrayLike) -> Array:
    """Inertia of a solid cone about its own axis.

    Parameters
    ----------
    mass : array_like [kg]
    diameter : array_like [m]
        Of the base.

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        Negative mass or a diameter that is not above zero.

    Notes
    -----
    ``J = (3/10) m R^2``

    Source
    ------
    Mass moments of inertia, handbook of mechanics.

    Examples
    --------
    >>> float(cone_inertia(10.0, 2.0))
    3.0
    """
    return 3 * at_least("mass", mass, 0.0) * above("diameter", diameter, 0.0) ** 2 / 40


def cone_inertia_across(mass: ArrayLike, diameter: ArrayLike, height: ArrayLike) -> Array:
    """Inertia of a solid cone across its axis, through its centre of mass.

    Parameters
    ----------
    mass : array_like [kg]
    diameter, height : array_like [m]
        Base and height. The centre of mass lies a quarter of the height above the base.

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    ``J = (3/80) m (4 R^2 + h^2)``

    Source
    ------
    Mass moments of inertia, handbook of mechanics.

    Examples
    --------
    >>> float(cone_inertia_across(80.0, 2.0, 4.0))
    60.0
    """
    square = above("diameter", diameter, 0.0) ** 2 + above("height", height, 0.0) ** 2
    return 3 * at_least("mass", mass, 0.0) * square / 80


def offset_inertia(inertia: ArrayLike, mass: ArrayLike, radius: ArrayLike) -> Array:
    """Inertia about an axis parallel to one through the centre of mass.

    Parameters
    ----------
    inertia : array_like [kg*m^2]
        About the axis through the centre of mass.
    mass : array_like [kg]
    radius : array_like [m]
        Distance of the two axes.

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        Negative inertia or mass.

    Notes
    -----
    ``J = J_c + m e^2``; a point mass has no inertia of its own.

    Source
    ------
    Parallel axis theorem (Steiner).

    Examples
    --------
    >>> round(float(offset_inertia(0.4, 25.0, 0.30)), 3)
    2.65
    """
    square = numbers(radius) ** 2
    return at_least("inertia", inertia, 0.0) + at_least("mass", mass, 0.0) * square
