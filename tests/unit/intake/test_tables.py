"""Tables of odd shapes: where rows begin and end, cells that repeat, formulas, lists, points."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest

from dutyline.app.bring import bring as bring_folder
from dutyline.catalogue.origins import origin
from dutyline.core.errors import InputError
from dutyline.grids.records import Grid
from dutyline.intake.bring import Brought, bring
from dutyline.intake.read_mapping import read_mapping
from dutyline.intake.tables import read_table

HEAD = 'schema = 1\n[[table]]\ninto = "motors"\nfile = "t.csv"\n'
PAIR = '[table.columns]\n"Typ" = "name"\n"M [Nm]" = "torque_rated"\n'


def read(table: str, *grids: Grid, head: str = HEAD) -> Brought:
    held: dict[str, list[Grid]] = {}
    for grid in grids:
        held.setdefault(grid.file, []).append(grid)
    return bring(read_mapping("m.toml", head + table), lambda rule: held[rule.file])


def torques(table: str, rows: Sequence[Sequence[str]], **more: object) -> dict[str, float | None]:
    found = read(table, Grid("t.csv", "", rows, **more))  # type: ignore[arg-type]
    return {motor.name: motor.torque_rated for motor in found.line.motors}


def test_first_last_and_skipped_rows():
    rows = [["Title"], ["Typ", "M [Nm]"], ["note"], ["A", "1"], ["sum", "9"], ["B", "2"], ["end"]]
    text = "heading = 2\nfirst = 4\nlast = 6\nskip = [5]\n" + PAIR
    assert torques(text, rows) == {"A": 1.0, "B": 2.0}


def test_rows_count_as_the_editor_counts():
    """A quoted line break makes one row of two lines."""
    rows = [["Typ", "M [Nm]"], ["A", "1"], ["B", "2"]]
    assert torques("skip = [3]\n" + PAIR, rows, lines=(1, 3, 4)) == {"B": 2.0}


def test_columns_by_letter_and_headings_that_stand_twice():
    rows = [["Typ", "M [Nm]", "M [Nm]"], ["A", "1", "2"]]
    text = '[table.columns]\n"Typ" = "name"\n"column C" = "torque_rated"\n'
    assert torques(text, rows) == {"A": 2.0}
    with pytest.raises(InputError, match='"column B", "column C"'):
        torques(PAIR, rows)


def test_no_heading_at_all():
    text = (
        'heading = 0\n[table.columns]\n"column A" = "name"\n'
        '"column B" = { field = "torque_rated", unit = "N*cm" }\n'
    )
    assert torques(text, [["A", "150"]]) == {"A": 1.5}


def test_cells_that_repeat_the_one_above():
    text = PAIR + '"Size" = { field = "size", repeat = true }\n'
    rows = [["Size", "Typ", "M [Nm]"], ["60", "A", "1"], ["", "B", "2"], ["80", "C", "3"]]
    found = read(text, Grid("t.csv", "", rows))
    assert [motor.size for motor in found.line.motors] == ["60", "60", "80"]


def test_formulas_and_cells_in_error_are_no_figures():
    rows = [["Typ", "M [Nm]"], ["A", "=B9*2"]]
    with pytest.raises(InputError, match="formula"):
        torques(PAIR, rows, formulas={(1, 1): "=B9*2"})
    with pytest.raises(InputError, match="a number is needed"):
        torques('decimal = "."\n' + PAIR, [["Typ", "M [Nm]"], ["A", "#DIV/0!"]])


def test_numbers_shown_as_percent():
    text = '[table.columns]\n"G" = "name"\n"i" = "ratio"\n"eta [%]" = "efficiency"\n'
    head = HEAD.replace("motors", "gearheads")
    motors = '[[table]]\ninto = "motors"\nfile = "m.csv"\n[table.columns]\n"Typ" = "name"\n'
    rows = [["G", "i", "eta [%]"], ["G1", "10", "0.95"], ["G2", "10", "95"]]
    numbers = frozenset({(1, 2), (2, 2), (1, 1), (2, 1)})
    grid = Grid("t.csv", "", rows, numbers=numbers, percents=frozenset({(1, 2)}))
    found = read(text + motors, grid, Grid("m.csv", "", [["Typ"], ["A"]]), head=head)
    assert [g.efficiency for g in found.line.gearheads] == [0.95, 0.95]


def _workbook(path: Path, heading: str, cells: Sequence[tuple[float, str]]) -> None:
    """Made by openpyxl: each number with the format in which a spreadsheet shows it."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["G", "i", heading])
    for n, (number, shown) in enumerate(cells, 2):
        sheet.append([f"G{n}", 10, number])
        sheet.cell(n, 3).number_format = shown
    book.save(path)


def _gearheads(folder: Path, heading: str, unit: str, *cells: tuple[float, str]) -> Brought:
    _workbook(folder / "g.xlsx", heading, cells)
    (folder / "m.csv").write_text("Typ\nA\n")
    columns = f'"{heading}" = {{ field = "efficiency"{unit} }}'
    (folder / "mapping.toml").write_text(
        'schema = 1\n[[table]]\ninto = "gearheads"\nfile = "g.xlsx"\n[table.columns]\n'
        f'"G" = "name"\n"i" = "ratio"\n{columns}\n'
        '[[table]]\ninto = "motors"\nfile = "m.csv"\n[table.columns]\n"Typ" = "name"\n'
    )
    return bring_folder(folder)


@pytest.mark.parametrize("shown", ["0%", "0.0%", '0.0 "of" %', "0.00%;-0.00%"])
@pytest.mark.parametrize(("heading", "unit"), [("eta [%]", ""), ("eta", ', unit = "%"'),
                                               ("eta", ', unit = "1"')])  # fmt: skip
def test_a_share_shown_as_percent_is_the_same_share(tmp_path, heading, unit, shown):
    """95 % is 0.95, whichever of the two the column says that it holds."""
    line = _gearheads(tmp_path, heading, unit, (0.95, shown), (0.071, shown)).line
    assert [g.efficiency for g in line.gearheads] == [0.95, 0.071]
    told = origin(line, "gearheads", ("G2",), "efficiency", 0.95).source
    assert told is not None
    assert (told.cell, told.raw) == ("C2", "0.95")
    assert ("shown as percent" in told.convention) == (unit != ', unit = "1"')


def test_percent_beside_plain_numbers_of_one_column(tmp_path):
    line = _gearheads(tmp_path, "eta [%]", "", (0.95, "0%"), (96.5, "General")).line
    assert [g.efficiency for g in line.gearheads] == [0.95, 0.965]


@pytest.mark.parametrize("number", [0.95, 1.0])
def test_a_share_in_a_column_of_percent_is_asked_about(tmp_path, number):
    with pytest.raises(InputError, match=r'(?s)cell C2: efficiency.*taken for a share.*unit = "1"'):
        _gearheads(tmp_path, "eta [%]", "", (number, "General"))


def test_a_torque_shown_as_percent_is_a_fault():
    grid = Grid("t.csv", "", [["Typ", "M [Nm]"], ["A", "0.95"]], numbers=frozenset({(1, 1)}),
                percents=frozenset({(1, 1)}))  # fmt: skip
    with pytest.raises(InputError, match="the workbook shows 95 %; a torque is needed"):
        read(PAIR, grid)


def test_marks_to_strip_words_of_the_table_and_constants():
    text = (
        'strip = ["*", "max."]\n'
        '[table.columns]\n"Typ" = "name"\n"M [Nm]" = "torque_rated"\n'
        '"IP" = { field = "protection", values = { ja = "IP65" } }\n'
        '[table.constants]\nmains_min = "200 V"\nseries = "{file}"\n'
    )
    rows = [["Typ", "M [Nm]", "IP"], ["A*", "max. 3", "JA"]]
    motor = read(text, Grid("t.csv", "", rows)).line.motors[0]
    assert (motor.name, motor.torque_rated, motor.protection) == ("A", 3.0, "IP65")
    assert (motor.mains_min, motor.series) == (200.0, "t")


def test_tables_that_join_have_to_agree():
    text = PAIR + (
        '[[table]]\ninto = "motors"\nfile = "u.csv"\njoin = true\n[table.columns]\n'
        '"Typ" = "name"\n"P [W]" = "power_rated"\n'
    )
    one = Grid("t.csv", "", [["Typ", "M [Nm]"], ["A", "1"]])
    assert (
        read(text, one, Grid("u.csv", "", [["Typ", "P [W]"], ["A", "90"]]))
        .line.motors[0]
        .power_rated
        == 90.0
    )
    with pytest.raises(InputError, match="no table before names it"):
        read(text, one, Grid("u.csv", "", [["Typ", "P [W]"], ["B", "90"]]))


@pytest.mark.parametrize(
    ("field", "unit", "said"),
    [("internal_resistor_power", "W", ""), ("inrush_peak", "A pk", ""), ("inrush_peak", "A", ""),
     ("inrush_peak", "A rms", "says ampere rms"), ("loss_per_ampere", "W/A pk", ""),
     ("loss_per_ampere", "W/A", "ampere is not said"), ("mains_max", "V rms", ""),
     ("mains_max", "V pk", "says voltage peak")],
)  # fmt: skip
def test_a_crest_in_a_unit_is_never_passed_over(field: str, unit: str, said: str):
    """The unit says what the field does not hold: told, not read as if it were not there."""
    mapping = read_mapping(
        "any.toml",
        'schema = 1\n[[table]]\ninto = "drives"\nfile = "t.csv"\n[table.columns]\n'
        f'"D" = "name"\n"x" = {{ field = "{field}", unit = "{unit}" }}\n',
    )
    grid = Grid("t.csv", "", [["D", "x"], ["A", "4"]])
    told = [fault.read for fault in read_table(grid, mapping.tables[0], mapping).faults]
    assert [said in read for read in told] == [True] * bool(said)


CURVES = '[[table]]\ninto = "curves"\nfile = "c.csv"\n'
CONSTANTS = '[table.constants]\nmains = "230 V"\nphases = 1\nkind = "peak"\n'


def curve(table: str, rows: Sequence[Sequence[str]]) -> tuple[Brought, list[tuple[float, float]]]:
    found = read(PAIR + CURVES + table, Grid("t.csv", "", [["Typ", "M [Nm]"], ["A", "1"]]),
                 Grid("c.csv", "", rows))  # fmt: skip
    made = found.line.curves[0]
    rpm = [round(speed * 30 / 3.141592653589793, 9) for speed in made.speed]
    return found, list(zip(rpm, made.torque, strict=True))


LONG = '[table.columns]\n"m" = "motor"\n"n [1/min]" = "speed"\n"M [Nm]" = "torque"\n' + CONSTANTS
PICKED = [["m", "n [1/min]", "M [Nm]"], ["A", "3000", "2"], ["A", "4", "3"], ["A", "6000", "1"]]


def test_points_picked_from_a_plot_are_sorted_only_when_asked():
    found, points = curve('sort = true\nzero_below = "10 r/min"\n' + LONG, PICKED)
    assert points == [(0.0, 3.0), (3000.0, 2.0), (6000.0, 1.0)]
    assert found.remarks == ("c.csv: 1 speeds near zero read as zero, 1 curves sorted by speed.",)
    with pytest.raises(InputError, match=r"c\.csv, cell B2: speed"):
        curve(LONG, PICKED)


def test_wide_curves_and_polylines():
    wide = (
        'wide = { speed = "r/min", torque = "lbf.in" }\n[table.columns]\n"m" = "motor"\n'
        + CONSTANTS
    )
    _, points = curve(wide, [["m", "0", "3000"], ["A", "10", "8"]])
    assert points == [(0.0, 1.1298482902761670), (3000.0, 0.9038786322209336)]
    line = (
        '[table.columns]\n"m" = "motor"\n"p" = { field = "points", speed = "rad/s", torque = "Nm",'
        ' list = "|", pair = "/" }\n' + CONSTANTS
    )
    _, points = curve(line, [["m", "p"], ["A", "0/2 | 100/1"]])
    assert points == [(0.0, 2.0), (round(3000 / 3.141592653589793, 9), 1.0)]


def test_geared_torque_at_the_input_needs_ratio_and_efficiency():
    head = HEAD.replace("motors", "gearheads")
    motors = '[[table]]\ninto = "motors"\nfile = "m.csv"\n[table.columns]\n"Typ" = "name"\n'
    text = (
        '[table.columns]\n"G" = "name"\n"i" = "ratio"\n"eta [%]" = "efficiency"\n'
        '"T1 [Nm]" = { field = "torque_rated", shaft = "input" }\n' + motors
    )
    other = Grid("m.csv", "", [["Typ"], ["A"]])
    rows = [["G", "i", "eta [%]", "T1 [Nm]"], ["G1", "10", "96", "2"]]
    found = read(text, Grid("t.csv", "", rows), other, head=head)
    # T2 = T1 i eta = 2 * 10 * 0.96, by hand
    assert found.line.gearheads[0].torque_rated == 19.2
    with pytest.raises(InputError, match="efficiency of the row"):
        read(text, Grid("t.csv", "", [rows[0], ["G1", "10", "", "2"]]), other, head=head)


@pytest.mark.parametrize("name", ["=1+1", "+A1", "@x", "'=1", "-B", "''+2"])
def test_names_that_a_spreadsheet_would_run_come_through_unchanged(name: str):
    found = read(PAIR, Grid("t.csv", "", [["Typ", "M [Nm]"], [name, "1"]]))
    assert found.line.motors[0].name == name
    first = origin(found.line, "motors", (name,), "name", name)
    assert first.source is not None
    assert first.source.raw == name
