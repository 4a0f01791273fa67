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


def test_against_numpy() -> None:
    """Source: a Legendre series made from its zeros, numpy.polynomial.legendre.legfromroots."""
    chance = np.random.default_rng(3)
    for count in range(1, 9):
        zeros = np.linspace(-0.9, 0.9, count) + chance.uniform(-0.05, 0.05, count)
        row, place = series.roots(legendre.legfromroots(zeros)[None, :])
        assert not row.any()
        assert place == pytest.approx(zeros, abs=1e-12)
