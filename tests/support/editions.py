"""A difference taken at its word: what the second line must be, from the first one alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from dutyline.catalogue.columns import FORMS, FURTHER
from dutyline.catalogue.parts import ProductLine
from dutyline.editions.records import Difference

KINDS = tuple(form.file.removesuffix(".csv") for form in (*FORMS, *FURTHER))
PAIRING = ("kind", "left", "right", "mains", "phases")
CURVE = ("motor", "mains", "phases", "kind")


def by_key(line: ProductLine, kind: str) -> dict[tuple[Any, ...], Any]:
    names = {"pairings": PAIRING, "curves": CURVE}.get(kind, ("name",))
    return {tuple(getattr(row, n) for n in names): row for row in getattr(line, kind)}


def applied(found: Difference) -> dict[str, dict[tuple[Any, ...], Any]]:
    """Rows of the second line by kind and key, made of the first line and the difference."""
    rows = {kind: by_key(found.before, kind) for kind in KINDS}
    for item in found.gone:
        del rows[item.kind][item.key]
    for item in found.new:
        assert item.key not in rows[item.kind]
        rows[item.kind][item.key] = item.record
    for change in found.changes:
        row = rows[change.kind][change.key]
        if change.field == "ratio":
            new = {"ratio_exact": change.after, "ratio": float(change.after)}
        else:
            new = {change.field: change.after}
        rows[change.kind][change.key] = replace(row, **new)
    for curve in found.curves:
        rows["curves"][curve.key] = curve.after
    return rows
