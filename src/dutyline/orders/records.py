"""An order list and its positions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from dutyline.checks.records import Combination, VerdictWord

State = Literal["complete", "open"]

_WARNINGS: dict[VerdictWord, str] = {
    "fails": "This combination does not meet its axis: settle that before ordering.",
    "short": "This combination is short of a reserve: settle that before ordering.",
    "incomplete": "This combination is not proved, data are missing: settle that before ordering.",
}


@dataclass(frozen=True, slots=True)
class Position:
    """One line of an order list."""

    kind: str
    """``motor``, ``gearhead``, ``drive``, ``resistor`` or the kind of an accessory."""
    item: str
    """What it is, in words: ``Motor``, ``Mains filter``."""
    part: str | None = None
    """Name in the product line; None where none is chosen."""
    pieces: int | None = None
    """None where the number is open too."""
    options: tuple[str, ...] = ()
    """How it is to be ordered: ``brake XB72 built in``."""
    why: str = ""
    """Why it is there and why this one, as a sentence without its stop."""
    missing: tuple[str, ...] = ()
    """What has to be stated before it can be ordered."""
    price_each: float | None = None
    """In the currency of the line; None where a price is not stated."""
    number: int = 0
    """Place in the list, from 1."""

    @property
    def state(self) -> State:
        """``open`` while anything is missing."""
        return "open" if self.missing else "complete"

    @property
    def price(self) -> float | None:
        """Of all pieces."""
        if self.price_each is None or self.pieces is None:
            return None
        return self.pieces * self.price_each

    @property
    def name(self) -> str:
        """Item and part: ``Motor XM72-0450H``."""
        return f"{self.item} {self.part}" if self.part else self.item


@dataclass(frozen=True, slots=True)
class OrderList:
    """Everything to order for one axis."""

    title: str
    """Of the axis."""
    combination: Combination
    verdict: VerdictWord
    sentence: str
    """The verdict as a sentence."""
    positions: tuple[Position, ...]
    currency: str = ""
    """Of the prices; empty where the line does not name it."""
    basis: tuple[tuple[str, str], ...] = ()
    """What it rests on, as name and value: axis file and product line with their checksums."""

    @property
    def warning(self) -> str:
        """What must be settled before anything is ordered; empty where the verdict meets."""
        return _WARNINGS.get(self.verdict, "")

    @property
    def open(self) -> tuple[Position, ...]:
        """Positions that cannot be ordered yet."""
        return tuple(p for p in self.positions if p.state == "open")

    @property
    def priced(self) -> bool:
        """Whether any position has a price."""
        return any(p.price_each is not None for p in self.positions)

    @property
    def total(self) -> float | None:
        """Of all positions; None while :attr:`no_total` says why."""
        prices = [p.price for p in self.positions]
        return None if self.no_total else sum(price for price in prices if price is not None)

    @property
    def no_total(self) -> str:
        """Why there is no sum, as a sentence; empty where there is one."""
        if not self.priced:
            return "No prices: the product line states none."
        without = [f"{p.number} {p.name}" for p in self.positions if p.price is None]
        reasons = [f"no price for {', '.join(without)}"] if without else []
        if not self.currency:
            reasons.append("the product line does not name the currency of its prices")
        return f"No sum: {'; '.join(reasons)}." if reasons else ""
