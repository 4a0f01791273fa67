"""The wheel builds and carries its data, its examples and its typing mark."""

from __future__ import annotations

import fnmatch
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
NEEDED = [
    "dutyline/py.typed",
    "dutyline/cli/main.py",
    "dutyline/data/demo-line/motors.csv",
    "dutyline/data/demo-line/gearheads.csv",
    "dutyline/data/demo-line/drives.csv",
    "dutyline/report/assets/*",
    "dutyline/store/migrations/env.py",
    "dutyline/store/migrations/versions/state_0001.py",
    "dutyline/web/templates/kept.html",
    "dutyline/examples/lift/axis.toml",
    "dutyline-*.dist-info/entry_points.txt",
    "dutyline-*.dist-info/licenses/LICENSE",
]


def build(folder: Path) -> Path:
    """Build the wheel into a folder."""
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    (wheel,) = folder.glob("*.whl")
    return wheel


def missing(wheel: Path) -> list[str]:
    """Patterns of NEEDED that no file in the wheel satisfies."""
    names = zipfile.ZipFile(wheel).namelist()
    return [pattern for pattern in NEEDED if not fnmatch.filter(names, pattern)]


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        wheel = build(Path(folder))
        lacking = missing(wheel)
        size = wheel.stat().st_size / 1e6
    for pattern in lacking:
        print(f"not in the wheel: {pattern}")
    print(f"wheel: {size:.1f} MB" + ("" if not lacking else ", incomplete"))
    sys.exit(bool(lacking))
