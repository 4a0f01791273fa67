"""A motor from cold to its settled cycle, and from there to cold again.

Temperatures are rises over the ambient. A pass is one run through the cycle; the first starts cold.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.physics.ranges import Array, numbers
from dutyline.physics.thermal import ThermalCycle, periodic_state, time_constants
from dutyline.physics.two_nodes import Flow, Network

NEAR = 1.0
"""[K] below the settled maximum at which a motor counts as warm."""
COLD = 2.0
"""[K] above the ambient up to which a motor counts as cold (IEC 60034-1, duty type S2, from
memory)."""
MOST_PASSES = 2.0**40
"""Beyond these a pass is taken to be without end."""


@dataclass(frozen=True, slots=True)
class WarmUp:
    """One element per combination."""

    first: Array
    """[K] largest rise of the winding in the first pass from cold"""
    passes: Array
    """Passes from cold to the first whose maximum is within :data:`NEAR` of the settled one; inf
    where none is settled."""
    allowed: Array
    """Passes from cold in which the winding stays at or below its limit; inf where all do."""


def warm_up(
    copper: ArrayLike,
    iron_loss: ArrayLike,
    duration: ArrayLike,
    network: Network,
    limit: ArrayLike,
    settled: ThermalCycle | None = None,
) -> WarmUp:
    """How a motor warms from cold when a cycle is repeated.

    Parameters
    ----------
    copper, iron_loss, duration, network
        As in :func:`dutyline.physics.thermal.periodic_state`.
    limit : (...) array_like [K]
        Rise that the winding bears.
    settled : ThermalCycle, optional
        The periodic state of just these, where it is known; they are then not read again.

    Source
    ------
    Two-node network, see :func:`dutyline.physics.thermal.periodic_state`. From cold the maxima of
    the passes only rise, because nothing in the network cools when its start is warmer.

    Examples
    --------
    >>> net = Network(62.0, 980.0, 0.42, 0.98, ambient=40.0)
    >>> found = warm_up([148, 19, 122, 0], [4, 14, 8, 0], [9, 25, 6, 20], net, 80.0)
    >>> round(float(found.first), 3), int(found.passes), int(found.allowed)
    (23.713, 92, 25)
    """
    known = settled or periodic_state(copper, iron_loss, duration, network)
    flow = known.flow

    def top(passed: Array) -> Array:
        path = flow.path(flow.before(passed))
        with np.errstate(invalid="ignore", over="ignore"):
            turn = flow.extremes(path[..., :-1, :], 0)
        found = np.maximum(path[..., 0].max(axis=-1), turn.max(axis=-1))
        return numbers(np.where(np.isnan(found) & ~np.isnan(known.winding_max), np.inf, found))

    zero = np.zeros(known.winding_max.shape)
    first = top(zero)
    ever = np.isfinite(known.winding_max)
    near = np.where(ever, known.winding_max - NEAR, np.inf)
    bound = np.broadcast_to(numbers(limit), zero.shape)
    hot = known.winding_max > bound
    passes = np.where(ever, _until(top, near, first, known, ever) + 1.0, np.inf)
    allowed = np.where(hot, _until(top, np.nextafter(bound, np.inf), first, known, hot), np.inf)
    unknown = np.isnan(known.winding_max)
    return WarmUp(
        first=first,
        passes=np.where(unknown, np.nan, passes),
        allowed=np.where(unknown | np.isnan(bound), np.nan, allowed),
    )


def _until(
    top: Callable[[Array], Array],
    target: Array,
    first: Array,
    settled: ThermalCycle,
    wanted: NDArray[np.bool_],
) -> Array:
    """Number of passes before the first whose maximum reaches a target.

    What is left of the way to the settled state falls by about the same share in every pass, so
    the number is sought on the line through the logarithms of what is left.
    """
    sought = wanted & (first < target)
    low, at_low = np.zeros(first.shape), first
    high = np.where(sought, 1.0, 0.0)
    if not sought.any():
        return numbers(high)
    at_high = top(high)
    while (short := sought & (at_high < target) & (high < MOST_PASSES)).any():
        low, at_low = np.where(short, high, low), np.where(short, at_high, at_low)
        with np.errstate(divide="ignore", invalid="ignore"):
            left = np.log((settled.winding_max - target) / (settled.winding_max - at_high))
            further = high + np.ceil(1.02 * left / np.log(settled.radius)) + 1.0
        high = np.where(short, np.fmax(2.0 * high, further), high)
        at_high = top(high)
    turn = 0
    while (wide := sought & (high - low > 1.0)).any():
        middle = np.floor(0.5 * (low + high))
        if turn % 3 < 2:
            with np.errstate(divide="ignore", invalid="ignore"):
                begun, wish, end = (
                    np.log(settled.winding_max - v) for v in (at_low, target, at_high)
                )
                share = (begun - wish) / (begun - end)
                near = np.floor(low + share * (high - low)) + turn % 3
            middle = np.where(np.isfinite(near), np.clip(near, low + 1.0, high - 1.0), middle)
        middle = np.where(wide, middle, high)
        at_middle = top(middle)
        below = wide & (at_middle < target)
        low, at_low = np.where(below, middle, low), np.where(below, at_middle, at_low)
        high, at_high = np.where(below, high, middle), np.where(below, at_high, at_middle)
        turn += 1
    return numbers(high)


def cooling_time(
    winding: ArrayLike, housing: ArrayLike, network: Network, level: float = COLD
) -> Array:
    """Time at rest until the winding has come down to a rise [s]; 0 where it is there.

    Parameters
    ----------
    winding, housing : array_like [K]
        Rises when the motor is switched off.
    network : Network
    level : float [K]
        More than 0.

    Source
    ------
    Two-node network without losses; found by halving, the winding having two time constants.

    Examples
    --------
    >>> net = Network(62.0, 980.0, 0.42, 0.98)
    >>> round(float(cooling_time(90.0, 65.0, net)) / 60, 1)
    60.1
    """
    begun, _ = np.broadcast_arrays(numbers(winding), numbers(housing))
    fast, slow = time_constants(network)
    # w = c exp(-t/slow) + (w0 - c) exp(-t/fast), with the slope of the winding at the start
    into = numbers(network.winding_capacity) * numbers(network.winding_resistance)
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = (numbers(housing) - begun) / into
        late = (slope + begun / fast) / (1.0 / fast - 1.0 / slow)
        most = np.log(2.0 * np.maximum(np.maximum(begun, numbers(housing)), level) / level)
    high = numbers(slow * np.maximum(most, 0.0))
    low = np.zeros(high.shape)
    begun = np.where(np.isfinite(begun), begun, np.nan)
    parts = np.stack([late, begun - late])
    fading = np.stack([np.broadcast_to(-time, high.shape) for time in (slow, fast)])
    for _ in range(60):
        middle = 0.5 * (low + high)
        left = parts * np.exp(middle / fading)
        warm = left[0] + left[1] > level
        np.putmask(low, warm, middle)
        np.putmask(high, ~warm, middle)
    return numbers(np.where(begun <= level, 0.0, np.where(np.isnan(begun), np.nan, high)))


def rested(
    winding: ArrayLike, housing: ArrayLike, time: ArrayLike, network: Network
) -> tuple[Array, Array]:
    """Rises of winding and housing after a time at rest [K].

    Parameters
    ----------
    winding, housing : array_like [K]
        When the motor is switched off.
    time : array_like [s]
    network : Network

    Source
    ------
    Two-node network without losses.

    Examples
    --------
    >>> net = Network(62.0, 980.0, 0.42, 0.98)
    >>> [round(float(rise), 2) for rise in rested(90.0, 65.0, 60.0, net)]
    [66.15, 62.51]
    """
    shape = np.broadcast_shapes(np.shape(winding), np.shape(housing), np.shape(time))
    length = np.broadcast_to(numbers(time), shape)[..., None]
    flow = Flow.of(0.0 * length, 0.0, length, network)
    start = np.stack(np.broadcast_arrays(numbers(winding), numbers(housing)), axis=-1)
    end = flow.path(np.broadcast_to(start, (*shape, 2)))[..., -1, :]
    end = np.where(np.isinf(start[..., :1]), np.inf, end)
    return numbers(end[..., 0]), numbers(end[..., 1])
