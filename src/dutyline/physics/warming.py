"""First-order memory of a repeating cycle: one store of heat, or of anything that fades."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, numbers, segments


def periodic_response(target: ArrayLike, duration: ArrayLike, time_constant: ArrayLike) -> Array:
    """Value at every boundary of a repeating cycle that runs after a stepping target.

    ``tau * y' = target - y`` with the target constant over each segment. Between two boundaries
    the value moves one way, so the largest returned value is the peak of the settled cycle.

    Parameters
    ----------
    target, duration : (..., n) array_like [any, s]
        Segments on the last axis.
    time_constant : (...) or (..., n) array_like [s]
        More than 0; one per cycle, or one per segment (heating and cooling differ).

    Returns
    -------
    (..., n + 1) ndarray
        At the start and after each segment, in the unit of the target; first and last are equal.

    Source
    ------
    Solution of the differential equation; the periodic start is derived here: with
    ``a_k = exp(-t_k/tau_k)`` the cycle maps ``y`` to ``prod(a) y + r``, so it repeats itself at
    ``r / (1 - prod(a))``.

    Examples
    --------
    One second at 50, three seconds at 0, against 20 s:

    >>> periodic_response([50.0, 0.0], [1.0, 3.0], 20.0).round(2).tolist()
    [11.58, 13.45, 11.58]
    """
    goal, dt = segments(target=target, duration=duration)
    exponent = dt / _per_segment(time_constant, dt)
    kept, gained = np.exp(-exponent), -np.expm1(-exponent)
    residue = np.zeros(dt.shape[:-1])
    for k in range(dt.shape[-1]):
        residue = kept[..., k] * residue + gained[..., k] * goal[..., k]
    values = [residue / -np.expm1(-np.sum(exponent, axis=-1))]
    for k in range(dt.shape[-1]):
        values.append(kept[..., k] * values[-1] + gained[..., k] * goal[..., k])
    return numbers(np.stack(values, axis=-1))


def response(
    target: ArrayLike, duration: ArrayLike, time_constant: ArrayLike, start: ArrayLike = 0.0
) -> Array:
    """The same from a given start value, one pass over the segments.

    Parameters
    ----------
    target, duration, time_constant
        As in :func:`periodic_response`.
    start : (...) array_like
        Value before the first segment.

    Source
    ------
    Solution of the differential equation.

    Examples
    --------
    >>> response([100.0], [60.0], 60.0).round(2).tolist()
    [0.0, 63.21]
    """
    goal, dt = segments(target=target, duration=duration)
    exponent = dt / _per_segment(time_constant, dt)
    kept, gained = np.exp(-exponent), -np.expm1(-exponent)
    values = [np.broadcast_to(numbers(start), dt.shape[:-1]).astype(np.float64)]
    for k in range(dt.shape[-1]):
        values.append(kept[..., k] * values[-1] + gained[..., k] * goal[..., k])
    return numbers(np.stack(values, axis=-1))


def on_off_ripple(
    step: ArrayLike, share: ArrayLike, period: ArrayLike, time_constant: ArrayLike
) -> Array:
    """Peak to peak of the settled response to a target that is on for a share of a period.

    Parameters
    ----------
    step : array_like
        Height of the target while it is on.
    share : array_like [1]
        Part of the period, 0 to 1.
    period, time_constant : array_like [s]
        More than 0.

    Source
    ------
    Derived here, the difference of the two values of :func:`periodic_response`.

    Examples
    --------
    >>> float(on_off_ripple(1.0, 0.5, [1.0, 2.0], 10.0)[0].round(4))
    0.025
    """
    d = numbers(share)
    x = above("period", period, 0.0, "s") / above("time_constant", time_constant, 0.0, "s")
    up, down = -np.expm1(-d * x), -np.expm1(-(1.0 - d) * x)
    return numbers(numbers(step) * up * down / -np.expm1(-x))


def short_time_factor(
    duration: ArrayLike, time_constant: ArrayLike, constant_loss: ArrayLike = 0.0
) -> Array:
    """Load factor that reaches the permitted rise from cold just at the end of a short time.

    Parameters
    ----------
    duration, time_constant : array_like [s]
        More than 0.
    constant_loss : array_like [1]
        Losses that do not depend on the load, over those that do at rated load.

    Returns
    -------
    ndarray [1]
        Load over rated load.

    Source
    ------
    ``k**2 = (1 + c)/(1 - exp(-t/tau)) - c`` from the heating curve; textbooks on electrical
    drives (Pillai, ch. 7; Subrahmanyam, ch. 5).

    Examples
    --------
    >>> round(25.0 * float(short_time_factor(0.5, 1.5, 0.9)), 2)
    60.22
    """
    x = above("duration", duration, 0.0, "s") / above("time_constant", time_constant, 0.0, "s")
    c = numbers(constant_loss)
    return numbers(np.sqrt((1.0 + c) / -np.expm1(-x) - c))


def _per_segment(time_constant: ArrayLike, duration: Array) -> Array:
    tau = above("time_constant", time_constant, 0.0, "s")
    if tau.shape == duration.shape and duration.ndim > 0:
        return tau
    return tau[..., None]
