"""Motor heating: winding and housing as two stores of heat.

Temperatures are rises over the ambient unless a name says otherwise. Segments stand in the order
of time on the last axis; leading axes are combinations.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.physics.continuous_duty import COPPER, REFERENCE
from dutyline.physics.ranges import Array, at_least, numbers, segments


@dataclass(frozen=True, slots=True)
class Network:
    """Winding against housing, housing against air. One element per combination."""

    winding_capacity: ArrayLike
    """[J/K]"""
    housing_capacity: ArrayLike
    """[J/K]"""
    winding_resistance: ArrayLike
    """[K/W] winding to housing"""
    housing_resistance: ArrayLike
    """[K/W] housing to ambient"""
    ambient: ArrayLike = 40.0
    """[degC]"""
    copper: float = COPPER
    """[1/K]"""


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
    fast, slow = _rates(*_matrix(np.zeros(1), network))
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
    flow = _Flow.of(copper, iron_loss, duration, network)
    maps, gains = _chained(flow)
    whole, gained = maps[..., -1, :, :], gains[..., -1, :]
    radius = _radius(flow, whole)
    a, b = 1.0 - whole[..., 0, 0], -whole[..., 0, 1]
    c, d = -whole[..., 1, 0], 1.0 - whole[..., 1, 1]
    with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
        det = a * d - b * c
        first = (d * gained[..., 0] - b * gained[..., 1]) / det
        second = (a * gained[..., 1] - c * gained[..., 0]) / det
    start = np.stack([first, second], axis=-1)
    start = np.where((radius >= 1.0)[..., None], np.inf, start)
    return _run(flow, _path(maps, gains, start), radius)


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
    flow = _Flow.of(copper, iron_loss, duration, network)
    pair = [np.broadcast_to(numbers(s), flow.shape) for s in start]
    path = _path(*_chained(flow), np.stack(pair, axis=-1))
    return _run(flow, path, np.full(flow.shape, np.nan))


class Passes:
    """Any pass over the same segments from any start, the equations solved once.

    Parameters
    ----------
    copper, iron_loss, duration, network
        As in :func:`periodic_state`.
    """

    def __init__(
        self, copper: ArrayLike, iron_loss: ArrayLike, duration: ArrayLike, network: Network
    ) -> None:
        self._flow = _Flow.of(copper, iron_loss, duration, network)
        self._maps, self._gains = _chained(self._flow)

    @property
    def whole(self) -> Array:
        """(..., 2, 2) What one pass makes of the rises before it, losses apart [1]."""
        return numbers(self._maps[..., -1, :, :])

    @property
    def gained(self) -> Array:
        """(..., 2) Rises after one pass from cold [K]."""
        return numbers(self._gains[..., -1, :])

    def winding_max(self, start: Array) -> Array:
        """Largest rise of the winding in a pass from rises (..., 2) [K]."""
        path = _path(self._maps, self._gains, start)
        with np.errstate(invalid="ignore", over="ignore"):
            turn = _extremes(self._flow, path[..., :-1, :], 0)
        return numbers(np.maximum(path[..., 0].max(axis=-1), turn.max(axis=-1)))


@dataclass(frozen=True, slots=True)
class _Flow:
    """The linear equations of every segment and their solution over its length."""

    matrix: Array
    force: Array
    fast: Array
    slow: Array
    duration: Array
    over: Array
    gain: Array

    @property
    def shape(self) -> tuple[int, ...]:
        return self.duration.shape[:-1]

    @property
    def count(self) -> int:
        return int(self.duration.shape[-1])

    @classmethod
    def of(
        cls, copper: ArrayLike, iron_loss: ArrayLike, duration: ArrayLike, network: Network
    ) -> _Flow:
        heat, iron, dt = segments(copper=copper, iron_loss=iron_loss, duration=duration)
        at_least("duration", dt, 0.0, "s")
        matrix, fast, slow = _parts(heat, network)
        warm = 1.0 + network.copper * (_wide(network.ambient) - REFERENCE)
        force = np.stack(
            np.broadcast_arrays(
                heat * warm / _wide(network.winding_capacity),
                iron / _wide(network.housing_capacity),
            ),
            axis=-1,
        )
        with np.errstate(over="ignore", invalid="ignore"):
            over = _function(matrix, fast, slow, np.exp(fast * dt), np.exp(slow * dt))
            held = _function(matrix, fast, slow, dt * _phi1(fast * dt), dt * _phi1(slow * dt))
            gain = _times(held, force)
        return cls(matrix, force, fast, slow, dt, over, gain)


def _chained(flow: _Flow) -> tuple[Array, Array]:
    """All segments one after the other: maps to the start of each and to the end."""
    whole, gained = np.broadcast_to(np.eye(2), (*flow.shape, 2, 2)), np.zeros((*flow.shape, 2))
    maps, gains = [whole], [gained]
    with np.errstate(over="ignore", invalid="ignore"):
        for k in range(flow.count):
            maps.append(flow.over[..., k, :, :] @ maps[-1])
            gains.append(_times(flow.over[..., k, :, :], gains[-1]) + flow.gain[..., k, :])
    return np.stack(maps, axis=-3), np.stack(gains, axis=-2)


def _path(maps: Array, gains: Array, start: Array) -> Array:
    """Rises at the start and after each segment, (..., n + 1, 2)."""
    with np.errstate(invalid="ignore", over="ignore"):
        found = _times(maps, start[..., None, :]) + gains
    found[..., 0, :] = start
    return numbers(found)


def _radius(flow: _Flow, whole: Array) -> Array:
    with np.errstate(over="ignore", invalid="ignore"):
        half = 0.5 * (whole[..., 0, 0] + whole[..., 1, 1])
        split = 0.5 * (whole[..., 0, 0] - whole[..., 1, 1])
        radius = half + np.sqrt(split**2 + whole[..., 0, 1] * whole[..., 1, 0])
    # Growth beyond the range of numbers is growth.
    beyond = np.isnan(radius) & np.isfinite(flow.matrix).all(axis=(-3, -2, -1))
    return numbers(np.where(beyond, np.inf, radius))


def _run(flow: _Flow, path: Array, radius: Array) -> ThermalCycle:
    """From the rises at the start and after each segment; extremes inside in closed form."""
    with np.errstate(invalid="ignore", over="ignore"):
        turn = [_extremes(flow, path[..., :-1, :], node) for node in (0, 1)]
        mean = _integrals(flow, path[..., :-1, :]).sum(axis=-1) / flow.duration.sum(axis=-1)
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
    )


def _extremes(flow: _Flow, state: Array, node: int) -> Array:
    """Values at the turning point inside each segment; the start value where there is none.

    The slope is a sum of two exponentials, so it has one zero at most.
    """
    matrix, fast, slow = flow.matrix, flow.fast, flow.slow
    slope = _times(matrix, state) + flow.force
    later = (_times(matrix, slope)[..., node] - fast * slope[..., node]) / (slow - fast)
    early = slope[..., node] - later
    with np.errstate(divide="ignore", invalid="ignore"):
        tau = np.log(-early / later) / (slow - fast)
    inside = (tau > 0.0) & (tau < flow.duration)
    tau = np.where(inside, tau, 0.0)
    over = _function(matrix, fast, slow, np.exp(fast * tau), np.exp(slow * tau))
    held = _function(matrix, fast, slow, tau * _phi1(fast * tau), tau * _phi1(slow * tau))
    return numbers((_times(over, state) + _times(held, flow.force))[..., node])


def _integrals(flow: _Flow, state: Array) -> Array:
    """Winding rise integrated over each segment [K*s]."""
    matrix, fast, slow, dt = flow.matrix, flow.fast, flow.slow, flow.duration
    once = _function(matrix, fast, slow, dt * _phi1(fast * dt), dt * _phi1(slow * dt))
    twice = _function(matrix, fast, slow, dt**2 * _phi2(fast * dt), dt**2 * _phi2(slow * dt))
    return numbers((_times(once, state) + _times(twice, flow.force))[..., 0])


def _matrix(heat: Array, network: Network) -> tuple[Array, Array, Array, Array]:
    """The four elements of the rate matrix for each segment."""
    winding, housing = _wide(network.winding_capacity), _wide(network.housing_capacity)
    inner, outer = _wide(network.winding_resistance), _wide(network.housing_resistance)
    first = (network.copper * heat - 1.0 / inner) / winding
    last = -(1.0 / inner + 1.0 / outer) / housing
    found = np.broadcast_arrays(first, 1.0 / (inner * winding), 1.0 / (inner * housing), last)
    return found[0], found[1], found[2], found[3]


def _rates(a: Array, b: Array, c: Array, d: Array) -> tuple[Array, Array]:
    """Eigenvalues, smaller first; real because b and c have one sign."""
    middle, spread = 0.5 * (a + d), np.sqrt((0.5 * (a - d)) ** 2 + b * c)
    det = a * d - b * c
    outer = np.where(middle <= 0.0, middle - spread, middle + spread)
    inner = det / outer
    return numbers(np.minimum(outer, inner)), numbers(np.maximum(outer, inner))


def _parts(heat: Array, network: Network) -> tuple[Array, Array, Array]:
    a, b, c, d = _matrix(heat, network)
    fast, slow = _rates(a, b, c, d)
    return np.stack([np.stack([a, b], axis=-1), np.stack([c, d], axis=-1)], axis=-2), fast, slow


def _function(matrix: Array, fast: Array, slow: Array, at_fast: Array, at_slow: Array) -> Array:
    """A function of the matrix from its values at the two eigenvalues."""
    slope = ((at_slow - at_fast) / (slow - fast))[..., None, None]
    shifted = matrix - fast[..., None, None] * np.eye(2)
    return numbers(at_fast[..., None, None] * np.eye(2) + slope * shifted)


def _times(matrix: Array, vector: Array) -> Array:
    return numbers((matrix @ vector[..., None])[..., 0])


def _wide(value: ArrayLike) -> Array:
    return numbers(value)[..., None]


def _phi1(z: Array) -> Array:
    """``(exp(z) - 1)/z``"""
    flat: NDArray[np.bool_] = np.abs(z) < 1e-300
    return numbers(np.where(flat, 1.0, np.expm1(z) / np.where(flat, 1.0, z)))


def _phi2(z: Array) -> Array:
    """``(exp(z) - 1 - z)/z**2``, by its series near zero."""
    small = np.abs(z) < 0.3
    near = np.where(small, z, 0.0)
    series = np.full_like(near, 1.0)
    for k in range(14, 2, -1):
        series = 1.0 + series * near / k
    away = np.where(small, 1.0, z)
    return numbers(np.where(small, 0.5 * series, (np.expm1(away) - away) / away**2))
