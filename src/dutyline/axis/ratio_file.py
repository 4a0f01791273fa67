"""Points of a ratio table from a CSV file beside the axis file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from dutyline.axis.beside import text_beside
from dutyline.axis.fields import plain
from dutyline.axis.sheet import Column, read_sheet
from dutyline.axis.stated import Stated
from dutyline.axis.tables import FaultList
from dutyline.core.faults import ValueFault
from dutyline.core.values import Value

MOST = 720
"""Points of one file: two for each degree of a turn."""
Pairs = tuple[tuple[Value, Value], ...]
_COLUMNS = (
    Column("a place of the input", ("angle", "length")),
    Column("a place of the load", ("length", "angle")),
)
_SI = {"angle": "rad", "length": "m"}


def points_of_file(mechanism: Mapping[str, Any], faults: FaultList) -> Pairs | None:
    """The points that a file beside the axis file holds; None without one or after a fault.

    Parameters
    ----------
    mechanism : mapping
        The raw table of a ``ratio-table``.
    faults : FaultList
    """
    key = next((key for key in mechanism if plain(key) == "file"), None)
    name = None if key is None else mechanism[key]
    if key is None or not isinstance(name, str):
        return None
    keys, where = ("mechanism", key), "mechanism.file"
    try:
        text = text_beside(faults.document, name)
    except ValueFault as fault:
        faults.add(keys, where, fault.read, fault.remedy)
        return None
    sheet = read_sheet(name, where, text, _COLUMNS)
    if sheet.faults:
        faults.faults += [fault for fault in sheet.faults if fault not in faults.faults]
        return None
    if len(sheet.rows) > MOST:
        read = f"{name} holds {len(sheet.rows)} points; this version takes {MOST}."
        faults.add(keys, where, read, "Thin them out; the course between them is a spline.")
        return None
    units = [_SI[kind] for kind in sheet.kinds]
    return tuple(
        (Value(a, units[0], typed=""), Value(b, units[1], typed="")) for a, b in sheet.rows
    )


def with_points(mechanism: Stated, points: Pairs | None) -> Stated:
    """The table with the points of its file, which is what stays stated."""
    if points is None or "points" in mechanism.entries:
        return mechanism
    return replace(
        mechanism,
        entries={**mechanism.entries, "points": points},
        spelled={**mechanism.spelled, "points": mechanism.spelled.get("file", "file")},
        kept=False,
    )
