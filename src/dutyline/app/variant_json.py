"""What a variant changes, as plain data for programs."""

from __future__ import annotations

from dutyline.app.records_json import (
    Json,
    axis_json,
    combination_json,
    line_json,
    quantity,
    unit_of,
    verdict_json,
)
from dutyline.app.variants import Difference


def difference_json(found: Difference) -> Json:
    """``dutyline.variant/1``: differences only, and the whole verdict on the variant."""
    axis = found.after.axis
    return {
        "schema": "dutyline.variant/1",
        "axis": axis_json(axis),
        "variant": axis.variant,
        "note": axis.remark or None,
        "combination": combination_json(found.after.combination),
        "verdict": {"from": found.before.verdict, "to": found.after.verdict},
        "inputs": [
            {"field": c.path, "label": c.label, "from": c.before, "to": c.after}
            for c in found.inputs
        ],
        "figures": [
            {
                "place": f.place,
                "name": f.name,
                "from": quantity(f.before, unit_of(f.place, f.name, axis)),
                "to": quantity(f.after, unit_of(f.place, f.name, axis)),
            }
            for f in found.figures
        ],
        "ledger": [
            {
                "from": None if p.before is None else line_json(p.before),
                "to": None if p.after is None else line_json(p.after),
            }
            for p in found.lines
        ],
        "same": found.same,
        "result": verdict_json(found.after),
    }
