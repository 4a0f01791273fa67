"""The import contracts of pyproject.toml hold."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.architecture


def run_contracts() -> subprocess.CompletedProcess[str]:
    program = shutil.which("lint-imports", path=str(Path(sys.executable).parent))
    assert program, "import-linter belongs to the development environment"
    return subprocess.run(
        [program, "--no-cache", str(ROOT / "pyproject.toml")],
        cwd=ROOT / "src",
        capture_output=True,
        text=True,
        check=False,
    )


def test_contracts_hold():
    done = run_contracts()
    assert done.returncode == 0, done.stdout + done.stderr
    assert "8 kept, 0 broken" in done.stdout


def test_every_folder_has_its_place():
    import tomllib

    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contract = settings["tool"]["importlinter"]["contracts"][0]
    named = {room.strip() for layer in contract["layers"] for room in layer.split("|")}
    rooms = {p.parent.name for p in (ROOT / "src" / "dutyline").glob("*/__init__.py")}
    assert named - {"__main__"} == rooms
