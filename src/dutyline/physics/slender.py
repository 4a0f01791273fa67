"""Slender parts: whirling speed, buckling, stiffness of screws, rods and shafts."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers

STEEL_MODULUS = 2.06e11
"""[N/m^2] Young's modulus of steel (handbooks, from memory)."""
STEEL_SHEAR = 7.93e10
"""[N/m^2] shear modulus of steel (handbooks, from memory)."""
STEEL_DENSITY = 7850.0
"""[kg/m^3] of steel."""
SCREW_YIELD = 3.5e8
"""[N/m^2] yield stress of steel that screws are made of, lower end (common practice)."""

WHIRL_ROOT = {
    "fixed-free": 1.8751040687,
    "supported-supported": np.pi,
    "fixed-supported": 3.9266023120,
    "fixed-fixed": 4.7300407449,
}
"""First root of the bending equation by the ends (Thomson, Theory of Vibration)."""
BUCKLING_FACTOR = {
    "fixed-free": 0.25,
    "supported-supported": 1.0,
    "fixed-supported": 2.0457,
    "fixed-fixed": 4.0,
}
"""Euler load over that of the same column with two hinges, by the ends (Shigley)."""


def whirling_speed(
    diameter: ArrayLike,
    length: ArrayLike,
    ends: str,
    bore: ArrayLike = 0.0,
    modulus: ArrayLike = STEEL_MODULUS,
    density: ArrayLike = STEEL_DENSITY,
) -> Array:
    """First critical speed of a turning uniform shaft [rad/s].

    Parameters
    ----------
    diameter, bore : array_like [m]
        Of a screw: root diameter.
    length : array_like [m]
        Unsupported; more than 0.
    ends : str
        ``fixed-free``, ``supported-supported``, ``fixed-supported``, ``fixed-fixed``.
    modulus, density : array_like [N/m^2, kg/m^3]

    Returns
    -------
    ndarray [rad/s]
        Without reserve; 0.8 of it is used at most (common practice, no source).

    Source
    ------
    First bending frequency of a beam with evenly spread mass; Thomson, Theory of Vibration.

    Examples
    --------
    >>> round(float(whirling_speed(0.0275, 1.3, "fixed-supported")) * 30 / np.pi, 1)
    3068.2
    """
    root = WHIRL_ROOT[ends]
    around = np.sqrt(numbers(diameter) ** 2 + numbers(bore) ** 2) / 4.0
    wave = np.sqrt(numbers(modulus) / above("density", density, 0.0, "kg/m^3"))
    return numbers(root**2 * around * wave / above("length", length, 0.0, "m") ** 2)


def buckling_force(
    diameter: ArrayLike,
    length: ArrayLike,
    ends: str,
    bore: ArrayLike = 0.0,
    modulus: ArrayLike = STEEL_MODULUS,
) -> Array:
    """Euler load of a round column [N].

    Parameters
    ----------
    diameter, bore : array_like [m]
    length : array_like [m]
        Under compression; more than 0.
    ends : str
        As in :func:`whirling_speed`.
    modulus : array_like [N/m^2]

    Returns
    -------
    ndarray [N]
        Without reserve; holds for slender columns, see :func:`slenderness`.

    Source
    ------
    Euler; factors of the ends in Budynas and Nisbett, Shigley's Mechanical Engineering Design.

    Examples
    --------
    >>> round(float(buckling_force(0.0275, 1.2, "fixed-supported")) / 1e3, 2)
    81.09
    """
    second_moment = np.pi * (numbers(diameter) ** 4 - numbers(bore) ** 4) / 64.0
    return euler_force(numbers(modulus) * second_moment, length, BUCKLING_FACTOR[ends])


def euler_force(bending_stiffness: ArrayLike, length: ArrayLike, factor: ArrayLike = 1.0) -> Array:
    """Euler load of any column, ``c pi**2 E I / l**2`` [N].

    Parameters
    ----------
    bending_stiffness : array_like [N*m^2]
        Modulus times second moment of area.
    length : array_like [m]
        More than 0.
    factor : array_like [1]
        See :data:`BUCKLING_FACTOR`.

    Source
    ------
    Euler.

    Examples
    --------
    >>> round(float(euler_force(100.0, np.pi)), 6)
    100.0
    """
    reach = above("length", length, 0.0, "m") ** 2
    return numbers(numbers(factor) * np.pi**2 * numbers(bending_stiffness) / reach)


def column_force(
    diameter: float,
    length: float,
    ends: str,
    yield_stress: float = SCREW_YIELD,
    modulus: float = STEEL_MODULUS,
) -> float:
    """Force at which a solid round column gives way, slender or not [N].

    Parameters
    ----------
    diameter, length : float [m]
        More than 0.
    ends : str
        As in :func:`whirling_speed`.
    yield_stress, modulus : float [N/m^2]

    Returns
    -------
    float [N]
        Euler's load of a slender column, Johnson's parabola of a stubby one; they meet at half
        the yield stress.

    Source
    ------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, columns (from memory).

    Examples
    --------
    >>> round(column_force(0.0275, 1.2, "fixed-supported") / 1e3, 2)
    81.09
    >>> round(column_force(0.0275, 0.3, "fixed-supported") / 1e3, 1)
    199.6
    """
    slender = float(slenderness(diameter, length, ends))
    if slender >= np.pi * np.sqrt(2.0 * modulus / yield_stress):
        return float(buckling_force(diameter, length, ends, modulus=modulus))
    area = np.pi * diameter**2 / 4.0
    fall = yield_stress * (slender / (2.0 * np.pi)) ** 2 / modulus
    return float(area * yield_stress * (1.0 - fall))


def slenderness(diameter: ArrayLike, length: ArrayLike, ends: str) -> Array:
    """Effective length over the radius of gyration of a solid round column [1].

    Parameters
    ----------
    diameter, length : array_like [m]
    ends : str
        As in :func:`whirling_speed`.

    Source
    ------
    Definition; Euler holds above ``pi sqrt(2 E / yield)``.

    Examples
    --------
    >>> round(float(slenderness(0.0275, 1.2, "fixed-supported")), 2)
    122.04
    """
    gyration = above("diameter", diameter, 0.0, "m") / 4.0
    return numbers(numbers(length) / np.sqrt(BUCKLING_FACTOR[ends]) / gyration)


def torsion_stiffness(
    diameter: ArrayLike, length: ArrayLike, bore: ArrayLike = 0.0, shear: ArrayLike = STEEL_SHEAR
) -> Array:
    """Torque per twist of a round shaft, ``G I_p / l`` [N*m/rad].

    Parameters
    ----------
    diameter, length, bore : array_like [m]
        Length more than 0.
    shear : array_like [N/m^2]
        Shear modulus.

    Source
    ------
    Mechanics of materials.

    Examples
    --------
    >>> round(float(torsion_stiffness(0.0275, 1.1)))
    4048
    """
    polar = np.pi * (numbers(diameter) ** 4 - numbers(bore) ** 4) / 32.0
    return numbers(numbers(shear) * polar / above("length", length, 0.0, "m"))


def torsion_stress(torque: ArrayLike, diameter: ArrayLike, bore: ArrayLike = 0.0) -> Array:
    """Shear stress at the surface of a round shaft [N/m^2].

    Parameters
    ----------
    torque : array_like [N*m]
    diameter, bore : array_like [m]

    Source
    ------
    Mechanics of materials, ``16 T d / (pi (d**4 - b**4))``.

    Examples
    --------
    >>> round(float(torsion_stress(175.0, 0.03)) / 1e6, 2)
    33.01
    """
    d = above("diameter", diameter, 0.0, "m")
    return numbers(16.0 * numbers(torque) * d / (np.pi * (d**4 - numbers(bore) ** 4)))


def axial_stiffness(
    diameter: ArrayLike,
    reach: ArrayLike,
    length: ArrayLike | None = None,
    modulus: ArrayLike = STEEL_MODULUS,
) -> Array:
    """Axial stiffness of a screw at its nut [N/m].

    Parameters
    ----------
    diameter : array_like [m]
        Root diameter.
    reach : array_like [m]
        From the fixed bearing to the nut; softest at full travel.
    length : array_like [m]
        Between two fixed bearings; left out for one. Then softest in the middle.
    modulus : array_like [N/m^2]

    Source
    ------
    Hooke's law; two fixed ends are two springs side by side.

    Examples
    --------
    >>> round(float(axial_stiffness(0.0275, 1.1)) / 1e6, 2)
    111.23
    >>> round(float(axial_stiffness(0.0275, 0.6, 1.2)) / 1e6, 2)
    407.85
    """
    area = np.pi * numbers(diameter) ** 2 / 4.0
    near = numbers(modulus) * area / above("reach", reach, 0.0, "m")
    if length is None:
        return numbers(near)
    rest = above("length - reach", numbers(length) - numbers(reach), 0.0, "m")
    return numbers(near + numbers(modulus) * area / rest)


def overhung_reactions(
    force: ArrayLike, overhang: ArrayLike, span: ArrayLike
) -> tuple[Array, Array]:
    """Loads of front and rear bearing under a radial force before the front one [N].

    Parameters
    ----------
    force : array_like [N]
        Radial.
    overhang : array_like [m]
        From the front bearing to the force.
    span : array_like [m]
        Between the bearings; more than 0.

    Source
    ------
    Statics.

    Examples
    --------
    >>> [float(r) for r in overhung_reactions(500.0, 0.06, 0.1)]
    [800.0, 300.0]
    """
    f, x = np.abs(numbers(force)), at_least("overhang", overhang, 0.0, "m")
    s = above("span", span, 0.0, "m")
    return numbers(f * (s + x) / s), numbers(f * x / s)
