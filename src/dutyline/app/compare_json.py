"""A comparison of two lines as plain data for programs."""

from __future__ import annotations

from typing import Any

from dutyline.app.records_json import (
    Json,
    combination_json,
    line_json,
    number,
    product_line_json,
)
from dutyline.catalogue.origins import origin
from dutyline.catalogue.parts import ProductLine
from dutyline.editions.records import Change, CurveChange, Difference, Group, Item
from dutyline.editions.words import name_of
from dutyline.kept.records import Comparison, Judged
from dutyline.kept.words import touched_texts


def comparison_json(result: Comparison) -> Json:
    """``dutyline.comparison/1``: values as text in the unit of their column, with their rows."""
    found = result.difference
    return {
        "schema": "dutyline.comparison/1",
        "before": product_line_json(found.before),
        "after": product_line_json(found.after),
        "same_content": found.same,
        "holds": result.holds,
        "said": [{"what": s.what, "from": s.old or None, "to": s.new or None} for s in found.said],
        "gone": [_item(item) for item in found.gone],
        "new": [_item(item) for item in found.new],
        "gone_beside_new": [
            {
                "kind": s.gone.kind,
                "gone": s.gone.key[0],
                "new": s.new.key[0],
                "changes": [_value(c) for c in s.changes],
            }
            for s in found.successors
        ],
        "groups": [_group(group) for group in found.groups],
        "changes": [_change(change, found) for change in found.changes],
        "curves": [_curve(change) for change in found.curves],
        "reordered": list(found.reordered),
        "verdicts": [_judged(one) for one in result.verdicts],
        "passed_over": result.passed,
    }


def _item(item: Item) -> Json:
    return {"kind": item.kind, "name": name_of(item.kind, item.key), "key": list(item.key)}


def _value(change: Change) -> Json:
    return {
        "column": change.column,
        "from": change.old or None,
        "to": change.new or None,
        "ratio": number(change.ratio),
        "allows": change.effect or None,
    }


def _group(group: Group) -> Json:
    return {
        "kind": group.kind,
        "column": group.column,
        "count": len(group.changes),
        "of": group.of,
        "ratio": {"smallest": number(group.low), "largest": number(group.high)},
        "nature": group.nature,
        "allows": group.effect or None,
        "names": [name_of(c.kind, c.key) for c in group.changes],
    }


def _change(change: Change, found: Difference) -> Json:
    return {
        "kind": change.kind,
        "name": name_of(change.kind, change.key),
        **_value(change),
        "row_before": _row(found.before, change, change.before),
        "row_after": _row(found.after, change, change.after),
    }


def _row(line: ProductLine, change: Change, value: Any) -> int | None:
    return origin(line, change.kind, change.key, change.field, value).row


def _curve(change: CurveChange) -> Json:
    return {
        "name": name_of("curves", change.key),
        "key": list(change.key),
        "torque": {"smallest": number(change.low), "largest": number(change.high)},
        "end_speed": number(change.end),
        "points": [len(change.before.speed), len(change.after.speed)],
        "allows": change.effect or None,
    }


def _judged(one: Judged) -> Json:
    kept = one.kept
    return {
        "source": kept.source,
        "axis": {"title": kept.title or None, "file": kept.axis_file, "checksum": kept.checksum,
                 "variant": kept.variant or None},
        "combination": combination_json(kept.combination),
        "outcome": one.outcome,
        "recorded": kept.verdict or None,
        "before": None if one.before is None else one.before.verdict,
        "after": one.now or None,
        "binding": {
            "recorded": kept.binding or None,
            "before": None if one.before is None else one.before.binding,
            "after": None if one.after is None else one.after.binding,
        },
        "touched": touched_texts(one.touched, None),
        "moved": [
            {
                "from": None if pair.before is None else line_json(pair.before),
                "to": None if pair.after is None else line_json(pair.after),
            }
            for pair in one.moved
        ],
        "remarks": list(one.remarks),
    }  # fmt: skip
