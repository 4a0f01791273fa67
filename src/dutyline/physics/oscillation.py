"""Torsional oscillation: springs in series, two masses, a chain of rotors."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, numbers


def series_stiffness(*springs: ArrayLike) -> Array:
    """Springs one behind the other, all referred to one node, ``1/k = sum 1/k_j``.

    Parameters
    ----------
    springs : array_like
        [N*m/rad] or [N/m]; infinite for a rigid part.

    Returns
    -------
    ndarray
        In the unit of the springs; infinite when all are.

    Source
    ------
    Statics.

    Examples
    --------
    >>> float(series_stiffness(300.0, 600.0, np.inf))
    200.0
    """
    give = sum((1.0 / numbers(k) for k in springs), start=np.zeros(()))
    with np.errstate(divide="ignore"):
        return numbers(1.0 / give)


def referred_stiffness(stiffness: ArrayLike, ratio: ArrayLike) -> Array:
    """Stiffness at the output of a ratio as it is felt at its input, ``k r**2``.

    Parameters
    ----------
    stiffness : array_like [N*m/rad or N/m]
        At the output.
    ratio : array_like
        Output travel over input travel.

    Source
    ------
    Equal energy.

    Examples
    --------
    >>> round(float(referred_stiffness(1516666.67, 0.0254647909 / 5)), 4)
    39.3396
    """
    return numbers(numbers(stiffness) * numbers(ratio) ** 2)


def locked_frequency(stiffness: ArrayLike, inertia_load: ArrayLike) -> Array:
    """Frequency of the load against a motor that stands still (anti-resonance) [Hz].

    Parameters
    ----------
    stiffness : array_like [N*m/rad]
        Zero or more; at the node of the inertia.
    inertia_load : array_like [kg*m^2]
        More than 0.

    Source
    ------
    Textbooks on vibration; Ellis, Control System Design Guide, resonance chapter (from memory).

    Examples
    --------
    >>> round(float(2 * np.pi * locked_frequency(800.0, 2.0)), 3)
    20.0
    """
    load = above("inertia_load", inertia_load, 0.0, "kg*m^2")
    return numbers(np.sqrt(numbers(stiffness) / load) / (2.0 * np.pi))


def free_frequency(
    stiffness: ArrayLike, inertia_load: ArrayLike, inertia_motor: ArrayLike
) -> Array:
    """Frequency of motor and load against each other (resonance) [Hz].

    Parameters
    ----------
    stiffness : array_like [N*m/rad]
        Zero or more; at the node of the inertias.
    inertia_load, inertia_motor : array_like [kg*m^2]
        More than 0.

    Source
    ------
    As :func:`locked_frequency`, times ``sqrt(1 + J_load/J_motor)``.

    Examples
    --------
    >>> round(float(2 * np.pi * free_frequency(800.0, 2.0, 1.0)), 3)
    34.641
    """
    motor = above("inertia_motor", inertia_motor, 0.0, "kg*m^2")
    ratio = numbers(inertia_load) / motor
    return numbers(locked_frequency(stiffness, inertia_load) * np.sqrt(1.0 + ratio))


def chain_frequencies(inertias: ArrayLike, springs: ArrayLike) -> Array:
    """Natural frequencies of rotors in a row, free at both ends, from the lowest up [Hz].

    Parameters
    ----------
    inertias : (n,) array_like [kg*m^2]
        More than 0; two or more.
    springs : (n - 1,) array_like [N*m/rad]
        Between neighbours, more than 0.

    Returns
    -------
    (n - 1,) ndarray [Hz]
        Without the common turning of all.

    Source
    ------
    Eigenvalues of the symmetric form of ``K x = w**2 M x``; textbooks on vibration.

    Examples
    --------
    >>> (2 * np.pi * chain_frequencies([1.0, 2.0], [800.0])).round(3).tolist()
    [34.641]
    """
    masses = above("inertias", inertias, 0.0, "kg*m^2")
    stiffness = np.zeros((masses.size, masses.size))
    for k, spring in enumerate(above("springs", springs, 0.0, "N*m/rad")):
        stiffness[k : k + 2, k : k + 2] += spring * np.array([[1.0, -1.0], [-1.0, 1.0]])
    root = np.sqrt(masses)
    squares = np.linalg.eigvalsh(stiffness / np.outer(root, root))
    return numbers(np.sqrt(squares[1:]) / (2.0 * np.pi))


def locked_chain_frequency(inertias: ArrayLike, springs: ArrayLike) -> float:
    """Lowest natural frequency of rotors in a row behind a motor that stands still [Hz].

    Parameters
    ----------
    inertias : (n,) array_like [kg*m^2]
        Zero or more, not all zero; from the load towards the motor.
    springs : (n,) array_like [N*m/rad]
        Behind each of them towards the motor, the last one at the motor; more than 0.

    Returns
    -------
    float [Hz]

    Source
    ------
    Largest eigenvalue of flexibility times inertia, ``1/w**2``; textbooks on vibration. Rotors
    without inertia need no care in this form.

    Examples
    --------
    >>> round(2 * np.pi * locked_chain_frequency([2.0], [800.0]), 3)
    20.0
    >>> round(2 * np.pi * locked_chain_frequency([2.0, 0.0], [1600.0, 1600.0]), 3)
    20.0
    """
    root = np.sqrt(numbers(inertias))
    give = np.cumsum((1.0 / above("springs", springs, 0.0, "N*m/rad"))[::-1])[::-1]
    place = np.arange(give.size)
    flexibility = give[np.maximum(place[:, None], place[None, :])]
    largest = np.linalg.eigvalsh(flexibility * np.outer(root, root))[-1]
    return float(1.0 / np.sqrt(largest) / (2.0 * np.pi))
