"""The second invented line in its other shape gives what its SI twin gives, to the last digit.

The workbook and CSV files are written by ``support.second_line`` with sizes of units and fifty
digits of its own; nothing of the program takes part in that.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

import dutyline as dl
from dutyline.app.audit import audit_json
from dutyline.app.bring import propose
from dutyline.app.line import content_hash, overview_json
from dutyline.app.records_json import verdict_json
from dutyline.app.shortlist_json import shortlist_json
from dutyline.catalogue.trace import read_runs
from dutyline.core.errors import InputError
from dutyline.intake.read_mapping import read_mapping
from support.command import dutyline
from support.examples import NAMES, axis_file
from support.second_line import MAPPING, TWIN, WORKBOOK, write_second_line, write_second_line_as_csv

pytestmark = pytest.mark.e2e

KINDS = ("motors", "gearheads", "drives", "brakes", "resistors", "curves", "pairings")
SENSIBLE = [name for name in NAMES if name != "plate-lift"]  # 115 V: no motor of the line
RAISED = ("kettle", "scenery-bar", "sorter")
"""Told once more on 400 V, for the other winding."""
FEWER = {
    name: f'\n[choose]\nmotors = ["{motors}"]\ngearheads = ["{gearheads}"]\n'
    for name, motors, gearheads in (
        ("flying-saw", "225*", "UP300 15/2"),
        ("kettle", "300*", "UP375*"),
        ("eyelet-press", "[35]00*", "UP500*"),
        ("film-winder", "3*", "*"),
        ("dial", "3*", "*"),
    )
}
"""Stops and moves of these take a second or more over the whole line."""


@pytest.fixture(scope="module")
def mapping(tmp_path_factory) -> Path:
    return write_second_line(tmp_path_factory.mktemp("second") / "inch")


@pytest.fixture(scope="module")
def brought(mapping) -> dl.ProductLine:
    return dl.read_line(mapping)


@pytest.fixture(scope="module")
def twin() -> dl.ProductLine:
    return dl.read_line(TWIN)


def told(content: Any) -> str:
    """An answer for programs, without the folder in which the files lie."""
    return re.sub(r'"folder": "[^"]*"', '"folder": ""', json.dumps(content))


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_of_every_part_is_the_same(kind, brought, twin):
    assert getattr(brought, kind) == getattr(twin, kind)


def test_the_content_and_the_name_are_the_same(brought, twin):
    assert content_hash(brought) == content_hash(twin)
    for own in ("name", "edition", "date", "currency"):
        assert getattr(brought, own) == getattr(twin, own) != ""


@pytest.mark.parametrize(
    ("encoding", "separator"),
    [("cp1252", ";"), ("utf-8-sig", ";"), ("utf-16", "\t"), ("utf-8", ",")],
)
def test_every_sheet_as_csv_gives_the_same(encoding, separator, twin, tmp_path):
    """Decimal commas throughout; between commas they stand in quotes."""
    mapping = write_second_line_as_csv(tmp_path / "line", encoding, separator)
    assert content_hash(dl.read_line(mapping)) == content_hash(twin)


def axis_of(folder: Path, name: str, mains: str = "") -> dl.Axis:
    """An example without the parts that it chooses from the line that ships."""
    text = axis_file(name).read_text("utf-8")
    text = re.sub(r"\n\[choose\]\n(?:(?!\[).*\n)*", "\n", text)
    text += FEWER.get(name, "")
    if mains:
        text = re.sub(r'mains = "[^"]*"', f'mains = "{mains}"', text)
        text = re.sub(r"phases = 1\b", "phases = 3", text)
    path = folder / f"{name}.toml"
    path.write_text(text, encoding="utf-8")
    return dl.read_axis(path)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "mains"), [*((name, "") for name in SENSIBLE), *((name, "400 V") for name in RAISED)]
)
def test_verdicts_are_the_same_to_the_last_digit(name, mains, brought, twin, tmp_path):
    axis = axis_of(tmp_path, name, mains)
    first, second = (dl.select(axis, line) for line in (brought, twin))
    assert first.tried > 0
    assert told(shortlist_json(first)) == told(shortlist_json(second))
    best = second.candidates[0] if second.candidates else second.rejected[0]
    one, other = (dl.verify(axis, best.combination, line) for line in (brought, twin))
    assert {line.state for line in one.ledger} - {"not checked"}
    assert told(verdict_json(one)) == told(verdict_json(other))


def test_windings_of_the_other_mains_are_chosen_there(brought, tmp_path):
    found = dl.select(axis_of(tmp_path, "sorter", "400 V"), brought)
    assert found.candidates
    assert {c.combination.motor[-3:] for c in found.candidates} == {"-46"}


def test_the_audit_finds_nothing_and_asks_the_same(brought, twin):
    first, second = dl.audit(brought), dl.audit(twin)
    assert first.findings == second.findings == ()
    assert all(asked.count for asked in first.asked)
    assert told(audit_json(first)) == told(audit_json(second))


def test_the_overview_is_the_same(brought, twin):
    first, second = dl.overview_of(brought), dl.overview_of(twin)
    assert told(overview_json(first)) == told(overview_json(second))


def test_the_command_line_takes_the_mapping(mapping, tmp_path):
    axis_of(tmp_path, "sorter")
    axis = str(tmp_path / "sorter.toml")
    one, other = (
        dutyline("select", axis, "--line", str(where), "--json") for where in (mapping.parent, TWIN)
    )
    assert one.code == other.code == 0
    assert told(json.loads(one.out)) == told(json.loads(other.out))


def test_the_order_list_is_the_same(mapping, tmp_path):
    axis_of(tmp_path, "sorter")
    axis = str(tmp_path / "sorter.toml")
    one, other = (
        dutyline("order", axis, "--line", str(where), "--json") for where in (mapping.parent, TWIN)
    )
    assert told(json.loads(one.out)) == told(json.loads(other.out))
    assert json.loads(one.out)["currency"] == "EUR"


def test_replacements_are_the_same(mapping, tmp_path):
    plate = tmp_path / "plate.toml"
    plate.write_text(
        'schema = 1\n[plate]\ntitle = "Cross feed"\n[motor]\ntorque = "16 lbf.in"\n'
        'speed = "3000 r/min"\n'
        'inertia = "GD2 3 kgf*cm^2"\nflange = "3 in"\n[keep]\nmains = "230 V"\nphases = 3\n',
        encoding="utf-8",
    )
    one, other = (
        dutyline("replace", str(plate), "--line", str(where), "--json")
        for where in (mapping.parent, TWIN)
    )
    assert json.loads(one.out)["equivalents"]
    assert told(json.loads(one.out)) == told(json.loads(other.out))


def test_what_was_read_is_written_and_read_again(brought, tmp_path):
    """Twice, so that a line from a folder is written as well; the same bytes both times."""
    first = dl.write_line(brought, tmp_path / "first")
    again = dl.read_line(first)
    second = dl.write_line(again, tmp_path / "second")
    assert content_hash(again) == content_hash(brought)
    assert [getattr(again, kind) for kind in KINDS] == [getattr(brought, kind) for kind in KINDS]
    files = sorted(path.name for path in first.iterdir())
    assert files == sorted(path.name for path in second.iterdir())
    assert all((first / name).read_bytes() == (second / name).read_bytes() for name in files)


def test_the_folder_of_the_import_holds_the_same(mapping, brought, tmp_path):
    done = dutyline("bring", str(mapping), "--to", "ours", cwd=tmp_path)
    assert done.code == 0, done.err
    again = dl.read_line(tmp_path / "ours")
    assert content_hash(again) == content_hash(brought)
    assert (again.name, again.edition) == (brought.name, brought.edition)


def test_what_was_done_to_every_table_is_told(mapping):
    said = " ".join(dutyline("bring", str(mapping)).out.split())
    for words in (
        "sheet Motoren: 20 rows of motors",
        "oz·in·s², inertia J: inertia",
        "K, temperature rise; over 104 degF: winding_limit",
        "V/(rad/s), voltage peak; across star-phase: voltage_constant",
        "lbf·in/A (Spitze), ampere peak; current line: torque_constant",
        "kgf·cm², inertia GD2: inertia_in",
        "sheet Kennlinien: 192 points of curves V: mains r/min: speed lbf in: torque",
        "Stated in the mapping: motor, phases.",
        'Not named in the mapping, left out: "Haltebremsen".',
        "500L-46.csv: 4 curves sorted by speed.",
    ):
        assert words in said


def test_a_figure_leads_back_to_its_cell(mapping, tmp_path):
    """The torque constant of one winding, found by hand: sheet Wicklungen, the 20th row of data."""
    dutyline("bring", str(mapping), "--to", "ours", cwd=tmp_path)
    runs = read_runs((tmp_path / "ours" / "origins.csv").read_bytes())
    own = [r for r in runs if (r.file, r.column, r.row) == ("motors.csv", "kt_nm_per_arms", 2)]
    assert len(own) == 1
    told = own[0].trace(0)
    cell = load_workbook(mapping.parent / WORKBOOK)["Wicklungen"]["D24"].value
    assert (told.file, told.sheet, told.cell) == (WORKBOOK, "Wicklungen", "D24")
    assert (told.raw, told.unit) == (str(cell), "lbf·in/A (Spitze)")
    assert "ampere peak" in told.convention


Change = Callable[[Workbook], None]


def cell(sheet: str, place: str, value: Any) -> Change:
    """A cell of the workbook overwritten."""

    def change(book: Workbook) -> None:
        book[sheet][place] = value

    return change


def gap(book: Workbook) -> None:
    """A name merged over two rows of a sheet comes apart: the second row has none."""
    book["Wicklungen"]["A6"] = None


@pytest.mark.parametrize(
    ("change", "place", "said"),
    [
        (cell("Motoren", "H4", "lbf"), "Motoren, cell H3", "torque"),
        (cell("Motoren", "H4", None), "Motoren, cell H3", "the unit is not said"),
        (cell("Motoren", "H6", "=H5*2"), "Motoren, cell H6", 'the formula "=H5*2"'),
        (cell("Motoren", "H6", "12.61"), "Motoren, cell H6", "a number is needed"),
        (cell("Motoren", "H6", "-1,261"), "Motoren, cell H6", "above 0"),
        (cell("Motoren", "Q6", "7"), "Motoren, cell Q6", "an even number"),
        (cell("Motoren", "AI6", "HB 715"), "Motoren, cell AI6", "HB 375"),
        (
            cell("Motoren", "A6", "175K-23"),
            "Motoren, cell A6",
            "stands in Katalog.xlsx, sheet Motoren, cell A5 already",
        ),
        (
            cell("Motoren", "H3", "Dauermoment"),
            "mapping.toml:32: Katalog.xlsx, sheet Motoren: ",
            "Leistung Nennmoment",
        ),
        (cell("Wicklungen", "A5", "500L-47"), "Wicklungen, cell A5", "no table before names it"),
        (gap, "Wicklungen, cell B6", "the row names no part"),
        (cell("Getriebe", "L6", None), "Getriebe, cell F6", "efficiency of the row"),
        (cell("Bremsen", "D3", "3,78 Nm"), "Bremsen, cell D3", "a number is needed"),
        (cell("Kennlinien", "E3", "k. A."), "Kennlinien, cell E3", "a number is needed"),
        (cell("Kennlinien kurz", "E3", "0 | 2,5 / 2.000"), "kurz, cell E3", "a speed and a torque"),
    ],
)
def test_faults_in_the_workbook_are_told_with_their_cell(mapping, tmp_path, change, place, said):
    path = copytree(mapping.parent, tmp_path / "line") / WORKBOOK
    book = load_workbook(path)
    change(book)
    book.save(path)
    with pytest.raises(InputError) as error:
        dl.read_line(path.parent)
    text = error.value.text()
    assert place in text
    assert said in text


@pytest.mark.parametrize(
    ("answer", "place", "said"),
    [
        (', inertia = "J"', "Motoren, cell M3", "inertia is not said"),
        (', across = "star-phase"', "Wicklungen, cell E2", "across is not said"),
        (', at = "25 degC"', "Wicklungen, cell F2", "at is not said"),
        (', shaft = "input"', "Getriebe, cell F2", "shaft is not said"),
        (', play = "plus-minus"', "Getriebe, cell M2", "play is not said"),
        (', coil = "on"', "Bremsen, cell A5", "coil is not said"),
        ('decimal = ","\n', "Motoren, cell C5", "decimal mark"),
        ('current = "line"', "Wicklungen, cell D2", "current is not said"),
    ],
)
def test_a_convention_left_out_is_asked_for(mapping, tmp_path, answer, place, said):
    text = MAPPING.read_text("utf-8")
    assert answer in text
    again = mapping.parent / f"{tmp_path.name}.toml"
    again.write_text(text.replace(answer, ""), encoding="utf-8")
    with pytest.raises(InputError) as error:
        dl.read_line(again)
    told = error.value.text()
    assert f"{WORKBOOK}, sheet {place}" in told
    assert said in told


def rms_for_peak(line: Path, folder: Path) -> Path:
    """The line with a mapping that takes the amperes of the windings for rms."""
    mapping = copytree(line, folder) / MAPPING.name
    text = mapping.read_text("utf-8")
    assert text.count('ampere = "peak"') == 1
    mapping.write_text(text.replace('ampere = "peak"', 'ampere = "rms"'), encoding="utf-8")
    return mapping


def test_an_answer_against_the_unit_of_the_column_is_a_fault(mapping, tmp_path):
    with pytest.raises(InputError, match="its unit says ampere peak, the mapping rms"):
        dl.read_line(rms_for_peak(mapping.parent, tmp_path / "line"))


def test_a_wrong_answer_that_no_unit_contradicts_is_found_by_the_audit(mapping, tmp_path):
    """Torque constant times current stays what it was; Kt / Ke comes out sqrt 2 too small."""
    changed = rms_for_peak(mapping.parent, tmp_path / "line")
    path = changed.parent / WORKBOOK
    book = load_workbook(path)
    for place in ("D4", "H4", "I4", "J4"):
        unit = book["Wicklungen"][place].value
        book["Wicklungen"][place] = unit.removesuffix(" (Spitze)")
    book.save(path)
    found = dl.audit(dl.read_line(changed)).findings
    doubted = {f.part for f in found if f.column in ("kt_nm_per_arms", "ke_vrms_ll_per_krpm")}
    assert len(doubted) == 20
    assert {round(f.ratio, 3) for f in found if f.ratio} & {0.707, 1.414}


def test_a_doubtful_figure_is_told_with_its_cell(mapping, tmp_path):
    """Two digits of a rated torque exchanged, 16.81 lbf in written as 18.61."""
    path = copytree(mapping.parent, tmp_path / "line") / WORKBOOK
    book = load_workbook(path)
    row = next(r for r in range(5, 25) if book["Motoren"][f"A{r}"].value == "300K-46")
    assert book["Motoren"][f"H{row}"].value == "16,81"
    book["Motoren"][f"H{row}"] = "18,61"
    book.save(path)
    found = dl.audit(dl.read_line(tmp_path / "line")).findings
    assert {(f.part, f.column) for f in found} == {("300K-46", "torque_rated_nm")}
    done = dutyline("audit", "line", cwd=tmp_path)
    assert f"{WORKBOOK}, sheet Motoren, cell H{row}" in " ".join(done.out.split())
    assert "18,61" in done.out


def test_a_proposal_from_the_tables_alone_is_never_wrong(mapping):
    """Against the mapping that people wrote; what is not understood is left open."""
    written = read_mapping(mapping)
    truth = {}
    for rule in written.tables:
        sheet = rule.sheet or Path(rule.file).name
        for column in rule.rules:
            # the upper heading of the sheet of motors is not needed to tell its columns apart
            heading = column.heading.partition(" ")[2] if sheet == "Motoren" else column.heading
            answers = {**written.answers, **rule.answers, **column.targets[0].answers}
            truth[sheet, heading] = (column.targets[0].field, answers)
    tables = propose(mapping.parent).tables
    assert {t.sheet: t.units for t in tables if t.sheet}["Wicklungen"] == 4
    right = 0
    for table in tables:
        for column in table.columns:
            field, answers = truth.get((table.sheet or table.file, column.heading), ("", {}))
            assert column.field in ("", field)
            for key, answer in dict(column.answers).items():
                assert answers.get(key, answer) == answer
            right += bool(column.field)
    assert len(truth) > 140
    assert right > 0.7 * len(truth)
