"""Polynomials on many intervals at once, held by their values at Gauss points.

Every interval is mapped to ``-1 <= z <= 1``. A function is known by its values at the ``n``
Gauss-Legendre points and is the polynomial of degree ``n - 1`` through them, so integrals are dot
products and roots are those of that polynomial. (Textbook matter, from memory: Gauss quadrature,
Legendre series, Clenshaw's recurrence.)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

Array = NDArray[np.float64]

NOISE = 1e-14
"""Share of the largest coefficient below which one counts as rounding."""
FEW = 32
"""Rows up to which single numbers are quicker than arrays."""
MANY = 64
"""Rows up to which looking for equal ones is quicker than going through all."""
SMALL = 20_000
"""Products up to which all of them at once are quicker than one term after the other."""


@lru_cache(maxsize=64)
def gauss(n: int) -> tuple[Array, Array]:
    """Gauss-Legendre points and weights on [-1, 1]; the weights add up to 2."""
    z, w = legendre.leggauss(n)
    z.setflags(write=False)
    w.setflags(write=False)
    return z, w


@lru_cache(maxsize=64)
def _analysis(n: int) -> Array:
    """Matrix from values at the Gauss points to Legendre coefficients (transposed for ``@``)."""
    z, w = gauss(n)
    basis = legendre.legvander(z, n - 1)
    scale = (2 * np.arange(n) + 1) / 2
    matrix: Array = np.ascontiguousarray((basis * w[:, None]) * scale)
    return matrix


@lru_cache(maxsize=64)
def _slope(n: int) -> Array:
    """Matrix from coefficients to coefficients of the derivative by z (transposed for ``@``)."""
    matrix = np.zeros((n, n))
    for k in range(n):
        unit = np.zeros(k + 1)
        unit[k] = 1
        derived = legendre.legder(unit)
        matrix[k, : derived.size] = derived
    return matrix


def combined(weights: Sequence[Array], rows: Sequence[Array]) -> Array:
    """Sum of weight times row in the order given.

    The digits of one element do not depend on how many others are worked out with it, which a
    matrix product does not promise.
    """
    result: Array = weights[0] * rows[0]
    for weight, row in zip(weights[1:], rows[1:], strict=True):
        result += weight * row
    return result


def _mapped(values: Array, matrix: Array) -> Array:
    """Values (last axis) times a matrix, by the sums of :func:`combined`."""
    if values.size * matrix.shape[1] <= SMALL:
        products = np.multiply(values[..., None], matrix, order="C")  # summed row after row
        found: Array = np.add.reduce(products, axis=-2, initial=-0.0)
        return found
    return combined([values[..., k, None] for k in range(matrix.shape[0])], list(matrix))


def total(values: Array) -> Array:
    """Sum over the last axis, term after term: zeros among the terms change no digit."""
    result: Array = np.cumsum(values, axis=-1)[..., -1]
    return result


def coefficients(values: Array) -> Array:
    """Legendre coefficients, last axis, of functions given at the Gauss points (last axis)."""
    return _mapped(values, _analysis(values.shape[-1]))


@lru_cache(maxsize=64)
def subdivision(n: int, parts: int) -> Array:
    """Matrix (n, parts * n) from coefficients on [-1, 1] to those on its equal parts, by ``@``."""
    z, _ = gauss(n)
    middle = (2 * np.arange(parts) + 1) / parts - 1
    basis = [legendre.legvander(m + z / parts, n - 1).T for m in middle]
    return np.concatenate([coefficients(values) for values in basis], axis=1)


def trimmed(coefficient: Array) -> Array:
    """The same series without trailing coefficients that are rounding noise everywhere.

    Held against the largest coefficient of all intervals together, the last two axes.
    """
    scale = np.abs(coefficient).max(axis=(-2, -1), keepdims=True)
    real = np.abs(coefficient) > NOISE * scale
    last = np.nonzero(real.reshape(-1, real.shape[-1]).any(axis=0))[0].max(initial=0)
    return np.ascontiguousarray(coefficient[..., : int(last) + 1])


def at(coefficient: Array, z: Array) -> Array:
    """Values at ``z``; leading axes of both broadcast, the last axis of ``z`` runs over points."""
    n = coefficient.shape[-1]
    z = np.asarray(z, dtype=float)
    c = coefficient[..., None]
    if n == 1:
        return c[..., 0, :] + 0.0 * z
    ahead, after = c[..., n - 1, :], None
    for k, up, down in _recurrence(n):
        here = up * z * ahead
        here += c[..., k, :]
        if after is not None:
            here -= down * after
        ahead, after = here, ahead
    result: Array = z * ahead
    result += c[..., 0, :]
    if after is not None:
        result -= after / 2
    return result


def reaching(coefficient: Array, level: float) -> NDArray[np.bool_]:
    """Rows whose magnitude may reach a level; only those surely below it by 1e-11 are left out."""
    below: NDArray[np.bool_] = np.abs(coefficient).sum(axis=-1) <= level * (1 - 1e-11)
    return ~below


def slope(coefficient: Array) -> Array:
    """Coefficients of the derivative by ``z``."""
    return _mapped(coefficient, _slope(coefficient.shape[-1]))


@lru_cache(maxsize=64)
def _integral(n: int) -> Array:
    """Matrix from coefficients to coefficients of the integral from -1 (transposed for ``@``)."""
    matrix = np.zeros((n, n + 1))
    for k in range(n):
        unit = np.zeros(k + 1)
        unit[k] = 1
        matrix[k, : k + 2] = legendre.legint(unit, lbnd=-1)
    return matrix


def integral(coefficient: Array) -> Array:
    """Coefficients of the integral by ``z`` from -1, one more than of the function."""
    return _mapped(coefficient, _integral(coefficient.shape[-1]))


@lru_cache(maxsize=64)
def _search_grid(n: int) -> tuple[Array, Array]:
    count = max(3 * n, 9)
    z = np.asarray(-np.cos(np.pi * np.arange(count) / (count - 1)), dtype=np.float64)
    basis = np.array(legendre.legvander(z, n - 1).T, dtype=np.float64, order="C")
    return z, basis


def sign_brackets(coefficient: Array, noise: float = 0.0) -> tuple[NDArray[np.intp], Array, Array]:
    """Where polynomials (rows) change sign: row numbers, lower and upper end of each bracket.

    Values below 1e-12 of a row's largest coefficient, or below ``noise``, count as zero and make
    no bracket alone.
    """
    n = coefficient.shape[-1]
    grid, basis = _search_grid(n)
    value = coefficient @ basis
    tiny = np.maximum(1e-12 * np.abs(coefficient).max(axis=1, keepdims=True), noise)
    above, below = value > tiny, value < -tiny  # both False as well where a datum is missing
    if not (above.any(axis=1) & below.any(axis=1)).any():
        none = np.empty(0)
        return np.empty(0, dtype=np.intp), none, none
    row, column = np.nonzero(above | below)
    side = above[row, column]
    change = np.nonzero((side[1:] != side[:-1]) & (row[1:] == row[:-1]))[0]
    return row[change], grid[column[change]], grid[column[change + 1]]


def roots(coefficient: Array, noise: float = 0.0) -> tuple[NDArray[np.intp], Array]:
    """All sign changes of the rows: row numbers and places ``z``, ordered by row, then place.

    Bracketed Newton steps; places are exact to about 1e-15. Double zeros are not sign changes.
    """
    row, low, high = sign_brackets(coefficient, noise)
    if row.size == 0:
        return row, low
    c = coefficient[row]
    z = refined(c, low, high)
    order = np.lexsort((z, row))
    return row[order], z[order]


def refined(c: Array, low: Array, high: Array) -> Array:
    """The sign change of each row of coefficients inside its bracket.

    Stays inside the bracket where rounding hides the change of sign at one end of it.
    """
    if low.size <= MANY:
        polynomials = (map(tuple, matrix.tolist()) for matrix in (c, slope(c)))
        rows = list(zip(*polynomials, low.tolist(), high.tolist(), strict=True))
        found = dict.fromkeys(rows, 0.0)
        if len(found) <= FEW:
            for row in found:
                found[row] = _refined(*row)
            return np.array([found[row] for row in rows])
    with_slope = np.stack([c, slope(c)])
    first, last = at(c, np.stack([low, high], axis=1)).T
    rising = first < last
    result = np.empty(low.size)
    going = np.arange(low.size)
    with np.errstate(divide="ignore", invalid="ignore"):
        chord = low - first * (high - low) / (last - first)
        z = np.where((chord > low) & (chord < high), chord, (low + high) / 2)
        for _ in range(80):
            f, d = at(with_slope, z[:, None])[..., 0]
            above = (f > 0) == rising
            low, high = np.where(above, low, z), np.where(above, z, high)
            newton = z - f / d
            inside = (newton >= low) & (newton <= high)
            step = np.where(inside, newton, (low + high) / 2)
            result[going] = step
            more = np.abs(step - z) > 1e-15 * (1 + np.abs(z))
            z = step
            if more.all():
                continue
            going = going[more]
            if going.size == 0:
                break
            with_slope, z, rising = with_slope[:, more], z[more], rising[more]
            low, high = low[more], high[more]
    return result


@lru_cache(maxsize=1024)
def _refined(c: tuple[float, ...], slopes: tuple[float, ...], low: float, high: float) -> float:
    """One sign change by the steps of :func:`refined`, to the same digits, without arrays."""
    first, last = _value(c, low), _value(c, high)
    rising, span = first < last, last - first
    chord = low - first * (high - low) / span if span else math.nan
    z = chord if low < chord < high else (low + high) / 2
    for _ in range(80):
        f, d = _with_slope(c, slopes, z)
        if (f > 0) == rising:
            high = z
        else:
            low = z
        newton = z - f / d if d else math.nan
        before, z = z, newton if low <= newton <= high else (low + high) / 2
        if not abs(z - before) > 1e-15 * (1 + abs(before)):
            break
    return z


def _value(c: tuple[float, ...], z: float) -> float:
    """One polynomial at one place, by the operations of :func:`at` in their order."""
    if len(c) == 1:
        return c[0] + 0.0 * z
    ahead, after = c[-1], 0.0
    for k, up, down in _recurrence(len(c)):
        ahead, after = up * z * ahead + c[k] - down * after, ahead
    return z * ahead + c[0] - after / 2


def _with_slope(c: tuple[float, ...], slopes: tuple[float, ...], z: float) -> tuple[float, float]:
    """A polynomial and its derivative at one place, by the operations of :func:`_value`."""
    if len(c) == 1:
        return _value(c, z), _value(slopes, z)
    value, value_after, slope_, slope_after = c[-1], 0.0, slopes[-1], 0.0
    for k, up, down in _recurrence(len(c)):
        step = up * z
        value, value_after = step * value + c[k] - down * value_after, value
        slope_, slope_after = step * slope_ + slopes[k] - down * slope_after, slope_
    return z * value + c[0] - value_after / 2, z * slope_ + slopes[0] - slope_after / 2


@lru_cache(maxsize=64)
def _recurrence(n: int) -> tuple[tuple[int, float, float], ...]:
    return tuple((k, (2 * k + 1) / (k + 1), (k + 1) / (k + 2)) for k in range(n - 2, 0, -1))


def edges(count: int, row: NDArray[np.intp], place: Array) -> Array:
    """Interval edges (count, r + 2) from roots; rows with fewer roots repeat the upper end."""
    if row.size == 0:
        return np.tile(np.array([-1.0, 1.0]), (count, 1))
    order = np.lexsort((place, row))
    row, place = row[order], place[order]
    number = np.bincount(row, minlength=count)
    first = np.concatenate([[0], np.cumsum(number)[:-1]])
    column = np.arange(row.size) - first[row]
    result = np.ones((count, int(number.max()) + 2))
    result[:, 0] = -1.0
    result[row, column + 1] = place
    return result
