"""Winding and housing of a motor as two stores of heat: the equations and their solution.

Temperatures are rises over the ambient. Segments stand in the order of time on the last axis;
leading axes are combinations.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.physics.continuous_duty import COPPER, REFERENCE
from dutyline.physics.ranges import Array, at_least, numbers, segments

ONE = np.eye(2)
"""The matrix that changes nothing."""
ONE.setflags(write=False)


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


@dataclass(frozen=True)
class Spectrum:
    """The rate matrix of every segment with its eigenvalues, both real."""

    matrix: Array
    """(..., n, 2, 2) [1/s] rows are winding and housing"""
    rates: Array
    """(2, ..., n) [1/s] smaller root of the matrix first"""

    @classmethod
    def of(cls, heat: Array, network: Network) -> Spectrum:
        """For (..., n) copper losses at 20 degC [W]."""
        winding, housing = _wide(network.winding_capacity), _wide(network.housing_capacity)
        inner, outer = _wide(network.winding_resistance), _wide(network.housing_resistance)
        first = (network.copper * heat - 1.0 / inner) / winding
        last = -(1.0 / inner + 1.0 / outer) / housing
        matrix = np.empty((*np.broadcast(first, last).shape, 2, 2))
        matrix[..., 0, 0], matrix[..., 0, 1] = first, 1.0 / (inner * winding)
        matrix[..., 1, 0], matrix[..., 1, 1] = 1.0 / (inner * housing), last
        return cls(matrix, _rates(matrix))

    @cached_property
    def _gap(self) -> Array:
        return numbers(self.rates[1] - self.rates[0])

    @cached_property
    def _shifted(self) -> Array:
        return numbers(self.matrix - self.rates[0][..., None, None] * ONE)

    def function(self, values: Array) -> Array:
        """(..., n, 2, 2) a function of the matrix from its (2, ..., n) values at the rates."""
        slope = ((values[1] - values[0]) / self._gap)[..., None, None]
        return numbers(values[0][..., None, None] * ONE + slope * self._shifted)


@dataclass(frozen=True)
class Flow:
    """The linear equations of every segment, solved; rows are winding and housing.

    Any pass from any start follows by multiplication.
    """

    spectrum: Spectrum
    force: Array
    """(..., n, 2) [K/s]"""
    duration: Array
    """(..., n) [s]"""
    maps: Array
    """(..., n + 1, 2, 2) [1] from the start of a pass to the start of each segment and the end"""
    gains: Array
    """(..., n + 1, 2) [K] rises there in a pass from cold"""
    held: Array
    """(..., n, 2, 2) [s] integral over each segment of what is left of the rises at its start"""

    @property
    def shape(self) -> tuple[int, ...]:
        """Of the combinations."""
        return self.duration.shape[:-1]

    @cached_property
    def whole(self) -> Array:
        """(..., 2, 2) what a pass leaves of the rises before it [1]."""
        return numbers(self.maps[..., -1, :, :])

    @property
    def gained(self) -> Array:
        """(..., 2) rises after one pass from cold [K]."""
        return numbers(self.gains[..., -1, :])

    @classmethod
    def of(
        cls, copper: ArrayLike, iron_loss: ArrayLike, duration: ArrayLike, network: Network
    ) -> Flow:
        """Of segments as in :func:`dutyline.physics.thermal.periodic_state`."""
        heat, iron, dt = segments(copper=copper, iron_loss=iron_loss, duration=duration)
        at_least("duration", dt, 0.0, "s")
        spectrum = Spectrum.of(heat, network)
        warm = 1.0 + network.copper * (_wide(network.ambient) - REFERENCE)
        force = np.empty(spectrum.matrix.shape[:-1])
        force[..., 0] = heat * warm / _wide(network.winding_capacity)
        force[..., 1] = iron / _wide(network.housing_capacity)
        with np.errstate(over="ignore", invalid="ignore"):
            exponent = spectrum.rates * dt
            over = spectrum.function(np.exp(exponent))
            held = spectrum.function(dt * _phi1(exponent))
            gain = _times(held, force)
        return cls(spectrum, force, dt, *_chained(over, gain), held)

    def path(self, start: Array) -> Array:
        """(..., n + 1, 2) rises at the start and after each segment of a pass from a start."""
        with np.errstate(invalid="ignore", over="ignore"):
            found = _times(self.maps, start[..., None, :]) + self.gains
        found[..., 0, :] = start
        return numbers(found)

    def before(self, passed: Array) -> Array:
        """(..., 2) rises after so many passes from cold [K]: the powers of a pass, summed."""
        roots = np.stack(self.roots)
        with np.errstate(divide="ignore", over="ignore", invalid="ignore"):
            power = np.where(passed > 0.0, np.expm1(passed * np.log(roots)), 0.0)
            away = power / (roots - 1.0)
            grown = np.where(np.abs(roots - 1.0) < 1e-14, passed, away)
            (at_slow, at_fast), (slow, fast) = grown, roots
            turn = ((at_slow - at_fast) / (slow - fast))[..., None, None]
            rest = self.whole - fast[..., None, None] * ONE
            total = at_fast[..., None, None] * ONE + turn * rest
            return _times(total, self.gained)

    @cached_property
    def roots(self) -> tuple[Array, Array]:
        """Larger and smaller root of a pass [1]; with 1 or more it never settles."""
        whole = self.whole
        with np.errstate(over="ignore", invalid="ignore"):
            half = 0.5 * (whole[..., 0, 0] + whole[..., 1, 1])
            split = 0.5 * (whole[..., 0, 0] - whole[..., 1, 1])
            spread = np.sqrt(split**2 + whole[..., 0, 1] * whole[..., 1, 0])
            large, small = half + spread, np.maximum(half - spread, 0.0)
        # Growth beyond the range of numbers is growth.
        beyond = np.isnan(large) & np.isfinite(self.spectrum.matrix).all(axis=(-3, -2, -1))
        return numbers(np.where(beyond, np.inf, large)), numbers(small)

    def extremes(self, state: Array, node: int) -> Array:
        """Values at the turning point inside each segment; the start value where there is none.

        The slope is a sum of two exponentials, so it has one zero at most.
        """
        matrix, (fast, slow) = self.spectrum.matrix, self.spectrum.rates
        slope = _times(matrix, state) + self.force
        later = (_times(matrix, slope)[..., node] - fast * slope[..., node]) / (slow - fast)
        early = slope[..., node] - later
        with np.errstate(divide="ignore", invalid="ignore"):
            tau = np.log(-early / later) / (slow - fast)
        inside = (tau > 0.0) & (tau < self.duration)
        if not inside.any() and np.isfinite(state).all():
            return numbers(state[..., node])
        tau = np.where(inside, tau, 0.0)
        exponent = self.spectrum.rates * tau
        over = self.spectrum.function(np.exp(exponent))
        held = self.spectrum.function(tau * _phi1(exponent))
        return numbers((_times(over, state) + _times(held, self.force))[..., node])

    def integrals(self, state: Array) -> Array:
        """Winding rise integrated over each segment [K*s]."""
        dt = self.duration
        twice = self.spectrum.function(dt**2 * _phi2(self.spectrum.rates * dt))
        return numbers((_times(self.held, state) + _times(twice, self.force))[..., 0])


def _chained(over: Array, gain: Array) -> tuple[Array, Array]:
    """All segments one after the other: maps to the start of each and to the end."""
    count, shape = over.shape[-3], over.shape[:-3]
    maps, gains = np.empty((count + 1, *shape, 2, 2)), np.zeros((count + 1, *shape, 2, 1))
    maps[0] = ONE
    with np.errstate(over="ignore", invalid="ignore"):
        for k, step in enumerate(np.moveaxis(over, -3, 0)):
            np.matmul(step, maps[k], out=maps[k + 1])
            np.matmul(step, gains[k], out=gains[k + 1])
            gains[k + 1, ..., 0] += gain[..., k, :]
    chained = np.moveaxis(maps, 0, -3), np.moveaxis(gains[..., 0], 0, -2)
    return np.ascontiguousarray(chained[0]), np.ascontiguousarray(chained[1])


def _rates(matrix: Array) -> Array:
    """Eigenvalues, smaller first; real because the elements beside the diagonal have one sign."""
    a, b, c, d = (matrix[..., row, k] for row in (0, 1) for k in (0, 1))
    middle, spread = 0.5 * (a + d), np.sqrt((0.5 * (a - d)) ** 2 + b * c)
    det = a * d - b * c
    outer = np.where(middle <= 0.0, middle - spread, middle + spread)
    inner = det / outer
    return np.stack([np.minimum(outer, inner), np.maximum(outer, inner)])


def natural_rates(network: Network) -> tuple[Array, Array]:
    """Fast and slow rate of the network without losses, (..., 1) [1/s]; both negative.

    Parameters
    ----------
    network : Network

    Source
    ------
    Roots of the characteristic polynomial.

    Examples
    --------
    >>> [float(r[0].round(6)) for r in natural_rates(Network(200.0, 2000.0, 0.5, 1.5))]
    [-0.011031, -0.000302]
    """
    fast, slow = Spectrum.of(np.zeros(1), network).rates
    return fast, slow


def _times(matrix: Array, vector: Array) -> Array:
    return numbers((matrix @ vector[..., None])[..., 0])


def _wide(value: ArrayLike) -> Array:
    return numbers(value)[..., None]


def _phi1(z: Array) -> Array:
    """``(exp(z) - 1)/z``"""
    flat: NDArray[np.bool_] = np.abs(z) < 1e-300
    if not flat.any():
        return numbers(np.expm1(z) / z)
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
