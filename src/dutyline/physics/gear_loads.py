"""Single events and positions of a gearhead: stop, jam, bearing moment, windup."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers


def emergency_torque(
    stop_torque: ArrayLike,
    ratio: ArrayLike,
    inertia_load: ArrayLike,
    inertia_motor: ArrayLike,
    load_torque: ArrayLike = 0.0,
) -> Array:
    """Torque through the gearhead while a torque at the motor stops the axis.

    The gearhead carries what slows the load: of the braking torque the share of the load inertia
    in the whole, and of a load torque that pulls on the share of the motor inertia, because the
    rest of it only spoils the deceleration.

    Parameters
    ----------
    stop_torque : array_like [N*m]
        Braking torque at the motor shaft.
    ratio : array_like [1]
        Input speed over output speed.
    inertia_load : array_like [kg*m^2]
        At the output.
    inertia_motor : array_like [kg*m^2]
        At the motor: rotor, brake and gearhead input.
    load_torque : array_like [N*m]
        At the output, positive where it pulls in the direction of motion (a load going down).

    Returns
    -------
    ndarray [N*m]
        Magnitude at the output.

    Source
    ------
    Derived here from the equations of motion of both sides; losses are left out. With the share
    ``k = J_load/(J_load + i^2 J_motor)`` it is ``k i T_stop + (1 - k) T_load``.

    Examples
    --------
    >>> round(float(emergency_torque(10.0, 5.0, 0.02, 0.0008)), 3)
    25.0
    >>> round(float(emergency_torque(10.0, 5.0, 0.02, 0.0008, 6.0)), 3)
    28.0
    """
    i = above("ratio", ratio, 0.0)
    load, motor = numbers(inertia_load), numbers(inertia_motor)
    share = load / (load + motor * i**2)
    carried = share * np.abs(numbers(stop_torque)) * i
    return numbers(np.abs(carried + (1.0 - share) * numbers(load_torque)))


def jam_torque(
    speed_out: ArrayLike,
    ratio: ArrayLike,
    inertia_motor: ArrayLike,
    stiffness: ArrayLike,
    motor_torque: ArrayLike = 0.0,
) -> Array:
    """Output torque when the load side is stopped dead and the rotor winds the gearhead up.

    Parameters
    ----------
    speed_out : array_like [rad/s]
        Output speed at the impact.
    ratio : array_like [1]
        Input speed over output speed.
    inertia_motor : array_like [kg*m^2]
        Rotor, brake and gearhead input, at the motor.
    stiffness : array_like [N*m/rad]
        Torsional, at the output.
    motor_torque : array_like [N*m]
        Pushed on by the drive meanwhile, at the motor.

    Source
    ------
    Derived here: elastic impact, ``omega * sqrt(C * J * i**2)``.

    Examples
    --------
    >>> round(float(jam_torque(10.0, 5.0, 4e-4, 1e4, 3.0)), 3)
    115.0
    """
    i = above("ratio", ratio, 0.0)
    rotor = at_least("inertia_motor", inertia_motor, 0.0, "kg*m^2") * i**2
    spring = at_least("stiffness", stiffness, 0.0, "N*m/rad")
    impact = np.abs(numbers(speed_out)) * np.sqrt(spring * rotor)
    return numbers(impact + np.abs(numbers(motor_torque)) * i)


def tilting_moment(
    radial: ArrayLike, radial_arm: ArrayLike, axial: ArrayLike = 0.0, axial_arm: ArrayLike = 0.0
) -> Array:
    """Moment about the pressure point of the output bearing.

    Parameters
    ----------
    radial, axial : array_like [N]
        Magnitudes.
    radial_arm : array_like [m]
        From the pressure point: distance before the shoulder plus the bearing offset.
    axial_arm : array_like [m]
        Distance of the axial force from the axis.

    Source
    ------
    Statics; the two moments added as the worst case.

    Examples
    --------
    >>> round(float(tilting_moment(420.0, 0.046 + 0.031, 150.0, 0.038)), 2)
    38.04
    """
    by_radial = np.abs(numbers(radial)) * np.abs(numbers(radial_arm))
    return numbers(by_radial + np.abs(numbers(axial)) * np.abs(numbers(axial_arm)))


def permissible_radial(
    radial_rated: ArrayLike, rated_point: ArrayLike, point: ArrayLike, bearing_offset: ArrayLike
) -> Array:
    """Radial force allowed at one point of a shaft when it is stated for another.

    Parameters
    ----------
    radial_rated : array_like [N]
        Allowed at ``rated_point``.
    rated_point, point : array_like [m]
        Distances before the shoulder.
    bearing_offset : array_like [m]
        From the shoulder back to the pressure point of the bearing.

    Source
    ------
    Equal moment about the pressure point.

    Examples
    --------
    >>> float(permissible_radial(900.0, 0.02, 0.04, 0.01))
    540.0
    """
    offset = numbers(bearing_offset)
    arm = above("point + bearing_offset", numbers(point) + offset, 0.0, "m")
    return numbers(numbers(radial_rated) * (numbers(rated_point) + offset) / arm)


def windup(torque: ArrayLike, stiffness: ArrayLike) -> Array:
    """Twist under a torque, ``T / C`` [rad], with the sign of the torque.

    Parameters
    ----------
    torque : array_like [N*m]
        At the side the stiffness refers to.
    stiffness : array_like [N*m/rad]
        More than 0.

    Source
    ------
    Definition of a linear spring.

    Examples
    --------
    >>> import math
    >>> arcmin = math.pi / 10800
    >>> round(float(windup(38.0, 3.1 / arcmin)) / arcmin, 3)
    12.258
    """
    return numbers(numbers(torque) / above("stiffness", stiffness, 0.0, "N*m/rad"))


def lost_motion(backlash: ArrayLike, torque: ArrayLike, stiffness: ArrayLike) -> Array:
    """Output travel without input travel between ``+torque`` and ``-torque`` [rad].

    Parameters
    ----------
    backlash : array_like [rad]
        Full width at the output; zero or more.
    torque : array_like [N*m]
        Magnitude of the reversing torque.
    stiffness : array_like [N*m/rad]
        At the output, more than 0.

    Source
    ------
    Derived here: play plus the twist of both directions.

    Examples
    --------
    >>> float(lost_motion(0.001, 5.0, 1e4))
    0.002
    """
    play = at_least("backlash", backlash, 0.0, "rad")
    return numbers(play + 2.0 * np.abs(windup(torque, stiffness)))
