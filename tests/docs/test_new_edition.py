"""The page on editions: its commands run in their order and print what it shows."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest

from dutyline.catalogue.edition import read_edition
from dutyline.core.errors import Fault
from support.command import LIFT, dutyline

pytestmark = pytest.mark.docs
PAGE = (Path(__file__).parents[2] / "docs" / "how-to" / "new-edition.md").read_text("utf-8")


def run(command: str, folder: Path) -> str:
    """One line of a block: ours in this process, the others in a shell."""
    if not command.startswith("dutyline "):
        done = subprocess.run(
            command, shell=True, cwd=folder, capture_output=True, text=True, check=True
        )
        return done.stdout
    words, _, target = command.partition(" > ")
    answer = dutyline(*shlex.split(words)[1:], cwd=folder)
    assert answer.code in (0, 1), answer.err
    if target:
        (folder / target.strip()).write_text(answer.out, encoding="utf-8")
    return answer.out


def test_commands_run_and_print_what_the_page_shows(tmp_path, capsys, monkeypatch):
    shutil.copy(LIFT, tmp_path / "lift.toml")
    hashes = []
    for block in re.findall(r"```text\n(.*?)```", PAGE, re.S):
        folder, printed = tmp_path, ""
        for line in block.splitlines():
            if line.startswith("$ cd "):
                folder = tmp_path / line.removeprefix("$ cd ")
            elif line.startswith("$ "):
                printed = run(line.removeprefix("$ "), folder)
                hashes += re.findall(r"\b[0-9a-f]{64}\b", printed) if "sha256" in block else []
            else:
                shown = line.replace(" %", "\u202f%")
                assert shown in printed.splitlines(), line
    assert len(hashes) == 2
    assert hashes[0] == hashes[1]
    (block,) = re.findall(r"```python\n(.*?)```", PAGE, re.S)
    monkeypatch.chdir(tmp_path)
    exec(block, {})
    assert capsys.readouterr().out == "False [('lost', 'verdicts/lift.json')]\n"


def test_the_edition_is_read():
    (block,) = re.findall(r"```toml\n(.*?)```", PAGE, re.S)
    faults: list[Fault] = []
    assert read_edition(block.encode(), faults).currency == "EUR"
    assert not faults
