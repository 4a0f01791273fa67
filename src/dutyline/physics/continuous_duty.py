"""Continuous duty of a motor: copper loss, and torque over a cycle against the S1 boundary."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, numbers, segments

COPPER = 0.00393
"""[1/K] growth of the resistance of copper over its value at 20 degC (IEC 60028, from memory)."""
REFERENCE = 20.0
"""[degC] at which resistances and losses are stated."""


def copper_loss(
    current: ArrayLike, resistance: ArrayLike, temperature: ArrayLike = REFERENCE
) -> Array:
    """Heat in a three-phase star winding [W].

    Parameters
    ----------
    current : array_like [A rms]
        Of the lines.
    resistance : array_like [ohm]
        Terminal to terminal at 20 degC.
    temperature : array_like [degC]
        Of the winding.

    Source
    ------
    ``3 R_phase I**2`` with ``R_phase = R_line/2``; Joule's law.

    Examples
    --------
    >>> copper_loss(2.0, 3.0, [20.0, 140.0]).round(3).tolist()
    [18.0, 26.489]
    """
    hot = 1.0 + COPPER * (numbers(temperature) - REFERENCE)
    return numbers(1.5 * numbers(resistance) * hot * numbers(current) ** 2)


def plain_use(torque_rms: ArrayLike, continuous_torque: ArrayLike) -> Array:
    """Root-mean-square torque over the continuous torque at the mean speed [1].

    Optimistic whenever the speed varies: the square of a continuous boundary with iron loss is
    concave in the speed. :func:`loss_use` has no such error.

    Parameters
    ----------
    torque_rms : array_like [N*m]
        Over the whole cycle.
    continuous_torque : array_like [N*m]
        At the mean speed.

    Source
    ------
    Common practice; Joule loss argument in textbooks on electrical machines.

    Examples
    --------
    >>> round(float(plain_use(1.300545, 1.326236)), 5)
    0.98063
    """
    with np.errstate(divide="ignore"):
        return numbers(np.abs(numbers(torque_rms)) / numbers(continuous_torque))


def loss_use(torque: ArrayLike, continuous_torque: ArrayLike, duration: ArrayLike) -> Array:
    """Root of the mean squared torque over the mean squared continuous torque [1].

    The continuous boundary carries the iron loss at every speed, so comparing the mean squares
    compares losses. Exact at 1 for cycles much shorter than the time constant of the winding.

    Parameters
    ----------
    torque, continuous_torque, duration : (..., n) array_like [N*m, N*m, s]
        Segments on the last axis; the continuous torque at the speed of each. Where the current
        is not in proportion to the torque, the torque to use is ``Kt * I``.

    Source
    ------
    Derived here from the two-node network of :mod:`dutyline.physics.thermal`.

    Examples
    --------
    >>> torque, limit = [1.8, 0.98, -1.6, 1.24], [1.297, 1.0346, 1.297, 1.42]
    >>> round(float(loss_use(torque, limit, [0.12, 0.3, 0.12, 0.46])), 2)
    1.01
    """
    t, c, dt = segments(torque=torque, continuous_torque=continuous_torque, duration=duration)
    with np.errstate(divide="ignore"):
        return numbers(np.sqrt(np.sum(t**2 * dt, axis=-1) / np.sum(c**2 * dt, axis=-1)))


def segmentwise_use(torque: ArrayLike, continuous_torque: ArrayLike, duration: ArrayLike) -> Array:
    """Root of the mean of ``(torque/continuous torque)**2`` [1]; for comparison only.

    Leaves the iron loss out where the torque is zero and weighs torque at speed too much.

    Parameters
    ----------
    torque, continuous_torque, duration
        As in :func:`loss_use`.

    Source
    ------
    Common practice; not equivalent to :func:`loss_use`.

    Examples
    --------
    >>> float(segmentwise_use([1.0, 0.0], [1.0, 2.0], [1.0, 1.0]).round(4))
    0.7071
    """
    t, c, dt = segments(torque=torque, continuous_torque=continuous_torque, duration=duration)
    return numbers(np.sqrt(np.sum((t / c) ** 2 * dt, axis=-1) / np.sum(dt, axis=-1)))
