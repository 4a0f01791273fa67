"""Smooth pieces of motion in closed form.

On every piece the position is a polynomial in local time plus sine waves, so that speed,
acceleration and every split are exact. All standard laws are of this form.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Wave:
    """``amplitude * sin(rate * tau + phase)`` added to the position."""

    amplitude: float
    """[m] or [rad]"""
    rate: float
    """[rad/s]"""
    phase: float = 0.0
    """[rad]"""


@dataclass(frozen=True, slots=True)
class Piece:
    """Motion without a kink over ``start <= t <= start + duration``; ``tau = t - start``."""

    start: float
    """[s] from the start of the cycle"""
    duration: float
    """[s] more than zero"""
    poly: tuple[float, ...]
    """Position coefficients, ``x = sum(poly[k] * tau**k)`` [m or rad]."""
    waves: tuple[Wave, ...] = ()
    phase: int = 0
    """Index into :attr:`Cycle.phases`."""

    @property
    def end(self) -> float:
        """[s] end of the piece"""
        return self.start + self.duration

    def derivative(self, order: int, tau: ArrayLike) -> Array:
        """Position (order 0), speed (1), acceleration (2) or jerk (3) at local times [s]."""
        tau = np.asarray(tau, dtype=float)
        coefficients = list(self.poly)
        for _ in range(order):
            coefficients = [k * c for k, c in enumerate(coefficients)][1:]
        result = np.zeros(tau.shape)
        for c in reversed(coefficients):
            result = result * tau + c
        for wave in self.waves:
            shift = wave.phase + order * (np.pi / 2)
            result = result + wave.amplitude * wave.rate**order * np.sin(wave.rate * tau + shift)
        return result

    def position(self, tau: ArrayLike) -> Array:
        """Position at local times [s]; counted from the start of the cycle [m or rad]."""
        return self.derivative(0, tau)

    def speed(self, tau: ArrayLike) -> Array:
        """Speed at local times [s] in [m/s or rad/s]."""
        return self.derivative(1, tau)

    def acceleration(self, tau: ArrayLike) -> Array:
        """Acceleration at local times [s] in [m/s^2 or rad/s^2]."""
        return self.derivative(2, tau)

    @property
    def at_rest(self) -> bool:
        """True when nothing moves over the whole piece."""
        return not self.waves and not any(self.poly[1:])

    @property
    def degree(self) -> int:
        """Degree of the position polynomial; waves are not counted."""
        return max((k for k, c in enumerate(self.poly) if c != 0.0), default=0)

    def split(self, cuts: ArrayLike) -> tuple[Piece, ...]:
        """The same motion as several pieces, cut at the given local times [s].

        Cuts outside the piece, or nearer than 1e-12 of its length to an end, are ignored.
        """
        tiny = 1e-12 * self.duration
        inner = sorted(set(np.asarray(cuts, dtype=float).ravel().tolist()))
        if not inner:
            return (self,)
        edges = [0.0]
        for cut in inner:
            if edges[-1] + tiny < cut < self.duration - tiny:
                edges.append(cut)
        edges.append(self.duration)
        if len(edges) == 2:
            return (self,)
        return tuple(self._window(a, b) for a, b in pairwise(edges))

    def _window(self, a: float, b: float) -> Piece:
        """The part from local time ``a`` to ``b``, re-expanded about ``a``."""
        shifted = list(self.poly)
        size = len(shifted)
        for i in range(size):  # repeated synthetic division by (tau - a)
            for k in range(size - 2, i - 1, -1):
                shifted[k] += a * shifted[k + 1]
        waves = tuple(replace(w, phase=w.phase + w.rate * a) for w in self.waves)
        return replace(self, start=self.start + a, duration=b - a, poly=tuple(shifted), waves=waves)


@dataclass(frozen=True, slots=True)
class Phase:
    """A phase of the file after its data were completed: what the report prints of it."""

    name: str
    """Name given, or the number from 1 as text."""
    do: str
    """``move``, ``dwell``, ``run``, ``follow`` or ``table``"""
    start: float
    """[s]"""
    duration: float
    """[s]"""
    distance: float
    """Signed travel [m or rad]."""
    law: str = ""
    top_speed: float = 0.0
    """Largest magnitude [m/s or rad/s]."""
    top_acceleration: float = 0.0
    """Largest magnitude [m/s^2 or rad/s^2]."""
    carry: tuple[str, ...] = ()
    """Payloads on board."""
    force: float = 0.0
    """Constant process force or torque [N or N*m]; + has to be overcome in + travel."""
    hold: str = "ideal"
    """Policy at standstill: ``ideal``, ``worst``, ``credit``, ``brake``, ``off``."""
    note: str = ""
    """How missing data were completed, in words (for the report)."""
    warning: str = ""
    """What a reader has to know of the motion: samples that scatter, a product not covered."""


@dataclass(frozen=True, slots=True)
class Cycle:
    """All phases once, as smooth pieces in order of time."""

    pieces: tuple[Piece, ...]
    phases: tuple[Phase, ...]
    duration: float
    """[s]"""
    net_travel: float = 0.0
    """Position at the end minus at the start [m or rad]; not zero only for endless axes."""
    closed: bool = True
    """False for a stop, which ends elsewhere than it began and does not repeat itself."""
