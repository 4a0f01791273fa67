"""Stops by the drive: distance under power, energy that the bus has to give meanwhile."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers


def controlled_stop(
    speed: ArrayLike,
    pull: ArrayLike,
    inertia: ArrayLike,
    torque: ArrayLike,
    reaction: ArrayLike = 0.0,
) -> tuple[Array, Array]:
    """Angle and time of a stop with a constant motor torque.

    The motion goes on at its speed for the reaction time; then torque and weight slow it down.

    Parameters
    ----------
    speed : array_like [rad/s]
        Magnitude at the command.
    pull : array_like [N*m]
        Weight torque at the same shaft, positive where it pulls along the motion.
    inertia : array_like [kg*m^2]
        Everything that moves; more than 0.
    torque : array_like [N*m]
        Magnitude of the braking torque.
    reaction : array_like [s]

    Returns
    -------
    pair of ndarray [rad, s]
        Infinite where the torque is not more than the pull.

    Source
    ------
    Equation of motion with constant torques.

    Examples
    --------
    At 2 m/s on a radius of 1 m, slowed by 8 m/s^2 after 50 ms:

    >>> angle, time = controlled_stop(2.0, 0.0, 1.0, 8.0, 0.05)
    >>> round(float(angle), 3), round(float(time), 3)
    (0.35, 0.3)
    """
    w, wait = np.abs(numbers(speed)), at_least("reaction", reaction, 0.0, "s")
    net = np.abs(numbers(torque)) - numbers(pull)
    with np.errstate(divide="ignore", invalid="ignore"):
        slowing = np.where(net > 0.0, net, 0.0) / above("inertia", inertia, 0.0, "kg*m^2")
        time = np.where(w > 0.0, w / slowing, np.where(net > 0.0, 0.0, np.inf))
        angle = np.where(w > 0.0, w**2 / (2.0 * slowing), np.where(net > 0.0, 0.0, np.inf))
    unknown = np.isnan(w) | np.isnan(net) | np.isnan(slowing)
    angle, time = (np.where(unknown, np.nan, v) for v in (angle, time))
    return numbers(angle + w * wait), numbers(time + wait)


def stop_energy(
    torque: ArrayLike, angle: ArrayLike, time: ArrayLike, copper: ArrayLike, other: ArrayLike
) -> Array:
    """Energy that a stop draws from the bus: losses less what the shaft gives back [J].

    Parameters
    ----------
    torque : array_like [N*m]
        Braking torque.
    angle, time : array_like [rad, s]
        Of the braking.
    copper, other : array_like [W]
        Loss in the winding, and of drive and iron, while braking.

    Returns
    -------
    ndarray [J]
        Zero where the motion gives more than the losses take; infinite where the stop never ends.

    Source
    ------
    Energy balance.

    Examples
    --------
    >>> [float(stop_energy(2.0, 10.0, 0.5, copper, 20.0)) for copper in (60.0, 10.0)]
    [20.0, 0.0]
    """
    ends = ~np.isinf(numbers(angle))
    turned, passed = (np.where(ends, numbers(value), 0.0) for value in (angle, time))
    drawn = (numbers(copper) + numbers(other)) * passed - numbers(torque) * turned
    return numbers(np.where(ends, np.maximum(drawn, 0.0), np.inf))


def largest_draw(surplus: ArrayLike) -> Array:
    """Largest energy that a store gives before it gets it back, wherever it begins [J].

    Parameters
    ----------
    surplus : (..., n) array_like [J]
        Energy of each step, negative where it is drawn. No step may hold both signs.

    Returns
    -------
    ndarray (...) [J]
        Largest sum drawn over steps in a row, zero or more. What came in before the first of them
        does not count, so a stop that begins later, from less speed, is covered.

    Source
    ------
    Energy balance; the largest sum of a run by one pass (Kadane, from memory).

    Examples
    --------
    >>> float(largest_draw([5.0, -3.0, 1.0, -4.0, 9.0]))
    6.0
    """
    gains = numbers(surplus)
    run, worst = np.zeros(gains.shape[:-1]), np.zeros(gains.shape[:-1])
    for k in range(gains.shape[-1]):
        run = np.minimum(run + gains[..., k], 0.0)
        worst = np.minimum(worst, run)
    return numbers(-worst + 0.0)
