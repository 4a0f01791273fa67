"""Curves in one cell, across columns, or picked from a plot: points of speed and torque."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from dutyline.catalogue.columns import Column
from dutyline.core.faults import ValueFault, quoted
from dutyline.intake import fields
from dutyline.intake.figures import Manner
from dutyline.intake.manners import Heading, place_of
from dutyline.intake.mapping import TableRule, Target
from dutyline.intake.numerals import Numerals
from dutyline.intake.trace import Cell, Record, Trace
from dutyline.intake.view import View

Points = list[tuple[Cell, Cell]]
"""Speeds and torques of one polyline."""
Tell = Callable[[str, str, str, str], None]
"""Takes place, field, what was read and what helps."""

_SPEED, _TORQUE = (
    column for column in (fields.column_for("curves", f) for f in ("speed", "torque")) if column
)
_HEAD_NUMBER = re.compile(r"[0-9][0-9.,' ]*")


def _manner(column: Column, unit: str, numerals: Numerals) -> Manner:
    return Manner(Target(column.field, column, ()), column, numerals, unit)


def ends(speed: str, torque: str, numerals: Numerals) -> dict[str, Manner]:
    """How the two figures of a point are read, by field."""
    return {"speed": _manner(_SPEED, speed, numerals), "torque": _manner(_TORQUE, torque, numerals)}


def points(text: str, target: Target, numerals: Numerals, trace: Trace) -> Points:
    """A polyline in one cell, ``0:2.4; 3000:2.4``.

    Raises
    ------
    ValueFault
        A point that is none.
    """
    speed, torque = ends(target.speed, target.torque, numerals).values()
    found: Points = []
    for item in text.split(target.items or ";"):
        if not item.strip():
            continue
        pair = item.split(target.pair or ":")
        if len(pair) != 2:
            raise ValueFault(f"read {quoted(item)}; a speed and a torque are needed.")
        s = Trace(trace.file, trace.sheet, trace.cell, item.strip(), target.speed)
        t = Trace(trace.file, trace.sheet, trace.cell, item.strip(), target.torque)
        found.append((Cell(speed.read(pair[0].strip(), False).text, s),
                      Cell(torque.read(pair[1].strip(), False).text, t)))  # fmt: skip
    return found


@dataclass(frozen=True, slots=True)
class Wide:
    """Torques in columns whose headings are speeds."""

    view: View
    rule: TableRule
    speeds: tuple[tuple[int, Cell], ...]
    torque: Manner

    def of(self, row: int, tell: Tell) -> Points:
        """The points of one row; an empty cell is none."""
        found: Points = []
        for column, speed in self.speeds:
            raw = self.view.raw(row, column)
            text = " ".join(raw.split())
            if not text or text.casefold() in self.rule.unknown:
                continue
            try:
                figure = self.torque.read(text, self.view.number(row, column))
            except ValueFault as fault:
                tell(self.view.place(row, column), "torque", fault.read, fault.remedy)
                continue
            grid = self.view.grid
            trace = Trace(grid.file, grid.sheet, self.view.cell(row, column), raw, self.torque.unit)
            found.append((speed, Cell(figure.text, trace)))
        return found


def wide(
    view: View, rule: TableRule, heads: list[Heading], rows: Mapping[int, int], tell: Tell
) -> Wide:
    """Columns of a wide table."""
    assert rule.wide is not None
    speed, torque = ends(*rule.wide, rule.numerals).values()
    found: list[tuple[int, Cell]] = []
    place = rows.get(rule.heading[-1], 0) if rule.heading else 0
    for head in heads:
        if not _HEAD_NUMBER.fullmatch(head.text):
            continue
        try:
            text = speed.read(head.text, view.number(place, head.column)).text
        except ValueFault as fault:
            tell(place_of(view, rule, head, rows), "speed", fault.read, fault.remedy)
            continue
        trace = Trace(view.grid.file, view.grid.sheet, view.cell(place, head.column), head.text,
                      rule.wide[0])  # fmt: skip
        found.append((head.column, Cell(text, trace)))
    for manner in (speed, torque):
        try:
            manner.check()
        except ValueFault as fault:
            tell(view.grid.file, manner.column.field, fault.read, fault.remedy)
    if not found:
        tell(view.grid.file, "speed", "no heading is a number; speeds are needed there.", "")
    return Wide(view, rule, tuple(found), torque)


def settled(records: list[Record], rule: TableRule) -> tuple[list[Record], str]:
    """Points near zero as zero and sorted by speed, where the mapping asks for it; what was done.

    Points of one curve stand where its first point stood.
    """
    moved = 0
    rows = list(records)
    if rule.zero_below is not None:
        for k, row in enumerate(rows):
            cell = row.get("speed")
            if cell is not None and cell.text != "0" and abs(float(cell.text)) <= rule.zero_below:
                note = "; ".join(filter(None, [cell.trace.convention, "near zero, read as zero"]))
                old = cell.trace
                trace = Trace(old.file, old.sheet, old.cell, old.raw, old.unit, note)
                rows[k] = {**row, "speed": Cell("0", trace)}
                moved += 1
    sorted_curves = 0
    if rule.sort:
        curves: dict[tuple[str, ...], list[Record]] = {}
        for row in rows:
            key = tuple(row[f].text if f in row else "" for f in ("motor", "mains", "phases",
                                                                  "kind"))  # fmt: skip
            curves.setdefault(key, []).append(row)
        rows = []
        for curve in curves.values():
            ordered = sorted(curve, key=_speed)
            sorted_curves += ordered != curve
            rows += ordered
    told = []
    if moved:
        told.append(f"{moved} speeds near zero read as zero")
    if sorted_curves:
        told.append(f"{sorted_curves} curves sorted by speed")
    return rows, ", ".join(told)


def _speed(row: Record) -> float:
    return float(row["speed"].text) if "speed" in row else 0.0
