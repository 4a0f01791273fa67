"""Pieces evaluated together are the pieces evaluated one by one."""

from __future__ import annotations

import numpy as np
import pytest

from dutyline.motion.pieces import Piece, Wave
from dutyline.motion.rows import rows_of

PIECES = (
    Piece(0.0, 0.5, (0.0, 0.0, 1.5)),
    Piece(0.5, 0.25, (0.375, 1.5, -0.7, 0.1, 3.0, -2.0)),
    Piece(0.75, 1.0, (2.0,)),
    Piece(1.75, 0.3, (1.0, 0.25), (Wave(0.02, 21.0, 0.3), Wave(-0.01, 42.0))),
)


@pytest.mark.parametrize("order", range(4))
def test_to_the_last_bit(order):
    tau = np.array([0.0, 0.1, 0.37, 1.0]) * np.array([[p.duration] for p in PIECES])
    alone = np.stack([p.derivative(order, t) for p, t in zip(PIECES, tau, strict=True)])
    np.testing.assert_array_equal(rows_of(PIECES).derivative(order, tau), alone)


def test_motion_is_three_derivatives():
    tau = np.array([0.0, 0.2, 1.0]) * np.array([[p.duration] for p in PIECES])
    rows = rows_of(PIECES)
    apart = np.stack([rows.derivative(order, tau) for order in range(3)])
    np.testing.assert_array_equal(rows.motion(tau), apart)


def test_no_piece():
    assert rows_of(()).derivative(1, np.empty((0, 3))).shape == (0, 3)
