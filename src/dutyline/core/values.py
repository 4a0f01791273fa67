"""A value as the user typed it, with its meaning in SI and where it came from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Status = Literal["given", "measured", "calculated", "assumed", "default"]
"""Where a value came from. *assumed* and *default* travel into every result that used them."""

STATUSES: tuple[Status, ...] = ("given", "measured", "calculated", "assumed", "default")


@dataclass(frozen=True, slots=True)
class Value:
    """One quantity of the axis file."""

    si: float
    """The number in SI units (kg, m, s, rad, K; degC stays degC only for absolute temperatures)."""
    unit: str
    """SI unit as printed (``kg``, ``N*m``, ``m/s^2``); ``1`` for bare numbers."""
    typed: str = ""
    """Exactly what was typed, empty for a default."""
    status: Status = "given"
    note: str = ""
    low: float | None = None
    """Lower end of a stated range [unit], or None."""
    high: float | None = None
    """Upper end of a stated range [unit], or None."""
    inch: bool = False
    """True when the typed unit belongs to the inch-pound family (results echo both)."""
