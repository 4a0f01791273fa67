"""Copies of the line that ships with some cells rewritten."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from dutyline.catalogue.library import read_line
from dutyline.catalogue.parts import ProductLine
from dutyline.core.places import DATA

SHIPPED = DATA / "demo-line"
FILES = (
    "motors", "gearheads", "drives", "brakes", "resistors", "curves", "pairings", "accessories",
)  # fmt: skip
DEFECTS = Path(__file__).resolve().parents[1] / "data" / "demo-line-defects.csv"


@dataclass(frozen=True)
class Edit:
    """Cells to rewrite: those of one column in every row that the selector picks."""

    file: str
    """``motors``"""
    column: str
    text: str
    where: Mapping[str, str]
    """Column and cell of the rows meant; empty means all."""


def tables() -> dict[str, list[dict[str, str]]]:
    """The cells of the line that ships, by file and row."""
    return {
        name: list(csv.DictReader(io.StringIO((SHIPPED / f"{name}.csv").read_text("utf-8"))))
        for name in FILES
    }


def write(folder: Path, content: Mapping[str, list[dict[str, str]]]) -> Path:
    """A folder with these cells."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in content.items():
        text = io.StringIO()
        writer = csv.DictWriter(text, rows[0].keys(), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
        (folder / f"{name}.csv").write_text(text.getvalue(), encoding="utf-8")
    return folder


def edited_folder(folder: Path, *edits: Edit) -> Path:
    """The line that ships with cells rewritten, as a folder; every edit hits some row."""
    content = tables()
    for edit in edits:
        hit = [r for r in content[edit.file] if all(r[c] == v for c, v in edit.where.items())]
        assert hit, edit
        for row in hit:
            assert edit.column in row, edit
            row[edit.column] = edit.text
    return write(folder, content)


def edited(folder: Path, *edits: Edit) -> ProductLine:
    """The same, read."""
    return read_line(edited_folder(folder, *edits))


@dataclass(frozen=True)
class Defect:
    """One planted defect."""

    name: str
    edit: Edit
    correct: str
    rule: str
    others: tuple[str, ...]


def defects() -> Iterable[Defect]:
    """The planted defects of the test data."""
    for row in csv.DictReader(io.StringIO(DEFECTS.read_text("utf-8"))):
        where = dict(pair.split("=", 1) for pair in row["row"].split(";"))
        name = row["file"].removesuffix(".csv")
        yield Defect(
            row["defect"],
            Edit(name, row["column"], row["wrong_value"], where),
            row["correct_value"],
            row["rule_that_must_catch"],
            tuple(filter(None, row["other_rules_firing"].split(";"))),
        )
