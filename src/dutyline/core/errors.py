"""Errors that a user may meet.

    DutylineError
    ├── InputError      a file, value or argument of the user's; carries Faults, exit code 2
    ├── RangeError      a physics function was given a number outside its range
    └── ShapeError      a physics function was given arrays that do not fit each other

Anything else that escapes is a fault of the program (exit code 3).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


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

    def text(self) -> str:
        """The fault as printed: one line, then the remedy indented by two."""
        where = ": ".join(part for part in (self.place, self.field) if part)
        head = f"{where}: {self.read}" if where else self.read
        return f"{head}\n  {self.remedy}" if self.remedy else head


class DutylineError(Exception):
    """Root of every error the package raises on purpose."""


class InputError(DutylineError):
    """Input that cannot be used. All faults found are told at once."""

    def __init__(self, subject: str, faults: Iterable[Fault]) -> None:
        self.subject = subject
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
