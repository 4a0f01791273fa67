"""Motor heating: winding and housing as two stores of heat.

Temperatures are rises over the ambient unless a name says otherwise. Segments stand in the order
of time on the last axis; leading axes are combinations.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, numbers
from dutyline.physics.two_nodes import Flow, Network, natural_rates


@dataclass(frozen=True, slots=True)
class ThermalCycle:
    """Rises over the ambient in one cycle [K]; infinite where the cycle runs away."""

    winding: Array
    """At the start and after each segment, (..., n + 1)."""
    housing: Array
    """At the start and after each segment, (..., n + 1)."""
    winding_max: Array
    """Inside segments too."""
    winding_min: Array
    winding_mean: Array
    housing_max: Array
    """Inside segments too."""
    radius: Array
    """[1] what is left of a disturbance after one cycle; 1 or more is thermal runaway."""
    end: Array
    """[s] of each segment, (..., n)."""
    flow: Flow
    """The equations of the cycle, solved."""

    @property
    def ripple(self) -> Array:
        """[K] winding, peak to peak."""
        with np.errstate(invalid="ignore"):
            return numbers(self.winding_max - self.winding_min)


def feedback_gain(mean_copper_loss: ArrayLike, network: Network) -> Array:
    """How much a rise of the winding raises itself through its resistance [1].

    Parameters
    ----------
    mean_copper_loss : array_like [W]
        Over the cycle, at 20 degC.
    network : Network

    Returns
    -------
    ndarray [1]
        1 means that no steady temperature exists; about 0.27 at full continuous load.

    Source
    ------
    Derived here: steady state of the two-node network.

    Examples
    --------
    >>> round(float(feedback_gain(60.0, Network(62.0, 980.0, 0.42, 0.98))), 4)
    0.3301
    """
    whole = numbers(network.winding_resistance) + numbers(network.housing_resistance)
    return numbers(network.copper * numbers(mean_copper_loss) * whole)


def steady_rise(copper: ArrayLike, iron_loss: ArrayLike, network: Network) -> tuple[Array, Array]:
    """Rises of winding and housing under losses that last for ever [K].

    Parameters
    ----------
    copper, iron_loss : array_like [W]
        Heat in the winding as it is, and heat in the housing.
    network : Network

    Source
    ------
    Heat balance.

    Examples
    --------
    >>> [float(r) for r in steady_rise(40.0, 0.0, Network(200.0, 2000.0, 0.5, 1.5))]
    [80.0, 60.0]
    """
    housing = numbers(network.housing_resistance) * (numbers(copper) + numbers(iron_loss))
    return numbers(housing + numbers(network.winding_resistance) * numbers(copper)), housing


def time_constants(network: Network) -> tuple[Array, Array]:
    """Fast and slow time constant of the network without copper feedback [s].

    Parameters
    ----------
    network : Network

    Source
    ------
    Roots of the characteristic polynomial.

    Examples
    --------
    >>> [round(float(t), 2) for t in time_constants(Network(200.0, 2000.0, 0.5, 1.5))]
    [90.65, 3309.35]
    """
    fast, slow = natural_rates(network)
    return numbers(-1.0 / fast[..., 0]), numbers(-1.0 / slow[..., 0])


def periodic_state(
    copper: ArrayLike, iron_loss: ArrayLike, duration: ArrayLike, network: Network
) -> ThermalCycle:
    """Temperatures of a cycle repeated for ever, copper loss growing with the winding.

    Parameters
    ----------
    copper : (..., n) array_like [W]
        Copper loss at 20 degC in each segment.
    iron_loss : (..., n) array_like [W]
        Iron and friction loss, given to the housing.
    duration : (..., n) array_like [s]
        Zero or more; a segment of no length changes nothing.
    network : Network

    Source
    ------
    Lumped heat balance; the linear equations of each segment are solved in closed form and
    chained, the periodic start solves ``(I - Phi) x = g`` (derived here).

    Examples
    --------
    >>> net = Network(62.0, 980.0, 0.42, 0.98, ambient=40.0)
    >>> found = periodic_state([148, 19, 122, 0], [4, 14, 8, 0], [9, 25, 6, 20], net)
    >>> round(40.0 + float(found.winding_max), 4), round(float(found.radius), 5)
    (143.9353, 0.95322)
    """
    flow = Flow.of(copper, iron_loss, duration, network)
    whole, gained, (radius, _) = flow.whole, flow.gained, flow.roots
    a, b = 1.0 - whole[..., 0, 0], -whole[..., 0, 1]
    c, d = -whole[..., 1, 0], 1.0 - whole[..., 1, 1]
    with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
        det = a * d - b * c
        first = (d * gained[..., 0] - b * gained[..., 1]) / det
        second = (a * gained[..., 1] - c * gained[..., 0]) / det
    start = np.stack([first, second], axis=-1)
    start = np.where((radius >= 1.0)[..., None], np.inf, start)
    return _run(flow, flow.path(start), radius)


def single_pass(
    copper: ArrayLike,
    iron_loss: ArrayLike,
    duration: ArrayLike,
    network: Network,
    start: tuple[ArrayLike, ArrayLike] = (0.0, 0.0),
) -> ThermalCycle:
    """Temperatures of one pass over the segments from a given start; cold by default.

    Parameters
    ----------
    copper, iron_loss, duration, network
        As in :func:`periodic_state`.
    start : pair of array_like [K]
        Rises of winding and housing before the first segment.

    Source
    ------
    As :func:`periodic_state`.

    Examples
    --------
    >>> found = single_pass([40.0], [0.0], [1e6], Network(200.0, 2000.0, 0.5, 1.5, copper=0.0))
    >>> round(float(found.winding[-1]), 6)
    80.0
    """
    flow = Flow.of(copper, iron_loss, duration, network)
    pair = [np.broadcast_to(numbers(s), flow.shape) for s in start]
    return _run(flow, flow.path(np.stack(pair, axis=-1)), np.full(flow.shape, np.nan))


def _run(flow: Flow, path: Array, radius: Array) -> ThermalCycle:
    """From the rises at the start and after each segment; extremes inside in closed form."""
    with np.errstate(invalid="ignore", over="ignore"):
        turn = [flow.extremes(path[..., :-1, :], node) for node in (0, 1)]
        mean = flow.integrals(path[..., :-1, :]).sum(axis=-1) / flow.duration.sum(axis=-1)
    gone = np.isinf(path[..., 0, 0])

    def shown(value: Array) -> Array:
        hidden = gone[..., None] if value.ndim > gone.ndim else gone
        return numbers(np.where(hidden, np.inf, value))

    winding, housing = path[..., 0], path[..., 1]
    return ThermalCycle(
        winding=shown(winding),
        housing=shown(housing),
        winding_max=shown(np.maximum(winding.max(axis=-1), turn[0].max(axis=-1))),
        winding_min=shown(np.minimum(winding.min(axis=-1), turn[0].min(axis=-1))),
        winding_mean=shown(mean),
        housing_max=shown(np.maximum(housing.max(axis=-1), turn[1].max(axis=-1))),
        radius=radius,
        end=np.cumsum(flow.duration, axis=-1),
        flow=flow,
    )
