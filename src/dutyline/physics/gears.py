"""Gearheads over a cycle: losses, equivalent torque, life, peaks per hour.

Torques are output torques unless a name says input. Arrays with segments carry them on the last
axis; a duration may also be the weight of a quadrature node, so that ramps are integrated exactly.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers, segments, within

LIFE_EXPONENT = 10.0 / 3.0
"""Exponent of rolling contact on lines (ISO 281); the default of every life function here."""
CYCLE_FACTORS = ((1000.0, 1.0), (3000.0, 0.9), (10000.0, 0.7))
"""Peaks per hour and share of the acceleration torque (common practice, no source)."""
CYCLE_FACTOR_FLOOR = 0.5
"""Smallest factor that the extrapolation beyond the last point may give (own choice)."""


def mesh_efficiency(
    efficiency: ArrayLike, ratio: ArrayLike, no_load_torque: ArrayLike, torque_rated: ArrayLike
) -> Array:
    """Efficiency of the tooth contact alone, the no-load torque taken out of a rated efficiency.

    The rated efficiency contains the no-load torque at full load; using both would count the
    drag twice. Solved from the power balance at rated torque,
    ``1/eta_mesh = 1/eta - no_load_torque * ratio / torque_rated``.

    Parameters
    ----------
    efficiency : array_like [1]
        At rated output torque, no-load torque included; more than 0, at most 1.
    ratio : array_like [1]
        Input speed over output speed, more than 0.
    no_load_torque : array_like [N*m]
        At the input; zero or more.
    torque_rated : array_like [N*m]
        At the output; more than 0.

    Returns
    -------
    ndarray [1]
        At most 1: data that claim less loss than the no-load torque alone are cut there.

    Source
    ------
    Derived here from the power balance.

    Examples
    --------
    >>> round(float(mesh_efficiency(0.95, 9.0, 0.09, 24.0)), 7)
    0.9814683
    """
    eta = within("efficiency", efficiency, 0.0, 1.0)
    i = above("ratio", ratio, 0.0)
    drag = at_least("no_load_torque", no_load_torque, 0.0, "N*m")
    rated = above("torque_rated", torque_rated, 0.0, "N*m")
    return numbers(np.minimum(1.0, 1.0 / np.maximum(1.0 / eta - drag * i / rated, 1.0)))


def input_torque(
    torque_out: ArrayLike,
    speed_out: ArrayLike,
    ratio: ArrayLike,
    mesh: ArrayLike,
    no_load_torque: ArrayLike,
) -> Array:
    """Torque needed at the input, the loss always against the motion.

    The tooth contact loses a share of the power that passes it, in the direction in which the
    power flows; the no-load torque opposes the input speed. At standstill neither acts.

    Parameters
    ----------
    torque_out : array_like [N*m]
        Signed, at the output.
    speed_out : array_like [rad/s]
        Signed, at the output.
    ratio : array_like [1]
        Input speed over output speed, more than 0.
    mesh : array_like [1]
        Efficiency of the tooth contact, see :func:`mesh_efficiency`.
    no_load_torque : array_like [N*m]
        At the input; zero or more.

    Source
    ------
    Derived here from the power balance in either direction.

    Examples
    --------
    Driving and driven at the same output torque:

    >>> input_torque([24.0, 24.0], [1.0, -1.0], 9.0, 0.98, 0.09).round(4).tolist()
    [2.8111, 2.5233]
    """
    torque, speed = numbers(torque_out), numbers(speed_out)
    i = above("ratio", ratio, 0.0)
    eta = within("mesh", mesh, 0.0, 1.0)
    drag = at_least("no_load_torque", no_load_torque, 0.0, "N*m")
    power = torque * speed
    share = np.where(power > 0.0, 1.0 / eta, np.where(power < 0.0, eta, 1.0))
    return numbers(torque / i * share + drag * np.sign(speed))


def part_load_efficiency(
    torque_out: ArrayLike, ratio: ArrayLike, mesh: ArrayLike, no_load_torque: ArrayLike
) -> Array:
    """Efficiency of a driving gearhead at any output torque.

    Parameters
    ----------
    torque_out : array_like [N*m]
        Magnitude at the output; zero or more.
    ratio, mesh, no_load_torque
        As in :func:`input_torque`.

    Returns
    -------
    ndarray [1]
        Output power over input power; 0 without load.

    Source
    ------
    Derived here: ``(T2/i) / (T2/(i*eta_mesh) + T_no_load)``.

    Examples
    --------
    The 95 % of full load are 84 % at a fifth of it:

    >>> round(float(part_load_efficiency(4.8, 9.0, 0.9814683, 0.09)), 4)
    0.842
    """
    torque = at_least("torque_out", torque_out, 0.0, "N*m")
    i = above("ratio", ratio, 0.0)
    eta = within("mesh", mesh, 0.0, 1.0)
    drag = at_least("no_load_torque", no_load_torque, 0.0, "N*m")
    carried = torque / i
    spent = carried / eta + drag
    return numbers(np.divide(carried, spent, out=np.ones_like(spent), where=spent != 0.0))


def output_torque(
    torque_in: ArrayLike, ratio: ArrayLike, mesh: ArrayLike, no_load_torque: ArrayLike
) -> Array:
    """Output torque that a driving input torque leaves: ``(T1 - T_no_load) * i * eta_mesh``.

    Parameters
    ----------
    torque_in : array_like [N*m]
        Magnitude at the input. Below the no-load torque nothing comes out.
    ratio, mesh, no_load_torque
        As in :func:`input_torque`.

    Source
    ------
    Derived here, the inverse of :func:`input_torque` while driving.

    Examples
    --------
    >>> round(float(output_torque(2.8111, 9.0, 0.98, 0.09)), 3)
    24.0
    """
    i = above("ratio", ratio, 0.0)
    eta = within("mesh", mesh, 0.0, 1.0)
    drag = at_least("no_load_torque", no_load_torque, 0.0, "N*m")
    return numbers(np.maximum(numbers(torque_in) - drag, 0.0) * i * eta)


def cycle_factor(
    peaks_per_hour: ArrayLike, points: tuple[tuple[float, float], ...] = CYCLE_FACTORS
) -> Array:
    """Share of the acceleration torque that is left at many load peaks per hour.

    Linear in the logarithm of the count between the points, the first factor below the first
    point. Beyond the last point the last slope goes on, never below
    :data:`CYCLE_FACTOR_FLOOR`.

    Parameters
    ----------
    peaks_per_hour : array_like [1/h]
        Zero or more.
    points : pairs (peaks per hour, factor)
        Rising counts, more than zero.

    Source
    ------
    Common practice, no source; the extrapolation and its floor are own choices. A product's own
    table takes its place through ``points``.

    Examples
    --------
    >>> cycle_factor([500.0, 3000.0, 5538.4615, 1e6]).round(5).tolist()
    [1.0, 0.9, 0.79815, 0.5]
    """
    count = at_least("peaks_per_hour", peaks_per_hour, 0.0, "1/h")
    at = np.log([x for x, _ in points])
    share = np.array([f for _, f in points])
    place = np.log(np.maximum(count, points[0][0]))
    inside = np.interp(place, at, share)
    slope = (share[-1] - share[-2]) / (at[-1] - at[-2]) if len(points) > 1 else 0.0
    floor = min(CYCLE_FACTOR_FLOOR, float(share[-1]))
    beyond = np.maximum(share[-1] + slope * (place - at[-1]), floor)
    return numbers(np.where(place > at[-1], beyond, inside))


def equivalent_torque(
    torque: ArrayLike,
    speed: ArrayLike,
    duration: ArrayLike,
    exponent: float = LIFE_EXPONENT,
) -> Array:
    """Constant torque that does the same damage over the same revolutions.

    Parameters
    ----------
    torque, speed, duration : (..., n) array_like [N*m, rad/s, s]
        Segments on the last axis. Signs of torque and speed do not matter; the weights are
        revolutions, so a segment at rest counts nothing whatever its torque.
    exponent : float
        10/3 for line contact, 3 for ball bearings (the cubic mean), 6 to 9 for bending of teeth.

    Returns
    -------
    (...) ndarray [N*m]
        Zero when nothing turns.

    Source
    ------
    Linear damage over revolutions, ISO 281 for the exponents (from memory), ISO 6336-6 for the
    same sum on teeth (from memory).

    Examples
    --------
    >>> duty = ([38, 9, -29, 4], [170, 340, 170, 0], [0.18, 0.35, 0.18, 0.59])
    >>> round(float(equivalent_torque(*duty)), 3), round(float(equivalent_torque(*duty, 3)), 3)
    (24.895, 24.067)
    """
    t, n, dt = segments(torque=torque, speed=speed, duration=duration)
    turns = np.abs(n) * dt
    largest = np.max(np.abs(t), axis=-1, keepdims=True)
    scale = np.where(largest > 0.0, largest, 1.0)  # keeps high powers within range
    damage = np.sum(turns * np.abs(t / scale) ** exponent, axis=-1)
    total = np.sum(turns, axis=-1)
    mean = np.divide(damage, total, out=np.zeros_like(damage), where=total != 0.0)
    return numbers(scale[..., 0] * mean ** (1.0 / exponent))


def mean_speed(speed: ArrayLike, duration: ArrayLike) -> Array:
    """Mean magnitude of the speed over the time given, pauses included.

    Parameters
    ----------
    speed, duration : (..., n) array_like [rad/s, s]
        Segments on the last axis. Leave the pauses out to have the mean of the running time.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(mean_speed([170.0, -340.0, 0.0], [0.2, 0.2, 0.6]))
    102.0
    """
    n, dt = segments(speed=speed, duration=duration)
    return numbers(np.sum(np.abs(n) * dt, axis=-1) / np.sum(dt, axis=-1))


def life(
    torque_equivalent: ArrayLike,
    speed_mean: ArrayLike,
    torque_rated: ArrayLike,
    speed_rated: ArrayLike,
    life_rated: ArrayLike,
    exponent: float = LIFE_EXPONENT,
) -> Array:
    """Life at an equivalent torque and a mean speed, from the rated life.

    Parameters
    ----------
    torque_equivalent, torque_rated : array_like [N*m]
        At the output; the rated torque is more than 0.
    speed_mean, speed_rated : array_like
        Magnitudes at the output in one unit; the rated speed is more than 0.
    life_rated : array_like
        At rated torque and rated speed, in the unit wanted back.
    exponent : float
        As in :func:`equivalent_torque`.

    Returns
    -------
    ndarray
        Infinite when nothing turns or nothing is carried.

    Source
    ------
    ``L = L_N (T_N/T_eq)**q * n_N/n_mean``: linear damage, ISO 281 (from memory).

    Examples
    --------
    >>> round(float(life(24.89512, 138.6154, 24.0, 333.33333333, 20000.0)), 0)
    42568.0
    """
    rated = above("torque_rated", torque_rated, 0.0, "N*m")
    with np.errstate(divide="ignore"):
        by_torque = (rated / numbers(torque_equivalent)) ** exponent
        by_speed = above("speed_rated", speed_rated, 0.0) / numbers(speed_mean)
    return numbers(numbers(life_rated) * by_torque * by_speed)


def mean_loss(
    torque: ArrayLike,
    speed: ArrayLike,
    duration: ArrayLike,
    ratio: ArrayLike,
    mesh: ArrayLike,
    no_load_torque: ArrayLike,
) -> Array:
    """Mean heat of a gearhead over a cycle [W].

    Parameters
    ----------
    torque, speed, duration : (..., n) array_like [N*m, rad/s, s]
        At the output, segments on the last axis.
    ratio, mesh, no_load_torque : (...) array_like
        As in :func:`input_torque`.

    Source
    ------
    Derived here: input power minus output power of :func:`input_torque`.

    Examples
    --------
    >>> round(float(mean_loss([20.0, 0.0], [30.0, 0.0], [1.0, 1.0], 10.0, 0.97, 0.1)), 2)
    24.28
    """
    t, n, dt = segments(torque=torque, speed=speed, duration=duration)
    i, eta, drag = (numbers(v)[..., None] for v in (ratio, mesh, no_load_torque))
    heat = input_torque(t, n, i, eta, drag) * n * i - t * n
    return numbers(np.sum(heat * dt, axis=-1) / np.sum(dt, axis=-1))
