"""A figure in any foreign form comes home as it was; any mapping is data or faults."""

from __future__ import annotations

import contextlib
import math
from fractions import Fraction

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.core.errors import InputError
from dutyline.grids.records import Grid
from dutyline.intake.bring import bring
from dutyline.intake.keys import COLUMN, LINE, TABLE, TOP
from dutyline.intake.propose import proposed
from dutyline.intake.read_mapping import mapping_of, read_mapping

UNITS = pint.UnitRegistry(non_int_type=Fraction)
"""A second table of units, whose sizes are exact fractions where ours are."""
PLACES = {
    # field: (unit as the table writes it, unit of pint, unit of ours in pint)
    "torque_rated": [("lbf.in", "lbf*inch", "N*m"), ("Nm", "N*m", "N*m"),
                     ("kgf cm", "kgf*cm", "N*m")],
    "inertia": [("lb-in²", "lb*inch**2", "kg*cm**2"), ("kgm²", "kg*m**2", "kg*cm**2"),
                ("lbf-in-s²", "lbf*inch*s**2", "kg*cm**2")],
    "flange": [("in", "inch", "mm"), ("cm", "cm", "mm")],
    "mass": [("lb", "lb", "kg"), ("g", "g", "kg")],
    "power_rated": [("kW", "kW", "W"), ("hp", "hp", "W")],
    "radial_load": [("lbf", "lbf", "N"), ("kp", "kgf", "N")],
}  # fmt: skip
ANSWERS = {"inertia": ', inertia = "J"'}


def spelled(digits: int, places: int, decimal: str, thousands: str) -> str:
    """A decimal number with its marks."""
    whole, part = divmod(digits, 10**places)
    text = f"{whole:,}".replace(",", thousands)
    return text + (f"{decimal}{part:0{places}d}" if places else "")


@st.composite
def tables(draw: st.DrawFn) -> tuple[str, list[list[str]], list[dict[str, Fraction]]]:
    """A mapping, the cells of its table, and what they are in our units."""
    chosen = draw(st.lists(st.sampled_from(sorted(PLACES)), min_size=1, unique=True))
    units = {field: draw(st.sampled_from(PLACES[field])) for field in chosen}
    decimal, thousands = draw(st.sampled_from([(",", "."), (".", ","), (",", " "), (".", "'"),
                                               (",", ""), (".", "")]))  # fmt: skip
    heading, said = [], []
    lead = draw(st.integers(0, 2))
    for field in chosen:
        unit = units[field][0]
        where = draw(st.sampled_from(["heading", "row", "mapping"]))
        heading.append((f"{field} x [{unit}]" if where == "heading" else f"{field} x",
                        unit if where == "row" else ""))  # fmt: skip
        extra = f', unit = "{unit}"' if where == "mapping" else ""
        said.append(f'"{heading[-1][0]}" = {{ field = "{field}"{extra}{ANSWERS.get(field, "")} }}')
    rows: list[list[str]] = [["note"]] * lead
    rows += [["Typ", *(h for h, _ in heading)], ["", *(u for _, u in heading)]]
    wanted = []
    for number in range(draw(st.integers(1, 3))):
        cells, values = [f"M{number}"], {}
        for field in chosen:
            digits, places = draw(st.integers(1, 10**7)), draw(st.integers(0, 5))
            cells.append(spelled(digits, places, decimal, thousands))
            number_there = Fraction(digits, 10**places)
            values[field] = Fraction(
                UNITS.Quantity(number_there, units[field][1]).to(units[field][2]).m
            )
        rows.append(cells)
        wanted.append(values)
    mapping = (
        'schema = 1\n[[table]]\ninto = "motors"\nfile = "t.csv"\n'
        f"heading = {lead + 1}\nunits = {lead + 2}\n"
        f'decimal = "{decimal}"\n' + (f'thousands = "{thousands}"\n' if thousands else "")
        + '[table.columns]\n"Typ" = "name"\n' + "\n".join(said) + "\n"
    )  # fmt: skip
    return mapping, rows, wanted


@given(tables())
@settings(max_examples=150, deadline=None)
def test_figures_come_home(table: tuple[str, list[list[str]], list[dict[str, Fraction]]]):
    mapping, rows, wanted = table
    found = bring(read_mapping("m.toml", mapping), lambda _: [Grid("t.csv", "", rows)])
    for motor, values in zip(found.line.motors, wanted, strict=True):
        for field, ours in values.items():
            scale = {"inertia": 10**4, "flange": 10**3}.get(field, 1)
            # our cell is the double nearest to the exact fraction; its unit is a power of ten
            assert getattr(motor, field) == float(ours) / scale


@given(st.integers(1, 10**6), st.integers(0, 3))
@settings(max_examples=100, deadline=None)
def test_irrational_factors_come_home_within_a_unit_or_two_of_the_last_place(digits, places):
    text = spelled(digits, places, ".", "")
    mapping = (
        'schema = 1\n[[table]]\ninto = "motors"\nfile = "t.csv"\ndecimal = "."\n'
        '[table.columns]\n"Typ" = "name"\n"w" = { field = "speed_max", unit = "rad/s" }\n'
        '"K" = { field = "torque_constant", unit = "N*m/A", ampere = "peak", current = "line" }\n'
    )
    grid = Grid("t.csv", "", [["Typ", "w", "K"], ["M", text, text]])
    motor = bring(read_mapping("m.toml", mapping), lambda _: [grid]).line.motors[0]
    value = float(text)
    assert motor.speed_max == pytest.approx(value, rel=4 * 2.0**-53)
    assert motor.torque_constant == pytest.approx(value * math.sqrt(2.0), rel=4 * 2.0**-53)


WORDS = [k.name for keys in (TOP, LINE, TABLE, COLUMN) for k in keys] + [
    "[", "]", "[[table]]", "[table.columns]", "=", "{", "}", ",", '"', "'", "\n", "motors", "J",
    '"name"', "inertia", "rms", "ampere", "true", "1", "0", "-1", "1e999", "[1, 2]", "ü", "\x00",
    "9" * 40, '"*"', '"../x"', "2026-11-29",
]  # fmt: skip


@given(st.lists(st.sampled_from(WORDS) | st.text(max_size=6), max_size=40))
@settings(max_examples=400, deadline=None)
def test_any_mapping_is_data_or_faults(parts: list[str]):
    with contextlib.suppress(InputError):
        found = mapping_of("m.toml", " ".join(parts))
        assert all(fault.read for fault in found.faults)


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 10**9) | st.text(max_size=8)
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.text(min_size=1, max_size=6), inner, max_size=3),
    max_leaves=6,
)  # fmt: skip


def toml(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return '"' + "".join(f"\\U{ord(c):08x}" for c in value) + '"'
    if isinstance(value, list):
        return "[" + ", ".join(toml(v) for v in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{toml(k)} = {toml(v)}" for k, v in value.items()) + " }"
    return "0" if value is None else repr(value)


@given(
    st.dictionaries(st.sampled_from([k.name for k in TABLE]), JUNK, max_size=6),
    st.dictionaries(st.sampled_from(["Typ", "A", "column B", "x"]), JUNK, max_size=3),
    st.lists(st.lists(st.text(max_size=5), max_size=4), max_size=5),
)
@settings(max_examples=400, deadline=None)
def test_any_table_of_a_mapping_and_any_cells(keys, columns, rows):
    entries = {"into": "motors", "file": "t.csv", **keys, "columns": {"Typ": "name", **columns}}
    lines = [f"{key} = {toml(value)}" for key, value in entries.items()]
    text = "schema = 1\n[[table]]\n" + "\n".join(lines) + "\n"
    with contextlib.suppress(InputError):
        found = bring(mapping_of("m.toml", text), lambda _: [Grid("t.csv", "", rows)])
        assert found.line.motors


@given(st.lists(st.lists(st.text(max_size=8) | st.sampled_from(
    ["Typ", "Nennmoment", "[Nm]", "1,5", "-", "J", "Kt", "ratio", "η", "2.000"]), max_size=6),
    max_size=6))  # fmt: skip
@settings(max_examples=100, deadline=None)
def test_any_cells_can_be_looked_at_for_a_proposal(rows):
    assert proposed(Grid("t.csv", "", rows)).file == "t.csv"
