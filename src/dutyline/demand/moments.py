"""The form in which every combination is evaluated: second moments and coefficients."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.demand.points import CREDIT, IDEAL, WORST, Points

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Moments:
    """Motor torque of every combination as a product ``x . phi``.

    With gear ratio i, motor-side inertia J, mesh efficiencies ef and eb and no-load torque td::

        x = (J i, 1 / (i ef), eb / i, 1 / i, td)        phi = (a, T+, T-, T0, s)

    T+ is the output torque where the shaft drives, T- where it is driven, T0 where it stands,
    s the direction against which the no-load torque acts. (Derived here.)
    """

    nodes: Array
    """(5, K, n) phi at the Gauss points"""
    coefficients: Array
    """(5, K, d) Legendre coefficients of phi on every piece, as many as it has"""
    ends: Array
    """(5, m) phi at the one-sided ends and break-away points"""
    gram: Array
    """(5, 5) time mean of phi phi' over the cycle"""
    speed: Array
    """(K, d) Legendre coefficients of the output speed"""
    end_speed: Array
    """(m,) magnitude of output speed at the ends"""
    top_speed: Array
    """(K,) largest magnitude of output speed on every piece"""
    credit: NDArray[np.bool_]
    """(K,) pieces where friction helps to hold"""


def moments(
    nodes: Points,
    ends: Points,
    hold: NDArray[np.int8],
    driving: NDArray[np.bool_],
    weight: Array,
) -> Moments:
    """phi, its coefficients and its second moments; once per axis.

    Parameters
    ----------
    nodes, ends : Points
        At the Gauss points, and at the ends of the pieces with break-away behind them.
    hold : (K,) ndarray
    driving : (K,) ndarray
        Where the shaft puts power into the axis.
    weight : (K, n) ndarray [s]
    """
    shape = weight.shape
    forward = driving | (hold == WORST)
    kinds = (forward, hold == IDEAL, hold == CREDIT)
    inner = _phi(nodes, *(np.repeat(kind, shape[1]) for kind in kinds)).reshape(5, *shape)
    outer = _phi(ends, *(kind[ends.piece] for kind in kinds))
    flat = inner.reshape(5, -1)
    gram = (flat * weight.ravel()) @ flat.T / weight.sum()
    speed = nodes.speed.reshape(shape)
    end_speed = np.abs(ends.speed)
    pairs = end_speed[: 2 * shape[0]].reshape(-1, 2)
    return Moments(
        nodes=inner,
        coefficients=series.trimmed(series.coefficients(inner)),
        ends=outer,
        gram=gram,
        speed=series.trimmed(series.coefficients(speed)),
        end_speed=end_speed,
        top_speed=np.maximum(pairs.max(axis=1), np.abs(speed).max(axis=1)),
        credit=hold == CREDIT,
    )


def _phi(
    points: Points,
    driving: NDArray[np.bool_],
    still: NDArray[np.bool_],
    backward: NDArray[np.bool_],
) -> Array:
    torque = points.torque
    side = np.where(backward, -points.direction, points.direction)
    return np.stack(
        [
            points.acceleration,
            np.where(driving & ~still, torque, 0.0),
            np.where(~driving & ~still, torque, 0.0),
            np.where(still, torque, 0.0),
            side,
        ]
    )
