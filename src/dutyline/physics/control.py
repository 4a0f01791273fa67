"""Loop quality that the machine allows: bandwidth, settling, encoder noise, friction twist."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, numbers

LAG_SAMPLES = 1.5
"""Dead time of a sampled loop in samples (common practice)."""
CURRENT_LAG = 3.5e-4
"""[s] of the current loop, middle of 0.2 to 0.5 ms (common practice)."""
RESONANCE_SHARE = 0.3
"""Velocity bandwidth over the locked frequency without a notch filter (common practice)."""
DAMPED_SHARE = 0.5
"""The same with a notch filter or damping (common practice)."""
POSITION_SHARE = 0.25
"""Position gain over velocity bandwidth (common practice)."""
BOLD_POSITION_SHARE = 1.0 / 3.0
"""Largest position gain over velocity bandwidth that does not ring (common practice)."""
INTEGRAL_SHARE = 4.0
"""Integral time of the velocity loop times its bandwidth (symmetrical optimum, a = 4)."""
NOISE_SHARE = 0.05
"""Share of the rated torque that one count of the encoder may ask for (common practice)."""
SETTLING_FACTOR = 1.35
"""Fitted to time-domain runs of a two-mass axis under a cascaded controller."""


def loop_lag(
    velocity_loop: ArrayLike, current_lag: ArrayLike = CURRENT_LAG, filter_lag: ArrayLike = 0.0
) -> Array:
    """Sum of the small lags of a velocity loop [s].

    Parameters
    ----------
    velocity_loop : array_like [Hz]
        Sampling rate; more than 0.
    current_lag, filter_lag : array_like [s]

    Source
    ------
    Common practice; textbooks on drive control.

    Examples
    --------
    >>> round(float(loop_lag(4000.0)) * 1e3, 3)
    0.725
    """
    sampled = LAG_SAMPLES / above("velocity_loop", velocity_loop, 0.0, "Hz")
    return numbers(sampled + numbers(current_lag) + numbers(filter_lag))


def velocity_bandwidth(
    lag: ArrayLike, locked_frequency: ArrayLike, share: ArrayLike = RESONANCE_SHARE
) -> tuple[Array, Array]:
    """Two bounds of the bandwidth of a velocity loop [rad/s]; the lower one counts.

    Parameters
    ----------
    lag : array_like [s]
        See :func:`loop_lag`.
    locked_frequency : array_like [Hz]
        Load against a standing motor; infinite for a rigid train.
    share : array_like [1]
        0.3 without, 0.5 with a notch filter or damping.

    Returns
    -------
    pair of ndarray [rad/s]
        By the lags, ``1/(2 T)`` (symmetrical optimum), and by the mechanics.

    Source
    ------
    Leonhard, Control of Electrical Drives (symmetrical optimum, from memory); the share of the
    locked frequency is common practice.

    Examples
    --------
    >>> [round(float(w), 1) for w in velocity_bandwidth(7.25e-4, 60.0)]
    [689.7, 113.1]
    """
    by_lag = 0.5 / above("lag", lag, 0.0, "s")
    return numbers(by_lag), numbers(numbers(share) * 2.0 * np.pi * numbers(locked_frequency))


def tracking_error(
    deceleration: ArrayLike,
    deceleration_time: ArrayLike,
    position_gain: ArrayLike,
    feed_forward: ArrayLike = 0.0,
) -> Array:
    """Position error left at the end of a constant deceleration [rad or m].

    Parameters
    ----------
    deceleration : array_like [rad/s^2 or m/s^2]
        Magnitude.
    deceleration_time : array_like [s]
    position_gain : array_like [1/s]
        More than 0.
    feed_forward : array_like [1]
        Share of the speed that is fed forward, 0 to 1.

    Source
    ------
    Derived here: first-order position loop under a ramp of speed, and its rest.

    Examples
    --------
    >>> round(float(tracking_error(100.0, 0.05, 40.0)), 5)
    0.05404
    """
    k = above("position_gain", position_gain, 0.0, "1/s")
    rest = np.abs(numbers(deceleration)) / k**2 * -np.expm1(-k * numbers(deceleration_time))
    return numbers(rest * (1.0 - numbers(feed_forward)))


def settling_time(
    error: ArrayLike,
    tolerance: ArrayLike,
    position_gain: ArrayLike,
    bandwidth: ArrayLike,
) -> Array:
    """Estimate of the time from the end of a move until a tolerance is kept [s].

    Parameters
    ----------
    error : array_like [rad or m]
        See :func:`tracking_error`.
    tolerance : array_like [rad or m]
        More than 0.
    position_gain : array_like [1/s]
    bandwidth : array_like [rad/s]
        Of the velocity loop.

    Returns
    -------
    ndarray [s]
        0 where the error is within the tolerance from the start.

    Source
    ------
    Decay of a first-order loop plus one lag, times :data:`SETTLING_FACTOR`: an estimate.

    Examples
    --------
    >>> round(float(settling_time(0.05, 0.002, 42.5, 170.0)), 4)
    0.1102
    """
    ratio = np.abs(numbers(error)) / above("tolerance", tolerance, 0.0)
    decay = np.log(np.maximum(ratio, 1.0)) / above("position_gain", position_gain, 0.0, "1/s")
    lag = 1.0 / above("bandwidth", bandwidth, 0.0, "rad/s")
    return numbers(np.where(ratio <= 1.0, 0.0, SETTLING_FACTOR * (decay + lag)))


def friction_twist(friction_torque: ArrayLike, stiffness: ArrayLike) -> Array:
    """Twist that Coulomb friction at the load holds after a stop [rad]; from one side.

    Parameters
    ----------
    friction_torque : array_like [N*m]
        At the load, between motor and load.
    stiffness : array_like [N*m/rad]
        Of the train at the same node, more than 0.

    Source
    ------
    Statics; twice as much when a place is reached from both sides.

    Examples
    --------
    >>> float(friction_twist(0.02, 40.0))
    0.0005
    """
    return numbers(np.abs(numbers(friction_torque)) / above("stiffness", stiffness, 0.0, "N*m/rad"))


def speed_quantum(counts: ArrayLike, sample: ArrayLike) -> Array:
    """Smallest difference of speed that one sample of an encoder can tell [rad/s].

    Parameters
    ----------
    counts : array_like
        Per turn.
    sample : array_like [s]
        Between two readings.

    Source
    ------
    Definition: one count per sample.

    Examples
    --------
    >>> round(float(speed_quantum(2**20, 125e-6)), 4)
    0.0479
    """
    return numbers(2.0 * np.pi / (above("counts", counts, 0.0) * above("sample", sample, 0.0, "s")))


def quiet_bandwidth(
    torque: ArrayLike, inertia: ArrayLike, quantum: ArrayLike, share: ArrayLike = NOISE_SHARE
) -> Array:
    """Bandwidth of a velocity loop at which one count asks for a share of a torque [rad/s].

    Parameters
    ----------
    torque : array_like [N*m]
        Rated torque of the motor.
    inertia : array_like [kg*m^2]
        Motor and load together, more than 0.
    quantum : array_like [rad/s]
        See :func:`speed_quantum`; more than 0.
    share : array_like [1]

    Source
    ------
    Gain of the velocity loop ``w J`` times the quantum; the share is common practice.

    Examples
    --------
    >>> round(float(quiet_bandwidth(1.27, 2.5e-4, speed_quantum(2**17, 125e-6))), 1)
    662.3
    """
    noise = above("inertia", inertia, 0.0, "kg*m^2") * above("quantum", quantum, 0.0, "rad/s")
    return numbers(numbers(share) * numbers(torque) / noise)
