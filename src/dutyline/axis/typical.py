"""Ranges in which practice finds nearly all values of a field, from ``data/typical.toml``."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import cache
from typing import Any

from dutyline.axis.forms import Field, Section, Typical
from dutyline.core.places import DATA


@cache
def rows() -> dict[tuple[str, str], tuple[tuple[tuple[str, ...], Typical], ...]]:
    """Kinds and range of every row, by section and field."""
    found: dict[tuple[str, str], tuple[tuple[tuple[str, ...], Typical], ...]] = {}
    for row in tomllib.loads((DATA / "typical.toml").read_text(encoding="utf-8"))["range"]:
        for name in row["fields"]:
            section, _, field = name.partition(".")
            own = (tuple(row.get("kinds", ())), _typical(row))
            found[section, field] = (*found.get((section, field), ()), own)
    return found


def _typical(row: dict[str, Any]) -> Typical:
    travel = row.get("travel")
    return Typical(
        low=float(row["low"]),
        high=float(row["high"]),
        unit=row.get("unit", "1"),
        said=row.get("said", ""),
        of=row.get("of", ""),
        neutral=row.get("neutral"),
        linear=None if travel is None else travel == "linear",
        signed=row.get("signed", True),
        source=row["source"],
    )


def ranged(section: Section) -> Section:
    """The section with the usual ranges of its fields."""
    return replace(section, fields=tuple(_field(section.name, f) for f in section.fields))


def _field(section: str, field: Field) -> Field:
    own = tuple(
        typical
        for kinds, typical in rows().get((section, field.name), ())
        if not kinds or (field.kinds and set(field.kinds) <= set(kinds))
    )
    return replace(field, typical=own) if own else field
