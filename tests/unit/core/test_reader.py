"""Numbers in the units and with the decimal mark of a reader, against pint."""

from __future__ import annotations

import pytest

from dutyline.core.numbers import (
    MINUS,
    bare,
    echo,
    fixed,
    group,
    judged,
    pair,
    percent,
    quantity,
    scale_for,
    stated_quantity,
)
from dutyline.core.reader import PLAIN, Reader, in_si, reader
from support.pints import REGISTRY

INCH, COMMA = Reader("inch"), Reader("si", comma=True)
POUND = 0.45359237  # kg, exact by definition
UNITS = [
    ("m", 1.0, "inch", "in"),
    ("m", 10.0, "foot", "ft"),
    ("m", 2e-5, "milliinch", "mil"),
    ("m^2", 1.0, "inch**2", "in²"),
    ("kg", 1.0, "pound", "lb"),
    ("N", 1.0, "pound_force", "lbf"),
    ("N*m", 1.0, "pound_force*inch", "lbf·in"),
    ("N/m", 1.0, "pound_force/inch", "lbf/in"),
    ("Pa", 1e6, "pound_force/inch**2", "psi"),
    ("N*m/rad", 1.0, "pound_force*inch/degree", "lbf·in/°"),
    ("kg*m^2", 1.0, "pound*inch**2", "lb·in²"),
    ("m/s", 1.0, "inch/s", "in/s"),
    ("m/s^2", 1.0, "inch/s**2", "in/s²"),
    ("m/s^3", 1.0, "inch/s**3", "in/s³"),
]


def spaced(text: str) -> str:
    return text.replace("\u202f", " ").replace("\u00a0", " ")


@pytest.mark.parametrize(("si", "size", "unit", "shown"), UNITS)
def test_units_of_the_inch_pound_family(si, size, unit, shown):
    scale = scale_for(si, size, "inch")
    expected = REGISTRY.Quantity(1.0, unit).to(si.replace("^", "**")).magnitude
    assert scale.size == pytest.approx(expected, rel=1e-12)
    assert scale.text == shown


@pytest.mark.parametrize("unit", ["s", "A", "V", "W", "J", "K", "degC", "rad/s", "Hz", "ohm"])
def test_other_units_stay(unit):
    assert scale_for(unit, 1.0, "inch") == scale_for(unit, 1.0, "si")


@pytest.mark.parametrize(("pascal", "unit", "shown"), [
    (1e8, "megapascal", "MPa"), (2e6, "megapascal", "MPa"), (6e5, "bar", "bar")])  # fmt: skip
def test_pressures_of_parts_and_of_air(pascal, unit, shown):
    scale = scale_for("Pa", pascal, "si")
    expected = REGISTRY.Quantity(1.0, unit).to("Pa").magnitude
    assert (scale.size, scale.text) == (pytest.approx(expected, rel=1e-12), shown)


def test_every_number_follows_the_reader_until_the_block_ends():
    with INCH.served():
        assert spaced(quantity(0.112984829, "N*m")) == "1.00 lbf·in"
        assert spaced(stated_quantity(0.0254, "m")) == "1 in"
        assert pair(0.5, 1.0, "N*m") == ("4.43", "8.85", "lbf·in")
        with in_si().served():
            assert reader() == PLAIN
        assert reader() == INCH
    assert spaced(quantity(0.112984829, "N*m")) == "0.113 N·m"


def test_the_reader_is_reset_after_a_fault():
    with pytest.raises(ValueError, match="stop"), INCH.served():
        raise ValueError("stop")
    assert reader() == PLAIN


def test_results_in_inches_need_no_echo():
    assert spaced(echo(1.0, "kg")) == " (2.20 lb)"
    with INCH.served():
        assert echo(1.0, "kg") == ""
        said = judged(140 * POUND, 100 * POUND, 180 * POUND, "kg", inch=True)
    assert spaced(said) == "140 lb, the middle of 100 to 180 lb"


def test_decimal_comma():
    with COMMA.served():
        assert spaced(group(-1234.5, 1)) == f"{MINUS}1 234,5"
        assert spaced(percent(1.004)) == "100,4 %"
        assert spaced(quantity(0.25, "m")) == "250 mm"
        assert (bare(0.125), fixed(0.5, 2)) == ("0,125", "0,50")
        assert spaced(quantity(3.25, "m")) == "3,25 m"


def test_nothing_is_shown_in_the_usual_unit():
    assert quantity(0.0, "rad") == "0°"
    assert spaced(quantity(0.0, "m")) == "0 mm"


def test_what_was_written_for_one_reader_is_not_told_another():
    for wanted, given, both in (
        (PLAIN, "2.5\u00a0kg", ("1.25", "2.50")),
        (COMMA, "2,5\u00a0kg", ("1,25", "2,50")),
        (PLAIN, "2.5\u00a0kg", ("1.25", "2.50")),
        (INCH, f"{2.5 / POUND:.4g}\u00a0lb", (f"{1.25 / POUND:.2f}", f"{2.5 / POUND:.2f}")),
    ):
        with wanted.served():
            assert stated_quantity(2.5, "kg") == given
            assert pair(1.25, 2.5, "kg")[:2] == both
