"""The page on workbooks shows pieces of the mapping that the tests read, and what is said of it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from openpyxl import load_workbook

from support.command import dutyline
from support.second_line import MAPPING, WORKBOOK, write_second_line

pytestmark = pytest.mark.docs

PAGE = Path(__file__).resolve().parents[2] / "docs" / "how-to" / "bring-a-workbook.md"
TEXT = PAGE.read_text("utf-8")


def blocks(language: str) -> list[str]:
    """Blocks of code of a language."""
    return re.findall(rf"```{language}\n(.*?)```", TEXT, re.S)


def test_every_piece_stands_in_the_mapping():
    mapping = MAPPING.read_text("utf-8")
    pieces = blocks("toml")
    assert len(pieces) == 8
    assert [piece for piece in pieces if piece not in mapping] == []


def test_the_table_shows_cells_of_the_workbook(tmp_path):
    write_second_line(tmp_path / "line")
    sheet = load_workbook(tmp_path / "line" / WORKBOOK)["Motoren"]
    rows = [row.strip("| ").split("|") for row in TEXT.splitlines() if re.match(r"\| [3-6] ", row)]
    assert len(rows) == 4
    for row in rows:
        number, *cells = (cell.strip() for cell in row)
        for letter, shown in zip("AB_H_M", cells, strict=True):
            assert letter == "_" or shown == (sheet[f"{letter}{number}"].value or "")


def test_the_contradiction_is_told_as_shown(tmp_path):
    mapping = write_second_line(tmp_path / "line")
    text = MAPPING.read_text("utf-8").replace('ampere = "peak"', 'ampere = "rms"')
    mapping.write_text(text, encoding="utf-8")
    done = dutyline("bring", str(mapping))
    assert done.code == 2
    (shown,) = blocks("text")
    assert " ".join(shown.split()) in " ".join(done.err.split())
