"""Smooth pieces as rows of numbers: what many of them are at once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from dutyline.motion.pieces import Piece, Wave

Array = NDArray[np.float64]

ORDERS = 4
"""Position, speed, acceleration and jerk."""


@dataclass(frozen=True)
class Rows:
    """``K`` pieces, one row each. The arrays are shared and cannot be written to."""

    start: Array
    """(K,) [s] from the start of the cycle"""
    duration: Array
    """(K,) [s]"""
    phase: NDArray[np.intp]
    """(K,) index of the phase"""
    resting: NDArray[np.bool_]
    """(K,) True where nothing moves over the whole piece"""
    poly: Array
    """(4, K, n) coefficients of position, speed, acceleration and jerk, highest power first"""
    waves: tuple[tuple[int, Wave], ...]
    """Row and wave"""

    @cached_property
    def half(self) -> Array:
        """(K,) [s] half the duration"""
        return _kept(self.duration / 2)

    @cached_property
    def centre(self) -> Array:
        """(K,) position in the middle of the time [m or rad]"""
        return _kept(self.derivative(0, self.half[:, None])[:, 0])

    @cached_property
    def heading(self) -> Array:
        """(K,) sign of speed inside each piece, 0 where it stands"""
        probe = self.derivative(1, np.array([0.5, 0.25, 0.75]) * self.duration[:, None])
        largest = np.abs(probe).argmax(axis=1)
        sign = np.sign(probe[np.arange(largest.size), largest])
        return _kept(np.where(self.resting, 0.0, sign))

    def local(self, z: Array) -> Array:
        """(K, points) local times [s] of places on -1..1."""
        found: Array = (z + 1) * self.half[:, None]
        return found

    def derivative(self, order: int, tau: Array) -> Array:
        """:meth:`Piece.derivative` of every piece, to the same bits.

        Parameters
        ----------
        order : int
        tau : (K, points) ndarray [s]
            Local times.
        """
        found: Array = self._evaluated(order, order + 1, tau)[0]
        return found

    def motion(self, tau: Array) -> Array:
        """(3, K, points) position, speed and acceleration at (K, points) local times [s]."""
        return self._evaluated(0, 3, tau)

    def _evaluated(self, first: int, end: int, tau: Array) -> Array:
        result = np.zeros((end - first, *tau.shape))
        for column in self.poly[first:end].transpose(2, 0, 1):
            result *= tau
            result += column[..., None]
        for k, wave in self.waves:
            for order in range(first, end):
                shift = wave.phase + order * (np.pi / 2)
                swing = wave.amplitude * wave.rate**order
                result[order - first, k] += swing * np.sin(wave.rate * tau[k] + shift)
        return result


def _kept(array: Array) -> Array:
    array.setflags(write=False)
    return array


@lru_cache(maxsize=16)
def rows_of(pieces: tuple[Piece, ...]) -> Rows:
    """Pieces as rows; kept, since one cycle is evaluated at many sets of places."""
    size = max((len(piece.poly) for piece in pieces), default=1)
    table = np.array([piece.poly + (0.0,) * (size - len(piece.poly)) for piece in pieces])
    table = table.reshape(len(pieces), size)
    poly = np.zeros((ORDERS, len(pieces), size))
    for order in range(ORDERS):
        poly[order, :, size - table.shape[1] :] = table[:, ::-1]
        table = (np.arange(table.shape[1]) * table)[:, 1:]
    rows = Rows(
        start=np.array([piece.start for piece in pieces]),
        duration=np.array([piece.duration for piece in pieces]),
        phase=np.array([piece.phase for piece in pieces], dtype=np.intp),
        resting=np.array([piece.at_rest for piece in pieces], dtype=bool),
        poly=poly,
        waves=tuple((k, wave) for k, piece in enumerate(pieces) for wave in piece.waves),
    )
    for array in (rows.start, rows.duration, rows.phase, rows.resting, rows.poly):
        array.setflags(write=False)
    return rows
