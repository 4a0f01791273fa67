"""Exit codes and streams: what a user and a script can rely on."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from dutyline.cli import main as command
from support.command import LIFT, dutyline, separate, spaced

pytestmark = [pytest.mark.e2e, pytest.mark.usefixtures("remedies_once")]

BROKEN = """\
schema = 1

[axis]
title = "Lift"

[load]
mass = "15.5 lb/in"
incline = "90 deg"

[mechanism]
kind = "belt"
diameter = "60 mm"
efficency = 0.97

[[phase]]
do = "move"
by = "1,250 mm"
time = "0.6 s"
"""


def test_help_of_the_whole_and_of_every_verb():
    whole = dutyline("--help")
    assert whole.code == 0
    assert whole.err == ""
    assert "Try it:  dutyline select --example lift" in whole.out
    assert max(len(line) for line in whole.out.splitlines()) <= 80
    assert dutyline().out == whole.out
    for verb in command.cli.commands:
        assert f"dutyline {verb}" in whole.out
        said = dutyline(verb, "--help")
        assert (said.code, said.err) == (0, "")


def test_version_in_a_process_of_its_own():
    done = separate("--version")
    assert (done.code, done.out) == (0, "dutyline 0.1.0\n")


def test_demand_judges_nothing():
    done = dutyline("demand", str(LIFT))
    assert done.code == 0
    assert done.err == ""
    assert done.out.startswith("Carton lift: demand at the output shaft")


def test_example_and_file_and_standard_input_say_the_same():
    text = LIFT.read_text(encoding="utf-8")
    by_name = json.loads(dutyline("demand", "--example", "lift", "--json").out)
    by_file = json.loads(dutyline("demand", str(LIFT), "--json").out)
    by_pipe = json.loads(dutyline("demand", "-", "--json", stdin=text).out)
    for data in (by_name, by_file, by_pipe):
        data["axis"].pop("file")
    assert by_name == by_file == by_pipe


def test_select_finds_something_for_the_example():
    done = dutyline("select", "--example", "lift")
    assert done.code in (0, 1)
    assert done.err == ""
    assert "Rejected, nearest first" in done.out


def test_code_of_select_follows_the_best_candidate():
    done = dutyline("select", "--example", "lift", "--json")
    verdicts = {c["verdict"] for c in json.loads(done.out)["candidates"]}
    assert done.code == (0 if "meets" in verdicts else 1)


def test_code_of_verify_follows_the_verdict():
    small = dutyline("verify", "--example", "lift", "--motor", "XM38-0050L", "--json")
    assert small.code == 1
    assert json.loads(small.out)["verdict"] == "fails"


def test_a_file_that_is_not_there():
    done = dutyline("demand", "nowhere.toml")
    assert (done.code, done.out) == (2, "")
    assert "nowhere.toml" in done.err
    assert "no such file" in done.err
    assert "Traceback" not in done.err


def test_all_faults_at_once_with_their_lines(tmp_path):
    (tmp_path / "lift.toml").write_text(BROKEN, encoding="utf-8")
    done = dutyline("verify", "lift.toml", "--motor", "XM72-0450H", cwd=tmp_path)
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("⊠ lift.toml cannot be used: 3 faults.")
    assert "lift.toml:7: load.mass:" in done.err
    assert "lift.toml:13: mechanism.efficency:" in done.err
    assert '"efficiency"' in done.err
    assert "lift.toml:17:" in done.err


def test_faults_in_ascii(tmp_path):
    (tmp_path / "lift.toml").write_text(BROKEN, encoding="utf-8")
    done = dutyline("demand", "lift.toml", "--ascii", cwd=tmp_path)
    assert done.err.startswith("x lift.toml cannot be used")
    assert done.err.isascii()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("verify", "--moter", "X"), 'There is no option "--moter".'),
        (("verify", "--moter", "X"), 'The nearest is "--motor".'),
        (("audit", "--line", "X"), 'The line stands alone: "dutyline audit my-line".'),
        (("verify", "--example", "lift"), '"--motor" is needed.'),
        (("demnad", "x.toml"), "demnad"),
        (("demand",), "no axis file is named"),
        (("demand", "a.toml", "--example", "lift"), "a file and an example are named"),
        (("demand", "--example", "lfit"), 'The nearest is "lift".'),
        (("demand", "--example", "lift", "--color", "maybe"), "--color"),
        (("select", "--example", "lift", "--line", "nowhere"), "there is no such folder"),
        (("verify", "--example", "lift", "--motor", "XM88-0800"), 'The nearest is "XM88-0800H".'),
        (("report", "--example", "lift", "--to", "lift.docx"), "ends in .pdf, .html or .xlsx"),
        (("report", "--example", "lift", "--drive", "XD-H4"), "Name --motor as well."),
        (("schema", "blet"), "belt"),
    ],
)
def test_wrong_arguments_are_input_errors(arguments, said, tmp_path):
    done = dutyline(*arguments, cwd=tmp_path)
    assert (done.code, done.out) == (2, "")
    assert said in spaced(" ".join(done.err.split()))
    assert "Traceback" not in done.err
    assert not list(tmp_path.iterdir())


def test_a_fault_of_the_program(tmp_path, monkeypatch, capsys):
    def broken(axis):
        raise RuntimeError("a bug")

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("dutyline.app.demand.output_demand", broken)
    code = command.run(["demand", str(LIFT)])
    out, err = capsys.readouterr()
    assert (code, out) == (3, "")
    assert "its own fault, not yours" in " ".join(err.split())
    assert "untouched" in err
    assert "dutyline-fault.txt" in err
    assert "Traceback" not in err
    assert "a bug" in (tmp_path / "dutyline-fault.txt").read_text(encoding="utf-8")


def test_stopped_by_the_keyboard(monkeypatch, capsys):
    def stopped(axis):
        raise KeyboardInterrupt

    monkeypatch.setattr("dutyline.app.demand.output_demand", stopped)
    assert command.run(["demand", str(LIFT)]) == 130
    assert capsys.readouterr().err.strip() == "Stopped; nothing was written."


def test_a_reader_who_leaves_early_is_no_fault():
    shell = f"{sys.executable} -m dutyline verify --example lift --motor XM72-0450H -q | head -1"
    done = subprocess.run(["bash", "-c", shell], capture_output=True, text=True, check=False)
    assert done.stderr == ""


def test_new_leaves_a_file_and_never_overwrites(tmp_path):
    answers = "belt\n12 kg + 15.5 lb, 90°\n700 mm in 0,6 s\n30\n/min\n230 V, 3 phases\n"
    done = dutyline("new", "--to", "lift.toml", stdin=answers, cwd=tmp_path)
    assert (done.code, done.out) == (0, "")
    assert "19.0 kg, straight up." in spaced(done.err)
    assert 'Read "30": per minute or seconds?' in done.err
    assert "Wrote lift.toml. Next: dutyline demand lift.toml" in done.err
    before = (tmp_path / "lift.toml").read_text(encoding="utf-8")
    again = dutyline("new", "--to", "lift.toml", stdin=answers, cwd=tmp_path)
    assert again.code == 2
    assert "lift.toml exists; name another with --to, or edit it." in again.err
    assert (tmp_path / "lift.toml").read_text(encoding="utf-8") == before


def test_a_new_file_can_be_computed_at_once(tmp_path):
    answers = "belt\n12 kg, 90°\n700 mm in 0,6 s\n30 /min\n230 V, 3 phases\n"
    assert dutyline("new", "--to", "lift.toml", stdin=answers, cwd=tmp_path).code == 0
    assert dutyline("demand", "lift.toml", cwd=tmp_path).code == 0
    assert dutyline("select", "lift.toml", cwd=tmp_path).code in (0, 1)


def test_new_takes_the_end_of_input_as_left_open(tmp_path):
    done = dutyline("new", "--json", cwd=tmp_path)
    assert done.code == 0
    assert json.loads(done.out) == {"schema": "dutyline.new/1", "file": "axis.toml"}
    assert dutyline("demand", "axis.toml", cwd=tmp_path).code == 0


@pytest.mark.slow
def test_report_writes_a_pdf_and_says_so(tmp_path):
    done = dutyline("report", "--example", "lift", cwd=tmp_path)
    assert done.code in (0, 1)
    assert "Wrote lift.pdf." in done.err
    assert (tmp_path / "lift.pdf").read_bytes().startswith(b"%PDF-")
    assert done.out.count(".") >= 1


@pytest.mark.slow
def test_report_leaves_the_numbers_behind_its_plots(tmp_path):
    done = dutyline(
        "report", "--example", "lift", "--to", "lift.html", "--data", "numbers", "--json",
        cwd=tmp_path,
    )  # fmt: skip
    assert done.code in (0, 1)
    assert "Wrote numbers." in done.err
    assert json.loads(done.out)["data"] == "numbers"
    heads = (tmp_path / "numbers" / "cycle.csv").read_text(encoding="utf-8").split("\n")[0]
    assert heads.startswith("time s,phase,position m,motor speed rad/s,motor torque N*m")


def test_serve_does_not_pass_over_a_variant():
    done = dutyline("serve", "--example", "lift", "--variant", "fast", "--store", "memory")
    assert (done.code, done.out) == (2, "")
    assert 'read "fast"; the page opens on the file itself.' in spaced(done.err)
