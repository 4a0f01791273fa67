"""Extremes of polynomial pieces, exact from the roots of the derivative."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from dutyline.motion.pieces import Piece, Wave


def extremes(piece: Piece, order: int = 0) -> tuple[float, float]:
    """Smallest and largest value of a derivative over a polynomial piece.

    Parameters
    ----------
    piece : Piece
        Without waves; pieces with waves come from laws that never turn back, for which the
        ends of the piece hold the extremes of the position.
    order : int
        0 position [m or rad], 1 speed, 2 acceleration, 3 jerk.
    """
    return _extremes(piece.duration, piece.poly, piece.waves, order)


@lru_cache(maxsize=4096)
def _extremes(
    duration: float, poly: tuple[float, ...], waves: tuple[Wave, ...], order: int
) -> tuple[float, float]:
    piece = Piece(0.0, duration, poly, waves)
    times = [0.0, piece.duration]
    coefficients = np.asarray(piece.poly, dtype=float)
    for _ in range(order + 1):
        coefficients = np.polynomial.polynomial.polyder(coefficients)
    coefficients = np.trim_zeros(coefficients, "b")
    if coefficients.size > 1:
        roots = np.polynomial.polynomial.polyroots(coefficients)
        real = roots[np.abs(roots.imag) <= 1e-9 * np.maximum(np.abs(roots), piece.duration)].real
        times.extend(float(t) for t in real if 0.0 < t < piece.duration)
    values = piece.derivative(order, times)
    return float(values.min()), float(values.max())
