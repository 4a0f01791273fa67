"""A product line is loaded whole or not at all, and every fault says where it is."""

from __future__ import annotations

import gc
import math
import os
import random
import shutil
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from dutyline.catalogue.columns import FORMS, FURTHER
from dutyline.catalogue.content import content_hash
from dutyline.catalogue.library import demo_line, read_line
from dutyline.core.errors import Fault, InputError

DEMO = Path(__file__).parents[3] / "src" / "dutyline" / "data" / "demo-line"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    copy = tmp_path / "line"
    shutil.copytree(DEMO, copy)
    return copy


def faults_of(folder: Path) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as caught:
        read_line(folder)
    return caught.value.faults


def edit(folder: Path, file: str, change: Callable[[str], str]) -> None:
    path = folder / file
    before = path.read_text("utf-8")
    after = change(before)
    assert after != before
    path.write_text(after, "utf-8", newline="")


def set_cell(folder: Path, file: str, row: int, column: str, text: str) -> None:
    """Rewrite one cell; rows as a text editor counts them. Demo cells hold no quotes."""

    def change(content: str) -> str:
        lines = content.splitlines()
        cells = lines[row - 1].split(",")
        cells[lines[0].split(",").index(column)] = text
        lines[row - 1] = ",".join(cells)
        return "\n".join(lines) + "\n"

    edit(folder, file, change)


def test_demo_line_holds_what_its_files_hold() -> None:
    line = demo_line()
    rows = {f.file: len((DEMO / f.file).read_text("utf-8").splitlines()) - 1 for f in FORMS}
    assert len(line.motors) == rows["motors.csv"] == 12
    assert len(line.gearheads) == rows["gearheads.csv"] == 38
    assert len(line.drives) == rows["drives.csv"] == 9
    assert len(line.brakes) == rows["brakes.csv"] == 6
    assert len(line.resistors) == rows["resistors.csv"] == 9
    assert len(line.pairings) == rows["pairings.csv"] == 196
    assert sum(len(curve.speed) for curve in line.curves) == rows["curves.csv"] == 657
    assert demo_line() is line


def test_units_of_the_files_become_si() -> None:
    """Read off the rows of XM72-0450H, XG72-6, XD-H4 and XB72 by hand."""
    line = demo_line()
    motor = line.motors[line.motor_index["XM72-0450H"]]
    assert motor.flange == 0.072
    assert motor.speed_rated == pytest.approx(3200 * 2 * math.pi / 60, rel=1e-15)
    assert motor.inertia == pytest.approx(0.47e-4, rel=1e-15)
    assert motor.voltage_constant == pytest.approx(28 / 104.71975511965977, rel=1e-14)
    assert motor.inductance == pytest.approx(7.125e-3, rel=1e-15)
    assert motor.tau_housing == 870.0
    assert motor.winding_limit == 140.0
    gearhead = line.gearheads[line.gearhead_index["XG72-6"]]
    assert gearhead.ratio_exact == Fraction(6)
    assert gearhead.backlash == pytest.approx(5 * 2.908882086657216e-4, rel=1e-14)
    assert gearhead.stiffness == pytest.approx(4.6 * 3437.746770784939, rel=1e-14)
    assert gearhead.life == 20000 * 3600.0
    assert gearhead.input_flanges == (0.054, 0.072)
    drive = line.drives[line.drive_index["XD-H4"]]
    assert drive.phases == (1, 3)
    assert drive.mains_tolerance == 0.1
    assert drive.bus_capacitance == pytest.approx(560e-6, rel=1e-15)
    assert drive.derate_per_metre == pytest.approx(0.01 / 100, rel=1e-15)
    assert drive.overload_curve == ((1.2, 14.0), (1.5, 6.2), (2.0, 2.3), (3.0, 0.6))
    brake = line.brakes[line.brake_index["XB72"]]
    assert brake.engage_time == pytest.approx(0.024, rel=1e-15)
    assert brake.backlash == pytest.approx(math.radians(1.0), rel=1e-15)


def test_folder_and_package_data_agree(folder: Path) -> None:
    line = read_line(folder)
    assert line == replace(demo_line(), folder=str(folder))


def test_other_files_are_ignored(folder: Path) -> None:
    (folder / "defects.csv").write_bytes(b"\xff\xfe not a table")
    (folder / "notes").mkdir()
    assert content_hash(read_line(folder)) == content_hash(demo_line())


def test_optional_columns_and_empty_cells_are_none(folder: Path) -> None:
    (folder / "motors.csv").write_text("motor,torque_stall_nm\nA,\nB,2.5\n", "utf-8")
    (folder / "curves.csv").write_text("motor,mains_v,phases,kind,speed_rpm,torque_nm\n", "utf-8")
    (folder / "pairings.csv").write_text("kind,left,right\nmotor-drive,A,XD-H2\n", "utf-8")
    (folder / "accessories.csv").unlink()
    line = read_line(folder)
    assert line.accessories == ()
    assert [m.torque_stall for m in line.motors] == [None, 2.5]
    assert line.motors[0].inertia is None
    assert line.motors[0].brake == ""
    assert line.curves == ()
    assert line.pairings[0].mains is None


@pytest.mark.parametrize(
    ("text", "exact"),
    [("91/9", Fraction(91, 9)), ("12.25", Fraction(49, 4)), ("1e1", Fraction(10))],
)
def test_ratios_are_exact(folder: Path, text: str, exact: Fraction) -> None:
    set_cell(folder, "gearheads.csv", 2, "ratio", text)
    gearhead = read_line(folder).gearheads[0]
    assert gearhead.ratio_exact == exact
    assert gearhead.ratio == float(exact)


@pytest.mark.parametrize("text", ["1/0", "0", "-4", "1/2/3", "4:1", "a/b", "1e9", "/", "4/"])
def test_ratios_that_cannot_be(folder: Path, text: str) -> None:
    set_cell(folder, "gearheads.csv", 2, "ratio", text)
    (fault,) = faults_of(folder)
    assert fault.place == "gearheads.csv, row 2, column ratio"
    assert text in fault.read


@pytest.mark.parametrize(
    ("text", "helps"),
    [
        ("nan", "empty"),
        ("NaN", "empty"),
        ("inf", "empty"),
        ("-inf", "empty"),
        ("n/a", "empty"),
        ("-0.48", ""),
        ("0", "empty"),
        ("1e999", ""),
        ("1e13", ""),
        ("1_000", ""),
        ("0x10", ""),
        ("12 mm", "unit"),
        ("१२", ""),
        ("9" * 5000, ""),
        ("\x00", ""),
        ("=1+1", ""),
        ("1 2", ""),
    ],
)
def test_numbers_that_are_none(folder: Path, text: str, helps: str) -> None:
    set_cell(folder, "motors.csv", 10, "kt_nm_per_arms", text)
    (fault,) = faults_of(folder)
    assert fault.place == "motors.csv, row 10, column kt_nm_per_arms"
    assert "a number above 0 in N*m/A rms is needed" in fault.read
    assert helps in fault.remedy
    assert len(fault.text()) < 400
    assert fault.text().isprintable() or "\n  " in fault.text()


def test_decimal_comma_in_a_quoted_cell(folder: Path) -> None:
    set_cell(folder, "motors.csv", 9, "torque_rated_nm", '"1,343"')
    (fault,) = faults_of(folder)
    assert fault.place == "motors.csv, row 9, column torque_rated_nm"
    assert '"1,343"' in fault.read
    assert fault.remedy == "That is a decimal comma. Write a point: 1.343."


def test_decimal_comma_that_splits_a_cell(folder: Path) -> None:
    set_cell(folder, "motors.csv", 9, "torque_rated_nm", "1,343")
    (fault,) = faults_of(folder)
    assert fault.place == "motors.csv, row 9"
    assert "55 cells; 54 are needed" in fault.read
    assert "decimal point" in fault.remedy


def test_all_faults_of_all_files_at_once(folder: Path) -> None:
    set_cell(folder, "motors.csv", 3, "inertia_kgcm2", "abc")
    set_cell(folder, "motors.csv", 3, "mass_kg", "-1")
    set_cell(folder, "drives.csv", 4, "phases", "2")
    set_cell(folder, "pairings.csv", 2, "right", "XD-L22")
    (folder / "brakes.csv").unlink()
    assert [fault.place for fault in faults_of(folder)] == [
        "brakes.csv",
        "motors.csv, row 3, column inertia_kgcm2",
        "motors.csv, row 3, column mass_kg",
        "drives.csv, row 4, column phases",
        "pairings.csv, row 2, column right",
    ]


def test_rows_are_counted_as_in_a_text_editor(folder: Path) -> None:
    """A quoted line break and blank lines before the row move it down."""

    def change(content: str) -> str:
        lines = content.splitlines()
        lines[1] += '"two\nlines"'
        lines[2] = "\n\n" + lines[2].replace("motor-drive", "motor-drove")
        return "\n".join(lines) + "\n"

    edit(folder, "pairings.csv", change)
    places = [(fault.place, fault.remedy) for fault in faults_of(folder)]
    assert places[0][0] == "pairings.csv, row 2, column note"
    assert places[1] == ("pairings.csv, row 6, column kind", "Did you mean motor-drive?")


@pytest.mark.parametrize(
    ("file", "row", "column", "text", "near"),
    [
        ("motors.csv", 9, "brake", "XB27", "XB72"),
        ("curves.csv", 4, "motor", "XM38-0050K", "XM38-0050L"),
        ("pairings.csv", 2, "left", "XM38-050L", "XM38-0050L"),
        ("pairings.csv", 2, "right", "XD-L22", "XD-L2"),
    ],
)
def test_unknown_parts(
    folder: Path, file: str, row: int, column: str, text: str, near: str
) -> None:
    set_cell(folder, file, row, column, text)
    fault = faults_of(folder)[0]
    assert fault.place == f"{file}, row {row}, column {column}"
    assert text in fault.read
    assert fault.remedy == f"Did you mean {near}?"


def test_unknown_column_names_the_nearest(folder: Path) -> None:
    edit(folder, "motors.csv", lambda text: text.replace("inertia_kgcm2", "inertia_kgcm", 1))
    (fault,) = faults_of(folder)
    assert fault.place == "motors.csv, row 1"
    assert fault.remedy == "Did you mean inertia_kgcm2?"


def test_headings_twice_missing_or_empty(folder: Path) -> None:
    (folder / "gearheads.csv").write_text("gearhead,mass_kg,mass_kg,\nXG,1,2,3\n", "utf-8")
    texts = [fault.text() for fault in faults_of(folder)]
    assert any("column mass_kg: the column stands twice" in text for text in texts)
    assert any("column ratio is missing" in text for text in texts)
    assert any("cell 4 of the heading is empty" in text for text in texts)


def test_a_name_twice(folder: Path) -> None:
    set_cell(folder, "motors.csv", 5, "motor", "XM38-0050H")
    fault = faults_of(folder)[0]
    assert fault.place == "motors.csv, row 5, column motor"
    assert "row 3" in fault.read


def test_a_pairing_twice(folder: Path) -> None:
    edit(folder, "pairings.csv", lambda text: text + text.splitlines()[-1] + "\n")
    (fault,) = faults_of(folder)
    assert fault.place == "pairings.csv, row 198"
    assert "row 197" in fault.read


def test_an_empty_name(folder: Path) -> None:
    set_cell(folder, "resistors.csv", 2, "resistor", " ")
    assert faults_of(folder)[0].place == "resistors.csv, row 2, column resistor"


@pytest.mark.parametrize(
    ("row", "speed", "word"),
    [
        (2, "10", "first speed must be 0"),
        (6, "900", "not above the 1000"),
        (6, "1000", "not above the 1000"),
    ],
)
def test_curves_begin_at_zero_and_rise(folder: Path, row: int, speed: str, word: str) -> None:
    set_cell(folder, "curves.csv", row, "speed_rpm", speed)
    fault = faults_of(folder)[0]
    assert fault.place == f"curves.csv, row {row}, column speed_rpm"
    assert word in fault.read


@pytest.mark.parametrize(
    "text", ["1.2", "1.2:", "1.2:14;1.1:6", "0.9:14", "1.2:2;1.5:3", "1.2;14", ";"]
)
def test_overload_curves_that_cannot_be(folder: Path, text: str) -> None:
    set_cell(folder, "drives.csv", 2, "overload_curve", text)
    assert faults_of(folder)[0].place == "drives.csv, row 2, column overload_curve"


def test_bytes_that_are_not_utf8(folder: Path) -> None:
    path = folder / "motors.csv"
    path.write_bytes(path.read_bytes().replace(b"absolute", b"absol\xfcte", 1))
    (fault,) = faults_of(folder)
    assert fault.place == "motors.csv, row 2"
    assert "0xfc" in fault.read


def test_byte_order_mark_and_dos_line_ends_are_fine(folder: Path) -> None:
    for path in folder.iterdir():
        path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert read_line(folder).motors == demo_line().motors


def test_semicolons_between_cells(folder: Path) -> None:
    edit(folder, "brakes.csv", lambda text: text.replace(",", ";"))
    fault = faults_of(folder)[0]
    assert fault.place == "brakes.csv, row 1"
    assert "semicolons" in fault.read


def test_a_quote_left_open(folder: Path) -> None:
    set_cell(folder, "brakes.csv", 3, "coil_v", '"24')
    fault = faults_of(folder)[0]
    assert fault.place == "brakes.csv, row 3"


def test_empty_files(folder: Path) -> None:
    (folder / "motors.csv").write_bytes(b"")
    assert any("is empty" in fault.read for fault in faults_of(folder))
    (folder / "motors.csv").write_text("motor\n", "utf-8")
    assert any("at least one motor" in fault.read for fault in faults_of(folder))


def test_a_file_too_large(folder: Path) -> None:
    with (folder / "curves.csv").open("ab") as file:
        file.truncate(20_000_001)
    (fault,) = faults_of(folder)
    assert "larger than 20 MB" in fault.read


@pytest.mark.slow
def test_too_many_rows(folder: Path) -> None:
    row = "brake-name,"
    rows = "\n".join(f"{row}{k}" for k in range(200_001))
    (folder / "brakes.csv").write_text(f"brake,coil_v\n{rows}\n", "utf-8")
    faults = faults_of(folder)
    assert any("200000 rows" in fault.read for fault in faults) or "more faults" in faults[-1].read
    assert len(faults) < 1000


def test_a_link_that_leaves_the_folder(folder: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside.csv"
    (folder / "motors.csv").rename(outside)
    (folder / "motors.csv").symlink_to(outside)
    (fault,) = [f for f in faults_of(folder) if f.place == "motors.csv"]
    assert "leaves the folder" in fault.read


def test_a_link_inside_the_folder_is_fine(folder: Path) -> None:
    (folder / "motors.csv").rename(folder / "motors-2.csv")
    (folder / "motors.csv").symlink_to("motors-2.csv")
    assert content_hash(read_line(folder)) == content_hash(demo_line())


def test_pipes_and_folders_are_not_files(folder: Path) -> None:
    (folder / "motors.csv").unlink()
    os.mkfifo(folder / "motors.csv")
    (folder / "brakes.csv").unlink()
    (folder / "brakes.csv").mkdir()
    reads = {fault.place: fault.read for fault in faults_of(folder)}
    assert reads["motors.csv"] == reads["brakes.csv"] == "is not a file."


def test_a_missing_file_names_one_that_looks_like_it(folder: Path) -> None:
    (folder / "motors.csv").rename(folder / "motor.csv")
    (fault,) = [f for f in faults_of(folder) if f.place == "motors.csv"]
    assert fault.remedy == "Did you mean motor.csv?"


@pytest.mark.parametrize("name", ["nowhere", "line/motors.csv", "a\0b"])
def test_folders_that_are_none(folder: Path, name: str) -> None:
    with pytest.raises(InputError) as caught:
        read_line(folder.parent / name)
    assert "motors.csv" in caught.value.faults[0].remedy


@pytest.mark.parametrize("seed", range(40))
def test_damaged_files_are_read_or_refused_and_nothing_else(folder: Path, seed: int) -> None:
    """Bytes changed, cut, doubled or inserted anywhere: a line or an InputError."""
    chance = random.Random(seed)
    for form in chance.sample((*FORMS, *FURTHER), 2):
        data = bytearray((folder / form.file).read_bytes())
        for _ in range(chance.randint(1, 6)):
            place = chance.randrange(len(data))
            match chance.randrange(4):
                case 0:
                    data[place] = chance.choice(b'",;\n\r\0-.eE9\xff ')
                case 1:
                    del data[place : place + chance.randint(1, 40)]
                case 2:
                    data[place:place] = data[place : place + chance.randint(1, 200)]
                case _:
                    data[place:place] = chance.choice((b'"', b"\n,", b"nan", b"1e400", b"\xc3"))
        (folder / form.file).write_bytes(bytes(data))
    faults: tuple[Fault, ...] = ()
    try:
        read_line(folder)
    except InputError as error:
        faults = error.faults
    assert all(
        fault.place.split(",")[0] in {f.file for f in (*FORMS, *FURTHER)} for fault in faults
    )


@pytest.mark.parametrize("at_work", [True, False])
def test_the_collector_is_left_as_it_was(folder: Path, at_work: bool) -> None:
    before = gc.isenabled()
    try:
        (gc.enable if at_work else gc.disable)()
        read_line(folder)
        (folder / "motors.csv").write_bytes(b"")
        faults_of(folder)
        assert gc.isenabled() == at_work
    finally:
        (gc.enable if before else gc.disable)()


def test_of_many_names_only_those_that_begin_alike_are_compared(folder: Path) -> None:
    """A hundred thousand comparisons of words would take minutes."""
    names = "".join(f"B{k}\n" for k in range(20_000))
    (folder / "brakes.csv").write_text(f"brake\n{names}", "utf-8")
    (folder / "pairings.csv").write_text("kind,left,right\n", "utf-8")
    remedies = {fault.remedy for fault in faults_of(folder)}
    assert "Add it to brakes.csv, or name another." in remedies
    set_cell(folder, "motors.csv", 2, "brake", "B19999x")
    assert any("Did you mean B1" in fault.remedy for fault in faults_of(folder))


def test_names_of_accessories_must_be_those_of_parts(folder: Path) -> None:
    head = "accessory,kind,fits_motors,fits_drives\n"
    row = "A,spare,xm38-0050h;XM27-0450H;XM27-*,XD-L?\n"
    (folder / "accessories.csv").write_text(head + row, "utf-8")
    (fault,) = faults_of(folder)
    assert fault.place == "accessories.csv, row 2, column fits_motors"
    assert '"XM27-0450H"' in fault.read
