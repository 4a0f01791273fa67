"""An entry with two readings names both, each so that it reads in one way only."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dutyline.core.units import ValueFault, read_value

TWICE = [
    # typed, dimension, the SI values of both readings; factors of NIST SP 811 (2008), from memory
    ("1,250 N", "force", (1.25, 1250.0)),
    ("14 lb-in", "inertia", (14 * 0.45359237 * 0.0254**2, 14 * 0.45359237 * 9.80665 * 0.0254)),
    ("0.32 kgf m2", "inertia", (0.08, 0.32)),
    ("-25 degrees", "temperature", (-25.0, (-25 - 32) / 1.8)),
    ("100 1/s", "angular-speed", (100.0, 628.3185307)),
    ("30 Hz", "gain", (30.0, 188.4955592)),
    ("5 ton", "mass", (5000.0, 5 * 907.18474, 5 * 1016.0469088)),
    ("12-15 kg", "mass", (13.5, -3.0)),
]


@pytest.mark.parametrize("typed, dimension, wanted", TWICE)
def test_each_reading_is_written_out(typed: str, dimension: str, wanted: tuple) -> None:
    with pytest.raises(ValueFault) as found:
        read_value(typed, dimension)
    read = [read_value(m, dimension).si for m in found.value.meanings]
    assert sorted(read) == pytest.approx(sorted(wanted), rel=1e-5)


@pytest.mark.parametrize("typed", ["about 1,250 N", "1,250 N + 3 N", "1,250..2 N", "28 kN m", "x"])
def test_a_part_of_an_entry_is_not_asked_about(typed: str) -> None:
    with pytest.raises(ValueFault) as found:
        read_value(typed, "force")
    assert found.value.meanings == ()


@given(st.integers(1, 999), st.integers(0, 999), st.sampled_from(["kg", "g", "lb"]))
def test_a_comma_and_three_digits_is_decimal_or_grouped(whole: int, part: int, unit: str) -> None:
    with pytest.raises(ValueFault) as found:
        read_value(f"{whole},{part:03d} {unit}", "mass")
    one, two = (read_value(m, "mass").si for m in found.value.meanings)
    assert two == pytest.approx(1000 * one, rel=1e-12)
