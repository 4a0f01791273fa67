"""Inertia, friction and constant torque of an axis from measured speed and torque."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.core.errors import ShapeError
from dutyline.physics.ranges import Array, above, at_least, numbers

EDGE = 5.0
"""Time constants of the filter that are dropped at both ends of a record (common practice)."""
DISTINCT = 0.8
"""Share of what is not explained below which a shift of the torque counts (own choice)."""
CONDITION = 30.0
"""Condition of the columns above which the parts cannot be told apart (common practice)."""


@dataclass(frozen=True, slots=True)
class Identified:
    """What a record says about an axis; torques at the shaft whose speed was measured."""

    inertia: float
    """[kg*m^2]"""
    viscous: float
    """[N*m*s/rad]"""
    coulomb: float
    """[N*m]"""
    constant: float
    """[N*m] of one sign all along: gravity, a spring, an offset of the current"""
    residual: float
    """[N*m] root mean square of what the four do not explain"""
    condition: float
    """[1] of the columns, each scaled to length one; see :data:`CONDITION`"""
    samples: int
    """Used for the estimate."""
    deviations: tuple[float, float, float, float]
    """Standard deviations in the order above, from the residual and the samples that the filter
    leaves independent."""


def zero_phase_low_pass(signal: ArrayLike, time_step: float, frequency: float) -> Array:
    """A signal smoothed by a first-order low pass run forward and then backward.

    Parameters
    ----------
    signal : (n,) array_like
        Evenly sampled; one value or more.
    time_step : float [s]
        More than 0.
    frequency : float [Hz]
        At which one run lets ``1/sqrt(2)`` of the amplitude pass; more than 0.

    Returns
    -------
    (n,) ndarray
        In the unit of the signal, without delay.

    Raises
    ------
    ShapeError
        The signal is not one row of values.

    Source
    ------
    Exact step response of the first-order lag; each run starts at its first value.

    Examples
    --------
    >>> zero_phase_low_pass([1.0, 1.0, 1.0], 1e-3, 25.0).tolist()
    [1.0, 1.0, 1.0]
    """
    values = numbers(signal)
    if values.ndim != 1 or values.size == 0:
        raise ShapeError(f"got signal {values.shape}; one row of samples is needed")
    step = float(above("time_step", time_step, 0.0, "s"))
    kept = math.exp(-2.0 * math.pi * float(above("frequency", frequency, 0.0, "Hz")) * step)
    return _lagged(_lagged(values, kept)[::-1], kept)[::-1]


def _lagged(values: Array, kept: float) -> Array:
    state = float(values[0])
    out = np.empty_like(values)
    for k, value in enumerate(values.tolist()):
        state = kept * state + (1.0 - kept) * value
        out[k] = state
    return out


def identified(
    speed: ArrayLike,
    torque: ArrayLike,
    time_step: float,
    filter_frequency: float,
    speed_gate: float = 0.0,
    edge: float | None = None,
) -> Identified:
    """Inertia, viscous and Coulomb friction and constant torque of a record by least squares.

    Parameters
    ----------
    speed, torque : (n,) array_like [rad/s, N*m]
        At one shaft, the torque of the motor with the rotor's share in it; evenly sampled.
    time_step : float [s]
        More than 0.
    filter_frequency : float [Hz]
        About ten times that of the motion and less than a fifth of the sampling rate. The same
        filter acts on every column and on the torque, so that it shifts no estimate.
    speed_gate : float [rad/s]
        Samples with a filtered speed up to it are left out: stiction and chatter of the sign.
    edge : float [s], optional
        Left out at both ends; :data:`EDGE` time constants of the filter without it.

    Raises
    ------
    ShapeError
        Speed and torque differ in length, or fewer than five samples are left.

    Notes
    -----
    ``T = J dw/dt + B w + T_C sign(w) + T_0``. Not filtered, the noise of a differentiated speed
    sits in a column and makes the inertia too small (errors in variables).

    Source
    ------
    Linear least squares, textbooks on regression (from memory).

    Examples
    --------
    An inertia of 2e-3 kg*m^2 with 0.1 N*m of friction, without noise:

    >>> t = np.arange(4000) * 1e-3
    >>> w = 100.0 * np.sin(2 * np.pi * t)
    >>> applied = 2e-3 * 200.0 * np.pi * np.cos(2 * np.pi * t) + 0.1 * np.sign(w)
    >>> found = identified(w, applied, 1e-3, 50.0, speed_gate=5.0)
    >>> round(found.inertia, 6), round(found.coulomb, 3)
    (0.002, 0.1)
    """
    w, applied = _rows(speed, torque)
    smooth = zero_phase_low_pass(w, time_step, filter_frequency)
    columns = np.stack(
        [
            np.gradient(smooth, time_step),
            smooth,
            zero_phase_low_pass(np.sign(smooth), time_step, filter_frequency),
            np.ones_like(smooth),
        ],
        axis=1,
    )
    wanted = zero_phase_low_pass(applied, time_step, filter_frequency)
    lost = EDGE / (2.0 * math.pi * filter_frequency) if edge is None else edge
    count = round(float(at_least("edge", lost, 0.0, "s")) / time_step)
    inner = np.zeros(w.size, dtype=bool)
    inner[count : w.size - count] = True
    used: NDArray[np.bool_] = inner & (np.abs(smooth) > speed_gate)
    independent = min(1.0, 2.0 * filter_frequency * time_step)
    return _fitted(columns[used], wanted[used], independent)


def identified_without_filter(speed: ArrayLike, torque: ArrayLike, time_step: float) -> Identified:
    """The same from the raw record: what noise makes of it, for comparison.

    Parameters
    ----------
    speed, torque, time_step
        As in :func:`identified`.

    Source
    ------
    As :func:`identified`; the estimate of the inertia is biased low by noise in the speed.

    Examples
    --------
    >>> t = np.arange(400) * 1e-2
    >>> w = np.sin(2 * np.pi * t)
    >>> round(identified_without_filter(w, 0.3 * w + 1.0, 1e-2).constant, 6)
    1.0
    """
    w, applied = _rows(speed, torque)
    columns = np.stack(
        [np.gradient(w, float(above("time_step", time_step, 0.0, "s"))), w, np.sign(w),
         np.ones_like(w)],
        axis=1,
    )  # fmt: skip
    return _fitted(columns, applied, 1.0)


def torque_lag(
    speed: ArrayLike,
    torque: ArrayLike,
    time_step: float,
    filter_frequency: float,
    most: int = 20,
) -> int:
    """Samples by which the torque of a record comes after the speed that it belongs to.

    Parameters
    ----------
    speed, torque, time_step, filter_frequency
        As in :func:`identified`.
    most : int
        Samples tried either way.

    Returns
    -------
    int
        More than 0 where the torque was recorded late; 0 where the record is too short to tell,
        or where no shift explains it distinctly better.

    Source
    ------
    The shift with which inertia and friction explain the torque best: least squares as in
    :func:`identified`, derived here.

    Examples
    --------
    >>> t = np.arange(3000) * 1e-3
    >>> w = 100.0 * np.sin(2 * np.pi * t) + 40.0 * np.sin(6 * np.pi * t)
    >>> applied = 2e-3 * np.gradient(w, 1e-3) + 0.1 * np.sign(w)
    >>> torque_lag(w[7:], applied[:-7], 1e-3, 50.0)
    7
    """
    w, applied = _rows(speed, torque)
    if w.size < 10 * most:
        return 0
    smooth = zero_phase_low_pass(w, time_step, filter_frequency)
    moved = np.gradient(smooth, time_step)
    friction = zero_phase_low_pass(np.sign(smooth), time_step, filter_frequency)
    columns = np.stack([moved, smooth, friction, np.ones_like(smooth)], axis=1)
    wanted = zero_phase_low_pass(applied, time_step, filter_frequency)
    inner = columns[most : w.size - most]

    def rest(lag: int) -> float:
        shifted = wanted[most + lag : w.size - most + lag]
        return _fitted(inner, shifted, 1.0).residual

    found = {lag: rest(lag) for lag in range(-most, most + 1)}
    best = min(found, key=lambda lag: (found[lag], abs(lag)))
    return best if found[best] < DISTINCT * found[0] else 0


def _rows(speed: ArrayLike, torque: ArrayLike) -> tuple[Array, Array]:
    w, applied = numbers(speed), numbers(torque)
    if w.ndim != 1 or w.shape != applied.shape:
        raise ShapeError(f"got speed {w.shape}, torque {applied.shape}; need two equal rows")
    return w, applied


def _fitted(columns: Array, wanted: Array, independent: float) -> Identified:
    """Least squares over columns scaled to length one."""
    count, unknown = columns.shape
    if count <= unknown:
        raise ShapeError(f"{count} samples are left; more than {unknown} are needed")
    length = np.linalg.norm(columns, axis=0)
    length = np.where(length > 0.0, length, 1.0)
    scaled = columns / length
    share, _, _, spread = np.linalg.lstsq(scaled, wanted, rcond=None)
    rest = wanted - scaled @ share
    freedom = max(count * independent - unknown, 1.0)
    covariance = np.linalg.pinv(scaled.T @ scaled) * float(rest @ rest) / freedom
    deviation = np.sqrt(np.diag(covariance)) / length
    found = share / length
    with np.errstate(divide="ignore"):
        condition = float(spread[0] / spread[-1])
    return Identified(
        inertia=float(found[0]),
        viscous=float(found[1]),
        coulomb=float(found[2]),
        constant=float(found[3]),
        residual=float(np.sqrt(np.mean(rest**2))),
        condition=condition,
        samples=count,
        deviations=(
            float(deviation[0]), float(deviation[1]), float(deviation[2]), float(deviation[3])
        ),
    )  # fmt: skip
