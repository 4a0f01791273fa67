"""Sentences on what speaks against a figure."""

from __future__ import annotations

import math
from typing import Any

from dutyline.audit.blame import Broken, cell_of
from dutyline.audit.look import Look
from dutyline.audit.records import Cell
from dutyline.catalogue.column_words import UNIT_WORDS, spoken
from dutyline.catalogue.origins import column_of, in_file_unit
from dutyline.core.numbers import SPACE, group, significant, stated, with_unit

MOST_NAMED = 4
MOST_TYPED = 10
"""Digits that a person writes in one cell; a converted number has more."""
_COMPANY = {
    "Family": "the others of its kind",
    "Curves": "the points beside it",
    "Gearhead": "the others of its frame",
}
"""Who asks for another figure where no single one does."""
_LOGARITHMS = frozenset(
    {"family-log-log-outlier", "power-rate-continuity", "column-follows-its-size"}
)


def value_text(kind: str, field: str, value: Any) -> str:
    """A value as a reader of the file knows it: number and unit of the column."""
    column = column_of(kind, field)
    if not isinstance(value, (int, float)):
        if isinstance(value, tuple):
            return " or ".join(value_text(kind, field, v) for v in value)
        return str(value)
    number = stated(float(in_file_unit(column, value)), 4)
    return with_unit(number, UNIT_WORDS.get(column.unit, column.unit))


def said(look: Look, broken: Broken, cell: Cell, wanted: float | None) -> str:
    """What the rule found: what the other figures ask for, or the usual range."""
    if wanted is None:
        return f"{_range(broken)}{_beside(look, broken, cell, ' with ')}."
    asked = value_text(cell.kind, cell.field, wanted)
    others = _beside(look, broken, cell, "")
    who = others or _COMPANY.get(broken.rule.group, "the others")
    verb = "asks" if others and " and " not in others and "," not in others else "ask"
    return f"{broken.rule.title}: {who} {verb} for {asked}."


def shortened(raw: str) -> str:
    """A cell as written; a long number that a conversion left with five digits.

    >>> shortened("0.470"), shortened("1.8981451276639605"), shortened("IP65")
    ('0.470', '1.8981', 'IP65')
    """
    if sum(map(str.isdigit, raw)) <= MOST_TYPED:
        return raw
    try:
        return significant(float(raw), 5)
    except ValueError:
        return raw


def times(ratio: float) -> str:
    """A ratio as a share or a multiple: ``141.6 times``, ``0.8165 times``."""
    return f"{stated(float(f'{ratio:.4g}'), 4)}{SPACE}times"


def _beside(look: Look, broken: Broken, cell: Cell, lead: str) -> str:
    """The other figures of a comparison with their columns, as words."""
    named = []
    for side in broken.tested.sides:
        other = cell_of(side, broken.at)
        if other == cell or (side.power == 0 and side.expected is None and wanted_sides(broken)):
            continue
        words = spoken(other.kind, other.field)
        named.append(f"{words} {_value(look, other)}{_whose(look, other, cell)}")
    named = list(dict.fromkeys(named))[:MOST_NAMED]
    if not named:
        return ""
    joined = ", ".join(named[:-1]) + (" and " if len(named) > 1 else "") + named[-1]
    return f"{lead}{joined}"


def wanted_sides(broken: Broken) -> bool:
    """Whether some side of a comparison tells what a figure would have to be."""
    return any(s.power != 0 or s.expected is not None for s in broken.tested.sides)


def _value(look: Look, cell: Cell) -> str:
    if cell.kind == "curves":
        value: Any = float(look.points[cell.field][cell.row])
    else:
        value = getattr(getattr(look.line, cell.kind)[cell.row], cell.field)
    if isinstance(value, (int, float)):
        return stated(float(in_file_unit(column_of(cell.kind, cell.field), value)), 4)
    return value_text(cell.kind, cell.field, value)


def _whose(look: Look, other: Cell, cell: Cell) -> str:
    """``of XB72`` where the figure belongs to another part."""
    if other.kind in ("curves", "pairings") or (other.kind, other.row) == (cell.kind, cell.row):
        return ""
    return f" of {getattr(look.line, other.kind)[other.row].name}"


def span_text(low: float, high: float) -> str:
    """A band as people say it.

    >>> span_text(0.8, 1.25), span_text(1.0, math.inf), span_text(-math.inf, 2.0)
    ('0.8 to 1.25', '1 or more', '2 or less')
    """
    if math.isinf(low) or math.isinf(high):
        ends = [(low, "or more"), (high, "or less")]
        return " and ".join(f"{end:g} {word}" for end, word in ends if math.isfinite(end)) or "any"
    return f"{low:g} to {high:g}"


def _grown(logarithm: float) -> float:
    try:
        return math.exp(logarithm)
    except OverflowError:
        return math.inf


def _range(broken: Broken) -> str:
    """The measure and the range in which it is usual."""
    low, high = broken.rule.bands[broken.tested.band]
    measure = float(broken.tested.measure[broken.at])
    if broken.rule.id in _LOGARITHMS:
        measure, low, high = _grown(measure), _grown(low), _grown(high)
    found = significant(measure, 3) if math.isfinite(measure) else group(measure)
    if math.isinf(high):
        usual = f"{stated(low, 3)} or more is usual"
    elif low == 0.0:
        usual = f"{stated(high, 4)} or less is usual"
    elif low == high:
        usual = f"{stated(low, 3)} is needed"
    else:
        usual = f"{stated(low, 3)} to {stated(high, 3)} is usual"
    return f"{broken.rule.title}: {found} where {usual}"
