"""Gear ratios: optimum for a given motion of the load, and the torque that is left at it.

A ratio is motor speed over load speed.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers, within


def inertia_ratio_optimum(
    inertia_load: ArrayLike, inertia_motor: ArrayLike, efficiency: ArrayLike = 1.0
) -> Array:
    """Ratio at which a pure inertia needs the least motor torque, peak and rms alike.

    Parameters
    ----------
    inertia_load, inertia_motor : array_like [kg*m^2]
        At the load and at the motor, more than 0.
    efficiency : array_like [1]
        More than 0, at most 1.

    Source
    ------
    Derivative of ``J_motor*i + J_load/(i*eta)`` set to zero; textbooks (Khurmi and Gupta,
    Theory of Machines, ch. 3).

    Examples
    --------
    >>> float(inertia_ratio_optimum(32.0, 2.0))
    4.0
    """
    load = above("inertia_load", inertia_load, 0.0, "kg*m^2")
    motor = above("inertia_motor", inertia_motor, 0.0, "kg*m^2")
    return numbers(np.sqrt(load / (within("efficiency", efficiency, 0.0, 1.0) * motor)))


def least_inertia_torque(
    acceleration: ArrayLike, inertia_load: ArrayLike, inertia_motor: ArrayLike
) -> Array:
    """Motor torque at :func:`inertia_ratio_optimum` without losses, ``2 a sqrt(J_L J_M)`` [N*m].

    Parameters
    ----------
    acceleration : array_like [rad/s^2]
        Of the load: peak or rms.
    inertia_load, inertia_motor : array_like [kg*m^2]

    Source
    ------
    As :func:`inertia_ratio_optimum`. Twice or half the optimum ratio costs a quarter more.

    Examples
    --------
    >>> float(least_inertia_torque(6.25, 32.0, 2.0))
    100.0
    """
    both = numbers(inertia_load) * numbers(inertia_motor)
    return numbers(2.0 * np.abs(numbers(acceleration)) * np.sqrt(both))


def rms_torque(
    ratio: ArrayLike,
    inertia_motor: ArrayLike,
    acceleration_square: ArrayLike,
    torque_square: ArrayLike,
    cross: ArrayLike,
    efficiency: ArrayLike = 1.0,
) -> Array:
    """Rms motor torque of a given load motion at any ratio [N*m].

    Parameters
    ----------
    ratio : array_like [1]
        More than 0.
    inertia_motor : array_like [kg*m^2]
        Everything that turns with the motor.
    acceleration_square : array_like [rad^2/s^4]
        Mean of the squared acceleration of the load.
    torque_square : array_like [N^2*m^2]
        Mean of the squared torque at the load, its inertia included.
    cross : array_like [N*m*rad/s^2]
        Mean of acceleration times torque.
    efficiency : array_like [1]
        Taken in the driving direction throughout.

    Source
    ------
    Derived here from ``T = J_M i a + T_L/(i eta)``; the same ground as Roos, Johansson and
    Wikander, Optimal selection of motor and gearhead in mechatronic applications, 2006.

    Examples
    --------
    >>> float(rms_torque(4.0, 2.0, 1.0, 32.0**2, 32.0))
    16.0
    """
    i, eta = above("ratio", ratio, 0.0), within("efficiency", efficiency, 0.0, 1.0)
    rotor = numbers(inertia_motor)
    own = (rotor * i) ** 2 * numbers(acceleration_square)
    load = numbers(torque_square) / (i * eta) ** 2
    return numbers(np.sqrt(np.maximum(own + load + 2.0 * rotor * numbers(cross) / eta, 0.0)))


def rms_ratio_optimum(
    inertia_motor: ArrayLike,
    acceleration_square: ArrayLike,
    torque_square: ArrayLike,
    efficiency: ArrayLike = 1.0,
) -> Array:
    """Ratio of the least rms motor torque for a given load motion [1].

    Parameters
    ----------
    inertia_motor, acceleration_square, torque_square, efficiency
        As in :func:`rms_torque`; infinite where the load never accelerates.

    Source
    ------
    As :func:`rms_torque`: ``i**4 = B/(A eta**2 J_M**2)``.

    Examples
    --------
    >>> float(rms_ratio_optimum(2.0, 1.0, 32.0**2))
    4.0
    """
    spent = (
        numbers(acceleration_square)
        * (
            within("efficiency", efficiency, 0.0, 1.0)
            * above("inertia_motor", inertia_motor, 0.0, "kg*m^2")
        )
        ** 2
    )
    with np.errstate(divide="ignore"):
        return numbers((numbers(torque_square) / spent) ** 0.25)


def least_rms_torque(
    inertia_motor: ArrayLike,
    acceleration_square: ArrayLike,
    torque_square: ArrayLike,
    cross: ArrayLike,
    efficiency: ArrayLike = 1.0,
) -> Array:
    """Rms motor torque at :func:`rms_ratio_optimum` [N*m].

    No motor whose continuous torque squared over its inertia is below
    ``least_rms_torque**2 / inertia`` can do the motion at any ratio.

    Parameters
    ----------
    inertia_motor, acceleration_square, torque_square, cross, efficiency
        As in :func:`rms_torque`.

    Source
    ------
    As :func:`rms_torque`: ``T**2 = 2 J_M/eta (sqrt(A B) + C)``.

    Examples
    --------
    >>> float(least_rms_torque(2.0, 1.0, 32.0**2, 32.0))
    16.0
    """
    eta = within("efficiency", efficiency, 0.0, 1.0)
    both = np.sqrt(numbers(acceleration_square) * numbers(torque_square)) + numbers(cross)
    return numbers(np.sqrt(np.maximum(2.0 * numbers(inertia_motor) / eta * both, 0.0)))


def ratio_range(
    torque: ArrayLike,
    inertia_motor: ArrayLike,
    acceleration_square: ArrayLike,
    torque_square: ArrayLike,
    cross: ArrayLike,
    efficiency: ArrayLike = 1.0,
) -> tuple[Array, Array]:
    """Ratios between which the rms motor torque stays within a continuous torque [1].

    Parameters
    ----------
    torque : array_like [N*m]
        Continuous torque of the motor.
    inertia_motor, acceleration_square, torque_square, cross, efficiency
        As in :func:`rms_torque`.

    Returns
    -------
    pair of ndarray
        Smallest and largest ratio; nan where none suffices, the second infinite where the load
        never accelerates.

    Source
    ------
    Roots of :func:`rms_torque` in the squared ratio (derived here).

    Examples
    --------
    >>> [round(float(i), 4) for i in ratio_range(20.0, 2.0, 1.0, 32.0**2, 32.0)]
    [2.0, 8.0]
    """
    rotor, eta = numbers(inertia_motor), within("efficiency", efficiency, 0.0, 1.0)
    square = rotor**2 * numbers(acceleration_square)
    load = numbers(torque_square) / eta**2
    left = numbers(torque) ** 2 - 2.0 * rotor * numbers(cross) / eta
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.sqrt(left**2 - 4.0 * square * load)
        low = np.sqrt(2.0 * load / (left + root))
        high = np.where(square > 0.0, np.sqrt((left + root) / (2.0 * square)), np.inf)
    none = ~(left > 0.0) | np.isnan(root)
    return numbers(np.where(none, np.nan, low)), numbers(np.where(none, np.nan, high))


def peak_ratio_optimum(
    acceleration: ArrayLike,
    inertia_load: ArrayLike,
    inertia_motor: ArrayLike,
    load_torque: ArrayLike = 0.0,
) -> Array:
    """Ratio of the least peak torque while a load accelerates against a constant torque [1].

    Parameters
    ----------
    acceleration : array_like [rad/s^2]
        Largest, of the load; more than 0.
    inertia_load, inertia_motor : array_like [kg*m^2]
    load_torque : array_like [N*m]
        Against the motion, at the load.

    Source
    ------
    Derivative of ``J_M i a + (J_L a + T_L)/i`` set to zero (derived here).

    Examples
    --------
    >>> round(float(peak_ratio_optimum(56.5486678, 0.5, 5e-4, 20.0)), 4)
    41.3202
    """
    a = above("acceleration", acceleration, 0.0, "rad/s^2")
    load = at_least("inertia_load", inertia_load, 0.0, "kg*m^2") * a + numbers(load_torque)
    return numbers(np.sqrt(load / (above("inertia_motor", inertia_motor, 0.0, "kg*m^2") * a)))


def best_acceleration_ratio(
    motor_torque: ArrayLike,
    inertia_load: ArrayLike,
    inertia_motor: ArrayLike,
    load_torque: ArrayLike = 0.0,
    efficiency: ArrayLike = 1.0,
) -> Array:
    """Ratio at which a given motor torque accelerates the load most [1].

    Parameters
    ----------
    motor_torque : array_like [N*m]
        More than 0.
    inertia_load, inertia_motor : array_like [kg*m^2]
    load_torque : array_like [N*m]
        Against the motion, at the load.
    efficiency : array_like [1]
        More than 0, at most 1.

    Source
    ------
    Largest ``(i eta T - T_L)/(J_L + eta i**2 J_M)`` over the ratio (derived here); Khurmi and
    Gupta, Theory of Machines, ch. 3, treat the same task.

    Examples
    --------
    >>> float(best_acceleration_ratio(100.0, 32.0, 2.0))
    4.0
    """
    eta = within("efficiency", efficiency, 0.0, 1.0)
    offset = numbers(load_torque) / (eta * above("motor_torque", motor_torque, 0.0, "N*m"))
    balance = numbers(inertia_load) / (eta * numbers(inertia_motor))
    return numbers(offset + np.sqrt(offset**2 + balance))
