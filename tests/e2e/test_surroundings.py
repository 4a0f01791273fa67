"""Around the command: readers that leave, full disks, odd screens, where a report may go."""

from __future__ import annotations

import contextlib
import io
import json
import sys
from pathlib import Path
from unittest import mock

import pytest

from dutyline.app.targets import check_name
from dutyline.cli import main as command
from support.axis_files import LIFT, edited
from support.command import dutyline, refused

pytestmark = [pytest.mark.e2e, pytest.mark.usefixtures("remedies_once")]
PARTS = ("--motor", "XM88-0800H", "--gearhead", "XG88-9", "--brake", "XB88")


class Refusing(io.StringIO):
    """A stream that takes nothing."""

    encoding = "utf-8"

    def __init__(self, error: OSError) -> None:
        super().__init__()
        self.error = error

    def write(self, _: str) -> int:
        raise self.error


VERIFY = ("verify", "--example", "lift", *PARTS)


def test_a_reader_who_has_gone_away_changes_no_verdict():
    code = dutyline(*VERIFY).code
    assert code == 1
    for options in ((), ("--json",)):
        with mock.patch.object(sys, "stdout", Refusing(BrokenPipeError())):
            assert command.run([*VERIFY, *options]) == code


def test_closed_streams_are_no_fault(capsys):
    with mock.patch.object(sys, "stdout", None):
        assert command.run([*VERIFY, "-q"]) == 1
    with mock.patch.object(sys, "stderr", None):
        assert command.run(["demand", "no.toml"]) == 2
    assert capsys.readouterr() == ("", "")
    with mock.patch.object(sys, "stdin", None):
        assert command.run(["demand", "-"]) == 2
    assert "standard input is closed" in capsys.readouterr().err


def test_a_full_disk_is_told_and_is_not_the_programs_fault(capsys):
    full = Refusing(OSError(28, "No space left on device"))
    with mock.patch.object(sys, "stdout", full):
        assert command.run(["demand", "--example", "lift", "--json"]) == 2
    assert "No space left on device" in capsys.readouterr().err
    with mock.patch.object(sys, "stderr", full):
        assert command.run(["demand", "no.toml"]) == 2


def test_json_is_json_in_every_encoding():
    text = edited(LIFT, ("Lift", "Lift 🛗 Ä"))
    done = dutyline("demand", "-", "--json", stdin=text, encoding="latin-1")
    assert json.loads(done.out)["axis"]["title"] == "Lift 🛗 Ä"


def test_answers_that_are_no_text(tmp_path):
    raw = io.TextIOWrapper(io.BytesIO(b"\xff\xfe\x1b[31m\n" * 9), encoding="utf-8")
    err = io.StringIO()
    with mock.patch.multiple(sys, stdin=raw, stderr=err), contextlib.chdir(tmp_path):
        assert command.run(["new", "--to", "new.toml"]) == 0
    assert "\x1b" not in err.getvalue()


@pytest.mark.parametrize("columns", ["20", "1", "0", "-5", "abc", "100000"])
def test_odd_screens(columns):
    done = dutyline(*VERIFY, COLUMNS=columns)
    assert done.code == 1
    assert max(len(row) for row in done.out.splitlines()) <= 120


def test_a_report_is_written_whole_or_not_at_all(tmp_path):
    (tmp_path / "axis.toml").write_text(LIFT, encoding="utf-8")
    (tmp_path / "axis.html").write_text("kept", encoding="utf-8")
    full = mock.patch.object(Path, "replace", side_effect=OSError(28, "No space left"))
    with full:
        err = refused("report", "axis.toml", *PARTS, "--to", "axis.html", cwd=tmp_path)
    assert "--to: this cannot be written: No space left" in err
    assert "Name another with --to" in err
    assert sorted(p.name for p in tmp_path.iterdir()) == ["axis.html", "axis.toml"]


def test_a_report_goes_where_a_link_points_and_keeps_its_rights(tmp_path):
    (tmp_path / "axis.toml").write_text(LIFT, encoding="utf-8")
    real = tmp_path / "real.html"
    real.write_text("old", encoding="utf-8")
    real.chmod(0o640)
    (tmp_path / "link.html").symlink_to("real.html")
    done = dutyline("report", "axis.toml", *PARTS, "--to", "link.html", cwd=tmp_path)
    assert done.code == 1
    assert (tmp_path / "link.html").is_symlink()
    assert "<html" in real.read_text(encoding="utf-8")[:500]
    assert real.stat().st_mode & 0o777 == 0o640


def test_names_that_may_be_written(tmp_path):
    assert check_name(tmp_path / "Aufzug Ä 3.pdf") is None
