"""Power laws through the sizes of a family, with the scatter that they leave."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from dutyline.core.errors import ShapeError
from dutyline.physics.ranges import Array, above


@dataclass(frozen=True, slots=True)
class PowerLaw:
    """``y = e^start * x_1^slope_1 * x_2^slope_2 ...`` through some sizes."""

    start: float
    slopes: Array
    """(v,)"""
    scatter: float
    """Largest departure, as a logarithm, of a size from the law through all the others."""

    def at(self, sizes: ArrayLike) -> float:
        """The law at one size (v,)."""
        return float(np.exp(self.start + np.log(above("sizes", sizes, 0.0)) @ self.slopes))


def power_law(sizes: ArrayLike, values: ArrayLike) -> PowerLaw:
    """Law through the logarithms by least squares, and how far it is off for a size left out.

    Parameters
    ----------
    sizes : (n, v) array_like
        Above 0; one row per product. A column without spread has no slope.
    values : (n,) array_like
        Above 0.

    Raises
    ------
    ShapeError
        There are fewer than two products more than the law has numbers, or the sizes of some do
        not tell the slopes.
    RangeError
        A size or a value is not above 0.

    Notes
    -----
    The departure of product ``k`` from the law through all others is its residue over
    ``1 - h_k``, where ``h_k`` is its place on the diagonal of the hat matrix.

    *Valid for* sizes of one kind of construction, inside the range that they span.

    Source
    ------
    Least squares and leave-one-out residues: statistics texts, from memory. That frames of a
    family scale as powers of their size: textbooks on electrical machines, from memory.

    Examples
    --------
    >>> law = power_law([[1.0], [2.0], [4.0], [8.0]], [3.0, 12.0, 48.0, 192.0])
    >>> round(law.at([3.0]), 6), law.slopes.round(6).tolist(), round(law.scatter, 6)
    (27.0, [2.0], 0.0)
    """
    x = np.log(above("sizes", sizes, 0.0))
    y = np.log(above("values", values, 0.0))
    if x.ndim != 2 or y.shape != x.shape[:1]:
        raise ShapeError(f"got sizes {x.shape} and values {y.shape}; need (n, v) and (n,)")
    spread = np.ptp(x, axis=0) > 1e-9 if x.size else np.zeros(x.shape[1], dtype=bool)
    columns = np.column_stack([np.ones(y.size), x[:, spread]])
    if y.size < columns.shape[1] + 2:
        raise ShapeError(f"got {y.size} sizes; {columns.shape[1] + 2} or more are needed")
    q, r = np.linalg.qr(columns)
    if np.abs(np.diag(r)).min() < 1e-9 * np.abs(np.diag(r)).max():
        raise ShapeError("the sizes do not tell the slopes apart")
    found = np.linalg.solve(r, q.T @ y)
    leverage = (q * q).sum(axis=1)
    alone = leverage > 1.0 - 1e-9
    off = np.abs(y - columns @ found) / np.where(alone, 1.0, 1.0 - leverage)
    slopes = np.zeros(x.shape[1])
    slopes[spread] = found[1:]
    return PowerLaw(float(found[0]), slopes, np.inf if alone.any() else float(off.max()))
