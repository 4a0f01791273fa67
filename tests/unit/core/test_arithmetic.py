"""Arithmetic in entries: what is worked out, what stays as it was, and what is refused where."""

from __future__ import annotations

import pytest

from dutyline.core.units import ValueFault, read_value

LB, IN = 0.45359237, 0.0254  # exact by definition


@pytest.mark.parametrize(
    "typed, dimension, si",
    [
        ("(12 + 3) kg", "mass", 15.0),
        ("(12+3)kg", "mass", 15.0),
        ("(15-12) kg", "mass", 3.0),
        ("((12 + 3)/2) kg", "mass", 7.5),
        ("2*(35 kg + 4 kg)", "mass", 78.0),
        ("2x(35 kg + 4 kg)", "mass", 78.0),
        ("2 × (3 kg)", "mass", 6.0),
        ("90 m/min / 2", "speed", 0.75),
        ("1250 mm / 2", "length", 0.625),
        ("1250 mm/2", "length", 0.625),
        ("3 kg − 200 g", "mass", 2.8),
        ("-(3 kg - 1 kg)", "mass", -2.0),
        ("1/2\" / 2", "length", 0.25 * IN),
        ("5 ft 6 in / 2", "length", 33 * IN),
        ("3*4", "number", 12.0),
        ("2 * 10 %", "number", 0.2),
        ("40 kg * 10 %", "mass", 4.0),
        ("(45 + 3) /min", "rate", 0.8),
        ("10 kg * 9.81 m/s^2", "force", 98.1),
        ("10 lb * 9.81 m/s^2", "force", 10 * LB * 9.81),  # the pound that makes a force
        ("100 N * 50 mm", "torque", 5.0),
        ("10 mm/rev * 5 rev", "length", 0.05),
        ("300 mm / 60 mm", "number", 5.0),
        ("1 / (2 s)", "rate", 0.5),
        ("10 g * 2", "acceleration", 2 * 98.0665),
        ("GD2 2*(0.3 kgf*m^2)", "inertia", 0.15),
        ("0.1 m*3", "length", 0.3),  # as a person works it out, not 0.30000000000000004
    ],
)  # fmt: skip
def test_arithmetic_is_worked_out(typed: str, dimension: str, si: float) -> None:
    value = read_value(typed, dimension)
    assert value.si == pytest.approx(si, rel=1e-15)
    assert (value.typed, value.low) == (typed, None)


@pytest.mark.parametrize(
    "typed, dimension, si",
    [
        ('1/2"', "length", IN / 2),  # a fraction
        ("12/4 kg", "mass", 3.0),
        ("1-1/2 in", "length", 1.5 * IN),  # a mixed number
        ("5'-6\"", "length", 66 * IN),
        ("2x35 kg", "mass", 70.0),
        ("2.4*10^-3 kg", "mass", 0.0024),
        ("42 V/1000 rpm", "voltage-constant", 42 / (1000 * 2 * 3.141592653589793 / 60)),
        ("11 um/(m*K)", "expansion", 11e-6),
        ("12..15 kg", "mass", 13.5),
    ],
)
def test_what_looked_like_it_stays_what_it_was(typed: str, dimension: str, si: float) -> None:
    assert read_value(typed, dimension).si == pytest.approx(si, rel=1e-15)


def test_arithmetic_stands_in_ranges_and_estimates() -> None:
    value = read_value("(12 + 1) kg..15 kg", "mass")
    assert (value.low, value.si, value.high) == (13.0, 14.0, 15.0)
    value = read_value("(40 + 2) kg +/- 50 %", "mass")
    assert (value.low, value.high) == (21.0, 63.0)
    value = read_value("0.1..0.2", "number")
    assert (value.low, value.high) == (0.1, 0.2)
    assert read_value("about (12 + 3) kg", "mass").status == "assumed"


@pytest.mark.parametrize(
    "typed, dimension, said",
    [
        ("2*(3 kg", "mass", 'behind "2*(3 kg" a ")" is missing'),
        ("2*(", "mass", 'behind "2*(" an amount is missing'),
        ("5 kg *", "mass", 'behind "5 kg *" an amount is missing'),
        ("2*() kg", "mass", "is no unit"),
        ("(2)(3 kg)", "mass", 'behind "(2)" a sign of arithmetic is missing'),
        ("(3 kg))", "mass", 'behind "(3 kg)" a sign of arithmetic is missing'),
        ("3 kg)", "mass", "is no unit"),
        ("3 kg / 0", "mass", "divides by zero"),
        ("3 kg / (2 - 2)", "mass", "divides by zero"),
        ("1 m / (0 s)", "speed", "divides by zero"),
        ("2 m * 3 m", "length", "it makes an area; a length is needed"),
        ("(3 kg + 2 m)*2 m", "mass", "adds up what is not of one kind"),
        ("(3 kg + 2 N)", "mass", "a mass is needed"),
        ("12 + 3 kg", "mass", "without a unit"),
        ("(12 + 3)", "mass", "without a unit"),
        ("1.5/2 kg", "mass", "put the numbers in brackets before it"),
        ("(12 + 3)/2 kg", "mass", "put the numbers in brackets before it"),
        ("1.5*35 mm", "length", "two sizes"),
        ("2*35 mm", "length", "one value is needed"),
        ("(1-1/2) in", "length", "a mixed number or a difference"),
        ("33 lb1/2", "mass", "is no unit"),
        ("29/11/2026", "number", "is no unit"),
        ("2026-11-29", "number", "a range or a difference"),
        ("40 kg + 10 %", "mass", "a share; a mass is needed"),
        ("(100 + 12 %)", "number", "a change by percent"),
        ("20 degC * 2", "temperature", "one value is needed"),
        ("2 N*m/K * 5 degC", "torque", '"degC" is no factor'),
        ("2*(1,250 N + 3 N)", "force", "the comma may be a decimal mark"),
        ("(12 kg)..15", "mass", "without a unit"),
        ("12..(3*5) kg", "mass", "the first end has no unit of its own"),
        ("1e30*1e30 kg", "mass", "too large"),
        ("(" * 9 + "1" + ")" * 9 + " kg", "mass", "more than 8 deep"),
    ],
)
def test_what_is_refused_says_where_and_why(typed: str, dimension: str, said: str) -> None:
    with pytest.raises(ValueFault) as found:
        read_value(typed, dimension)
    assert said in str(found.value)
    assert found.value.meanings == () or typed == "2026-11-29"


@pytest.mark.parametrize(
    "typed, dimension",
    [
        ("10 N*m * 3000 1/min", "power"),  # 3.14 kW of a shaft, 0.5 kW of strokes
        ("10 N*m * (50 1/s)", "power"),
        ("2 kW / 3000 1/min", "torque"),
        ("2*(2 kW / (3000 1/min))", "torque"),
        ("0.01 kg*m^2 * 3000 1/min / 0.1 s", "torque"),
    ],
)
def test_turns_or_events_are_not_guessed(typed: str, dimension: str) -> None:
    with pytest.raises(ValueFault, match="may count turns or events here"):
        read_value(typed, dimension)


def test_an_energy_at_a_rate_is_a_power() -> None:
    assert read_value("100 J * 30 1/min", "power").si == pytest.approx(50.0)
    assert read_value("100 V * 3 A", "power").si == 300.0
