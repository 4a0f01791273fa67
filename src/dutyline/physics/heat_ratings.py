"""Thermal data of a motor from its ratings, by the network of two nodes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.continuous_torque import iron_share
from dutyline.physics.ranges import Array, above, at_least, numbers


def whole_thermal_resistance(rise_limit: ArrayLike, loss: ArrayLike) -> Array:
    """Thermal resistance from winding to ambient that a loss at the permitted rise tells [K/W].

    Parameters
    ----------
    rise_limit : array_like [K]
        Winding limit less rated ambient.
    loss : array_like [W]
        Copper loss of the stall current in the hot winding; nothing else heats at standstill.

    Source
    ------
    ``rise = P_cu (R_wh + R_ha)`` at standstill, two-node network.

    Examples
    --------
    >>> float(whole_thermal_resistance(100.0, 66.667).round(4))
    1.5
    """
    return numbers(numbers(rise_limit) / above("loss", loss, 0.0, "W"))


def iron_loss_of_ratings(
    torque_rated: ArrayLike,
    torque_stall: ArrayLike,
    rise_limit: ArrayLike,
    rth_housing_ambient: ArrayLike,
) -> Array:
    """Iron and friction loss at the rated speed that explains the rated torque [W].

    Parameters
    ----------
    torque_rated, torque_stall : array_like [N*m]
    rise_limit : array_like [K]
    rth_housing_ambient : array_like [K/W]

    Source
    ------
    :func:`dutyline.physics.continuous_torque.iron_share` of the permitted rise, through the
    resistance from housing to ambient.

    Examples
    --------
    >>> float(iron_loss_of_ratings(1.2788, 1.42, 100.0, 1.05).round(2))
    18.0
    """
    taken = iron_share(torque_rated, torque_stall) * numbers(rise_limit)
    return numbers(taken / above("rth_housing_ambient", rth_housing_ambient, 0.0, "K/W"))


def heat_capacity(time_constant: ArrayLike, thermal_resistance: ArrayLike) -> Array:
    """Heat capacity of a node from its time constant [J/K].

    Parameters
    ----------
    time_constant : array_like [s]
    thermal_resistance : array_like [K/W]
        Over which the node gives its heat away.

    Source
    ------
    ``tau = R C``.

    Examples
    --------
    >>> float(heat_capacity(23.8, 1.65).round(2))
    14.42
    """
    return numbers(
        at_least("time_constant", time_constant, 0.0, "s")
        / above("thermal_resistance", thermal_resistance, 0.0, "K/W")
    )


def class_limit(insulation: str, reserve: float = 15.0) -> float:
    """Limit of the mean winding temperature in a class of insulation [degC]; nan for others.

    Parameters
    ----------
    insulation : str
        ``B``, ``F`` or ``H``.
    reserve : float [K]
        Of the hottest spot over the mean; 10 to 15 K are common practice.

    Source
    ------
    Classes of IEC 60085 (130, 155 and 180 degC); reserve: common practice, no source.

    Examples
    --------
    >>> class_limit("F")
    140.0
    """
    classes = {"B": 130.0, "F": 155.0, "H": 180.0}
    return classes.get(insulation.strip().upper(), float(np.nan)) - reserve
