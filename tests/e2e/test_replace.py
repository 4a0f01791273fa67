"""dutyline replace as a user runs it."""

from __future__ import annotations

import json

import numpy as np
import pytest

import dutyline as dl
from support.command import LIFT, dutyline
from support.plates import HEAD, PRINT_16, own_entries, text_of

pytestmark = pytest.mark.e2e


@pytest.fixture
def plate(tmp_path):
    path = tmp_path / "plate.toml"
    path.write_text(PRINT_16, "utf-8")
    return path


def own_plate(tmp_path, more=""):
    line = dl.demo_line()
    motor = line.motors[line.motor_index["XM72-0450H"]]
    path = tmp_path / "own.toml"
    path.write_text(HEAD + text_of(own_entries(line, motor)) + more, "utf-8")
    return path


def test_nothing_meets_the_obsolete_motor(plate):
    done = dutyline("replace", str(plate))
    assert done.code == 1
    text = " ".join(done.out.split())
    assert "offer is no equivalent as it is" in text
    assert text.index("First what can hurt") < text.index("Old and new")
    for words in ("5.00 before, 15.6 after", "75.8", "328", "Another winding", "tuned again"):
        assert words in text.replace("\u00a0", " ").replace("\u202f", " "), words
    assert all(len(line) <= 80 for line in done.out.splitlines())


def test_wide_and_ascii(plate):
    wide = dutyline("replace", str(plate), COLUMNS="120")
    assert max(map(len, wide.out.splitlines())) > 80
    assert all(len(line) <= 120 for line in wide.out.splitlines())
    assert dutyline("replace", str(plate), "--ascii").out.isascii()


def test_json_says_the_same(plate):
    done = dutyline("replace", str(plate), "--json")
    data = json.loads(done.out)
    assert (done.code, data["schema"], data["meets"]) == (1, "dutyline.replacement/1", False)
    offer = next(e for e in data["equivalents"] if e["offered"])
    limit = next(h for h in offer["hurts"] if h["kind"] == "gear-torque")["settings"][0]
    assert limit["value"]["value"] == pytest.approx(70 / 6.65)
    python = dl.equivalents(dl.read_plate(plate))
    assert [e["motor"] for e in data["equivalents"]] == [
        e.combination.motor for e in python.equivalents
    ]
    assert [e["state"] for e in data["equivalents"]] == [e.state for e in python.equivalents]


def test_a_motor_of_the_line_has_an_equivalent(tmp_path):
    done = dutyline("replace", str(own_plate(tmp_path)))
    assert done.code == 0
    assert "XM72-0450H" in done.out.splitlines()[0]


def test_an_empty_file_is_left_and_can_be_read(tmp_path):
    done = dutyline("replace", "--new", cwd=tmp_path)
    assert done.code == 0
    assert dutyline("replace", "plate.toml", cwd=tmp_path).code == 1
    again = dutyline("replace", "--new", cwd=tmp_path)
    assert again.code == 2
    assert "is there already" in again.err


def test_every_sample_of_the_empty_file_is_valid(tmp_path):
    import re

    dutyline("replace", "--new", cwd=tmp_path)
    text = (tmp_path / "plate.toml").read_text("utf-8")
    text = re.sub(r"^# (\[|[a-z_]+ = )", r"\1", text, flags=re.M)
    text = text.replace('torque = "" ', 'torque = "M" ').replace('time = "" ', 'time = "t" ')
    text = text.replace('speed = "" ', 'speed = "n" ')
    (tmp_path / "all.toml").write_text(text, "utf-8")
    done = dutyline("replace", "all.toml", cwd=tmp_path)
    assert done.code in (0, 1), done.err


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ("schema", "this is missing")),
        ('schema = 2\n[plate]\ntitle = "x"\n', ("this version reads schema 1",)),
        ('schema = 1\n[plate]\ntitle = "x"\n', ("[motor]",)),
        (HEAD + "[motor]\ntorque = 2\n", ("motor.torque", "without a unit")),
        (HEAD + '[motor]\ntorque = "2 kg"\n', ("motor.torque",)),
        (HEAD + '[motor]\ntorqe = "2 Nm"\n', ("The nearest is",)),
        (HEAD + '[motor]\nfeedback = "magic"\n', ("no such feedback",)),
        (HEAD + "[motor]\npoles = 7\n", ("even number",)),
        (HEAD + '[motor]\ntorque = "-2 Nm"\n', ("motor.torque",)),
        (HEAD + '[motor]\ntorque = "1,250 Nm"\n', ("decimal mark",)),
        (HEAD + '[motor]\n[gearhead]\ntorque = "3 Nm"\n', ("gearhead.ratio", "missing")),
        (HEAD + '[motor]\n[gearhead]\nratio = "3/0"\n', ("gearhead.ratio",)),
        (HEAD + "[motor]\n[motor]\n", ("twice",)),
        (HEAD + "[motors]\n", ("no such section",)),
        (HEAD + "motor = 3\n", ("plate.motor",)),
        (HEAD + '[motor]\nmass = "40 kg" "x"\n', ("not TOML",)),
    ],
)
def test_bad_plates_are_told_with_their_place(tmp_path, text, words):
    path = tmp_path / "plate.toml"
    path.write_text(text, "utf-8")
    done = dutyline("replace", str(path))
    assert done.code == 2, done.out
    assert done.out == ""
    for word in words:
        assert word in done.err
    assert "Traceback" not in done.err


def test_other_bad_input(tmp_path, plate):
    for arguments, words in (
        ((), "no plate file"),
        (("no.toml",), "no such file"),
        ((str(plate), "--axis", "no.toml"), "no such file"),
        ((str(plate), "--trace", "no.csv"), "missing"),
        ((str(plate), "--line", "nowhere"), "no such folder"),
        ((str(plate), "--to", "x.docx"), "docx"),
        ((str(plate), "--axis", str(LIFT), "--trace", "t.csv"), "Name one of the two"),
    ):
        done = dutyline("replace", *arguments, cwd=tmp_path)
        assert (done.code, done.out) == (2, ""), arguments
        assert words in done.err, (arguments, done.err)
        assert "Traceback" not in done.err


def test_on_the_axis_the_verdict_decides(tmp_path):
    path = own_plate(tmp_path, "[keep]\ngravity = true\n")
    done = dutyline("replace", str(path), "--axis", str(LIFT), "--json")
    data = json.loads(done.out)
    assert done.code == 1  # without a gearhead it does not carry the lift
    judged = [e for e in data["equivalents"] if e["on_axis"]]
    assert len(judged) >= 3
    for one in judged:
        row = next(r for r in one["properties"] if r["property"] == "axis")
        assert row["new"] == one["on_axis"]["verdict"]
    assert all(e["state"] != "meets" for e in data["equivalents"] if not e["on_axis"])
    text = dutyline("replace", str(path), "--axis", str(LIFT)).out
    assert "The real duty" in text
    assert "Old motor, as far as it is known" in text


def test_verdicts_are_those_of_verify(tmp_path):
    path = own_plate(tmp_path)
    found = dl.equivalents(path, axis=dl.read_axis(LIFT))
    one = next(e for e in found.equivalents if e.verdict is not None)
    axis = dl.read_axis(LIFT)
    again = dl.verify(axis, one.verdict.combination)
    assert again.verdict == one.verdict.verdict
    assert [(a.check, a.state) for a in again.ledger] == [
        (b.check, b.state) for b in one.verdict.ledger
    ]


def trace_file(tmp_path):
    t = np.arange(2000) * 1e-3
    speed = 1500.0 * np.sin(4 * np.pi * t)
    torque = 40.0 * np.cos(4 * np.pi * t)
    rows = ["Zeit;Drehzahl;Moment", "ms;1/min;%"]
    rows += [
        f"{a * 1e3:.1f};{b:.3f};{c:.3f}".replace(".", ",")
        for a, b, c in zip(t, speed, torque, strict=True)
    ]
    path = tmp_path / "trace.csv"
    path.write_text("\n".join(rows) + "\n", "utf-8")
    return path


MAPPING = """[trace]
time = "Zeit"
time_unit = "ms"
speed = "Drehzahl"
torque = "Moment"
torque_unit = "%"
torque_full = "1.343 Nm"
"""


def test_a_measured_record_decides(tmp_path):
    path = own_plate(tmp_path, MAPPING)
    done = dutyline("replace", str(path), "--trace", str(trace_file(tmp_path)))
    assert done.code == 0, done.out + done.err
    text = " ".join(done.out.split())
    assert "Old motor: rms torque 0.380" in text.replace("\u00a0", " ")
    assert "2000 samples" in text
    data = json.loads(
        dutyline("replace", str(path), "--trace", str(trace_file(tmp_path)), "--json").out
    )
    best = data["equivalents"][0]
    # 40 % of 1.343 N*m as a cosine: rms 0.4 * 1.343 / sqrt(2); the rotor is the old one
    assert best["on_trace"]["rms_torque"]["value"] == pytest.approx(0.4 * 1.343 / 2**0.5, rel=1e-3)


def test_the_record_is_drawn_in_the_plane_of_the_new_motor(tmp_path):
    path = own_plate(tmp_path, MAPPING)
    page = tmp_path / "record.html"
    done = dutyline("replace", str(path), "--trace", str(trace_file(tmp_path)), "-q",
                    "--to", str(page))  # fmt: skip
    assert done.code == 0, done.err
    assert "Measured torque over speed" in page.read_text("utf-8")


def test_a_record_in_per_cent_of_something_is_asked(tmp_path):
    path = own_plate(tmp_path, MAPPING.replace('torque_full = "1.343 Nm"\n', ""))
    done = dutyline("replace", str(path), "--trace", str(trace_file(tmp_path)))
    assert done.code == 2
    assert "what 100 % means is not stated" in " ".join(done.err.split())


def test_records_are_written_twice_alike(tmp_path, plate):
    for name in ("a.pdf", "b.pdf", "a.html"):
        done = dutyline("replace", str(plate), "-q", "--to", str(tmp_path / name))
        assert done.code == 1
        assert "Wrote" in done.err
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    page = (tmp_path / "a.html").read_text("utf-8")
    assert page.index("First what can hurt") < page.index("Old and new")


def test_standard_input_and_decimal_comma():
    text = PRINT_16.replace('title = "Folding unit"', 'title = "x"\ndecimal = "comma"')
    done = dutyline("replace", "-", stdin=text)
    assert done.code == 1
    assert "15,6 after" in " ".join(done.out.split())


def test_numbers_of_the_enquiry(plate):
    """print-16: every number of the enquiry stands in the answer."""
    data = json.loads(dutyline("replace", str(plate), "--json").out)
    figures = {f["field"]: f["value"]["value"] for f in data["plate"]["figures"]}
    offer = next(e for e in data["equivalents"] if e["offered"])
    rows = {row["property"]: row for row in offer["properties"]}
    hurts = {hurt["kind"]: hurt["text"] for hurt in offer["hurts"]}
    assert figures["motor.torque_constant"] == pytest.approx(0.690, abs=5e-4)
    assert 3**0.5 * figures["motor.voltage_constant"] == pytest.approx(0.695, abs=5e-4)
    assert rows["voltage-at-speed"]["new"]["value"] == pytest.approx(210.0, abs=0.05)
    assert rows["voltage-at-speed"]["old"]["value"] == pytest.approx(206.8, abs=0.05)
    assert rows["gear-peak"]["new"]["value"] == pytest.approx(75.8, abs=0.05)
    assert "5.00 before" in hurts["inertia"]
    assert "15.6 after" in hurts["inertia"]
    still = PRINT_16.replace('bus = "325 V"', 'bus = "325 V"\nmains_low = "0 %"')
    data = json.loads(dutyline("replace", "-", "--json", stdin=still).out)
    offer = next(e for e in data["equivalents"] if e["offered"])
    rows = {row["property"]: row for row in offer["properties"]}
    assert rows["voltage-at-speed"]["old"]["value"] == pytest.approx(229.8, abs=0.05)
    assert rows["voltage-at-speed"]["state"] == "short"  # no tenth is left for current


def test_a_record_in_a_workbook(tmp_path):
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    sheet.append(["measured on the old motor"])
    sheet.append(["t", "n", "M"])
    for k in range(500):
        sheet.append([k * 0.002, 1500.0, 0.5])
    book.save(tmp_path / "run.xlsx")
    mapping = '[trace]\ntime = "t"\nspeed = "n"\ntorque = "M"\n'
    path = own_plate(tmp_path, mapping)
    done = dutyline("replace", str(path), "--trace", str(tmp_path / "run.xlsx"), "--json")
    assert done.code == 0, done.err
    best = json.loads(done.out)["equivalents"][0]
    assert best["on_trace"]["rms_torque"]["value"] == pytest.approx(0.5, rel=1e-6)
    assert best["on_trace"]["mean_speed"]["value"] == pytest.approx(1500 * np.pi / 30, rel=1e-9)


def kept_gearhead(name):
    """A gearhead of the line as the old one, everything stated."""
    line = dl.demo_line()
    g = line.gearheads[line.gearhead_index[name]]
    return f"""[gearhead]
ratio = "{g.ratio_exact}"
torque = "{g.torque_rated!r} N*m"
acceleration_torque = "{g.torque_acceleration!r} N*m"
emergency_torque = "{g.torque_emergency!r} N*m"
emergency_count = {g.emergency_count:.0f}
efficiency = {g.efficiency!r}
speed = "{g.speed_in_max!r} rad/s"
mean_speed = "{g.speed_in_mean!r} rad/s"
output_speed = "{g.speed_rated_out!r} rad/s"
life = "{g.life / 3600!r} h"
flange = "72 mm"
shaft = "{g.shaft_in_max!r} m"
backlash = "{g.backlash!r} rad"
inertia = "{g.inertia_in!r} kg*m^2"
no_load_torque = "{g.no_load_torque!r} N*m"
stiffness = "{g.stiffness!r} N*m/rad"
protection = "IP65"
[keep]
gravity = true
"""


def test_a_kept_gearhead_is_judged_like_the_one_of_the_line(tmp_path):
    """The same figures in the plate file and in the line give the same verdict on the lift."""
    path = own_plate(tmp_path, kept_gearhead("XG72-24"))
    axis = dl.read_axis(LIFT)
    found = dl.equivalents(path, axis=axis)
    best = found.equivalents[0]
    assert (best.combination.motor, best.state, best.verdict.verdict) == (
        "XM72-0450H", "meets", "meets",
    )  # fmt: skip
    own = best.verdict.combination
    known = dl.verify(axis, dl.Combination(own.motor, "XG72-24", own.drive, own.brake,
                                           own.resistor))  # fmt: skip
    lines = {(a.check, a.part): a for a in known.ledger}
    for line in best.verdict.ledger:
        same = lines[line.check, line.part]
        if line.check not in ("gear-thermal", "data-quality"):  # not on a plate
            assert (line.demand, line.limit, line.state) == (same.demand, same.limit, same.state)
    assert dutyline("replace", str(path), "--axis", str(LIFT), "-q").code == 0
