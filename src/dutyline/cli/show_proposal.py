"""A proposed mapping as text: what was understood, what is open, what was not understood."""

from __future__ import annotations

from typing import Any

from dutyline.cli.marks import MEETS, OPEN, shape
from dutyline.cli.screen import Screen

_WIDEST = 34


def show_proposal(
    screen: Screen, found: Any, *, quiet: bool = False, written: bool = False
) -> list[str]:
    """Every table with its columns; questions stand once, with their columns."""
    known = sum(1 for t in found.tables for c in t.columns if c.field and not c.open)
    every = sum(len(t.columns) for t in found.tables)
    mark = shape(screen, OPEN if found.open else MEETS)
    questions = f"{found.open} question{'' if found.open == 1 else 's'} open"
    head = (
        f"{mark} {screen.yours(found.name)}: {known} of {every} columns understood, {questions}. "
        "Nothing is certain before you have read it."
    )
    lines = screen.wrap(head, "", "  ")
    if quiet:
        return [screen.text(line) for line in lines]
    for table in found.tables:
        lines += ["", *_table(screen, table)]
    for note in found.notes:
        lines += ["", *screen.wrap(screen.yours(note), "", "  ")]
    if not written:
        told = "Write it with --to mapping.toml beside the tables, answer what is open, then read "
        lines += ["", *screen.wrap(told + "it with dutyline bring mapping.toml.", "", "  ")]
    return [screen.text(line) for line in lines]


def _table(screen: Screen, table: Any) -> list[str]:
    name = screen.yours(table.file + (f", sheet {table.sheet}" if table.sheet else ""))
    if not table.kind:
        return screen.wrap(f"{screen.bold(name)}: {' '.join(table.open)}", "", "  ")
    lines = screen.wrap(screen.bold(f"{name}: {table.kind}"), "", "  ")
    rows = " and ".join(map(str, table.heading))
    facts = [f"headings in row {rows}" if not table.turned else f"headings in column {rows}"]
    facts += (
        [f"units in {'column' if table.turned else 'row'} {table.units}"] if table.units else []
    )
    if table.numerals.decimal:
        facts.append(f'decimal mark "{table.numerals.decimal}"')
    if table.numerals.thousands:
        facts.append(f'thousands mark "{table.numerals.thousands}"')
    facts += (
        [f"not known is {', '.join(map(screen.yours, table.unknown))}"] if table.unknown else []
    )
    lines += screen.wrap(", ".join(facts), "  ", "  ")
    for question in table.open:
        lines += screen.wrap(f"{shape(screen, OPEN)} {screen.yours(question)}", "  ", "    ")
    width = min(_WIDEST, max((len(c.heading) for c in table.columns if c.field), default=0))
    for column in table.columns:
        if column.field:
            lines += _column(screen, column, width)
    asked: dict[str, list[str]] = {}
    for column in table.columns:
        for question in column.open if column.field else ():
            asked.setdefault(question, []).append(f'"{column.heading}"')
    for question, headings in asked.items():
        lines += screen.wrap(screen.yours(f"{', '.join(headings)}: {question}"), "  ", "    ")
    strange = [c for c in table.columns if not c.field]
    if strange:
        named = ", ".join(f'"{screen.yours(c.heading)}"' for c in strange)
        lines += screen.wrap(f"Not understood: {named}", "  ", "    ")
    return lines


def _column(screen: Screen, column: Any, width: int) -> list[str]:
    mark = shape(screen, OPEN if column.open else MEETS)
    answers = [f"{key} {answer}" for key, answer in column.answers]
    said = ", ".join([column.field, *([column.unit] if column.unit else []), *answers])
    heading = screen.yours(column.heading)
    head = f"{mark} {heading.ljust(width)}  {screen.yours(said)}"
    return screen.wrap(head, "  ", " " * (width + 6))
