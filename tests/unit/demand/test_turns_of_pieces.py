"""Where a piece stands or its acceleration passes zero, against the roots of numpy."""

import numpy as np
import pytest

from dutyline.demand.cuts import _zeros
from dutyline.motion.pieces import Piece

RISING = ((0.0, 0.0, 0.0, 2.0), (1.0, 0.5, 0.0, 2.0), (0.3, -1.0, -2.0), (4.0, 0.7), (4.0,))
TURNING = (
    (0.0, -0.4, 0.0, 1.0),
    (0.0, 1.0, 0.0, -0.6),
    (0.0, 0.5, 3.0, -2.0),
    (0.0, 1.0, -3.0, 1.0, 0.8),
)


def roots_inside(poly: tuple[float, ...], order: int, duration: float) -> list[float]:
    """Simple real roots of a derivative inside a piece (numpy.polynomial)."""
    derived = np.polynomial.Polynomial(poly).deriv(order)
    found = derived.roots()
    real = found[np.abs(found.imag) < 1e-9].real
    return sorted(t for t in real.tolist() if 1e-9 < t < duration - 1e-9)


@pytest.mark.parametrize("order", [1, 2])
@pytest.mark.parametrize("poly", [*RISING, *TURNING])
def test_turns_are_the_roots_of_the_derivative(poly: tuple[float, ...], order: int) -> None:
    """None where all coefficients have one sign, each of them elsewhere."""
    found = _zeros(Piece(0.2, 1.5, poly), order)
    assert list(found) == pytest.approx(roots_inside(poly, order, 1.5), abs=1e-12)


def test_some_turn_and_some_do_not() -> None:
    """The samples hold both kinds."""
    assert not any(roots_inside(poly, order, 1.5) for poly in RISING for order in (1, 2))
    assert all(roots_inside(poly, 1, 1.5) for poly in TURNING)
