"""Rolls of web and driven rolls: radius, inertia, tension, rolling resistance, traction."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.core.errors import RangeError
from dutyline.physics.ranges import Array, above, at_least, numbers


def roll_radius(radius: ArrayLike, thickness: ArrayLike, length: ArrayLike) -> Array:
    """Radius of a roll after a length of web has been wound on it.

    Parameters
    ----------
    radius : array_like [m]
        Before. More than zero.
    thickness : array_like [m]
        Of the web. More than zero.
    length : array_like [m]
        Wound on; negative where it was taken off.

    Returns
    -------
    ndarray [m]

    Raises
    ------
    RangeError
        More web is taken off than the roll holds, or a number is outside its range.

    Notes
    -----
    The side view of the roll gains the area of the web: ``pi (R^2 - R0^2) = h l``.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> round(float(roll_radius(0.038, 50e-6, 3000.0)), 5)
    0.22179
    """
    first, thick = above("radius", radius, 0.0, "m"), above("thickness", thickness, 0.0, "m")
    square = first**2 + thick * numbers(length) / np.pi
    if np.any(square <= 0):
        raise RangeError("more web is taken off than the roll holds.")
    return np.sqrt(square)


def web_length(core_radius: ArrayLike, radius: ArrayLike, thickness: ArrayLike) -> Array:
    """Length of web between a core and the outside of a roll.

    Parameters
    ----------
    core_radius, radius, thickness : array_like [m]
        More than zero.

    Returns
    -------
    ndarray [m]

    Raises
    ------
    RangeError
        A number outside its range.

    Source
    ------
    Plane geometry, see :func:`roll_radius`.

    Examples
    --------
    >>> round(float(web_length(0.038, 0.3, 50e-6)), 2)
    5564.14
    """
    core, outer = above("core_radius", core_radius, 0.0, "m"), above("radius", radius, 0.0, "m")
    return np.pi * (outer**2 - core**2) / above("thickness", thickness, 0.0, "m")


def roll_inertia(
    radius: ArrayLike, core_radius: ArrayLike, width: ArrayLike, density: ArrayLike
) -> Array:
    """Inertia of the web on a core about its axis.

    Parameters
    ----------
    radius, core_radius, width : array_like [m]
    density : array_like [kg/m^3]
        Of the wound web, air between its turns included.

    Returns
    -------
    ndarray [kg*m^2]

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    Hollow cylinder, ``(pi/2) rho w (R^4 - Rc^4)``.

    Source
    ------
    Mechanics of rigid bodies; Shigley, from memory.

    Examples
    --------
    >>> round(float(roll_inertia(0.3, 0.038, 0.8, 920.0)), 3)
    9.362
    """
    outer, core = above("radius", radius, 0.0, "m"), at_least("core_radius", core_radius, 0.0, "m")
    wide, rho = at_least("width", width, 0.0, "m"), at_least("density", density, 0.0, "kg/m^3")
    return np.pi / 2 * rho * wide * (outer**4 - core**4)


def web_tension(
    tension: ArrayLike,
    taper: ArrayLike,
    radius: ArrayLike,
    core_radius: ArrayLike,
    full_radius: ArrayLike,
    linear: bool = False,
) -> Array:
    """Tension of the web just before the roll under a taper.

    Parameters
    ----------
    tension : array_like [N]
        At the core.
    taper : array_like [1]
        0 keeps the tension, 1 keeps the torque (hyperbolic) or ends without tension (linear).
    radius, core_radius, full_radius : array_like [m]
    linear : bool
        The tension falls in proportion to the radius; else to one over the radius.

    Returns
    -------
    ndarray [N]

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    ``F0 (1 - t (1 - Rc/R))`` or ``F0 (1 - t (R - Rc)/(Rf - Rc))``.

    Source
    ------
    Taper laws of the web trade; the list was seen on a vendor-neutral page, formulas from memory.

    Examples
    --------
    >>> float(web_tension(250.0, 0.3, 0.3, 0.038, 0.3))
    184.5
    """
    first, share = at_least("tension", tension, 0.0, "N"), at_least("taper", taper, 0.0)
    here, core = above("radius", radius, 0.0, "m"), above("core_radius", core_radius, 0.0, "m")
    if linear:
        return first * (1 - share * (here - core) / (numbers(full_radius) - core))
    return first * (1 - share * (1 - core / here))


def corner(
    tension: ArrayLike,
    core_radius: ArrayLike,
    full_radius: ArrayLike,
    speed: ArrayLike,
    taper: ArrayLike = 0.0,
    linear: bool = False,
) -> tuple[Array, Array]:
    """Largest torque of the web and largest speed of the roll, between core and full roll.

    They never come together; a motor without a change of gear has to cover both, and their
    product is its corner power, many times the power of the web.

    Parameters
    ----------
    tension : array_like [N]
        At the core.
    core_radius, full_radius : array_like [m]
        More than zero, the second larger.
    speed : array_like [m/s]
        Of the web.
    taper, linear
        As in :func:`web_tension`.

    Returns
    -------
    (torque, speed) : ndarray [N*m], ndarray [rad/s]

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    ``F(R) R`` rises up to the full roll, but under a linear taper it may turn before, where
    ``R = (Rc + (Rf - Rc)/t)/2``.

    Source
    ------
    Derived here from the definitions of torque and power.

    Examples
    --------
    >>> torque, turning = corner(100.0, 0.05, 0.5, 2.0)
    >>> float(torque), float(turning), float(torque * turning)
    (50.0, 40.0, 2000.0)
    """
    core, full = above("core_radius", core_radius, 0.0, "m"), above("full_radius", full_radius, 0.0)
    turns = (core + (full - core) / np.maximum(numbers(taper), 1e-12)) / 2
    worst = np.clip(turns, core, full) if linear else full
    force = web_tension(tension, taper, worst, core, full, linear)
    return numbers(force * worst), numbers(np.abs(numbers(speed)) / core)


def nip_resistance(
    force: ArrayLike, lever: ArrayLike, radius: ArrayLike, counter_radius: ArrayLike
) -> Array:
    """Force at the surface of a driven roll that rolling against another one takes.

    Parameters
    ----------
    force : array_like [N]
        That presses the rolls together. Zero or more.
    lever : array_like [m]
        Lever arm of rolling resistance. Zero or more.
    radius, counter_radius : array_like [m]
        Of the driven roll and of the one that it drives.

    Returns
    -------
    ndarray [N]

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    Each roll is braked by ``f N`` about its axis: ``f N (1/R + 1/r)`` at the surface.

    Source
    ------
    Rolling resistance by lever arm, common practice, no source.

    Examples
    --------
    >>> round(float(nip_resistance(400.0, 0.5e-3, 0.05, 0.05)), 6)
    8.0
    """
    pressed, arm = at_least("force", force, 0.0, "N"), at_least("lever", lever, 0.0, "m")
    own = above("radius", radius, 0.0, "m")
    other = above("counter_radius", counter_radius, 0.0, "m")
    return pressed * arm * (1 / own + 1 / other)
