"""Progress appears only when the work takes long, on standard error, and is wiped."""

from __future__ import annotations

import io
import time

import pytest

from dutyline.cli import progress as module
from dutyline.cli.progress import Progress, progress


class Terminal(io.StringIO):
    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


class Log(io.StringIO):
    encoding = "ascii"

    def isatty(self) -> bool:
        return False


@pytest.fixture
def _impatient(monkeypatch):
    for name in ("_FIRST_AFTER", "_REWRITE_EVERY", "_LINE_EVERY"):
        monkeypatch.setattr(module, name, 0.01)


@pytest.mark.parametrize("stream", [Terminal(), Log()])
def test_short_work_says_nothing(stream):
    with progress("Deciding", stream):
        pass
    assert stream.getvalue() == ""


@pytest.mark.usefixtures("_impatient")
def test_terminal_line_is_rewritten_and_wiped():
    stream = Terminal()
    with progress("Deciding 94 combinations", stream) as tell:
        tell(47, 94)
        time.sleep(0.2)
    text = stream.getvalue()
    assert "\rDeciding 94 combinations: 50\u202f%" in text
    assert "\n" not in text
    assert text.endswith("\r")
    assert text.rsplit("\r", 2)[-2].strip() == ""


@pytest.mark.usefixtures("_impatient")
def test_elsewhere_whole_lines_in_ascii():
    stream = Log()
    with progress("Deciding", stream) as tell:
        tell(1, 4)
        time.sleep(0.1)
    lines = stream.getvalue().splitlines()
    assert lines
    assert all(line.startswith("Deciding: 25 %, ") and line.isascii() for line in lines)


@pytest.mark.usefixtures("_impatient")
def test_wiped_also_after_a_fault():
    stream = Terminal()

    def work():
        with progress("Deciding", stream):
            time.sleep(0.1)
            raise RuntimeError("a bug")

    with pytest.raises(RuntimeError):
        work()
    assert stream.getvalue().endswith("\r")


def test_time_left_follows_from_the_share(monkeypatch):
    tell = Progress("Deciding")
    monkeypatch.setattr(module.time, "monotonic", lambda: tell.started + 3.0)
    tell(75, 100)
    assert tell.text() == "Deciding: 75\u202f%, 1.0\u00a0s left"
