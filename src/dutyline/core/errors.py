"""Errors that a user may meet.

    DutylineError
    ├── InputError      a file, value or argument of the user's; carries Faults, exit code 2
    ├── RangeError      a physics function was given a number outside its range
    └── ShapeError      a physics function was given arrays that do not fit each other

Anything else that escapes is a fault of the program (exit code 3).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass


def legible(text: str) -> str:
    r"""The text with whatever steers a screen, or turns the order of its letters, spelled out.

    >>> legible("\x1b[2J up")
    '\\u001b[2J up'
    """
    if text.isprintable():
        return text
    return "".join(
        c if c.isprintable() or unicodedata.category(c) == "Zs" else f"\\u{ord(c):04x}"
        for c in text
    )


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with the input: where, what was read, what is needed, what helps."""

    place: str
    """Where: ``lift.toml:7``, or ``motors.csv, row 9, column kt_nm_per_arms``."""
    field: str
    """Path of the field (``load.mass``), or empty."""
    read: str
    """What was read and what is needed, as one plain sentence."""
    remedy: str = ""
    """What would help, as a sentence; may be empty."""
    meanings: tuple[str, ...] = ()
    """What may have been meant, as it would be written; empty where one reading is left."""

    def text(self) -> str:
        """The fault as printed: one line, then the remedy indented by two."""
        place, field, read, remedy = map(legible, (self.place, self.field, self.read, self.remedy))
        where = ": ".join(part for part in (place, field) if part)
        head = f"{where}: {read}" if where else read
        return f"{head}\n  {remedy}" if remedy else head


class DutylineError(Exception):
    """Root of every error the package raises on purpose."""


class InputError(DutylineError):
    """Input that cannot be used. All faults found are told at once."""

    def __init__(self, subject: str, faults: Iterable[Fault]) -> None:
        self.subject = legible(subject)
        self.faults = tuple(faults)
        super().__init__(self.text())

    def text(self) -> str:
        """Head line and all faults, as printed on stderr."""
        count = len(self.faults)
        noun = "fault" if count == 1 else "faults"
        head = f"{self.subject} cannot be used: {count} {noun}. Nothing was computed or written."
        return "\n\n".join([head, *(fault.text() for fault in self.faults)])


class RangeError(DutylineError, ValueError):
    """A number outside the range stated by the function."""


class ShapeError(DutylineError, ValueError):
    """Arrays whose shapes do not fit."""
