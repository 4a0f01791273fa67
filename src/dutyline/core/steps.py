"""One step of a calculation that a reader can repeat with a pocket calculator."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class HandStep:
    """A line of a worked calculation, as printed."""

    label: str
    """What is worked out, in words: ``Force in the belt``."""
    formula: str
    """Plain text with symbols: ``F = (m_1 + m_2) (g + a) + F_R``."""
    inserted: str
    """The right-hand side with numbers: ``19.031 × (9.807 + 11.667) + 35.0``."""
    result: str
    """The number as printed: ``443.65``."""
    unit: str = ""
    """Unit as printed: ``N``, ``mm/rad``."""
