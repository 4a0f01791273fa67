"""The command line as a user runs it, with streams, surroundings and folder of its own.

Runs stay in this process, where the start of the interpreter is not paid for each of them;
``separate`` starts a process.
"""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from dutyline.cli import main as command

LIFT = Path(__file__).resolve().parents[2] / "examples" / "lift" / "axis.toml"
_CLEARED = ("COLUMNS", "NO_COLOR", "LC_ALL", "LC_CTYPE", "PYTHONIOENCODING")
_LANGUAGE = {"LANG": "C.UTF-8"}


@dataclass(frozen=True)
class Done:
    """What a run left."""

    code: int
    out: str
    err: str


def _surroundings(changes: dict[str, str]) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name not in _CLEARED}
    return {**kept, **_LANGUAGE, **changes}


@contextlib.contextmanager
def _inside(folder: Path | None) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(folder or before)
    try:
        yield
    finally:
        os.chdir(before)


def dutyline(
    *arguments: str,
    stdin: str = "",
    cwd: Path | None = None,
    encoding: str = "utf-8",
    **environment: str,
) -> Done:
    """One run in this process."""
    streams = {
        "stdin": io.TextIOWrapper(io.BytesIO(stdin.encode()), encoding="utf-8"),
        "stdout": io.TextIOWrapper(io.BytesIO(), encoding=encoding),
        "stderr": io.TextIOWrapper(io.BytesIO(), encoding=encoding),
    }
    surroundings = mock.patch.dict(os.environ, _surroundings(environment), clear=True)
    with surroundings, mock.patch.multiple(sys, **streams), _inside(cwd):
        code = command.run(list(arguments))
        texts = []
        for name in ("stdout", "stderr"):
            streams[name].flush()
            texts.append(streams[name].buffer.getvalue().decode(encoding))
    return Done(code, *texts)


def separate(*arguments: str, cwd: Path | None = None) -> Done:
    """One run in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", "dutyline", *arguments],
        capture_output=True,
        check=False,
        cwd=cwd,
        env=_surroundings({"PYTHONIOENCODING": "utf-8"}),
    )
    return Done(done.returncode, done.stdout.decode(), done.stderr.decode())


def spaced(text: str) -> str:
    """Text with plain spaces where no-break ones stand."""
    return text.replace("\u00a0", " ").replace("\u202f", " ")


def said(text: str) -> str:
    """Text without the breaks of its lines and without spaces that hold."""
    return " ".join(spaced(text).split())


def listing(folder: Path) -> dict[str, bytes]:
    """Everything below a folder."""
    return {str(p): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def refused(*arguments: str, cwd: Path, stdin: str = "") -> str:
    """What is said about input that cannot be used; it leaves no trace."""
    before = listing(cwd)
    done = dutyline(*arguments, cwd=cwd, stdin=stdin)
    assert done.code == 2, done.err
    assert done.out == ""
    assert "Traceback" not in done.err
    assert not [c for c in done.err if c < " " and c != "\n"]
    assert listing(cwd) == before
    return said(done.err)
