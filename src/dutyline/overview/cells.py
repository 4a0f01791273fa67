"""Cells of tables: figures with units as they are stated or computed, and names."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from dutyline.catalogue.boundaries import boundary_limit
from dutyline.catalogue.parts import Motor
from dutyline.core.numbers import SPACE, quantity, stated, stated_quantity
from dutyline.overview.records import Zone


@dataclass(frozen=True, slots=True)
class Head:
    """A column: its title, and whether it holds numbers."""

    title: str
    number: bool = True
    wide: bool = False
    """True for a column that a narrow screen leaves out."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table with a title and a sentence under it."""

    key: str
    title: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


def unit_in_head(sheet: Sheet) -> Sheet:
    """The sheet with a unit that a whole column shares said once, in the head of the column."""
    heads, columns = [], []
    for k, head in enumerate(sheet.heads):
        cells = [row[k] for row in sheet.rows]
        units = {cell.rpartition(SPACE)[2] for cell in cells if cell}
        one = head.number and head.title and len(units) == 1
        if one and all(SPACE in cell for cell in cells if cell):
            head = replace(head, title=f"{head.title}, {units.pop()}")
            cells = [cell.rpartition(SPACE)[0] for cell in cells]
        heads.append(head)
        columns.append(cells)
    return replace(sheet, heads=tuple(heads), rows=tuple(zip(*columns, strict=True)))


def told(value: float | None, unit: str, system: str) -> str:
    """A stated figure with the digits that it was stated with, at most four."""
    return "" if value is None else stated_quantity(value, unit, system=system)


def computed(value: float | None, unit: str, system: str) -> str:
    """A computed figure."""
    return "" if value is None else quantity(value, unit, system)


def bare(value: float | None) -> str:
    """A stated figure whose unit stands in the head."""
    return "" if value is None else stated(value, 4)


def both_ends(first: str, second: str, between: str = " to ") -> str:
    """A range, or the one word where both ends are the same."""
    return first if first == second else f"{first}{between}{second}"


def names(parts: Iterable[str]) -> str:
    """Names one after another; they may hold blanks themselves."""
    return ", ".join(parts)


def sentence(words: str) -> str:
    """Words as a sentence; nothing where there are none."""
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def ratio_words(ratios: Sequence[Fraction]) -> str:
    """Ratios as they are named: ``4 6 9 16``, fractions where they are exact ones."""
    return " ".join(str(r) if r.denominator < 100 else stated(float(r), 5) for r in ratios)


def supply_words(zone: Zone) -> str:
    """``230 V, 3~``"""
    if zone.mains is None or zone.phases is None:
        return ""
    return f"{zone.mains:g} V, {zone.phases}~"


def corners(zone: Zone, motor: Motor, system: str) -> tuple[str, ...]:
    """The figures of a zone: peak, up to, at the end, continuous at stall and rated, end."""
    peak, continuous = zone.peak, zone.continuous
    ends = [b.speed[-1] for b in (peak, continuous) if b is not None]
    at_rated = None
    if continuous is not None and motor.speed_rated is not None:
        at_rated = float(boundary_limit(continuous, motor.speed_rated))
    return (
        computed(None if peak is None else float(peak.torque[0]), "N*m", system),
        computed(zone.corner, "rad/s", system),
        computed(None if peak is None else float(peak.torque[-1]), "N*m", system),
        computed(None if continuous is None else float(continuous.torque[0]), "N*m", system),
        computed(at_rated, "N*m", system),
        computed(float(max(ends)) if ends else None, "rad/s", system),
    )
