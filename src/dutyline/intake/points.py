"""Curves in one cell, across columns, or picked from a plot: points of speed and torque."""

from __future__ import annotations

import re
from array import array
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from dutyline.catalogue.columns import Column
from dutyline.core.faults import ValueFault, quoted
from dutyline.intake import fields
from dutyline.intake.figures import Manner
from dutyline.intake.manners import Heading, place_of
from dutyline.intake.mapping import TableRule, Target
from dutyline.intake.numerals import Numerals
from dutyline.intake.trace import Lane, Places, Spring, Table
from dutyline.intake.view import View

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


@dataclass(slots=True)
class Points:
    """Points of all rows of a table, one behind the other, and where they stand."""

    view: View
    units: tuple[str, str]
    """Of speed and torque."""
    counts: list[int] = field(default_factory=list)
    """(n,) points of each row; -1 where a row says nothing of points."""
    texts: tuple[list[str], list[str]] = field(default_factory=lambda: ([], []))
    """Speeds and torques."""
    rows: tuple[array[int], array[int]] = field(
        default_factory=lambda: (array("i"), array("i"))
    )  # fmt: skip
    columns: tuple[array[int], array[int]] = field(
        default_factory=lambda: (array("i"), array("i"))
    )  # fmt: skip
    items: list[str] | None = None
    """What stood of each point in a cell of several."""

    def add(self, place: int, text: str, row: int, column: int) -> None:
        """Put one figure behind the others: a speed (0) or a torque (1)."""
        self.texts[place].append(text)
        self.rows[place].append(row)
        self.columns[place].append(column)

    def add_cell(self, text: str, target: Target, numerals: Numerals, row: int, column: int
                 ) -> None:  # fmt: skip
        """Put the polyline of one cell, ``0:2.4; 3000:2.4``, behind the others.

        Raises
        ------
        ValueFault
            A point that is none.
        """
        speed, torque = ends(target.speed, target.torque, numerals).values()
        found: list[tuple[str, str, str]] = []
        for item in text.split(target.items or ";"):
            if not item.strip():
                continue
            pair = item.split(target.pair or ":")
            if len(pair) != 2:
                raise ValueFault(f"read {quoted(item)}; a speed and a torque are needed.")
            speed_text = speed.read(pair[0].strip(), False).text
            found.append((speed_text, torque.read(pair[1].strip(), False).text, item.strip()))
        self.items = self.items or []
        for speed_text, torque_text, item in found:
            self.add(0, speed_text, row, column)
            self.add(1, torque_text, row, column)
            self.items.append(item)
        self.counts.append(len(found))

    def put(self, table: Table, origin: Places) -> Table:
        """A table whose rows came from these rows, each repeated for its points."""
        counts = np.asarray(self.counts, np.int32)
        starts = np.cumsum(np.maximum(counts, 0)) - np.maximum(counts, 0)
        times = np.abs(counts)[origin]
        order = np.repeat(np.arange(len(origin), dtype=np.int32), times)
        within = np.arange(len(order)) - np.repeat(np.cumsum(times) - times, times)
        at = (starts[origin[order]] + within).astype(np.int32)
        silent = (counts < 0)[origin[order]]
        found = table.taken(order)
        for place, name in enumerate(("speed", "torque")):
            rows, columns = (np.asarray(p[place], np.int32) for p in (self.rows, self.columns))
            spring = Spring(self.view, rows, columns, self.units[place], raws=self.items)
            texts = [
                "" if none else self.texts[place][k] for k, none in zip(at, silent, strict=True)
            ]
            found.lanes[name] = Lane(texts, [spring], np.zeros(len(at), np.int32), at)
        return found


@dataclass(frozen=True, slots=True)
class Wide:
    """Torques in columns whose headings are speeds."""

    view: View
    rule: TableRule
    speeds: tuple[tuple[int, int, str], ...]
    """Row and column of each heading that is a speed, and the speed."""
    torque: Manner

    def add(self, points: Points, row: int, tell: Tell) -> None:
        """Put the points of one row behind the others; an empty cell is none."""
        count = 0
        for head, column, speed in self.speeds:
            text = " ".join(self.view.raw(row, column).split())
            if not text or text.casefold() in self.rule.unknown:
                continue
            try:
                torque = self.torque.read(text, self.view.number(row, column)).text
            except ValueFault as fault:
                tell(self.view.place(row, column), "torque", fault.read, fault.remedy)
                continue
            points.add(0, speed, head, column)
            points.add(1, torque, row, column)
            count += 1
        points.counts.append(count)


def wide(
    view: View, rule: TableRule, heads: list[Heading], rows: Mapping[int, int], tell: Tell
) -> Wide:
    """Columns of a wide table."""
    assert rule.wide is not None
    speed, torque = ends(*rule.wide, rule.numerals).values()
    found: list[tuple[int, int, str]] = []
    place = rows.get(rule.heading[-1], 0) if rule.heading else 0
    for head in heads:
        if not _HEAD_NUMBER.fullmatch(head.text):
            continue
        try:
            text = speed.read(head.text, view.number(place, head.column)).text
        except ValueFault as fault:
            tell(place_of(view, rule, head, rows), "speed", fault.read, fault.remedy)
            continue
        found.append((place, head.column, text))
    for manner in (speed, torque):
        try:
            manner.check()
        except ValueFault as fault:
            tell(view.grid.file, manner.column.field, fault.read, fault.remedy)
    if not found:
        tell(view.grid.file, "speed", "no heading is a number; speeds are needed there.", "")
    return Wide(view, rule, tuple(found), torque)


def settled(table: Table, rule: TableRule) -> tuple[Table, str]:
    """Points near zero as zero and sorted by speed, where the mapping asks for it; what was done.

    Points of one curve stand where its first point stood.
    """
    told = []
    lane = table.lanes.get("speed")
    if rule.zero_below is not None and lane is not None:
        near = [
            k for k, text in enumerate(lane.texts)
            if text not in ("", "0") and abs(float(text)) <= rule.zero_below
        ]  # fmt: skip
        if near:
            table = Table(table.count, {**table.lanes, "speed": _zero(lane, near)})
            told.append(f"{len(near)} speeds near zero read as zero")
    if rule.sort:
        table, count = _by_speed(table)
        if count:
            told.append(f"{count} curves sorted by speed")
    return table, ", ".join(told)


def _zero(lane: Lane, near: list[int]) -> Lane:
    """A column with some cells as zero, which their springs say."""
    texts = list(lane.texts)
    for k in near:
        texts[k] = "0"
    said = [
        replace(s, convention="; ".join(filter(None, [s.convention, "near zero, read as zero"])))
        for s in lane.springs
    ]
    which = lane.which.copy()
    which[near] += len(lane.springs)
    return Lane(texts, lane.springs + said, which, lane.at)


def _by_speed(table: Table) -> tuple[Table, int]:
    """The points of each curve by speed, and how many curves were not."""
    keys = zip(*(_texts(table, f) for f in ("motor", "mains", "phases", "kind")), strict=True)
    speeds = [float(text) if text else 0.0 for text in _texts(table, "speed")]
    curves: dict[tuple[str, ...], list[int]] = {}
    for row, key in enumerate(keys):
        curves.setdefault(key, []).append(row)
    count = 0
    order: list[int] = []
    for curve in curves.values():
        ordered = sorted(curve, key=speeds.__getitem__)
        count += ordered != curve
        order += ordered
    return table.taken(np.asarray(order, np.int32)), count


def _texts(table: Table, name: str) -> list[str]:
    lane = table.lanes.get(name)
    return [""] * table.count if lane is None else lane.texts
