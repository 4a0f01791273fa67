"""Finding what differs between two product lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields
from functools import cache
from typing import Any

import numpy as np

from dutyline.catalogue.columns import FORMS, FURTHER, Column, FileForm
from dutyline.catalogue.content import content_hash, plain_text, thresholds_checksum
from dutyline.catalogue.parts import Curve, Pairing, ProductLine
from dutyline.editions.direction import effect_of
from dutyline.editions.grouping import grouped
from dutyline.editions.records import (
    Change,
    CurveChange,
    Difference,
    Effect,
    Item,
    Nature,
    Said,
    curve_key,
)
from dutyline.editions.successors import successors

Records = Mapping[tuple[Any, ...], Any]

_PAIRING_KEY = ("kind", "left", "right", "mains", "phases")
_SHORT = 8


def difference(before: ProductLine, after: ProductLine) -> Difference:
    """Everything that differs between two lines.

    Parts are followed by their names, pairings by their parts and mains, curves by motor, mains
    and kind. Nothing is guessed: a part of another name is another part. Estimates are left out.

    Parameters
    ----------
    before, after : ProductLine
    """
    before, after = (line.as_stated or line for line in (before, after))
    gone: list[Item] = []
    new: list[Item] = []
    changes: list[Change] = []
    curves: list[CurveChange] = []
    reordered: list[str] = []
    counts: dict[str, int] = {}
    for form in (*FORMS, *FURTHER):
        kind = _kind(form)
        old, now = _records(before, form), _records(after, form)
        gone += [Item(kind, key, record) for key, record in old.items() if key not in now]
        new += [Item(kind, key, record) for key, record in now.items() if key not in old]
        common = [key for key in old if key in now]
        counts[kind] = len(common)
        if common != [key for key in now if key in old]:
            reordered.append(form.file)
        for key in common:
            if old[key] == now[key]:
                continue
            if form.record is Curve:
                curves.append(_curve(old[key], now[key]))
            else:
                changes += _changes(form, key, old[key], now[key])
    return Difference(
        before=before,
        after=after,
        same=content_hash(before) == content_hash(after),
        said=tuple(_said(before, after)),
        gone=tuple(gone),
        new=tuple(new),
        successors=successors(gone, new, _between),
        changes=tuple(changes),
        groups=grouped(changes, counts),
        curves=tuple(sorted(curves, key=_urgency)),
        reordered=tuple(reordered),
    )


def _kind(form: FileForm) -> str:
    return form.file.removesuffix(".csv")


@cache
def _forms() -> dict[str, FileForm]:
    return {_kind(form): form for form in (*FORMS, *FURTHER)}


def _records(line: ProductLine, form: FileForm) -> Records:
    rows = getattr(line, _kind(form))
    if form.record is Curve:
        return {curve_key(row): row for row in rows}
    if form.record is Pairing:
        return {tuple(getattr(row, f) for f in _PAIRING_KEY): row for row in rows}
    return {(row.name,): row for row in rows}


def _between(gone: Item, new: Item) -> list[Change]:
    """Changes from one part to another of its kind, names aside."""
    return list(_changes(_forms()[gone.kind], gone.key, gone.record, new.record))


def _changes(form: FileForm, key: tuple[Any, ...], old: Any, new: Any) -> Iterator[Change]:
    own = _PAIRING_KEY if form.record is Pairing else ("name",)
    known = {f.name for f in fields(form.record)}
    for column in form.columns:
        if column.field in own or column.field not in known:
            continue
        field = "ratio_exact" if column.kind == "ratio" else column.field
        before, after = getattr(old, field), getattr(new, field)
        if before != after:
            yield _change(_kind(form), key, column, before, after)


def _change(kind: str, key: tuple[Any, ...], column: Column, before: Any, after: Any) -> Change:
    nature: Nature = "value"
    if before in (None, "", ()):
        nature = "stated"
    elif after in (None, "", ()):
        nature = "unstated"
    return Change(
        kind=kind,
        key=key,
        field=column.field,
        column=column.name,
        before=before,
        after=after,
        old=plain_text(column, before),
        new=plain_text(column, after),
        ratio=_ratio(column, before, after),
        nature=nature,
        effect=_effect(kind, column, before, after),
    )


def _ratio(column: Column, before: Any, after: Any) -> float | None:
    if column.kind not in ("number", "int", "ratio") or column.unit == "degC":
        return None
    if before is None or after is None or before <= 0 or after <= 0:
        return None
    return float(after / before)


def _effect(kind: str, column: Column, before: Any, after: Any) -> Effect:
    if column.kind not in ("number", "int") or before is None or after is None:
        return ""
    return effect_of(kind, column.field, bool(after > before))


def _curve(old: Curve, new: Curve) -> CurveChange:
    """Torques compared at every speed of either curve up to the nearer end."""
    end = min(old.speed[-1], new.speed[-1])
    speed = np.unique([v for v in (*old.speed, *new.speed) if v <= end])
    first = np.interp(speed, old.speed, old.torque)
    last = np.interp(speed, new.speed, new.torque)
    above = first > 0
    ratio = last[above] / first[above]
    low = float(ratio.min()) if ratio.size else None
    high = float(ratio.max()) if ratio.size else None
    reach = new.speed[-1] / old.speed[-1]
    less = reach < 1 or bool((last < first).any())
    more = reach > 1 or bool((last > first).any())
    effect: Effect = "" if less == more else ("less" if less else "more")
    return CurveChange(old, new, low, high, reach, effect)


def _urgency(change: CurveChange) -> tuple[int, float]:
    rank = {"less": 0, "": 1, "more": 2}[change.effect]
    return rank, min(change.low or 1.0, change.end)


def _said(before: ProductLine, after: ProductLine) -> Iterator[Said]:
    for what in ("name", "edition", "date", "note", "currency"):
        old, new = getattr(before, what), getattr(after, what)
        if old != new:
            yield Said(what, old, new)
    old, new = (thresholds_checksum(line)[:_SHORT] for line in (before, after))
    if old != new:
        yield Said("audit.toml", old, new)
