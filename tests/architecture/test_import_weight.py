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


def modules_after(statement: str) -> set[str]:
    """What is in sys.modules of a fresh interpreter after a statement."""
    program = f"{statement}\nimport sys, json\nprint(json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    return set(json.loads(done.stdout))


def loaded_by(statement: str) -> set[str]:
    """Top-level packages among them."""
    return {name.partition(".")[0] for name in modules_after(statement)}


@pytest.mark.parametrize("statement", ["import dutyline", "import dutyline.cli.main"])
def test_heavy_packages_stay_out(statement):
    assert not loaded_by(statement) & NEVER_AT_START


def test_command_line_starts_without_numpy():
    assert "numpy" not in loaded_by("import dutyline.cli.main")


def test_choosing_loads_only_what_it_needs():
    """Foreign files, estimates and masked arrays wait for those who ask for them."""
    program = (
        "import contextlib, io\n"
        "from dutyline.cli.main import run\n"
        "with contextlib.redirect_stdout(io.StringIO()):\n"
        "    run(['select', '--example', 'lift'])"
    )
    loaded = modules_after(program)
    assert "dutyline.selection.search" in loaded
    assert not loaded & {
        "dutyline.app.bring", "dutyline.app.records_json", "dutyline.catalogue.export",
        "dutyline.catalogue.content", "dutyline.estimates", "dutyline.intake", "numpy.ma",
    }  # fmt: skip
    assert not {name.partition(".")[0] for name in loaded} & NEVER_AT_START


def test_all_public_names_stay_light():
    assert not loaded_by("from dutyline import *") & NEVER_AT_START
