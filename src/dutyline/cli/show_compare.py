"""Two editions of a product line as text."""

from __future__ import annotations

from dutyline.app.compare import (
    Chapter,
    Comparison,
    Judged,
    chapters,
    headline,
    moved_texts,
    summary,
    title_of,
    touched_texts,
    turn_text,
)
from dutyline.cli.marks import FAILS, MEETS, OPEN, OVER, shape
from dutyline.cli.screen import Screen
from dutyline.core.numbers import group

_MARKS = {"lost": FAILS, "worse": FAILS, "not judged": OPEN, "as before": OVER, "better": OVER,
          "holds": MEETS}  # fmt: skip
_ROOM = "    "
HELD = 6
"""Verdicts that hold told one by one where not all are asked for."""


def show_compare(
    screen: Screen, result: Comparison, *, quiet: bool = False, every: bool = False
) -> list[str]:
    """Every line that ``dutyline compare`` prints."""
    mark = shape(screen, MEETS if result.holds else FAILS)
    lines = screen.wrap(headline(result.difference), f"{mark} " if result.verdicts else "", "  ")
    told = summary(result.verdicts)
    if told:
        lines += screen.wrap(told, "  ", "  ")
    if quiet:
        return lines
    for chapter in chapters(result.difference, every=every):
        lines += ["", *_chapter(screen, chapter)]
    lines += _kept(screen, result, every)
    if result.passed:
        count = f"{result.passed} file{'s' if result.passed > 1 else ''}"
        lines += ["", *screen.wrap(f"{count} passed over that holds no verdict.")]
    return lines


def _chapter(screen: Screen, chapter: Chapter) -> list[str]:
    lines = [screen.bold(chapter.title)]
    for row in chapter.rows:
        lines += screen.wrap(row.head, "  ", _ROOM)
        if row.detail:
            lines += screen.wrap(row.detail, _ROOM, _ROOM)
    return lines


def _kept(screen: Screen, result: Comparison, every: bool) -> list[str]:
    """Verdicts that need the reader in full; of those that hold the first few, a line each."""
    if not result.verdicts:
        return []
    lines = ["", screen.bold("Kept verdicts")]
    holding = [one for one in result.verdicts if one.outcome == "holds"]
    for one in result.verdicts:
        if one.outcome != "holds" or every:
            lines += _judged(screen, one, every)
    if every:
        return lines
    for one in holding[:HELD]:
        lines += _judged(screen, one, every)
    left = len(holding) - HELD
    if left > 0:
        lines.append(f"    {group(left)} more still meet: {screen.yours('--all')}")
    return lines


def _judged(screen: Screen, one: Judged, every: bool) -> list[str]:
    """The verdict in a line; below it what touches it and what moved."""
    mark = shape(screen, _MARKS[one.outcome])
    aside = "" if one.touched or one.outcome == "not judged" else ", untouched"
    lines = screen.wrap(f"{title_of(one)}: {turn_text(one)}{aside}.", f"  {mark} ", _ROOM)
    if title_of(one) != one.kept.source:
        lines += screen.wrap(screen.yours(one.kept.source), _ROOM, _ROOM)
    for remark in one.remarks:
        lines += screen.wrap(remark, _ROOM, _ROOM)
    if one.outcome == "holds" and not every:
        return lines
    most = None if every else 3
    for text in touched_texts(one.touched, most):
        lines += screen.wrap(f"Touched: {text}.", _ROOM, _ROOM + "  ")
    for text in moved_texts(one.moved, most):
        lines += screen.wrap(f"{text}.", _ROOM, _ROOM + "  ")
    return lines
