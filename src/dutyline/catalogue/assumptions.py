"""What was taken in place of a datum that a product line does not state, and why."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Assumption:
    """One datum of one part that nobody stated."""

    kind: str
    """``motor``, ``gearhead``, ``drive``, ``brake`` or ``resistor``."""
    part: str
    """Its name."""
    field: str
    """Field of the record in :mod:`dutyline.catalogue.parts`."""
    method: str
    """In words, behind the value: ``stall torque over stall current``."""
    value: float | None = None
    """[SI] as the calculation used it; None where no number stands for it."""
    low: float | None = None
    """[SI] ends of the range in which it is expected, where there is one."""
    high: float | None = None
    source: str = ""
    safe: bool = False
    """True where no other value could make a check that uses it come out worse."""
    estimate: bool = False
    """True where it was asked for; False for a convention that holds wherever the datum is
    missing."""
    favours: tuple[str, ...] = ()
    """Ids of checks for which the value is not the safe end: they do without."""
