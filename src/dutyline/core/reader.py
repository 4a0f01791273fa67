"""For whom text is written: the family of units and the decimal mark that an axis file asks for.

Numbers become text in many places far below the file that says how they are wanted. The reader is
therefore held in a context variable, set by the verbs for as long as they work on one axis; without
one, text is SI with a decimal point. No number is ever computed from it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Reader:
    """How one reader wants numbers."""

    units: str = "si"
    """``si``, or ``inch`` for the inch-pound family where it has a unit."""
    comma: bool = False
    """True for a decimal comma."""

    @contextmanager
    def served(self) -> Iterator[None]:
        """Write for this reader until the block ends."""
        token = _READER.set(self)
        try:
            yield
        finally:
            _READER.reset(token)


def in_si() -> Reader:
    """The present reader with SI units, for a calculation that is shown in SI."""
    return replace(reader(), units="si")


PLAIN = Reader()
"""SI with a decimal point."""
_READER: ContextVar[Reader] = ContextVar("reader", default=PLAIN)


def reader() -> Reader:
    """For whom text is written now."""
    return _READER.get()
