"""Constants of a motor from its ratings, and one winding from another of the same size."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, numbers, within


def torque_constant_of_point(torque: ArrayLike, current: ArrayLike) -> Array:
    """Torque per ampere at one point of operation [N*m per A rms].

    At standstill that is the torque constant itself; at a rated speed the torque of friction and
    iron has gone, so it is a lower bound.

    Parameters
    ----------
    torque : array_like [N*m]
    current : array_like [A rms]

    Source
    ------
    Definition of the torque constant.

    Examples
    --------
    >>> float(torque_constant_of_point(1.42, 3.18).round(4))
    0.4465
    """
    return numbers(numbers(torque) / above("current", current, 0.0, "A"))


def emf_constant_of_torque(torque_constant: ArrayLike) -> Array:
    """Rms line-to-line emf per speed of a motor with sinusoidal emf [V per rad/s].

    Parameters
    ----------
    torque_constant : array_like [N*m per A rms]

    Source
    ------
    ``P = sqrt3 E I = T w``; :func:`dutyline.physics.torque_speed.torque_constant_of_emf` turned
    round.

    Examples
    --------
    >>> float(emf_constant_of_torque(0.44658).round(5))
    0.25783
    """
    return numbers(numbers(torque_constant) / np.sqrt(3.0))


def peak_current(
    torque_peak: ArrayLike, torque_constant: ArrayLike, saturation: ArrayLike
) -> Array:
    """Current that gives the peak torque of a motor whose iron saturates [A rms].

    Parameters
    ----------
    torque_peak : array_like [N*m]
    torque_constant : array_like [N*m per A rms]
    saturation : array_like [1]
        Share of the unsaturated torque that is left at the peak; above 0, at most 1.

    Source
    ------
    Definition of the saturation factor.

    Examples
    --------
    >>> float(peak_current(3.8, 0.5, 0.95).round(6))
    8.0
    """
    left = within("saturation", saturation, 0.0, 1.0)
    return numbers(
        numbers(torque_peak) / (above("torque_constant", torque_constant, 0.0, "N*m/A") * left)
    )


def speed_of_power(power: ArrayLike, torque: ArrayLike) -> Array:
    """Speed at which a torque gives a power [rad/s].

    Parameters
    ----------
    power : array_like [W]
    torque : array_like [N*m]

    Source
    ------
    ``P = T w``.

    Examples
    --------
    >>> float(speed_of_power(400.0, 1.27).round(2))
    314.96
    """
    return numbers(numbers(power) / above("torque", torque, 0.0, "N*m"))


def other_winding(value: ArrayLike, constant: ArrayLike, constant_here: ArrayLike) -> Array:
    """Resistance or inductance of a winding from another one in the same iron.

    Both go with the square of the turns, and the emf and torque constants with the turns, where
    the copper fills the same room.

    Parameters
    ----------
    value : array_like [ohm or H]
        Of the other winding.
    constant, constant_here : array_like
        Torque or emf constant of the other winding and of this one, in one unit.

    Source
    ------
    Scaling of windings: textbooks on electrical machines, from memory.

    Examples
    --------
    >>> float(other_winding(7.409, 9.2, 18.0).round(2))
    28.36
    """
    return numbers(
        numbers(value) * (numbers(constant_here) / above("constant", constant, 0.0)) ** 2
    )
