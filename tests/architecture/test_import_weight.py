"""Starting is light: heavy packages wait until something needs them."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

pytestmark = pytest.mark.architecture

NEVER_AT_START = {
    "scipy", "typst", "jinja2", "matplotlib", "pandas", "rich", "ruckig", "pint", "pydantic",
    "tomlkit", "sqlalchemy", "alembic", "fastapi", "xlsxwriter",
}  # fmt: skip
"""Packages that cost tens of milliseconds or are no dependency at all."""


def loaded_by(statement: str) -> set[str]:
    """Top-level packages in sys.modules of a fresh interpreter after a statement."""
    program = f"{statement}\nimport sys, json\nprint(json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    return {name.partition(".")[0] for name in json.loads(done.stdout)}


@pytest.mark.parametrize("statement", ["import dutyline", "import dutyline.cli.main"])
def test_heavy_packages_stay_out(statement):
    assert not loaded_by(statement) & NEVER_AT_START


def test_command_line_starts_without_numpy():
    assert "numpy" not in loaded_by("import dutyline.cli.main")


def test_all_public_names_stay_light():
    assert not loaded_by("from dutyline import *") & NEVER_AT_START
