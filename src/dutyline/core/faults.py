"""The fault of a single value."""

from __future__ import annotations

from dutyline.core.errors import DutylineError, legible


class ValueFault(DutylineError, ValueError):  # noqa: N818  (a fault, as errors.Fault)
    """A value that cannot be used; the reader of the file adds where it stood."""

    def __init__(self, read: str, remedy: str = "", meanings: tuple[str, ...] = ()) -> None:
        self.read = read
        """What was read and what is needed, as one sentence."""
        self.remedy = remedy
        """What would help, as a sentence; may be empty."""
        self.meanings = meanings
        """What may have been meant, as it would be written; empty where one reading is left."""
        super().__init__(f"{read} {remedy}".strip())


def quoted(text: object, most: int = 60) -> str:
    """The text as typed, in quotes, cut where it is too long for a sentence."""
    plain = legible(str(text)[: most + 1])
    return f'"{plain[:most]}..."' if len(plain) > most else f'"{plain}"'


def listed(number: float) -> str:
    """A number inside a sentence: six digits at most, no exponent where it can be read without."""
    size = abs(number)
    return f"{number:.6g}" if size == 0.0 or 1e-4 <= size < 1e6 else f"{number:.4g}"
