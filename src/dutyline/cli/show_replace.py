"""Equivalents for an old motor as text."""

from __future__ import annotations

from dataclasses import replace

from dutyline.app import replace as verb
from dutyline.app.replace import Compared, Equivalent, Replacement
from dutyline.cli.marks import FAILS, MEETS, OPEN, OVER, SHORT, Mark
from dutyline.cli.screen import Screen
from dutyline.cli.sheets import table_lines

_STATES = {"meets": MEETS, "short": SHORT, "fails": FAILS, "not-checked": OPEN}


def show_replace(
    screen: Screen, found: Replacement, *, quiet: bool = False, verbose: bool = False,
    every: bool = False,
) -> list[str]:  # fmt: skip
    """The answer, what can hurt, old beside new, other choices, what is open, cautions."""
    lines = screen.wrap(verb.sentence(found))
    if quiet or not found.equivalents:
        return lines
    lines += _listed(screen, "The plate contradicts itself", verb.contradiction_lines(found))
    lines += _listed(screen, "Cautions", found.cautions[:1])
    for one in verb.shown(found):
        lines += [*_hurts(screen, one), *_properties(screen, one)]
        lines += _listed(screen, "Not checked, and it decides", verb.missing_lines(one))
    lines += _listed(screen, "The real duty", verb.axis_lines(found))
    lines += _table(screen, verb.equivalents_sheet(found, every))
    if verbose:
        sources = verb.source_lines(verb.shown(found)[0])
        lines += _listed(screen, "Why each property is compared so", sources)
        lines += _table(screen, verb.plate_sheet(found))
    worked = verb.worked_sheet(found)
    lines += [] if worked is None else _table(screen, worked)
    lines += _listed(screen, "Still open", verb.question_lines(found))
    return [*lines, *_listed(screen, "Before and after the exchange", found.cautions[1:])]


def _hurts(screen: Screen, one: Equivalent) -> list[str]:
    """What can hurt with one choice, and what to set."""
    head = f"First what can hurt: {verb.name_of(one)}"
    if not one.hurts:
        return _listed(screen, head, ("Nothing that the data tell.",))
    lines = ["", screen.bold(head)]
    for hurt in one.hurts:
        lines += screen.wrap(hurt.text, "  - ", "    ")
        for setting in hurt.settings:
            lines += screen.wrap(verb.settings_text(setting), "    set ", "        ")
    return lines


def _properties(screen: Screen, one: Equivalent) -> list[str]:
    """Old beside new, the shape of the state before its word."""
    sheet = verb.property_sheet(one)
    rows = tuple(
        (*cells[:-1], f"{_mark(row).shape} {cells[-1]}")
        for cells, row in zip(sheet.rows, one.rows, strict=True)
    )
    return _table(screen, replace(sheet, rows=rows))


def _mark(row: Compared) -> Mark:
    if not row.counts and row.state in ("short", "fails"):
        return OVER
    return _STATES[row.state]


def _table(screen: Screen, sheet: verb.Sheet) -> list[str]:
    lines = ["", screen.bold(sheet.title), *table_lines(screen, sheet)]
    return [*lines, *screen.wrap(sheet.note, "  ", "  ")] if sheet.note else lines


def _listed(screen: Screen, title: str, items: tuple[str, ...]) -> list[str]:
    if not items:
        return []
    lines = ["", screen.bold(title)]
    for item in items:
        lines += screen.wrap(item, "  - ", "    ")
    return lines
