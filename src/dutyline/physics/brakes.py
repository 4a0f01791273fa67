"""Holding brakes: static hold, stop by the brake alone, drop, test torque, short-circuit braking.

Everything is referred to the brake shaft. The gravity torque is a magnitude; whether it helps or
hinders follows from the direction of motion.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.physics.ranges import Array, above, at_least, numbers

TORQUE_FACTOR = 0.8
"""Share of the static torque left by temperature, wear and tolerance (common practice)."""
TEST_FACTOR = 1.3
"""Test torque over the largest gravity torque (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class BrakeStop:
    """A stop by the brake alone. Infinite where the brake is weaker than gravity."""

    speed: Array
    """[rad/s] magnitude when the brake begins to grip."""
    angle_delay: Array
    """[rad] turned before that."""
    time_brake: Array
    """[s] from gripping to rest."""
    angle_brake: Array
    """[rad] turned while braking."""
    energy: Array
    """[J] friction work of the brake."""
    falls: NDArray[np.bool_]
    """True where an upward motion has turned round before the brake gripped."""

    @property
    def angle(self) -> Array:
        """[rad] from the loss of power to rest."""
        return numbers(self.angle_delay + self.angle_brake)


def hold_ratio(
    brake_torque: ArrayLike, gravity_torque: ArrayLike, factor: ArrayLike = TORQUE_FACTOR
) -> Array:
    """Torque of a brake over the torque it has to hold, friction not counted.

    Parameters
    ----------
    brake_torque : array_like [N*m]
        Static torque.
    gravity_torque : array_like [N*m]
        Magnitude at the brake shaft, losses not taken as help.
    factor : array_like [1]
        Share of the static torque to be trusted; 1 for a guaranteed minimum.

    Returns
    -------
    ndarray [1]
        Infinite where nothing has to be held. 1.5 is usually wanted, 2 with people underneath
        (common practice, no source).

    Source
    ------
    Statics.

    Examples
    --------
    >>> round(float(hold_ratio(3.4, 0.8629852)), 4)
    3.1519
    """
    held = np.abs(numbers(gravity_torque))
    with np.errstate(divide="ignore"):
        return numbers(numbers(factor) * above("brake_torque", brake_torque, 0.0, "N*m") / held)


def stop_downward(
    speed: ArrayLike,
    gravity_torque: ArrayLike,
    inertia: ArrayLike,
    brake_torque: ArrayLike,
    delay: ArrayLike,
) -> BrakeStop:
    """Power is lost while the load moves in the direction of gravity.

    Gravity accelerates until the brake grips; then brake and gravity work against each other.

    Parameters
    ----------
    speed : array_like [rad/s]
        Magnitude at the loss of power.
    gravity_torque : array_like [N*m]
        Magnitude; 0 for horizontal axes.
    inertia : array_like [kg*m^2]
        Everything that moves, counterweight included; more than 0.
    brake_torque : array_like [N*m]
        Smallest for the distance, largest for what the mechanics feel.
    delay : array_like [s]
        Engaging time and reaction time; half of a linear rise of the torque may be added.

    Source
    ------
    Derived here from the equation of motion with constant torques.

    Examples
    --------
    >>> stop = stop_downward(187.5, 0.86298520, 7.762e-4, 2.72, 0.045)
    >>> round(float(stop.speed * 30 / np.pi), 1), round(float(stop.energy), 3)
    (2268.3, 32.073)
    """
    w, pull, mass, hold, wait = _inputs(speed, gravity_torque, inertia, brake_torque, delay)
    gain = pull / mass
    fast = w + gain * wait
    ahead = w * wait + 0.5 * gain * wait**2
    return _brake(fast, ahead, hold - pull, mass, hold, np.zeros(np.shape(fast), dtype=bool))


def stop_upward(
    speed: ArrayLike,
    gravity_torque: ArrayLike,
    inertia: ArrayLike,
    brake_torque: ArrayLike,
    delay: ArrayLike,
) -> BrakeStop:
    """Power is lost while the load moves against gravity.

    Gravity slows it down until the brake grips, then both do. Where the motion has turned round
    before that, ``falls`` is True and speed, angles and energy are those of the fall; the way up
    before it is ``speed**2 * inertia / (2 * gravity_torque)``.

    Parameters
    ----------
    speed, gravity_torque, inertia, brake_torque, delay
        As in :func:`stop_downward`.

    Source
    ------
    Derived here from the equation of motion with constant torques.

    Examples
    --------
    >>> stop = stop_upward(100.0, 0.5, 1e-3, 2.0, 0.05)
    >>> float(stop.speed), round(float(stop.angle), 4), bool(stop.falls)
    (75.0, 5.5, False)
    """
    w, pull, mass, hold, wait = _inputs(speed, gravity_torque, inertia, brake_torque, delay)
    slow = pull / mass
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        crest = np.where(slow > 0.0, w / slow, np.inf)
    falls = (wait > crest) | ((w == 0.0) & (pull > 0.0) & (wait > 0.0))
    gap = np.where(falls, wait - np.where(falls, crest, 0.0), 0.0)
    fast = np.where(falls, slow * gap, w - slow * wait)
    ahead = np.where(falls, 0.5 * slow * gap**2, w * wait - 0.5 * slow * wait**2)
    net = np.where(falls, hold - pull, hold + pull)
    return _brake(fast, ahead, net, mass, hold, falls)


def stops_in_life(work_total: ArrayLike, work: ArrayLike) -> Array:
    """Number of equal stops that a total friction work allows [1].

    Parameters
    ----------
    work_total, work : array_like [J]
        Over the life, and of one stop.

    Source
    ------
    Definition.

    Examples
    --------
    >>> round(float(stops_in_life(45000.0, 32.07296)), 1)
    1403.1
    """
    with np.errstate(divide="ignore"):
        return numbers(numbers(work_total) / numbers(work))


def drop(gravity_torque: ArrayLike, inertia: ArrayLike, gap: ArrayLike) -> Array:
    """Angle fallen from rest while neither motor nor brake holds [rad].

    Parameters
    ----------
    gravity_torque : array_like [N*m]
        Magnitude.
    inertia : array_like [kg*m^2]
        Everything that moves; more than 0.
    gap : array_like [s]
        Time without torque.

    Source
    ------
    Constant acceleration.

    Examples
    --------
    In mm at the rack of a pinion of 24 mm radius behind 6:1:

    >>> round(1e3 * 0.024 / 6.0 * float(drop(0.8629852, 7.762e-4, 0.030)), 4)
    2.0013
    """
    gain = np.abs(numbers(gravity_torque)) / above("inertia", inertia, 0.0, "kg*m^2")
    return numbers(0.5 * gain * at_least("gap", gap, 0.0, "s") ** 2)


def holding_test_torque(gravity_torque: ArrayLike, factor: ArrayLike = TEST_FACTOR) -> Array:
    """Motor torque against the closed brake in a cyclic brake test [N*m].

    Parameters
    ----------
    gravity_torque : array_like [N*m]
        Largest magnitude over the stroke and the payloads.
    factor : array_like [1]
        More than 1.

    Returns
    -------
    ndarray [N*m]
        To be kept below 0.9 of the static torque of the brake (common practice, no source).

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> round(float(holding_test_torque(0.8629852)), 4)
    1.1219
    """
    return numbers(numbers(factor) * np.abs(numbers(gravity_torque)))


def short_circuit_torque(
    speed: ArrayLike,
    flux: ArrayLike,
    pole_pairs: ArrayLike,
    resistance: ArrayLike,
    inductance: ArrayLike,
) -> Array:
    """Braking torque of a permanent-magnet motor whose windings are shorted [N*m].

    Parameters
    ----------
    speed : array_like [rad/s]
        Magnitude.
    flux : array_like [V*s]
        Linkage of one phase, peak.
    pole_pairs : array_like
        Number.
    resistance, inductance : array_like [ohm, H]
        Of one phase, shorting resistor included.

    Returns
    -------
    ndarray [N*m]
        Largest, ``0.75 * p * flux**2 / L``, at ``R/(p*L)``; fades to nothing at standstill.

    Source
    ------
    Derived here from the voltage equations in rotor coordinates with no outer voltage.

    Examples
    --------
    >>> round(float(short_circuit_torque(2.4 / (5 * 6.8e-3), 0.0421, 5, 2.4, 6.8e-3)), 4)
    0.9774
    """
    w, p, r = np.abs(numbers(speed)), numbers(pole_pairs), numbers(resistance)
    reactance = p * w * numbers(inductance)
    return numbers(1.5 * p**2 * numbers(flux) ** 2 * w * r / (r**2 + reactance**2))


def short_circuit_angle(
    speed: ArrayLike,
    inertia: ArrayLike,
    flux: ArrayLike,
    pole_pairs: ArrayLike,
    resistance: ArrayLike,
    inductance: ArrayLike,
) -> Array:
    """Angle to rest by shorted windings alone, without any load torque [rad].

    Parameters
    ----------
    speed : array_like [rad/s]
        At the beginning, magnitude.
    inertia : array_like [kg*m^2]
        Everything that moves.
    flux, pole_pairs, resistance, inductance
        As in :func:`short_circuit_torque`; resistance more than 0.

    Source
    ------
    Derived here: integral of ``J * w / T(w)`` over the speed.

    Examples
    --------
    >>> round(float(short_circuit_angle(300.0, 1e-3, 0.0421, 5, 2.4, 6.8e-3)), 2)
    76.05
    """
    w, p = np.abs(numbers(speed)), numbers(pole_pairs)
    r = above("resistance", resistance, 0.0, "ohm")
    sweep = r**2 * w + p**2 * numbers(inductance) ** 2 * w**3 / 3.0
    return numbers(numbers(inertia) * sweep / (1.5 * p**2 * numbers(flux) ** 2 * r))


def _inputs(
    speed: ArrayLike,
    gravity_torque: ArrayLike,
    inertia: ArrayLike,
    brake_torque: ArrayLike,
    delay: ArrayLike,
) -> tuple[Array, Array, Array, Array, Array]:
    found = np.broadcast_arrays(
        np.abs(numbers(speed)),
        np.abs(numbers(gravity_torque)),
        above("inertia", inertia, 0.0, "kg*m^2"),
        above("brake_torque", brake_torque, 0.0, "N*m"),
        at_least("delay", delay, 0.0, "s"),
    )
    return found[0], found[1], found[2], found[3], found[4]


def _brake(
    speed: Array, ahead: Array, net: Array, inertia: Array, hold: Array, falls: NDArray[np.bool_]
) -> BrakeStop:
    with np.errstate(divide="ignore", invalid="ignore"):
        time = np.where(net > 0.0, speed * inertia / net, np.inf)
        angle = np.where(net > 0.0, speed**2 * inertia / (2.0 * net), np.inf)
        rest = (speed == 0.0) & (net > 0.0)
    unknown = np.isnan(net) | np.isnan(speed) | np.isnan(inertia)
    time, angle = (np.where(unknown, np.nan, np.where(rest, 0.0, v)) for v in (time, angle))
    return BrakeStop(speed, ahead, time, angle, hold * angle, falls)
