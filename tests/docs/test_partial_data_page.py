"""The page on partial data: its commands run, and its tables are those of the tool."""

from __future__ import annotations

import contextlib
import importlib.util
import io
import os
from pathlib import Path

import pytest

from support.command import dutyline, spaced
from support.lines import tables, write

pytestmark = pytest.mark.docs
PAGE = Path(__file__).resolve().parents[2] / "docs" / "how-to" / "partial-data.md"
TEXT = PAGE.read_text(encoding="utf-8")
COMMANDS = [line.removeprefix("$ dutyline ").split() for line in TEXT.splitlines()
            if line.startswith("$ dutyline ")]  # fmt: skip


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    """A folder beside which the commands of the page are run."""
    root = tmp_path_factory.mktemp("page")
    content = tables()
    for row in content["motors"]:
        del row["cth_winding_j_per_k"]
    write(root / "my-line", content)
    return root


def test_tables_are_current():
    file = PAGE.parents[2] / "tools" / "estimates.py"
    spec = importlib.util.spec_from_file_location("estimates_tool", file)
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    assert tool.page(TEXT) == TEXT, "./do docs"


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_commands_run(place, command):
    done = dutyline(*command, cwd=place)
    text = " ".join(spaced(done.out).split())
    assert done.code in (0, 1)
    if "--estimate" in command:
        assert "cth_winding_j_per_k of XM72-0450H" in text
        assert "assumed" in text
    else:
        assert "Data to ask for" in text
        assert "cth_winding_j_per_k" in text


def test_the_python_runs(place):
    code = TEXT.split("```python\n")[1].split("```")[0]
    said, before = io.StringIO(), Path.cwd()
    os.chdir(place)
    try:
        with contextlib.redirect_stdout(said):
            exec(compile(code, str(PAGE), "exec"), {})
    finally:
        os.chdir(before)
    assert "cth_winding" in said.getvalue()
