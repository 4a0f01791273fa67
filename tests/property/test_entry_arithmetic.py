"""Arithmetic in entries against Python's order of operations on pint quantities, in fractions."""

from __future__ import annotations

import re
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dutyline.core.dimensions import TABLE
from dutyline.core.units import ValueFault, read_value
from support.pints import REGISTRY

UNITS = {
    "mass": {"kg": "kilogram", "g": "gram", "t": "tonne", "lb": "pound"},
    "length": {"mm": "millimeter", "m": "meter", "in": "inch", "ft": "foot", "um": "micrometer"},
    "time": {"s": "second", "ms": "millisecond", "min": "minute", "h": "hour"},
    "force": {"N": "newton", "kN": "kilonewton", "lbf": "force_pound"},
    "speed": {"m/s": "meter/second", "mm/s": "millimeter/second", "m/min": "meter/minute"},
    "torque": {"N*m": "newton*meter", "N*cm": "newton*centimeter", "lbf*in": "force_pound*inch"},
    "acceleration": {"m/s^2": "meter/second**2", "mm/s^2": "millimeter/second**2"},
}
MADE_OF = {
    "force": ("mass", "*", "acceleration"),
    "torque": ("force", "*", "length"),
    "speed": ("length", "/", "time"),
    "length": ("speed", "*", "time"),
    "mass": ("force", "/", "acceleration"),
    "number": ("length", "/", "length"),
}
Pair = tuple[str, str]
"""An entry, and the same for Python."""

numbers = st.decimals("0.01", "999", places=2).map(lambda d: f"{d.normalize():f}")


@st.composite
def bare(draw: st.DrawFn, depth: int = 2) -> Pair:
    """Numbers in arithmetic, without brackets around the whole."""
    if depth == 0 or draw(st.booleans()):
        text = draw(numbers)
        return text, f"F('{text}')"
    (a, pa), (b, pb) = draw(bare(depth - 1)), draw(bare(depth - 1))
    sign = draw(st.sampled_from([" + ", " - ", "*", " * "]))
    if draw(st.booleans()):
        return f"({a})/({b})", f"({pa})/({pb})"
    return f"({a}){sign}({b})", f"({pa}){sign}({pb})"


@st.composite
def amounts(draw: st.DrawFn, kind: str, depth: int = 3) -> Pair:
    """An entry of one kind."""
    way = draw(st.integers(0, 5)) if depth else 0
    if way == 0:
        text, (unit, pints) = draw(numbers), draw(st.sampled_from([*UNITS[kind].items()]))
        return f"{text} {unit}", f"(F('{text}')*Q('{pints}'))"
    if way == 1:
        inner, python = draw(bare())
        unit, pints = draw(st.sampled_from([*UNITS[kind].items()]))
        return f"({inner}) {unit}", f"(({python})*Q('{pints}'))"
    a, pa = draw(amounts(kind, depth - 1))
    if way == 2:
        b, pb = draw(amounts(kind, depth - 1))
        sign = draw(st.sampled_from([" + ", " - "]))
        return f"({a}{sign}{b})", f"({pa}{sign}({pb}))" if sign == " + " else f"({pa} - {pb})"
    n, pn = draw(bare(1))
    return draw(
        st.sampled_from(
            [
                (f"({n})*({a})", f"({pn})*({pa})"),
                (f"({a}) / ({n})", f"({pa})/({pn})"),
                (f"({a})*({n})", f"({pa})*({pn})"),
            ]
        )
    )


def worked(python: str) -> pint.Quantity[float]:
    """By Python's precedence; pint converts."""
    scope = {"F": Fraction, "Q": lambda u: REGISTRY.Quantity(Fraction(1), u)}
    return REGISTRY.Quantity(1, "") * eval(python, scope)


def in_si(found: pint.Quantity[float], kind: str) -> float:
    unit = TABLE[kind].si.replace("^", "**").replace("degC", "kelvin")
    converted = REGISTRY.Quantity(float(found.magnitude), found.units)
    return float(converted.to("" if kind == "number" else unit).magnitude)


@given(st.data(), st.sampled_from(sorted(UNITS)))
def test_entries_come_out_as_by_pint(data: st.DataObject, kind: str) -> None:
    entry, python = data.draw(amounts(kind))
    check(entry, python, kind)


@given(st.data(), st.sampled_from(sorted(MADE_OF)))
def test_products_of_kinds_come_out_as_by_pint(data: st.DataObject, kind: str) -> None:
    left, sign, right = MADE_OF[kind]
    (a, pa), (b, pb) = data.draw(amounts(left, 1)), data.draw(amounts(right, 1))
    check(f"({a}) {sign} ({b})", f"({pa}) {sign} ({pb})", kind)


@given(bare(3))
def test_numbers_come_out_exactly(pair: Pair) -> None:
    check(*pair, "number")


@st.composite
def flat(draw: st.DrawFn) -> Pair:
    """Terms and factors without a bracket: products come before sums, each from left to right."""
    parts = []
    for _ in range(draw(st.integers(2, 4))):
        a, pa = draw(amounts("mass", 0))
        n, m = draw(numbers), draw(numbers)
        ways = [
            (a, pa),
            (f"{n}*{a}", f"F('{n}')*{pa}"),
            (f"{a} * {n} / {m}", f"{pa}*F('{n}')/F('{m}')"),
            (f"{a}/{m} / {n}", f"{pa}/F('{m}')/F('{n}')"),
        ]
        parts.append(draw(st.sampled_from(ways)))
    signs = [draw(st.sampled_from([" + ", " - "])) for _ in parts[1:]]
    entry, python = parts[0]
    for sign, (a, pa) in zip(signs, parts[1:], strict=True):
        entry, python = entry + sign + a, python + sign + pa
    return entry, python


@given(flat())
def test_products_come_before_sums(pair: Pair) -> None:
    check(*pair, "mass")


def read(entry: str, kind: str) -> float | ValueFault:
    try:
        return read_value(entry, kind).si
    except ValueFault as fault:
        return fault


def check(entry: str, python: str, kind: str) -> None:
    """The same value, or both divide by zero; entries too long or out of bounds are refused."""
    found = read(entry, kind)
    try:
        wanted = in_si(worked(python), kind)
    except ZeroDivisionError:
        assert isinstance(found, ValueFault), entry
        return
    if isinstance(found, ValueFault):
        assert re.search("characters|too small|too large", found.read), (entry, found.read)
        return
    size = sum(abs(float(n)) for n in re.findall("[0-9.]+", entry))  # where terms cancel
    assert found == pytest.approx(wanted, rel=1e-9, abs=1e-12 * max(1.0, size)), entry


@given(st.text("0123456789.,+-*/() xkgmsN%'\"^eE", max_size=40), st.sampled_from(sorted(UNITS)))
def test_whatever_is_typed_ends_in_a_value_or_a_sentence(text: str, kind: str) -> None:
    found = read(text, kind)
    assert found.read if isinstance(found, ValueFault) else abs(found) < 1e16


@pytest.mark.parametrize(
    "text",
    ["(" * 200, "(" * 99 + "1" + ")" * 99 + "kg", "1*" * 99 + "kg", "2*(" * 40 + "1 kg" + ")" * 40,
     "(1e60)" + "*(1e60)" * 19 + " kg", "1 kg" + "/(1e-60)" * 18, "(9" * 60, "1+" * 99 + "1",
     "1 lb*1 g" + "*1 g" * 15, ")" * 50 + "(1 kg"],
)  # fmt: skip
def test_hostile_entries_are_refused_at_once(text: str) -> None:
    with pytest.raises(ValueFault):
        read_value(text, "mass")
