"""Laws of reading values: any text ends in a value or a worded fault; twins are equal."""

from __future__ import annotations

import math
import time

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from dutyline.core.dimensions import DIMENSIONS, TABLE
from dutyline.core.unit_list import EXACT, FOLDED, GRAVITY, INCH, POUND, RUN_TOGETHER, UNITS, Unit
from dutyline.core.units import ValueFault, format_si, parse_number, read_value, show
from dutyline.core.values import STATUSES, Value

pytestmark = pytest.mark.property

dimensions = st.sampled_from(sorted(DIMENSIONS))
pieces = st.sampled_from(
    [*EXACT, *RUN_TOGETHER, "1", "12", "1,250", "0,5", "1/2", "-", "+", "*", "/", "^", "^-2", "2",
     "..", " ", " ", "(", ")", ".", "·", "²", "⁻", "e", "e9", "x", "×", "±", "about", "~", "GD2",
     "WR2", "per", "to", "%", "°", "½", "–", "−", "'", '"', "1000", "9" * 30, "\u202f", "sq", "="]
)  # fmt: skip
likely = st.lists(pieces, max_size=14).map("".join)
with_number = st.builds(lambda n, u: f"{n} {u}", st.integers(0, 9999), likely)
sizes = st.floats(min_value=1e-9, max_value=1e9)


def _read(text: object, dimension: str) -> Value | ValueFault:
    try:
        return read_value(text, dimension)  # type: ignore[arg-type]
    except ValueFault as fault:
        return fault


@settings(max_examples=400, deadline=None)
@given(text=st.one_of(st.text(max_size=230), likely, with_number), dimension=dimensions)
@example(text="1 " + "/".join(["tons"] * 40), dimension="mass")
@example(text="1 ((((((m^4)^4)^4)^4)^4)^4)", dimension="length")
@example(text="2x" * 90 + "1 kg", dimension="mass")
@example(text="1 kg + " * 28 + "1 kg", dimension="mass")
@example(text="9" * 200, dimension="number")
@example(text="1e" + "9" * 150, dimension="number")
@example(text="1 GPa^4*GPa^4*GPa^4/GPa^4", dimension="pressure")
@example(text="²", dimension="number")
def test_any_text_is_a_value_or_a_worded_fault(text: str, dimension: str) -> None:
    begun = time.process_time()
    found = _read(text, dimension)
    assert time.process_time() - begun < 1.0
    if isinstance(found, ValueFault):
        assert found.read.startswith("read ")
        assert found.read.endswith((".", "?"))
        assert len(found.read) < 700
        assert found.read.isprintable()
        assert found.remedy.isprintable()
        return
    assert math.isfinite(found.si)
    assert abs(found.si) <= 1e15
    assert found.unit == DIMENSIONS[dimension]
    assert found.typed == text
    assert found.status in STATUSES
    if found.low is not None and found.high is not None:
        assert found.low <= found.si <= found.high


anything = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), likely, with_number),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.sampled_from(["value", "status", "note", "range", "x"]), inner),
    ),
    max_leaves=5,
)


@settings(max_examples=200, deadline=None)
@given(given_=anything, dimension=dimensions)
def test_any_form_is_a_value_or_a_worded_fault(given_: object, dimension: str) -> None:
    found = _read(given_, dimension)
    assert isinstance(found, Value) or found.read.startswith("read ")


@given(dimension=dimensions, si=st.one_of(sizes, sizes.map(lambda x: -x), st.just(0.0)))
def test_si_text_reads_back_to_the_same_bits(dimension: str, si: float) -> None:
    if dimension == "temperature" and si < -273.15:
        si = -si
    assert read_value(format_si(si, dimension), dimension).si == si


TWINS = {
    # inch-pound unit: dimension, SI value of one from the exact definitions
    "in": ("length", float(INCH)),
    "ft": ("length", float(12 * INCH)),
    "lb": ("mass", float(POUND)),
    "oz": ("mass", float(POUND / 16)),
    "lbf": ("force", float(POUND * GRAVITY)),
    "lbf*in": ("torque", float(POUND * GRAVITY * INCH)),
    "ozf*in": ("torque", float(POUND * GRAVITY * INCH / 16)),
    "lb*in^2": ("inertia", float(POUND * INCH**2)),
    "oz*in^2": ("inertia", float(POUND * INCH**2 / 16)),
    "lbf*in*s^2": ("inertia", float(POUND * GRAVITY * INCH)),
    "ozf*in*s^2": ("inertia", float(POUND * GRAVITY * INCH / 16)),
    "lb*ft^2": ("inertia", float(POUND * (12 * INCH) ** 2)),
    "in/s": ("speed", float(INCH)),
    "lbf/in": ("stiffness", float(POUND * GRAVITY / INCH)),
    "psi": ("pressure", float(POUND * GRAVITY / INCH**2)),
}


@given(unit=st.sampled_from(sorted(TWINS)), size=sizes)
def test_inch_and_si_twins_are_equal(unit: str, size: float) -> None:
    dimension, factor = TWINS[unit]
    typed = read_value(f"{size!r} {unit}", dimension)
    twin = read_value(f"{size * factor!r} {DIMENSIONS[dimension]}", dimension)
    assert typed.si == pytest.approx(twin.si, rel=1e-12)
    assert typed.inch
    assert not twin.inch


@given(number=st.decimals(min_value=0, max_value=99999, places=4))
def test_a_decimal_comma_is_a_decimal_point(number: object) -> None:
    assert parse_number(str(number).replace(".", ",")) == float(str(number))


@given(
    size=sizes,
    mark=st.sampled_from(["*", "·", ".", "-", " ", " x "]),
    power=st.sampled_from(["2", "^2", "²", "^ 2"]),
    order=st.booleans(),
)
def test_marks_of_products_and_powers_are_equal(
    size: float, mark: str, power: str, order: bool
) -> None:
    parts = ["lb", f"in{power}"] if order else [f"in{power}", "lb"]
    assert read_value(f"{size!r} {mark.join(parts)}", "inertia").si == pytest.approx(
        size * float(POUND * INCH**2), rel=1e-14
    )


@given(low=sizes, width=sizes)
def test_a_range_holds_its_middle(low: float, width: float) -> None:
    value = read_value(f"{low!r}..{low + width!r} kg", "mass")
    if value.low is None:
        assert low + width == low
        return
    assert (value.low, value.high) == (low, low + width)
    assert value.si == pytest.approx(low + width / 2, rel=1e-12)


@given(parts=st.lists(st.integers(1, 999), min_size=1, max_size=6))
def test_a_sum_is_the_sum(parts: list[int]) -> None:
    assert read_value(" + ".join(f"{p} kg" for p in parts), "mass").si == sum(parts)


@given(hundredths=st.integers(-20000, 100000))
def test_temperature_scales_agree(hundredths: int) -> None:
    size = hundredths / 100
    celsius = read_value(f"{size!r} degC", "temperature").si
    assert read_value(f"{size * 1.8 + 32!r} degF", "temperature").si == pytest.approx(
        celsius, abs=1e-9
    )
    assert read_value(f"{size + 273.15!r} K", "temperature").si == pytest.approx(celsius, abs=1e-9)


@given(size=sizes, unit=st.sampled_from(UNITS))
def test_a_unit_is_wrong_in_every_field_of_another_kind(size: float, unit: Unit) -> None:
    for name in ("mass", "length", "torque", "voltage"):
        if (unit.name, name) == ("nm", "torque"):
            continue  # newton metre without capitals
        same = any(u.vector == TABLE[name].vector for u in FOLDED[unit.name.casefold()])
        found = _read(f"{size!r} {unit.name}", name)
        if isinstance(found, Value):
            assert same


@given(dimension=dimensions, si=sizes, units=st.sampled_from(["si", "inch"]))
def test_every_value_can_be_shown(dimension: str, si: float, units: str) -> None:
    text = show(si, dimension, units)
    assert any(c.isdigit() for c in text)
    assert text.isprintable() or "\u202f" in text or "\u00a0" in text
