"""Samples from a CSV file beside the axis file, and from the axis file itself."""

from __future__ import annotations

import json
import os

import pytest
from hypothesis import given
from hypothesis import strategies as st

import dutyline as dl
from dutyline.axis.change import changed
from dutyline.axis.read import read_axis
from dutyline.axis.sheet import Column, read_sheet
from dutyline.axis.write import write_axis
from support.command import dutyline

AXIS = """\
schema = 1

[axis]
title = "Cam"

[load]
mass = "4 kg"

[mechanism]
kind = "belt"
diameter = "40 mm"

[[phase]]
name = "cam"
do = "table"
file = "cam.csv"
leader_speed = "120 r/min"
"""
ROWS = [(0, 0.0), (60, 12.5), (120, 40.25), (180, 60.0), (240, 40.25), (300, 12.5), (360, 0.0)]
PLAIN = "phi [deg];s [mm]\n" + "".join(f"{a};{b}\n" for a, b in ROWS)


def read(rows: str, axis: str = AXIS) -> dl.Axis:
    return read_axis("axis.toml", text=axis, files={"cam.csv": rows})


def faults(rows: str, axis: str = AXIS) -> list[dl.Fault]:
    with pytest.raises(dl.InputError) as caught:
        read(rows, axis)
    return list(caught.value.faults)


def comma(text: str) -> str:
    return text.replace(".", ",")


FORMS = {
    "semicolons and commas": comma(PLAIN),
    "commas and points": PLAIN.replace(";", ","),
    "tabulators": PLAIN.replace(";", "\t"),
    "tabulators and commas": comma(PLAIN).replace(";", "\t"),
    "quoted decimal commas": "phi [deg],s [mm]\n"
    + "".join(f'{a},"{str(b).replace(".", ",")}"\n' for a, b in ROWS),
    "round brackets": PLAIN.replace("[", "(").replace("]", ")"),
    "in": PLAIN.replace(" [deg]", " in deg").replace(" [mm]", " in mm"),
    "slash": PLAIN.replace(" [deg]", "/deg").replace(" [mm]", " / mm"),
    "units with every number": "".join(f"{a} deg;{b} mm\n" for a, b in ROWS),
    "one unit in the header": "phi;s [mm]\n" + "".join(f"{a} deg;{b}\n" for a, b in ROWS),
    "turns and metres": "phi [rev];s [m]\n" + "".join(f"{a / 360};{b / 1000}\n" for a, b in ROWS),
    "Windows": "\ufeff".lstrip("\ufeff") + PLAIN.replace("\n", "\r\n"),
    "remarks, blanks and an empty last column": "# drawn by hand\n\n" + PLAIN.replace("\n", ";\n"),
    "exponents": "phi [deg];s [mm]\n" + "".join(f"{a:e};{b:e}\n" for a, b in ROWS),
    "starting elsewhere": "phi [deg];s [mm]\n" + "".join(f"{a + 90};{b + 7.5}\n" for a, b in ROWS),
    "an honest minus": PLAIN.replace("0;0.0", "\u22120;0.0", 1),
}


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_the_same_cam(form):
    wanted, found = read(PLAIN).cycle, read(FORMS[form]).cycle
    assert found.duration == pytest.approx(0.5, rel=1e-12)
    for one, other in zip(wanted.pieces, found.pieces, strict=True):
        assert other.poly == pytest.approx(one.poly, rel=1e-9, abs=1e-12)


def test_speeds_over_time_are_known_by_their_units():
    axis = AXIS.replace('leader_speed = "120 r/min"\n', "")
    cycle = read("t [ms];v [m/s]\n0;0\n100;1\n200;-1\n300;0\n", axis + BACK).cycle
    assert cycle.phases[0].duration == pytest.approx(0.3)
    assert cycle.phases[0].top_speed == pytest.approx(1.0)


BACK = '\n[[phase]]\ndo = "dwell"\ntime = "0.2 s"\n'

BAD = [
    ("empty", "", None, "the file is empty", "first row"),
    ("header alone", "phi [deg];s [mm]\n", 1, "no row of numbers", "Add the samples"),
    ("no unit", "phi;s\n0;0\n1;1\n", 2, "without a unit", "first row"),
    ("odd unit", "phi [deg];s [kg]\n0;0\n", 1, "has no unit", "first row"),
    ("three columns", PLAIN.replace("60;12.5", "60;12.5;3"), 3, "3 cells", "Keep two"),
    ("decimal commas between commas", comma(PLAIN).replace(";", ","), 2, "cells between commas",
     "semicolons"),
    ("a gap", PLAIN.replace("60;12.5", "60;"), 3, "two are needed", "Keep two"),
    ("a word", PLAIN.replace("60;12.5", "60;open"), 3, '"open"', "drop the row"),
    ("not a number", PLAIN.replace("60;12.5", "60;nan"), 3, '"nan"', "drop the row"),
    ("two conventions", PLAIN.replace("60;12.5", "60;12,5"), 3, "decimal commas (row 3)",
     "one of them"),
    ("two points", PLAIN.replace("60;12.5", "60;12.5.1"), 3, '"12.5.1"', "drop the row"),
    ("an open quote", PLAIN.replace("60;12.5", '60;"12.5'), 3, "quote", "Close"),
    ("huge", PLAIN.replace("60;12.5", "60;1e300 mm"), 3, "beyond any machine", "Check"),
    ("many rows", "phi [deg];s [mm]\n" + "0;0\n" * 20_001, 20_002, "20001 rows", "Thin"),
]  # fmt: skip


@pytest.mark.parametrize(("rows", "row", "words", "remedy"), [b[1:] for b in BAD],
                         ids=[b[0] for b in BAD])  # fmt: skip
def test_a_fault_names_the_row(rows, row, words, remedy):
    found = faults(rows)
    place = "cam.csv" if row is None else f"cam.csv:{row}"
    first = next((f for f in found if f.place == place), None)
    assert first is not None, [f.text() for f in found]
    assert first.field == "phase.cam.file"
    assert words in first.read
    assert remedy in first.remedy


def test_a_broken_file_tells_a_few_faults_and_stops():
    assert len(faults("phi [deg];s [mm]\n" + "x;y\n" * 500)) == 10


@pytest.mark.parametrize(
    ("old", "new", "field", "words", "remedy"),
    [
        ('file = "cam.csv"\n', "", "phase.cam.file", "missing", "Write file"),
        ('file = "cam.csv"', 'file = "cam.csv"\npoints = [["0 s", "0 mm"]]', "phase.cam.file",
         "stand together", "Write file"),
        ('"120 r/min"', '"2 m/s"', "phase.cam.leader_speed", "leader turns", "r/min"),
        ('leader_speed = "120 r/min"\n', "", "phase.cam.leader_speed", "how fast", "leader_speed"),
        ('"120 r/min"', '"120 r/min"\nover = "time"', "phase.cam.over", "say leader", "leader"),
        ('"120 r/min"', '"120 r/min"\ngives = "speed"', "phase.cam.gives", "say position",
         "position"),
        ('"120 r/min"', '"120 r/min"\nsmoothing = "1 ms"', "phase.cam.smoothing", "smoothed",
         "or more"),
        ('"120 r/min"', '"120 r/min"\nby = "3 mm"', "phase.cam.by", "no such field", "move"),
        ('"120 r/min"', "120", "phase.cam.leader_speed", "120", "r/min"),
    ],
)  # fmt: skip
def test_fields_that_do_not_go_together(old, new, field, words, remedy):
    found = [f for f in faults(PLAIN, AXIS.replace(old, new)) if f.field == field]
    assert found, [f.text() for f in faults(PLAIN, AXIS.replace(old, new))]
    assert words in found[0].read
    assert remedy in found[0].remedy
    assert found[0].place.startswith("axis.toml:")


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ("3", "list of pairs"),
        ('[["0 s"]]', "list of pairs"),
        ('[["0 kg", "0 mm"], ["1 s", "1 mm"]]', '"0 kg"'),
        ('[["0 s", "0 mm"], ["1 s", "1 m/s"]]', '"1 m/s"'),
        ('[["0 s", "0 mm"], ["1 deg", "1 mm"]]', '"1 deg"'),
        ("[" + '["0 s", "0 mm"],' * 501 + "]", "501 samples"),
        ('[["0 s", "0 mm"], ["1 s", "1 mm"]]', "needs 4"),
    ],
)
def test_points_that_cannot_be_used(points, words):
    axis = AXIS.replace('file = "cam.csv"\nleader_speed = "120 r/min"', f"points = {points}")
    assert any(words in f.read for f in faults("", axis)), [f.text() for f in faults("", axis)]


def test_points_do_what_a_file_does():
    rows = ", ".join(f'["{a} deg", "{b} mm"]' for a, b in ROWS)
    axis = AXIS.replace('file = "cam.csv"', f"points = [{rows}]")
    assert read("", axis).cycle.pieces == read(PLAIN).cycle.pieces


def test_the_file_goes_with_the_axis():
    axis = read(PLAIN)
    assert changed(axis, {"load.mass": "5 kg"}).cycle == axis.cycle
    again = read_axis("axis.toml", text=write_axis(axis), files=axis.files)
    assert again.cycle == axis.cycle
    other = changed(axis, {"phase.cam.leader_speed": "60 r/min"})
    assert other.cycle.duration == pytest.approx(1.0)
    assert any("SHA-256" in note for note in axis.notes)


def test_a_case_with_samples_of_its_own():
    other = '\n[[case]]\nname = "soft"\nset = { "phase.cam.file" = "soft.csv" }\n'
    files = {"cam.csv": PLAIN, "soft.csv": PLAIN.replace("60.0", "50.0")}
    axis = read_axis("axis.toml", text=AXIS + other, files=files)
    assert axis.cycle.pieces[3].poly[0] == pytest.approx(0.06)
    assert axis.cases[0].cycle.pieces[3].poly[0] == pytest.approx(0.05)
    files["soft.csv"] = PLAIN.replace("60;12.5", "60;x")
    with pytest.raises(dl.InputError) as caught:
        read_axis("axis.toml", text=AXIS + other, files=files)
    (fault,) = caught.value.faults
    assert fault.place == "soft.csv:3"
    assert fault.field == "case.soft.phase.cam.file"


class TestFolder:
    """Nothing outside the folder of the axis file is read."""

    @pytest.fixture
    def folder(self, tmp_path):
        inside = tmp_path / "axis"
        (inside / "data").mkdir(parents=True)
        (inside / "cam.csv").write_text(PLAIN)
        (inside / "data" / "cam.csv").write_text(PLAIN)
        (tmp_path / "cam.csv").write_text(PLAIN)
        (inside / "link.csv").symlink_to(tmp_path / "cam.csv")
        (inside / "round.csv").symlink_to(inside / "round.csv")
        (inside / "axis.toml").write_text(AXIS)
        return inside

    def put(self, folder, name):
        (folder / "axis.toml").write_text(AXIS.replace('"cam.csv"', json.dumps(name)))
        return folder / "axis.toml"

    @pytest.mark.parametrize("name", ["cam.csv", "./cam.csv", "data/cam.csv", "data\\cam.csv"])
    def test_inside(self, folder, name):
        assert read_axis(self.put(folder, name)).cycle.duration == pytest.approx(0.5)

    @pytest.mark.parametrize(
        "name",
        ["../cam.csv", "data/../../cam.csv", "..\\cam.csv", "/etc/passwd", "C:\\cam.csv",
         "\\\\host\\share\\cam.csv", "link.csv", "round.csv", "data", "none.csv", " ", "."],
    )  # fmt: skip
    def test_outside_or_missing(self, folder, name):
        with pytest.raises(dl.InputError) as caught:
            read_axis(self.put(folder, name))
        assert [f.field for f in caught.value.faults] == ["phase.cam.file"]
        assert all(f.remedy for f in caught.value.faults)

    def test_large_and_binary(self, folder):
        for raw, words in ((b"1;1\n" * 600_000, "larger"), (b"\0\1\2", "zero bytes"),
                           (b"\xff\xf0;1", "UTF-8")):  # fmt: skip
            (folder / "cam.csv").write_bytes(raw)
            with pytest.raises(dl.InputError, match=words):
                read_axis(folder / "axis.toml")

    def test_utf_16_is_read(self, folder):
        (folder / "cam.csv").write_bytes(PLAIN.encode("utf-16"))
        assert read_axis(folder / "axis.toml").cycle.duration == pytest.approx(0.5)

    @pytest.mark.skipif(os.geteuid() == 0, reason="root reads everything")
    def test_no_rights(self, folder):
        (folder / "cam.csv").chmod(0)
        with pytest.raises(dl.InputError, match="rights"):
            read_axis(folder / "axis.toml")

    def test_standard_input_has_no_folder(self):
        done = dutyline("demand", "-", stdin=AXIS)
        assert done.code == 2
        assert "no folder" in done.err


@given(st.text(alphabet='0123456789.,;\t" -+eE[]()/ndegms#\n', max_size=80))
def test_any_text_is_read_or_refused_in_words(text):
    columns = (Column("a time", ("time", "angle")), Column("a place", ("length", "speed")))
    sheet = read_sheet("x.csv", "phase.1.file", text, columns)
    assert sheet.faults or sheet.rows
    assert all(f.read for f in sheet.faults)
