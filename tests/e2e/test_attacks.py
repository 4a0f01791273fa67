"""Hostile and careless input: a sentence with place and remedy, code 2, nothing written."""

from __future__ import annotations

import json
import shutil
import time
import warnings
from pathlib import Path

import pytest

import dutyline as dl
from dutyline.axis.new import ask
from support.axis_files import LIFT, TABLE, edited, line_of
from support.bad_files import FILES, force, many
from support.command import dutyline, refused, said

pytestmark = [pytest.mark.e2e, pytest.mark.usefixtures("remedies_once")]

PARTS = ("--motor", "XM88-0800H", "--gearhead", "XG88-9", "--brake", "XB88")
SLOW = 5.0
"""[s] of computing that no input may take before it is refused."""


def test_there_are_enough_of_them():
    assert len({name for name, *_ in FILES}) == len(FILES) >= 60


@pytest.mark.parametrize(("text", "place", "remedy"), [c[1:] for c in FILES],
                         ids=[c[0] for c in FILES])  # fmt: skip
def test_files_that_cannot_be_used(text, place, remedy, tmp_path):
    raw = text if isinstance(text, bytes) else text.encode()
    (tmp_path / "axis.toml").write_bytes(raw)
    started = time.process_time()
    err = refused("report", "axis.toml", *PARTS, "--to", "axis.pdf", cwd=tmp_path)
    assert time.process_time() - started < SLOW
    assert err.startswith("⊠ axis.toml cannot be used: ")
    assert place in err
    assert remedy in err


@pytest.mark.parametrize("verb", ["demand", "verify", "select", "report"])
@pytest.mark.parametrize("options", [(), ("--json",), ("-v",), ("-q",)], ids=" ".join)
def test_every_verb_refuses_alike(verb, options, tmp_path):
    text = edited(LIFT, ('"40 kg"', '"-40 kg"'))
    (tmp_path / "axis.toml").write_text(text, encoding="utf-8")
    parts = PARTS if verb in ("verify", "report") else ()
    err = refused(verb, "axis.toml", *parts, *options, cwd=tmp_path)
    assert f"axis.toml:{line_of(text, 'mass =')}: load.mass" in err
    assert "Leave out the minus sign" in err
    piped = refused(verb, "-", *parts, *options, cwd=tmp_path, stdin=text)
    assert "standard input:7: load.mass" in piped


COMMANDS = [
    (("lift",), "No such command", "dutyline --help"),
    (("demand",), "no axis file is named", "Name one file"),
    (("demand", "no.toml"), "no.toml: there is no such file", "Check the name"),
    (("demand", "folder"), "folder: this is a folder", "Name the axis file in it"),
    (("demand", ""), "this is a folder", "Name the axis file"),
    (("demand", "\0"), "cannot be read", "Check name and rights"),
    (("demand", "a" * 500), "cannot be read", "Check name and rights"),
    (("demand", "\x1b[31m.toml"), "\\u001b[31m.toml: there is no such file", "Check the name"),
    (("demand", "-"), "standard input: schema", "Write schema = 1"),
    (("demand", "--example", "../lift"), "there is no example", "The nearest"),
    (("demand", "axis.toml", "--example", "lift"), "a file and an example", "Name one file"),
    (("demand", "axis.toml", "--nosuch"), "There is no option", "dutyline demand --help"),
    (("demand", "axis.toml", "--color", "red"), "not one of", "dutyline demand --help"),
    (("verify", "axis.toml"), '"--motor" is needed', "dutyline verify --help"),
    (("verify", "axis.toml", "--motor", ""), "motor: there is no motor", "select"),
    (("verify", "axis.toml", "--motor", "\x1b[2J"), "\\u001b[2J", "select"),
    (("verify", "axis.toml", "--motor", "xm88-0800h"), "motor: there is no motor", "XM88-0800H"),
    (("verify", "axis.toml", *PARTS, "--drive", "X"), "drive: there is no drive", "select"),
    (
        ("verify", "axis.toml", *PARTS, "--line", "no"),
        '"no": there is no such folder',
        "motors.csv",
    ),
    (
        ("verify", "axis.toml", *PARTS, "--line", "axis.toml"),
        "axis: there is no such key",
        "conventions, ours, table",
    ),
    (
        ("select", "axis.toml", "--line", "folder"),
        "motors.csv: the file is missing",
        "column names",
    ),
    (("report", "axis.toml", "--gearhead", "XG88-9"), "--gearhead: no motor", "Name --motor"),
    (("report", "axis.toml", "--to", "x.docx"), '--to: read "x.docx"', 'Write "x.pdf"'),
    (("report", "axis.toml", "--to", ""), '--to: read ""', 'Write "axis.pdf"'),
    (("report", "axis.toml", "--to", "no/x.pdf"), 'there is no folder "no"', "Make it first"),
    (("report", "axis.toml", "--to", "folder"), '"folder" is a folder', "Name a file in it"),
    (("report", "axis.toml", "--to", "\0.pdf"), "characters no name has", "Name it in letters"),
    (("report", "axis.toml", "--to", "\x1b[31m.pdf"), "characters no name has", "in letters"),
    (("report", "axis.toml", "--to", "a" * 300 + ".pdf"), "cannot be written", "another name"),
    (("new", "--to", "axis.toml"), "axis.toml exists", "name another with --to"),
    (("new", "--to", "no/x.toml"), 'there is no folder "no"', "Make it first"),
    (("new", "--to", "folder"), '"folder" is a folder', "Name a file in it"),
    (("new", "--to", ""), "a file is needed", "Write --to axis.toml"),
    (("new", "--to", "\0"), "characters no name has", "Name it in letters"),
    (("new", "--to", "a" * 300), "cannot be written", "another name"),
    (("line", "--mains", "many"), "--mains: read", "--mains"),
    (("line", "--mains", "nan"), "--mains: read", "--mains"),
    (("line", "--mains", "5 A"), "--mains: read", "V"),
    (("line", "--mains", "-5"), "mains voltage above 0", "Give 230"),
    (("line", "--mains", "1e300"), "power of ten", "Check the exponent"),
    (("schema", "nosuch"), 'there is no kind or section "nosuch"', "There are the kinds"),
]


@pytest.mark.parametrize(("arguments", "place", "remedy"), COMMANDS,
                         ids=[" ".join(c[0])[:60].encode("unicode_escape").decode()
                              for c in COMMANDS])  # fmt: skip
def test_commands_that_cannot_be_used(arguments, place, remedy, tmp_path):
    (tmp_path / "axis.toml").write_text(LIFT, encoding="utf-8")
    (tmp_path / "folder").mkdir()
    err = refused(*arguments, cwd=tmp_path)
    assert place in err
    assert remedy in err


@pytest.mark.parametrize("typed", ["230 V", "0,23 kV", "230.0"])
def test_a_supply_is_typed_with_its_unit_or_without(typed):
    plain = dutyline("line", "--mains", "230", "--json")
    assert plain.code == 0
    assert dutyline("line", "--mains", typed, "--json") == plain


def _rows(file: Path) -> list[str]:
    return file.read_text(encoding="utf-8").splitlines()


def _cell(file: Path, column: str, text: str) -> None:
    rows = _rows(file)
    cells = rows[1].split(",")
    cells[rows[0].split(",").index(column)] = text
    file.write_text("\n".join([rows[0], ",".join(cells), *rows[2:]]) + "\n", encoding="utf-8")


LINES = [
    ("a file missing", "brakes.csv", lambda f: f.unlink(), "the file is missing", "column names"),
    ("an empty file", "brakes.csv", lambda f: f.write_text(""), "is empty", "Write the row"),
    ("no motor", "motors.csv", lambda f: f.write_text(_rows(f)[0]), "has no row", "Write a row"),
    ("a link out", "brakes.csv", lambda f: (f.unlink(), f.symlink_to(__file__)),
     "is a link that leaves the folder", "Copy the file"),
    ("a folder", "brakes.csv", lambda f: (f.unlink(), f.mkdir()), "is not a file", "in its place"),
    ("UTF-16", "brakes.csv", lambda f: f.write_bytes(f.read_text().encode("utf-16")),
     "brakes.csv, row 1: byte 0xff", "CSV UTF-8"),
    ("an open quote", "brakes.csv", lambda f: f.write_text(f.read_text() + '"abc\n'),
     "is not a CSV row", "quote left open"),
    ("a short row", "brakes.csv", lambda f: f.write_text(f.read_text() + "XB1,2\n"),
     "row 8: has 2 cells", "Add the missing commas"),
    ("a name twice", "brakes.csv", lambda f: f.write_text(f.read_text() + _rows(f)[1] + "\n"),
     "stands in row 2 already", "Rename or remove"),
    ("semicolons", "brakes.csv", lambda f: f.write_text(f.read_text().replace(",", ";")),
     "separated by semicolons", "Save the file with commas"),
    ("a column twice", "brakes.csv",
     lambda f: f.write_text(f.read_text().replace("\n", ",x\n").replace(",x", ",brake", 1)),
     "stands twice", "Remove one"),
    ("nan", "motors.csv", lambda f: _cell(f, "torque_peak_nm", "nan"),
     "row 2, column torque_peak_nm", "empty where the value is not known"),
    ("a decimal comma", "motors.csv", lambda f: _cell(f, "torque_peak_nm", '"1,5"'),
     "motors.csv, row 2", "Write a point: 1.5"),
    ("a unit in a cell", "motors.csv", lambda f: _cell(f, "torque_peak_nm", "1.5 N"),
     "column torque_peak_nm", "Write the number alone"),
    ("an exponent of a thousand million", "motors.csv", lambda f: _cell(f, "iron_exponent", "1e9"),
     "column iron_exponent", "Correct the cell"),
    ("no such brake", "motors.csv", lambda f: _cell(f, "brake", "nothing"),
     "a name from brakes.csv is needed", "Add it to brakes.csv"),
]  # fmt: skip


@pytest.fixture
def line(tmp_path: Path) -> Path:
    shipped = Path(dl.__file__).parent / "data" / "demo-line"
    return Path(shutil.copytree(shipped, tmp_path / "line"))


@pytest.mark.parametrize(("file", "spoil", "place", "remedy"), [c[1:] for c in LINES],
                         ids=[c[0] for c in LINES])  # fmt: skip
def test_lines_that_cannot_be_used(file, spoil, place, remedy, line):
    spoil(line / file)
    (line.parent / "axis.toml").write_text(LIFT, encoding="utf-8")
    err = refused("select", "axis.toml", "--line", "line", cwd=line.parent)
    assert place in err
    assert remedy in err


def test_a_line_without_pairings_brings_no_warning(line):
    (line / "pairings.csv").write_text(_rows(line / "pairings.csv")[0] + "\n", encoding="utf-8")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        axis = dl.read_axis("lift.toml", text=LIFT)
        verdict = dl.verify(axis, dl.Combination("XM88-0800H", "XG88-9"), dl.read_line(line))
    assert verdict.verdict in ("fails", "incomplete")


DIRECT = edited(
    LIFT,
    ('"ball-screw"\nlead = "10 mm"\ndiameter = "20 mm"\nlength = "600 mm"', '"direct"'),
    ('[[stage]]\nkind = "coupling"\ninertia = "0.3 kg*cm^2"\n', ""),
)


@pytest.mark.parametrize("verb", ["verify", "select", "report"])
def test_a_linear_motor_is_not_sized_as_a_turning_one(verb, tmp_path):
    (tmp_path / "axis.toml").write_text(DIRECT, encoding="utf-8")
    parts = PARTS if verb == "verify" else ()
    err = refused(verb, "axis.toml", *parts, cwd=tmp_path)
    assert "axis.toml: mechanism.kind: direct" in err
    assert "Take the demand from dutyline demand" in err


@pytest.mark.parametrize("text", [DIRECT, edited(DIRECT, ("efficiency = 0.92\n", ""))],
                         ids=["with losses", "without"])  # fmt: skip
def test_demand_of_a_linear_motor_is_a_force(text):
    data = json.loads(dutyline("demand", "-", "--json", stdin=text).out)
    assert data["shaft"]
    assert data["peak_torque"]["unit"] == "N"
    assert data["reflected_inertia"]["max"]["unit"] == "kg"


TURNING = edited(
    TABLE,
    ('mass = "60 kg"', 'mass = "60 kg"\narm = "0.3 m"'),
    ('kind = "rotary-table"', 'kind = "rotary-table"\ntilt = "90 deg"\nendless = true'),
    ('by = "30 deg"\ntime = "0.25 s"', 'by = "1000000 rev"\ntime = "10 s"'),
    ('[duty]\nrate = "60 /min"', '[duty]\ncycle = "11 s"'),
)


def test_a_weight_that_turns_a_million_times(tmp_path):
    (tmp_path / "axis.toml").write_text(TURNING, encoding="utf-8")
    started = time.process_time()
    err = refused("demand", "axis.toml", cwd=tmp_path)
    assert time.process_time() - started < SLOW
    assert "axis.toml: phase: with phase 1 the cycle falls into more than" in err
    assert "State fewer phases, turns" in err


HEAVY = edited(LIFT, ('"40 kg"', '"1e9 kg"'))


def test_a_winding_that_runs_away_is_judged_and_brings_no_warning():
    axis = dl.read_axis("lift.toml", text=HEAVY)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        verdict = dl.verify(axis, dl.Combination("XM88-0800H", "XG88-9", brake="XB88"))
    (rise,) = [row for row in verdict.ledger if row.check == "winding-temperature"]
    assert rise.state == "fails"
    assert rise.demand == float("inf")


def test_what_nobody_judges_is_named_beside_the_verdict():
    stop = '[[phase]]\nname = "halt"\ndo = "stop"\nmeans = "brake"\nreaction = "0.1 s"\n\n[site]'
    text = edited(LIFT, ("[site]", stop))
    note = "judged by no check of this version; compare by hand: phase.halt.reaction"
    verify = ("verify", "-", *PARTS)
    assert note in said(dutyline(*verify, stdin=text).out)
    assert note in said(dutyline("select", "-", stdin=text).out)
    cautions = json.loads(dutyline(*verify, "--json", stdin=text).out)["cautions"]
    assert any(note in caution for caution in cautions)


def test_titles_in_markup_stay_text(tmp_path):
    title = "#panic() $x$ *b* <script>alert(1)</script> &amp; ]]> `r` @ref {{x}}"
    text = edited(LIFT, ('"Lift"', f'"{title}"'))
    (tmp_path / "axis.toml").write_text(text, encoding="utf-8")
    for name in ("axis.html", "axis.pdf"):
        done = dutyline("report", "axis.toml", *PARTS, "--to", name, cwd=tmp_path)
        assert done.code == 1, done.err
        assert (tmp_path / name).stat().st_size > 10_000
    page = (tmp_path / "axis.html").read_text(encoding="utf-8")
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp;amp;" in page


def test_long_lists_are_shown_in_part():
    points = many('["{} mm", "1 N"], ', 60)
    axis = dl.read_axis("lift.toml", text=edited(LIFT, force(f"points = [{points}]")))
    (shown,) = [i.value for i in axis.inputs if i.path == "force.1.points"]
    assert str(shown).endswith("1 N at 19 mm, 40 more")


@pytest.mark.parametrize("typed", ["1e15 V, 3", "-230 V, 3", "x230 mV, 3"])
def test_a_voltage_is_read_whole_or_asked_again(typed):
    told: list[str] = []
    answers = iter(["belt", "10 kg", "300 mm in 0.6 s", "30 /min", typed, ""])
    text = ask(answers, told.append)
    assert "# mains" in text
    assert any("names no voltage" in row for row in told)


# Streams ----------------------------------------------------------------------------------------


# Reports that cannot be written -----------------------------------------------------------------


# The same from Python ---------------------------------------------------------------------------

CALLS = [
    ("read_axis(3)", lambda: dl.read_axis(3), "source: got int"),
    ("read_axis(bytes)", lambda: dl.read_axis(b"lift.toml"), "source: got bytes"),
    ("text of bytes", lambda: dl.read_axis("a", text=b"schema = 1"), "text: got bytes"),
    ("demand of a name", lambda: dl.demand("lift.toml"), "axis: got str"),
    ("select of nothing", lambda: dl.select(None), "axis: got NoneType"),
    ("select on a name", lambda: dl.select(_axis(), "demo"), "line: got str"),
    ("verify a name", lambda: dl.verify(_axis(), "XM88-0800H"), "combination: got str"),
    ("verify a part", lambda: dl.verify(_axis(), dl.Combination(dl.demo_line().motors[0])),
     "combination.motor: got Motor"),
    ("verify on a folder", lambda: dl.verify(_axis(), dl.Combination("XM88-0800H"), "line"),
     "line: got str"),
    ("report of nothing", lambda: dl.report(None, "a.pdf"), "verdict: got NoneType"),
    ("read_line(None)", lambda: dl.read_line(None), "path: got NoneType"),
    ("schema(3)", lambda: dl.schema(3), "kind: got int"),
]  # fmt: skip


def _axis() -> dl.Axis:
    return dl.read_axis("lift.toml", text=LIFT)


@pytest.mark.parametrize(("call", "place"), [c[1:] for c in CALLS], ids=[c[0] for c in CALLS])
def test_arguments_of_another_type(call, place):
    with pytest.raises(dl.InputError) as caught:
        call()
    (fault,) = caught.value.faults
    assert fault.text().startswith(place)
    assert fault.remedy
