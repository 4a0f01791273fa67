"""Values outside of what practice finds: computed as they stand, with a caution."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from dutyline.axis.forms import Field, Typical
from dutyline.axis.gaps import spoken
from dutyline.axis.stated import Entry, Stated
from dutyline.core.numbers import marked
from dutyline.core.reading import read_value
from dutyline.core.values import Value

UNUSUAL = "Unusual"
"""How the caution begins that names a value outside of its usual range."""
_NEAR = 1e-9
"""Share by which rounding may take an end of a range past itself."""


def unusual(table: Stated, field: Field, entry: Entry) -> str:
    """The caution on a stated field, with the range that is usual; empty where nothing is unusual.

    Parameters
    ----------
    table : Stated
        Where the field stands.
    field : Field
    entry : Entry
        What is stated; texts, words and tables have no range.
    """
    if not field.typical:
        return ""
    values = (entry,) if isinstance(entry, Value) else entry if isinstance(entry, tuple) else ()
    span = _span(field, table.linear)
    if span is not None and field.typical[0].of:
        whole = table.number(field.typical[0].of)
        span = None if whole is None else (whole * span[0], whole * span[1])
    if span is None or all(not isinstance(v, Value) or _within(v, field, span) for v in values):
        return ""
    typed = ", ".join(v.typed for v in values if isinstance(v, Value))
    words = re.sub("[0-9.]*[0-9]", lambda m: marked(m[0]), field.usual(table.linear))
    return f"{UNUSUAL} {spoken(table, field)}: {typed}; usual is {words}. Computed as stated."


def outlying(notes: Iterable[str]) -> tuple[str, ...]:
    """The cautions on unusual values among the notes of an axis, those of its cases too."""
    return tuple(n for n in notes if re.match(rf"(Case .*: )?{UNUSUAL} ", n))


@cache
def _span(field: Field, linear: bool | None) -> tuple[float, float] | None:
    """Smallest and largest of the usual ranges, in SI or as shares; None where there is none."""
    ranges = field.ranges(linear)
    if not ranges:
        return None
    kind = field.dimension(bool(linear)) if field.quantity else "number"
    ends = [_ends(t, "number" if t.of else kind) for t in ranges]
    return min(low for low, _ in ends), max(high for _, high in ends)


def _within(value: Value, field: Field, span: tuple[float, float]) -> bool:
    """Whether the value and both ends of its range are usual, or stand for none."""
    low, high = span
    slack = _NEAR * max(abs(low), abs(high))
    neutral, signed = field.typical[0].neutral, field.typical[0].signed
    parts = (p for p in (value.si, value.low, value.high) if p is not None and p != neutral)
    return all(low - slack <= (p if signed else abs(p)) <= high + slack for p in parts)


def _ends(typical: Typical, kind: str) -> tuple[float, float]:
    unit = "" if typical.unit == "1" else f" {typical.unit}"
    low, high = (read_value(f"{end:.12g}{unit}", kind).si for end in (typical.low, typical.high))
    return low, high
