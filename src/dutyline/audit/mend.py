"""A copy of a line in which the figures found wrong stand as they should, for a second look.

What is told of a line never comes from the copy alone: it only lets faults be seen that stand
behind others.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from dutyline.audit.look import Look
from dutyline.audit.records import Cell
from dutyline.catalogue.origins import column_of
from dutyline.catalogue.parts import ProductLine


def mended(look: Look, wanted: Mapping[Cell, float | None]) -> ProductLine:
    """The line with some figures replaced, or left out where nothing tells what they should be."""
    line = look.line
    changes: dict[str, Any] = {}
    for kind in {cell.kind for cell in wanted}:
        parts = list(getattr(line, kind))
        for cell, value in wanted.items():
            if cell.kind == "curves" == kind:
                which = int(np.searchsorted(look.curve_starts, cell.row, side="right")) - 1
                point = cell.row - int(look.curve_starts[which])
                parts[which] = _point(parts[which], cell.field, point, value)
            elif cell.kind == kind:
                parts[cell.row] = _part(parts[cell.row], cell, value)
        changes[kind] = tuple(parts)
    made = replace(line, **changes)
    made.files.update(line.files)  # a value that was changed is not looked for there
    return made


def _part(part: Any, cell: Cell, value: float | None) -> Any:
    column = column_of(cell.kind, cell.field)
    if column.kind == "int" and value is not None:
        return replace(part, **{cell.field: round(value)})
    if column.kind == "number" and not column.required:
        return replace(part, **{cell.field: value})
    return part


def _point(curve: Any, field: str, point: int, value: float | None) -> Any:
    if value is None:
        return curve
    values = list(getattr(curve, field))
    values[point] = value
    return replace(curve, **{field: tuple(values)})
