"""The command line as a user runs it: in this process, or in one of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

LIFT = Path(__file__).resolve().parents[2] / "examples" / "lift" / "axis.toml"
PLAIN = {"PYTHONIOENCODING": "utf-8", "LANG": "C.UTF-8"}


@dataclass(frozen=True)
class Done:
    """What a run left."""

    code: int
    out: str
    err: str


def dutyline(*arguments: str, stdin: str = "", cwd: Path | None = None, **environment: str) -> Done:
    """One run in a process of its own."""
    base = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "NO_COLOR", "LC_ALL")}
    done = subprocess.run(
        [sys.executable, "-m", "dutyline.cli.main", *arguments],
        input=stdin.encode(),
        capture_output=True,
        check=False,
        cwd=cwd,
        env={**base, **PLAIN, **environment},
    )
    return Done(done.returncode, done.stdout.decode(), done.stderr.decode())


def spaced(text: str) -> str:
    """Text with plain spaces where no-break ones stand."""
    return text.replace("\u00a0", " ").replace("\u202f", " ")
