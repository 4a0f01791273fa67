"""A foreign table through a mapping: our text, our reader, the cell it came from."""

from __future__ import annotations

import pytest

from dutyline.core.errors import InputError
from dutyline.grids.records import Grid
from dutyline.intake.bring import Brought, bring
from dutyline.intake.read_mapping import read_mapping

HEAD = 'schema = 1\n[line]\nname = "Nordlicht"\n'
MOTORS = """
[[table]]
into = "motors"
file = "motoren.csv"
heading = [1, 2]
decimal = ","
thousands = "."
unknown = ["-", "k. A."]

[table.columns]
"Typ" = "name"
"Nenn- moment [lb-in]" = "torque_rated"
"Spitzen- moment [lb-in]" = "torque_peak"
"Drehzahl max. 1/min" = { field = "speed_max", unit = "1/min" }
"Trägheit [lb-in-s²]" = { field = "inertia", inertia = "J" }
"Kt [Nm/A]" = { field = "torque_constant", ampere = "peak", current = "line" }
"Pole" = { field = "pole_pairs", count = "poles" }
"Bemerkung" = "ignore"
"""
ROWS = [
    ["Typ", "Nenn-", "Spitzen-", "Drehzahl", "Trägheit", "Kt", "Pole", "Bemerkung"],
    ["", "moment [lb-in]", "moment [lb-in]", "max. 1/min", "[lb-in-s²]", "[Nm/A]", "", ""],
    ["NL-1", "10,5", "31,5", "6.000", "0,0012", "0,3", "8", "neu"],
    ["NL-2", "-", "40", "5.500", "0,002", "0,4", "10", ""],
]


def brought(mapping: str, *grids: Grid) -> Brought:
    held = {grid.file: [g for g in grids if g.file == grid.file] for grid in grids}
    return bring(read_mapping("nordlicht.toml", HEAD + mapping), lambda rule: held[rule.file])


def test_inch_units_commas_and_peak_amperes_end_in_si():
    line = brought(MOTORS, Grid("motoren.csv", "", ROWS)).line
    one, two = line.motors
    # NIST SP 811 (2008), B.8: 1 lbf.in = 1.129 848 E-01 N.m
    assert one.torque_rated == pytest.approx(10.5 * 0.1129848, rel=1e-6)
    assert one.speed_max == pytest.approx(628.3185307179587, rel=1e-15)
    assert one.inertia == pytest.approx(0.0012 * 0.1129848, rel=1e-6)
    assert one.torque_constant == pytest.approx(0.3 * 2**0.5, rel=1e-15)
    assert (one.pole_pairs, two.pole_pairs) == (4, 5)
    assert two.torque_rated is None
    assert line.name == "Nordlicht"


def test_everything_open_is_told_at_once_with_its_cell():
    text = MOTORS.replace(', ampere = "peak"', "").replace(', inertia = "J"', "")
    with pytest.raises(InputError) as error:
        brought(text, Grid("motoren.csv", "", ROWS))
    told = error.value.text()
    assert "motoren.csv, cell E2" in told
    assert "inertia is not said" in told
    assert "Are the amperes rms or peak?" in told


def test_a_fault_of_the_reader_names_the_foreign_cell():
    rows = [*ROWS[:3], ["NL-1", "-", "40", "5.500", "0,002", "0,4", "10", ""]]
    rows[2] = [*rows[2][:1], "-10,5", *rows[2][2:]]
    with pytest.raises(InputError) as error:
        brought(MOTORS, Grid("motoren.csv", "", rows))
    told = error.value.text()
    assert "motoren.csv, cell B3: torque_rated" in told
    assert 'The cell holds "-10,5" lb-in' in told
    assert "motoren.csv, cell A4" in told


def test_the_edition_goes_with_the_line():
    text = MOTORS.replace("[[table]]", 'edition = "7"\ndate = 2026-03-01\n[[table]]', 1)
    line = brought(text, Grid("motoren.csv", "", ROWS)).line
    assert (line.name, line.edition, line.date) == ("Nordlicht", "7", "2026-03-01")


def test_a_date_that_is_none_is_told_with_its_line_in_the_mapping():
    text = MOTORS.replace("[[table]]", 'date = "spring"\n[[table]]', 1)
    with pytest.raises(InputError) as error:
        brought(text, Grid("motoren.csv", "", ROWS))
    assert "nordlicht.toml:5: line.date" in error.value.text()
    assert "a day is needed" in error.value.text()


def test_brackets_around_a_unit_go_and_those_inside_stay():
    rows = [["Typ", "Kt"], ["", "[Nm/A (Spitze)]"], ["NL-1", "0,3"]]
    text = """
[[table]]
into = "motors"
file = "motoren.csv"
units = 2
decimal = ","
[table.columns]
"Typ" = "name"
"Kt" = { field = "torque_constant", current = "line" }
"""
    found = brought(text, Grid("motoren.csv", "", rows))
    assert found.line.motors[0].torque_constant == pytest.approx(0.3 * 2**0.5, rel=1e-15)
    assert found.tables[0].manners["torque_constant"].unit == "Nm/A (Spitze)"


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('unknown = ["-", "k. A."]', 'strip = ["1"]', "belongs to no number"),
        ('unknown = ["-", "k. A."]', 'strip = [","]', "belongs to no number"),
        ('unknown = ["-", "k. A."]', 'strip = ["-"]', "belongs to no number"),
        ("heading = [1, 2]", "heading = [1, 2]\nunits = 3", "units are needed in row 3"),
        ('unit = "1/min" }', 'unit = "1/min", factor = "2" }', "factor would change"),
        ('"Bemerkung" = "ignore"', '[table.constants]\ntorque_peak = "5 N*m"',
         "gives torque_peak"),
    ],
)  # fmt: skip
def test_a_mapping_that_would_change_figures_unseen(old, new, told):
    assert old in MOTORS
    with pytest.raises(InputError) as error:
        brought(MOTORS.replace(old, new), Grid("motoren.csv", "", ROWS))
    assert told in str(error.value)


def test_a_comma_that_moved_its_row_is_told():
    """A decimal comma in a file with commas between cells: 0.5 is two cells."""
    mapping = """
[[table]]
into = "motors"
file = "motoren.csv"
decimal = "."
[table.columns]
"Typ" = "name"
"M" = { field = "torque_rated", unit = "N*m" }
"n" = { field = "speed_max", unit = "1/min" }
"""
    rows = [["Typ", "M", "n"], ["N1", "1", "3000"], ["N2", "1", "5", "3000"]]
    grid = Grid("motoren.csv", "", rows)
    with pytest.raises(InputError, match='cell D3: read "3000"; its column has no heading'):
        brought(mapping, grid)
    line = brought(mapping + '"column D" = "ignore"\n', grid).line
    assert [m.speed_max is None for m in line.motors] == [False, False]
