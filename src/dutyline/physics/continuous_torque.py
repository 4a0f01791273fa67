"""What heat leaves of a servo motor's torque over long times, and how surroundings reduce it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers

IRON_EXPONENT = 1.5
"""[1] growth of iron and friction loss with speed; common practice is 1.3 to 1.8."""
PLATE_SHARE = 0.4
"""[1] of the heat leaves through the flange; common practice is 0.3 to 0.5."""
ENCLOSED_FACTOR = 1.5
"""[1] on the thermal resistance to the air without convection; common practice is 1.3 to 2."""
ALTITUDE_LOSS = 1e-4
"""[1/m] of the permitted rise is lost above the rated altitude (IEC 60034-1, from memory)."""
AMBIENT_END = 60.0
"""[degC] above which no rating is given; common practice."""
ALTITUDE_END = 4000.0
"""[m] above which no rating is given (IEC 60034-1, from memory)."""


def iron_loss(
    speed: ArrayLike,
    loss_rated: ArrayLike,
    speed_rated: ArrayLike,
    exponent: ArrayLike = IRON_EXPONENT,
) -> Array:
    """Iron and friction loss at a speed [W].

    Parameters
    ----------
    speed, speed_rated : array_like [rad/s]
    loss_rated : array_like [W]
        At the rated speed.
    exponent : array_like [1]

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> float(iron_loss(5500.0, 18.0, 3000.0).round(3))
    44.682
    """
    share = np.abs(numbers(speed)) / above("speed_rated", speed_rated, 0.0, "rad/s")
    return numbers(at_least("loss_rated", loss_rated, 0.0, "W") * share ** numbers(exponent))


def continuous_torque(
    iron_loss: ArrayLike,
    torque_stall: ArrayLike,
    rise_limit: ArrayLike,
    rth_housing_ambient: ArrayLike,
) -> Array:
    """Torque that a motor bears for any length of time beside its iron loss [N*m].

    Zero where the iron loss alone reaches the limit.

    Parameters
    ----------
    iron_loss : array_like [W]
        At the speed in question, with friction.
    torque_stall : array_like [N*m]
        Continuous torque without iron loss.
    rise_limit : array_like [K]
        Winding limit less ambient.
    rth_housing_ambient : array_like [K/W]

    Source
    ------
    Two-node network, copper loss in the winding and iron loss in the housing; derived here.

    Examples
    --------
    >>> continuous_torque([0.0, 18.0, 44.682], 1.42, 100.0, 1.05).round(4).tolist()
    [1.42, 1.2788, 1.0346]
    """
    taken = numbers(rth_housing_ambient) * numbers(iron_loss)
    left = 1.0 - taken / above("rise_limit", rise_limit, 0.0, "K")
    return numbers(numbers(torque_stall) * np.sqrt(np.maximum(left, 0.0)))


def iron_share(torque_rated: ArrayLike, torque_stall: ArrayLike) -> Array:
    """Share of the permitted rise that iron and friction loss take at the rated speed [1].

    Zero where the rated torque is not below the stall torque.

    Parameters
    ----------
    torque_rated : array_like [N*m]
        Continuous torque at the rated speed.
    torque_stall : array_like [N*m]
        The same at standstill.

    Source
    ------
    :func:`continuous_torque` turned round, for a rated point that heat sets and not voltage.

    Examples
    --------
    >>> float(iron_share(1.2788, 1.42).round(3))
    0.189
    """
    ratio = numbers(torque_rated) / above("torque_stall", torque_stall, 0.0, "N*m")
    return numbers(np.maximum(0.0, 1.0 - ratio**2))


def derated_torque(
    torque: ArrayLike,
    torque_stall: ArrayLike,
    rise_share: ArrayLike = 1.0,
    rth_winding_housing: ArrayLike = 0.0,
    rth_housing_ambient: ArrayLike = 1.0,
    rth_housing_here: ArrayLike | None = None,
) -> Array:
    """Continuous torque elsewhere, from the continuous torque at rated conditions [N*m].

    The iron loss is the one that explains how far ``torque`` lies below ``torque_stall``, so a
    tabulated curve is enough. Where the voltage, not heat, cut the table, that is on the safe
    side. Zero where nothing is left.

    Parameters
    ----------
    torque : array_like [N*m]
        Continuous torque at the speed in question, rated conditions.
    torque_stall : array_like [N*m]
        The same at standstill.
    rise_share : array_like [1]
        Permitted rise here over the rated rise: :func:`ambient_share` times
        :func:`altitude_share`.
    rth_winding_housing, rth_housing_ambient : array_like [K/W]
        At rated conditions; only their ratio counts, and only with ``rth_housing_here``.
    rth_housing_here : array_like [K/W], optional
        Housing to ambient here; as rated when left out.

    Source
    ------
    Two-node network: ``P_cu (R_wh + R_ha') + P_fe R_ha' = rise'`` against the same at rated
    conditions; derived here.

    Examples
    --------
    90 K instead of 100 K, at standstill and where the iron loss takes 20 K:

    >>> derated_torque([1.0, 0.8**0.5], 1.0, 0.9).round(4).tolist()
    [0.9487, 0.8367]
    """
    stall = above("torque_stall", torque_stall, 0.0, "N*m")
    winding, rated = numbers(rth_winding_housing), above("rth", rth_housing_ambient, 0.0, "K/W")
    here = rated if rth_housing_here is None else numbers(rth_housing_here)
    iron = 1.0 - (at_least("torque", torque, 0.0, "N*m") / stall) ** 2
    left = numbers(rise_share) - here / rated * iron
    copper = left * (winding + rated) / (winding + here)
    return numbers(stall * np.sqrt(np.maximum(copper, 0.0)))


def ambient_share(
    ambient: ArrayLike, winding_limit: ArrayLike, ambient_rated: ArrayLike = 40.0
) -> Array:
    """Permitted rise of the winding in an ambient over the rated one [1].

    No credit below the rated ambient; nan above 60 degC, where no rating can be given.

    Parameters
    ----------
    ambient, winding_limit, ambient_rated : array_like [degC]
        The winding limit above the rated ambient.

    Source
    ------
    Rise limit less the excess of the ambient, the idea of IEC 60034-1 (from memory).

    Examples
    --------
    >>> ambient_share([20.0, 40.0, 50.0, 61.0], 140.0).tolist()
    [1.0, 1.0, 0.9, nan]
    """
    rated = above("rise", numbers(winding_limit) - numbers(ambient_rated), 0.0, "K")
    hotter = np.maximum(numbers(ambient) - numbers(ambient_rated), 0.0)
    share = np.maximum(1.0 - hotter / rated, 0.0)
    return numbers(np.where(numbers(ambient) <= AMBIENT_END, share, np.nan))


def altitude_share(altitude: ArrayLike, altitude_rated: ArrayLike = 1000.0) -> Array:
    """Permitted rise of the winding at an altitude over the rated one [1].

    No credit below the rated altitude; nan above 4000 m, where no rating can be given.

    Parameters
    ----------
    altitude, altitude_rated : array_like [m]

    Source
    ------
    IEC 60034-1 (from memory): one per cent of the rise per 100 m.

    Examples
    --------
    >>> altitude_share([0.0, 1000.0, 2500.0, 4001.0]).round(4).tolist()
    [1.0, 1.0, 0.85, nan]
    """
    higher = np.maximum(numbers(altitude) - numbers(altitude_rated), 0.0)
    known = numbers(altitude) <= ALTITUDE_END
    return numbers(np.where(known, 1.0 - ALTITUDE_LOSS * higher, np.nan))


def housing_resistance(
    rth_housing_ambient: ArrayLike,
    plate_share: ArrayLike = 1.0,
    enclosed: bool = False,
    flange_share: ArrayLike = PLATE_SHARE,
) -> Array:
    """Thermal resistance from housing to air where the motor is mounted [K/W].

    Parameters
    ----------
    rth_housing_ambient : array_like [K/W]
        On the test plate in free air.
    plate_share : array_like [1]
        Area of the mounting plate over that of the test plate; more than 1 counts as 1.
    enclosed : bool
        True without convection around the motor.
    flange_share : array_like [1]
        Of the heat that leaves through the flange on the test plate.

    Source
    ------
    Two paths side by side, flange and surface; derived here, shares are common practice.

    Examples
    --------
    >>> housing_resistance(1.05, [1.0, 0.5, 0.0]).round(4).tolist()
    [1.05, 1.3125, 1.75]
    """
    flange = numbers(flange_share)
    plate = np.minimum(at_least("plate_share", plate_share, 0.0), 1.0)
    still = ENCLOSED_FACTOR if enclosed else 1.0
    return numbers(numbers(rth_housing_ambient) * still / ((1.0 - flange) + flange * plate))
