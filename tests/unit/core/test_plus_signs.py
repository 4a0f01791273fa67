"""A plus may stand before a number, in its exponent, or between two amounts."""

from __future__ import annotations

import pytest

from dutyline.core.reading import read_value


@pytest.mark.parametrize(
    ("typed", "newton"),
    [
        ("+10 N", 10.0),
        ("1e+5 N", 1e5),
        ("5 N + 3 N", 8.0),
        ("1 N+2 N", 3.0),
        ("1E+3 N - 5 N", 995.0),
        ("+1e+2 N + 2 N", 102.0),
    ],
)
def test_plus(typed, newton):
    assert read_value(typed, "force").si == pytest.approx(newton, rel=1e-15)
