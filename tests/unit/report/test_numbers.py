"""Numbers as people read them."""

import math

from hypothesis import given
from hypothesis import strategies as st

from dutyline.core.numbers import (
    MINUS,
    SPACE,
    THIN,
    decimals,
    echo,
    group,
    pair,
    percent,
    quantity,
    significant,
    stated,
)


def plain(text: str) -> float:
    return float(text.replace(THIN, "").replace(SPACE, "").replace(MINUS, "-").rstrip("%<"))


def test_groups_and_true_minus():
    assert group(-1234567.8, 1) == f"{MINUS}1{THIN}234{THIN}567.8"


def test_nothing_is_ever_minus_zero():
    assert group(-0.004, 2) == "0.00"


@given(st.floats(1e-9, 1e9), st.integers(2, 6))
def test_significant_digits_lose_at_most_half_a_unit(x, n):
    shown = plain(significant(x, n))
    assert abs(shown - x) <= 0.5000001 * 10.0 ** -decimals(x, n)
    assert math.isclose(shown, x, rel_tol=0.6 * 10.0 ** (1 - n))


@given(st.floats(-1e6, 1e6).filter(lambda x: abs(x) > 1e-6))
def test_stated_values_are_read_back(x):
    given_ = float(f"{x:.3g}")
    assert math.isclose(plain(stated(given_)), given_, rel_tol=1e-12)


@given(st.floats(0.5, 1.5))
def test_percent_never_rounds_onto_the_limit(share):
    shown = plain(percent(share))
    if abs(share - 1.0) > 1e-5:
        assert (shown > 100) == (share > 1)


def test_units_of_the_trade():
    assert quantity(2 * math.pi * 50, "rad/s") == f"3{THIN}000{SPACE}r/min"
    assert quantity(0.000567, "kg*m^2") == f"5.67{SPACE}kg·cm²"
    assert quantity(0.171, "m") == f"171{SPACE}mm"
    assert quantity(3.2e4 * 3600, "s") == f"32{THIN}000{SPACE}h"


def test_one_unit_for_demand_and_limit():
    assert pair(0.0000305, 0.125, "m") == ("0.03", "125", "mm")


def test_different_values_never_look_alike():
    demand, limit, _ = pair(10.004, 10.0, "1")
    assert demand != limit


def test_inch_echo_uses_exact_definitions():
    # 1 lb = 0.453 592 37 kg and 1 in = 25.4 mm by definition (international yard and pound, 1959).
    assert echo(15.5 * 0.45359237, "kg") == f" (15.5{SPACE}lb)"
    assert echo(0.0254, "m") == f" (1.00{SPACE}in)"
    assert echo(1.0, "A") == ""
