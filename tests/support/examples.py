"""The examples that ship, and the commands that their pages show."""

from __future__ import annotations

import shlex
from functools import cache
from pathlib import Path

import dutyline as dl
from support.command import Done, dutyline, spaced

FOLDER = Path(__file__).resolve().parents[2] / "examples"
NAMES = tuple(sorted(p.parent.name for p in FOLDER.glob("*/axis.toml")))


def axis_file(name: str) -> Path:
    """The axis file of an example."""
    return FOLDER / name / "axis.toml"


def page(name: str) -> str:
    """The page of an example."""
    return (FOLDER / name / "README.md").read_text(encoding="utf-8")


@cache
def searched(name: str) -> dl.Shortlist:
    """What a search in the line that ships finds for an example."""
    return dl.select(dl.read_axis(axis_file(name)), dl.demo_line())


def shown(name: str) -> list[tuple[str, list[str]]]:
    """Commands on the page of an example, each with the lines shown of its answer."""
    found: list[tuple[str, list[str]]] = []
    for block in page(name).split("```text\n")[1:]:
        command, *lines = block.split("\n```")[0].splitlines()
        found.append((command.removeprefix("$ "), [ln for ln in lines if ln != "…"]))
    return found


def verify_command(name: str) -> str:
    """The last ``verify`` on the page: its answer is kept whole in expected-ledger.txt."""
    return [command for command, _ in shown(name) if command.startswith("dutyline verify")][-1]


@cache
def run(command: str) -> Done:
    """What a command on a page answers; several tests look at one answer."""
    program, *arguments = shlex.split(command)
    assert program == "dutyline"
    return dutyline(*arguments)


def lines_of(done: Done) -> list[str]:
    """Lines of an answer with plain spaces."""
    return spaced(done.out).splitlines()
