"""What a method of estimating returns, and what it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from dutyline.catalogue.parts import ProductLine

End = Literal["low", "high"]


@dataclass(frozen=True, slots=True)
class Guess:
    """A value with the range in which it is expected."""

    value: float
    """[SI] in the middle."""
    low: float
    high: float
    how: str
    """What it comes from, in words."""

    def end(self, end: End) -> float:
        """The end of the range on the safe side."""
        return self.low if end == "low" else self.high


@dataclass(frozen=True, slots=True)
class Method:
    """One way to one datum."""

    kind: str
    """``motor``"""
    field: str
    name: str
    """As the reader is offered it: ``from the stall torque and the stall current``."""
    end: End
    """End of the range that the calculation uses."""
    source: str
    find: Callable[[Any, ProductLine], Guess | None]
    """From the part, and the line as stated, to a guess; None where data for it are missing."""
    favours: tuple[str, ...] = ()
    """Checks for which that end is not the safe one."""


def exactly(value: float, how: str) -> Guess:
    """A value that follows from others by definition."""
    return Guess(value, value, value, how)


def within(value: float, share: float, how: str) -> Guess:
    """A value with the same share of it to both sides."""
    return Guess(value, value * (1 - share), value * (1 + share), how)
