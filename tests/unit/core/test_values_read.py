"""Ranges, estimates, tables, and everything that is refused with its reason."""

from __future__ import annotations

import re

import pytest

from dutyline.core.units import (
    DIMENSIONS,
    ValueFault,
    format_si,
    parse_number,
    read_value,
    show,
    unit_text,
)


@pytest.mark.parametrize(
    "typed, ends",
    [("12..15 kg", (12.0, 13.5, 15.0)), ("36 kg..46 kg", (36.0, 41.0, 46.0)),
     ("12 .. 15 kg", (12.0, 13.5, 15.0)), ("12 to 15 kg", (12.0, 13.5, 15.0)),
     ("12–15 kg", (12.0, 13.5, 15.0)), ("500 g..1 kg", (0.5, 0.75, 1.0)),
     ("40 kg ± 5 kg", (35.0, 40.0, 45.0)), ("40 ± 5 kg", (35.0, 40.0, 45.0)),
     ("40 kg +/- 10 %", (36.0, 40.0, 44.0))],
)  # fmt: skip
def test_the_middle_of_a_range_counts(typed: str, ends: tuple[float, float, float]) -> None:
    value = read_value(typed, "mass")
    assert (value.low, value.si, value.high) == pytest.approx(ends, rel=1e-15)


@pytest.mark.parametrize("word", ["about", "About", "approx.", "approx", "ca.", "~", "≈", "around"])
def test_an_estimate_is_assumed(word: str) -> None:
    value = read_value(f"{word} 0.1", "number")
    assert (value.si, value.status) == (0.1, "assumed")


def test_a_table_says_where_the_value_came_from() -> None:
    value = read_value(
        {"value": "40 kg", "status": "measured", "note": "weighed", "range": ["36 kg", "46 kg"]},
        "mass",
    )
    assert (value.si, value.status, value.note) == (40.0, "measured", "weighed")
    assert (value.low, value.high, value.typed) == (36.0, 46.0, "40 kg")
    assert read_value({"value": 0.1, "range": [0.05, 0.2]}, "number").high == 0.2
    assert read_value({"value": "40 kg", "range": "36..46 kg"}, "mass").low == 36.0
    assert read_value({"value": "about 40 kg", "status": "given"}, "mass").status == "given"


REFUSED = [
    # typed, dimension, what the sentence or the remedy has to say
    ("14 lb-in", "inertia", ["lb*in^2", "0.00409696", "lbf*in*s^2", "1.58179"]),
    ("14 in-lb", "inertia", ["lb*in^2", "lbf*in*s^2"]),
    ("14 oz-in", "inertia", ["oz*in^2", "0.00025606", "ozf*in*s^2", "0.0988617"]),
    ("5 kg cm", "inertia", ["kg*cm^2", "0.0005", "kgf*cm*s^2", "0.490333"]),
    ("0.32 kgf m2", "inertia", ["GD2", "0.08", "0.32"]),
    ("3.2 N m2", "inertia", ["GD2", "0.0815773", "0.326309"]),
    ("-25 degrees", "temperature", ["-25 degC", "-25 degF", "-31.6667 degC"]),
    ("25°", "temperature", ["25 degC", "25 degF"]),
    ("25", "temperature", ["25 degC", "25 degF"]),
    ("1,250 N", "force", ["1.250", "1 250", '"1.250 N"', '"1250 N"']),
    ("1,250", "number", ["1.250", "1 250"]),
    ("100 1/s", "angular-speed", ["100 rad/s", "628.319 rad/s"]),
    ("10 1/s^2", "angular-acceleration", ["10 rad/s^2", "62.8319 rad/s^2"]),
    ("30 Hz", "gain", ["30 1/s", "188.496 1/s"]),
    ("30 1/s", "bandwidth", ["30 Hz", "4.77465 Hz"]),
    ("5 ton", "mass", ["5000 kg", "4535.92 kg", "5080.23 kg"]),
    ("5 mn", "force", ["mN", "MN"]),
    ("40", "mass", ["a number without a unit", "a mass is needed", '"40 kg"']),
    ("15.5 lb/in", "mass", ['read "15.5 lb/in", a mass per length; a mass is needed.']),
    ("40 kg", "force", ["a mass; a force is needed", "392.266 N"]),
    ("33 N", "mass", ["a force; a mass is needed", "3.36506 kg"]),
    ("5 kg cm", "torque", ["a mass times a length; a torque is needed", "0.490333 N*m"]),
    ("5 J", "torque", ["an energy; a torque is needed"]),
    ("6000 N*m", "torsional-stiffness", ["a torque", "N*m/rad"]),
    ("0.1 kg", "number", ["a mass; a bare number is needed"]),
    ("10 %", "mass", ["a share; a mass is needed"]),
    ("10 % kg", "mass", ["a share; a mass is needed"]),
    ("5 kg/s", "mass", ["a mass flow"]),
    ("3x400 V", "voltage", ["one value is needed"]),
    ("2 x 35 mm", "length", ["one value is needed"]),
    ("12-15 kg", "mass", ["a range or a difference", "12..15 kg"]),
    ("15..12 kg", "mass", ["lower end"]),
    ("1..2..3 kg", "mass", ["two ends"]),
    ("5..10 ft 2 in", "length", ["no unit of its own"]),
    ("±5 mm", "length", ["Leave out the sign"]),
    ("40 kgg", "mass", ['there is no unit "kgg"', '"kg"']),
    ("40 newtn", "force", ['there is no unit "newtn"', '"newton"']),
    ("5 10 mm", "length", ["is no unit"]),
    ("10 mm 10", "length", ["Write every number with its unit"]),
    ("3 Nm", "length", ["a torque; a length is needed"]),
    ("3 lb(in", "torque", ["is no unit"]),
    ("3 (N*m", "torque", ["is no unit"]),
    ("3 N*m)", "torque", ["is no unit"]),
    ("3 %.2", "number", ["is no unit"]),
    ("3 /%", "number", ["a share; a bare number is needed"]),
    ("100 + 12 %", "number", ["a change by percent"]),
    ("nan", "number", ["holds no number"]),
    ("inf kg", "mass", ["holds no number"]),
    ("kg", "mass", ["holds no number"]),
    ("", "mass", ["an empty text"]),
    ("1e400 kg", "mass", ["power of ten"]),
    ("1e20 kg", "mass", ["too large"]),
    ("1e-40 kg", "mass", ["too small"]),
    ("1.2.3 kg", "mass", ["do not form one number"]),
    ("1,25,3 kg", "mass", ["do not form one number"]),
    ("1/0 in", "length", ["over zero"]),
    ("1 3/2 in", "length", ["below one"]),
    ("-300 degC", "temperature", ["absolute zero"]),
    ("0 rev/in", "lead", ["zero"]),
    ("GD2 5 lb-in", "inertia", ["times a length squared"]),
    ("GD2 5 kg m2", "mass", ["needed"]),
    ("kg" * 150, "mass", ["300 characters"]),
    ("5 kg\x00", "mass", ["cannot be printed"]),
    ("5 (((((kg)))))", "mass", ["is no unit"]),
    ("__import__('os').getcwd() 1 kg", "mass", ["a number is needed"]),
]


@pytest.mark.parametrize("typed, dimension, parts", REFUSED, ids=[repr(r[0])[:30] for r in REFUSED])
def test_doubt_and_error_are_refused_with_their_reason(
    typed: str, dimension: str, parts: list[str]
) -> None:
    with pytest.raises(ValueFault) as caught:
        read_value(typed, dimension)
    said = f"{caught.value.read} {caught.value.remedy}"
    for part in parts:
        assert part in said
    assert caught.value.read.startswith("read ")
    assert caught.value.read.endswith(".")


@pytest.mark.parametrize(
    "given, dimension, part",
    [(40, "mass", "a number without a unit"), (2.5, "length", "a length is needed"),
     (True, "mass", 'read "true"'), (False, "number", 'read "false"'),
     ([1, 2], "mass", "a mass is needed"), (None, "mass", "a mass is needed"),
     (float("nan"), "number", "no number"), (float("inf"), "number", "too large"),
     (10**400, "number", "too large"),
     ({}, "mass", "without value"), ({"value": {"value": "4 kg"}}, "mass", "a table inside"),
     ({"value": "40 kg", "staus": "given"}, "mass", '"status"'),
     ({"value": "40 kg", "status": "weighed"}, "mass", "one of given, measured"),
     ({"value": "40 kg", "note": 3}, "mass", "text is needed"),
     ({"value": "40 kg", "range": ["41 kg", "46 kg"]}, "mass", "outside its range"),
     ({"value": "40 kg", "range": "40 kg"}, "mass", "two ends"),
     ({"value": "40 kg", "range": 3}, "mass", "a list of two")],
)  # fmt: skip
def test_forms_that_are_no_value(given: object, dimension: str, part: str) -> None:
    with pytest.raises(ValueFault, match=re.escape(part)) as caught:
        read_value(given, dimension)  # type: ignore[arg-type]
    assert caught.value.read


def test_bare_numbers_are_read_where_nothing_has_a_unit() -> None:
    assert read_value(3, "number").si == 3.0
    assert read_value(0.25, "number").typed == "0.25"
    assert read_value("0.5", "1").unit == DIMENSIONS["number"] == "1"


def test_names_of_dimensions_may_hold_spaces() -> None:
    assert read_value("3000 rpm", "angular speed") == read_value("3000 rpm", "angular-speed")
    with pytest.raises(KeyError):
        read_value("3 m", "warmth")


@pytest.mark.parametrize(
    "typed, number",
    [("1", 1.0), ("0,5", 0.5), ("1 1/2", 1.5), ("1/3", 1 / 3), ("2.4e-3", 0.0024),
     ("1'250", 1250.0), ("10 %", 0.1), (".5", 0.5), ("+4", 4.0), ("1 250,5", 1250.5)],
)  # fmt: skip
def test_numbers_as_typed(typed: str, number: float) -> None:
    assert parse_number(typed) == number


@pytest.mark.parametrize("typed", ["1.", "", "kg", "1 kg", "1,250", "1e99", "0x10", "١٢"])
def test_what_is_no_bare_number(typed: str) -> None:
    with pytest.raises(ValueFault):
        parse_number(typed)


def test_numbers_are_shown_in_the_units_of_the_trade() -> None:
    def said(si: float, dimension: str, units: str = "si") -> str:
        return show(si, dimension, units).replace("\u00a0", " ").replace("\u202f", " ")

    assert said(343.6, "angular-speed") == "3 281 r/min"
    assert said(0.3, "length") == "300 mm"
    assert said(2.8e-4, "inertia") == "2.80 kg·cm²"
    assert said(0.75, "rate") == "45.0 /min"
    assert said(2.8246207, "torque", "inch") == "25.0 lbf·in"
    assert unit_text("torque") == "N*m"
    assert format_si(0.01, "length") == "0.01 m"
