"""A shape and a word for each state; cautions and notes that are missed have a shape of their own.

Colour only adds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from dutyline.cli.screen import GREEN, RED, YELLOW, Screen

if TYPE_CHECKING:
    from dutyline.app.results import Line, Verdict


@dataclass(frozen=True, slots=True)
class Mark:
    """How a state is shown."""

    shape: str
    word: str
    colour: int | None
    order: int
    """Place among the lines that need the reader, worst first."""


MEETS = Mark("●", "meets", GREEN, 4)
SHORT = Mark("◭", "short of reserve", YELLOW, 1)
OVER = Mark("◇", "fails, caution", YELLOW, 2)
FAILS = Mark("⊠", "fails", RED, 0)
OPEN = Mark("◌", "not checked", None, 3)
INCOMPLETE = Mark("◌", "incomplete", None, 3)

_STATES = {"meets": MEETS, "short": SHORT, "fails": FAILS, "not-checked": OPEN}
_VERDICTS = {"meets": MEETS, "short": SHORT, "fails": FAILS, "incomplete": INCOMPLETE}


def mark_of(line: Line) -> Mark:
    """The mark of a ledger line; a caution or note that is missed has its own."""
    if line.severity != "must" and line.state in ("short", "fails"):
        return OVER
    return _STATES[line.state]


def verdict_mark(verdict: Verdict) -> Mark:
    """The mark of a whole verdict."""
    return _VERDICTS[verdict.verdict]


def needs_reader(line: Line) -> bool:
    """True where the reader has to decide or to answer; notes only inform."""
    return line.state != "meets" and line.severity != "note"


def shape(screen: Screen, mark: Mark) -> str:
    """The shape alone."""
    return screen.paint(mark.shape, mark.colour)


def word(screen: Screen, mark: Mark) -> str:
    """The word alone."""
    return screen.paint(mark.word, mark.colour)
