"""Factors of known slips against exact definitions, and how a ratio finds its name."""

from __future__ import annotations

import math

import pytest

from dutyline.audit.slips import by_digits, by_factor, known
from support.pints import REGISTRY

WANTED = {
    # name: what one wrong unit is in the right one, by a general library of units
    "ounce-force inches": REGISTRY("1 N*m").to("ounce * inch * g_0").magnitude,
    "ounce-force inches as millinewton metres": REGISTRY("1 ounce*inch*g_0").to("mN*m").magnitude,
    "pound-force inches": REGISTRY("1 N*m").to("lbf * inch").magnitude,
    "kilogram-force centimetres": REGISTRY("1 N*m").to("kgf * cm").magnitude,
    "kilogram-force": REGISTRY("1 kgf").to("N").magnitude,
    "pound-force": REGISTRY("1 lbf").to("N").magnitude,
    "pounds": REGISTRY("1 kg").to("lb").magnitude,
    "ounces": REGISTRY("1 kg").to("oz").magnitude,
    "ounces for pounds": REGISTRY("1 lb").to("oz").magnitude,
    "grams per ounce": REGISTRY("1 oz").to("g").magnitude,
    "inches": REGISTRY("1 inch").to("mm").magnitude,
    "pound inches squared": REGISTRY("1 lb*inch**2").to("kg*cm**2").magnitude,
    "pound-force inch seconds squared": REGISTRY("1 lbf*inch*s**2").to("lb*inch**2").magnitude,
    "radians per second": REGISTRY("1 rad/s").to("rpm").magnitude,
    "turns and radians": 2 * math.pi,
    "emf per rad/s": REGISTRY("1000 rpm").to("rad/s").magnitude,
    "sixty": REGISTRY("1 min").to("s").magnitude,
    "flywheel effect": 4.0,
    "peak and rms": math.sqrt(2.0),
    "phase and line": math.sqrt(3.0),
    "phase peak and line rms": math.sqrt(1.5),
    "line peak and phase rms": math.sqrt(6.0),
    "per phase": 2.0,
    "diameter and radius": 2.0,
    "half": 2.0,
    "poles for pole pairs": 2.0,
    "per cent": 100.0,
}


def test_factors_against_pint_and_definitions():
    assert {slip.name for slip in known()} == set(WANTED)
    for slip in known():
        assert slip.factor == pytest.approx(WANTED[slip.name], rel=1e-8), slip.name


@pytest.mark.parametrize(
    ("ratio", "unit", "name"),
    [
        (141.6, "N*m", "ounce-force inches"),
        (1 / 7.06, "N*m", "ounce-force inches as millinewton metres"),
        (10.197, "N*m", "kilogram-force centimetres"),
        (1 / 9.81, "N*m", "kilogram-force"),
        (10.0, "N*m", "decimal point"),
        (1e-3, "kg*cm^2", "decimal point"),
        (386.0, "kg*cm^2", "pound-force inch seconds squared"),
        (0.8165, "V rms line-line per 1000 r/min", "phase peak and line rms"),
        (0.5, "ohm", "per phase"),
        (2.0, "", "poles for pole pairs"),
        (1 / 25.4, "mm", "inches"),
        (0.1047, "r/min", "radians per second"),
        (60.0, "s", "sixty"),
    ],
)
def test_names(ratio, unit, name):
    assert by_factor(ratio, unit, 0.05).name == name


@pytest.mark.parametrize(("ratio", "unit"), [(1.3, "kg"), (25.4, "ohm"), (7.3, "V"), (1.0, "N*m")])
def test_no_name_where_none_fits(ratio, unit):
    assert by_factor(ratio, unit, 0.05) is None


@pytest.mark.parametrize(
    ("raw", "wanted", "text"),
    [("0.93", 0.39, "0.39"), ("21.55", 25.15, "25.15"), ("7.4", 4.7, "4.7"), ("7.4", 9.0, "")],
)
def test_digits_exchanged(raw, wanted, text):
    assert by_digits(raw, wanted, 0.01) == text
