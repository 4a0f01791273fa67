"""Sign changes of polynomials: few by single numbers, many by arrays, the same digits."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.polynomial import legendre

from dutyline.core import series


@pytest.mark.parametrize("size", [1, 2, 3, 8, 16])
def test_few_and_many_come_to_the_same_digits(size: int, monkeypatch: pytest.MonkeyPatch) -> None:
    chance = np.random.default_rng(size)
    for scale in (1e-8, 1.0, 1e8):
        c = scale * chance.normal(size=(6, size))
        c[2] = 0.0
        low, high = -chance.uniform(0.1, 1.0, 6), chance.uniform(0.1, 1.0, 6)
        few = series.refined(c, low.copy(), high.copy())
        with monkeypatch.context() as patched:
            patched.setattr(series, "FEW", 0)
            many = series.refined(c, low.copy(), high.copy())
        assert few.tobytes() == many.tobytes()


@pytest.mark.parametrize("shape", [(1,), (3, 4), (12, 16), (2, 5, 7)])
def test_few_and_many_products_come_to_the_same_digits(
    shape: tuple[int, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    values = np.random.default_rng(1).normal(size=shape)
    values[..., -1] = -0.0
    for function in (series.coefficients, series.slope, series.integral):
        at_once = function(values)
        with monkeypatch.context() as patched:
            patched.setattr(series, "SMALL", 0)
            apart = function(values)
        assert at_once.tobytes() == apart.tobytes()


def test_equal_rows_are_sought_once(monkeypatch: pytest.MonkeyPatch) -> None:
    c = np.tile([[0.1, 1.0, 0.3], [-0.2, 1.0, 0.0]], (series.FEW, 1))
    low, high = np.full(len(c), -1.0), np.ones(len(c))
    alike = series.refined(c, low.copy(), high.copy())
    monkeypatch.setattr(series, "MANY", 0)
    assert alike.tobytes() == series.refined(c, low.copy(), high.copy()).tobytes()


def test_against_numpy() -> None:
    """Source: a Legendre series made from its zeros, numpy.polynomial.legendre.legfromroots."""
    chance = np.random.default_rng(3)
    for count in range(1, 9):
        zeros = np.linspace(-0.9, 0.9, count) + chance.uniform(-0.05, 0.05, count)
        row, place = series.roots(legendre.legfromroots(zeros)[None, :])
        assert not row.any()
        assert place == pytest.approx(zeros, abs=1e-12)
