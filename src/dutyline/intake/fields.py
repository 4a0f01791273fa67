"""Fields that a foreign column may give, by kind of table."""

from __future__ import annotations

import functools

from dutyline.catalogue.columns import Column, FileForm
from dutyline.catalogue.origins import KINDS
from dutyline.intake.keys import POINTS

_SERVING = {"pairings": (("gearheads", "ratio"), ("gearheads", "efficiency"))}
"""Fields of other kinds that serve to convert figures of the same row and are not kept."""


def form_of(kind: str) -> FileForm:
    """The file of a kind of part."""
    return KINDS[kind]


def column_for(kind: str, field: str) -> Column | None:
    """Our column of a field; None where a kind has no such field, and for points."""
    for column in KINDS[kind].columns:
        if column.field == field:
            return column
    for other, serving in _SERVING.get(kind, ()):
        if serving == field:
            return next(c for c in KINDS[other].columns if c.field == field)
    return None


@functools.cache
def kept(kind: str) -> frozenset[str]:
    """Fields that are written, and do not only serve others."""
    return frozenset(column.field for column in KINDS[kind].columns)


def names(kind: str) -> tuple[str, ...]:
    """Every field of a kind."""
    own = tuple(column.field for column in KINDS[kind].columns)
    serving = tuple(field for _, field in _SERVING.get(kind, ()))
    return (*own, *serving, *((POINTS,) if kind == "curves" else ()))
