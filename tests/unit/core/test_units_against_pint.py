"""The whole unit table against pint, a general unit library, wherever pint has the unit.

The exceptions are units that pint does not know, or knows as another unit; each is named here
and has its own expectation from definitions in ``test_spellings``.
"""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest

from dutyline.core.dimensions import DIMENSIONS
from dutyline.core.unit_list import UNITS, Unit
from dutyline.core.units import read_value, unit_table
from support.pints import REGISTRY

TO_PINT = {
    "in": "inch", "ft": "foot", "yd": "yard", "mil": "thou", "arcmin": "arcminute",
    "arcsec": "arcsecond", "deg": "degree", "rev": "revolution", "krev": "1000*revolution",
    "gon": "gon", "h": "hour", "min": "minute", "s": "second", "d": "day", "wk": "week",
    "g": "gram", "t": "tonne", "ton_us": "short_ton", "ton_uk": "long_ton", "lb": "pound",
    "oz": "ounce", "lbf": "force_pound", "ozf": "force_ounce", "kgf": "force_kilogram",
    "gf": "force_gram", "tf": "force_metric_ton", "kip": "kip", "r/min": "rpm",
    "krpm": "1000*rpm", "r/s": "revolutions_per_second", "km/h": "kilometer/hour",
    "ft/min": "foot/minute", "ft/s": "foot/second", "in/s": "inch/second",
    "in/min": "inch/minute", "hp": "horsepower", "PS": "metric_horsepower", "BTU/h": "Btu_it/hour",
    "BTU": "Btu_it", "cal": "calorie", "kcal": "kilocalorie", "Wh": "watt_hour",
    "kWh": "kilowatt_hour", "psi": "psi", "ksi": "ksi", "ohm": "ohm", "mohm": "milliohm",
    "kohm": "kiloohm", "degC": "delta_degC", "degF": "delta_degF", "l": "liter",
    "ml": "milliliter", "%": "percent", "‰": "permille", "ppm": "ppm",
}  # fmt: skip

NOT_IN_PINT = {
    "cycle": "pint's cycle is one turn (2 pi rad); here it is a count",
    "cycles/min": "as cycle",
    "cycles/h": "as cycle",
}

CALLED_BY_THE_SAME_NAME = {
    "m", "dm", "cm", "mm", "um", "nm", "km", "rad", "mrad", "urad", "ms", "us", "kg", "mg",
    "slug", "N", "uN", "mN", "cN", "daN", "kN", "MN", "dyn", "mph", "Hz", "kHz", "MHz", "W",
    "mW", "kW", "MW", "J", "mJ", "kJ", "MJ", "Pa", "hPa", "kPa", "MPa", "GPa", "bar", "atm",
    "V", "mV", "kV", "A", "mA", "kA", "F", "mF", "uF", "nF", "pF", "H", "mH", "uH", "K",
}  # fmt: skip


def _name(unit: Unit) -> str:
    if unit.name == "g" and unit.vector[0] == 1:
        return "standard_gravity"
    return TO_PINT.get(unit.name, unit.name)


@pytest.mark.parametrize("unit", UNITS, ids=[f"{u.name} {u.vector}" for u in UNITS])
def test_every_size_agrees_with_pint(unit: Unit) -> None:
    if unit.name in NOT_IN_PINT:
        return
    assert unit.name in CALLED_BY_THE_SAME_NAME or unit.name in TO_PINT
    theirs = REGISTRY.parse_expression(_name(unit)) * 1.0
    assert unit.size.of(Fraction(1)) == pytest.approx(theirs.to_base_units().magnitude, rel=1e-12)
    powers = {f"[{k}]": v for k, v in zip(_BASE, unit.vector[:6], strict=True) if k != "angle"}
    assert dict(theirs.dimensionality) == {k: v for k, v in powers.items() if v}


_BASE = ("length", "mass", "time", "angle", "current", "temperature")


def test_the_exceptions_are_what_they_are_said_to_be() -> None:
    cycle = REGISTRY.parse_expression("cycle") * 1.0
    assert cycle.to_base_units().magnitude == pytest.approx(2 * pi)
    assert {u.name for u in UNITS} >= set(NOT_IN_PINT)


@pytest.mark.parametrize(
    "typed, pint_text, dimension",
    [("25 lbf*in", "force_pound*inch", "torque"), ("25 lb-in2", "pound*inch**2", "inertia"),
     ("25 oz-in-s2", "force_ounce*inch*second**2", "inertia"),
     ("25 kgf cm s2", "force_kilogram*cm*second**2", "inertia"),
     ("25 lb/in", "force_pound/inch", "stiffness"),
     ("25 lb/ft", "pound/foot", "mass-per-length"),
     ("25 Nm/arcmin", "newton*meter/arcminute", "torsional-stiffness"),
     ("25 ozf*in/rpm", "force_ounce*inch/rpm", "rotary-viscous"),
     ("25 lbf*s/in", "force_pound*second/inch", "viscous"),
     ("25 lb/in3", "pound/inch**3", "density"), ("25 psi*ft/min", "psi*foot/minute",
                                                 "pressure-speed"),
     ("25 lb/min", "pound/minute", "mass-flow"), ("25 V/krpm", "volt/(1000*rpm)",
                                                  "voltage-constant"),
     ("25 in/s3", "inch/second**3", "jerk"), ("25 rpm/s", "rpm/second", "angular-acceleration"),
     ("25 BTU/h/degF", "Btu_it/hour/delta_degF", "conductance"),
     ("25 /degF", "1/delta_degF", "expansion"), ("25 sq in", "inch**2", "area")],
)  # fmt: skip
def test_products_agree_with_pint(typed: str, pint_text: str, dimension: str) -> None:
    theirs = 25.0 * REGISTRY.parse_expression(pint_text)
    assert read_value(typed, dimension).si == pytest.approx(
        theirs.to_base_units().magnitude, rel=1e-12
    )


def test_the_table_for_people_lists_every_spelling() -> None:
    rows = unit_table()
    assert len(rows) == len(UNITS)
    spelled = {s for _, spellings, _, _ in rows for s in spellings.split(" ")}
    assert spelled == {s for u in UNITS for s in u.spellings}
    assert {si for _, _, _, si in rows} <= set(DIMENSIONS.values())
