"""Quantities whose kind the travel decides, and lists of pairs of them."""

from __future__ import annotations

from typing import Any

from dutyline.axis import entries
from dutyline.axis.forms import TRAVEL_FORMS, Field
from dutyline.core.faults import ValueFault
from dutyline.core.values import Value

MOST_POINTS = 500
"""Points of one force."""


def quantity_of(definition: Field, item: Any, linear: bool | None) -> Value:
    """A quantity; where the travel is not known, either reading will do."""
    if definition.takes == "angle or length":
        return _either(definition, item, ("angle", "length"))
    if definition.takes == "leader speed":
        return _either(definition, item, ("angular speed", "speed"))
    if linear is None and definition.takes in TRAVEL_FORMS:
        return _either(definition, item, TRAVEL_FORMS[definition.takes])
    return entries.quantity(definition, item, definition.dimension(bool(linear)))


def _either(definition: Field, item: Any, kinds: tuple[str, str]) -> Value:
    try:
        return entries.quantity(definition, item, kinds[0])
    except ValueFault as first:
        try:
            return entries.quantity(definition, item, kinds[1])
        except ValueFault:
            raise first from None


def points(item: Any, linear: bool | None) -> tuple[tuple[Value, Value], ...]:
    """Pairs of place and value; a place is a time, or else a travel."""
    place = Field("points", "travel", "Place", "")
    value = Field("points", "effort", "Value", "")
    rows = _rows(item, "a list of pairs of place and value", entries.POINTS)
    _limit(rows, "points", "Leave out those that lie on a line between their neighbours.")
    return tuple(
        (_place(place, row[0], linear), quantity_of(value, row[1], linear)) for row in rows
    )


def pairs(definition: Field, item: Any) -> tuple[tuple[Value, Value], ...]:
    """Pairs of quantities whose dimensions the definition names."""
    kinds = [tuple(kind.split(" or ")) for kind in definition.of.split("|")]
    shown = ", ".join(f'"{entries.example(own[0])}"' for own in kinds)
    remedy = f"Write it as in {definition.name} = [[{shown}], [...]]."
    rows = _rows(item, "a list of pairs", remedy)
    _limit(rows, "points", "Leave out those that lie on a line between their neighbours.")

    def one(raw: Any, own: tuple[str, ...]) -> Value:
        if len(own) == 2:
            return _either(definition, raw, (own[0], own[1]))
        return entries.quantity(definition, raw, own[0])

    found = tuple((one(row[0], kinds[0]), one(row[1], kinds[1])) for row in rows)
    for column in zip(*found, strict=True):
        if len({value.unit for value in column}) > 1:
            raise ValueFault("some of the places turn and some move along.", "Use one of them.")
    return found


def samples(item: Any, linear: bool | None) -> tuple[tuple[Value, Value], ...]:
    """Pairs of time or leader, and place or speed; all pairs of one kind."""
    field = Field("points", "travel", "Samples", "")
    rows = _rows(item, "a list of pairs", entries.SAMPLES)
    _limit(rows, "samples", 'Put them into a file: file = "samples.csv".', " of them here")
    ways = ("length", "angle") if linear is None else ("length",) if linear else ("angle",)
    speeds = {"length": "speed", "angle": "angular speed"}
    place = _kind_of(field, rows[0][0], ("time", "angle", "length"))
    value = _kind_of(field, rows[0][1], (*ways, *(speeds[way] for way in ways)))
    return tuple(
        (entries.quantity(field, a, place), entries.quantity(field, b, value)) for a, b in rows
    )


def _rows(item: Any, needed: str, remedy: str) -> list[list[Any]]:
    """The pairs of a list, one at least."""
    rows = item if isinstance(item, list) else None
    if not rows or not all(isinstance(row, list) and len(row) == 2 for row in rows):
        raise ValueFault(f"read {entries.shown(item)}; {needed} is needed.", remedy)
    return rows


def _limit(rows: list[list[Any]], noun: str, remedy: str, where: str = "") -> None:
    if len(rows) > MOST_POINTS:
        read = f"there are {len(rows)} {noun}; this version takes {MOST_POINTS}{where}."
        raise ValueFault(read, remedy)


def _kind_of(field: Field, item: Any, kinds: tuple[str, ...]) -> str:
    """The first dimension that takes a value."""
    faults = []
    for kind in kinds:
        try:
            entries.quantity(field, item, kind)
        except ValueFault as fault:
            faults.append(fault)
        else:
            return kind
    raise faults[0]


def _place(place: Field, item: Any, linear: bool | None) -> Value:
    try:
        return entries.quantity(place, item, "time")
    except ValueFault:
        return quantity_of(place, item, linear)
