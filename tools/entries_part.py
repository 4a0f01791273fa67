"""The part of the field reference that says how a value is typed, as the reader itself reads it."""

from __future__ import annotations

from collections.abc import Callable

from dutyline.core.faults import ValueFault
from dutyline.core.numbers import stated_quantity
from dutyline.core.reading import read_value

Table = Callable[[list[str], list[list[str]]], str]

ENTRIES = (
    ("33 lb", "mass"), ("25 lbf.in", "torque"), ("1 250 N", "force"), ("0,5 m/s", "speed"),
    ("10 mm/rev", "lead"), ("1 1/2 in", "length"), ("5 ft 6 in", "length"), ("10 %", "number"),
    ("2.4e-3 kg*m^2", "inertia"), ("12..15 kg", "mass"), ("40 kg +/- 10 %", "mass"),
    ("about 12 kg", "mass"), ("2x35 kg", "mass"), ("12 kg + 15.5 lb", "mass"),
    ("3 kg - 200 g", "mass"), ("(12 + 3) kg", "mass"), ("2*(35 kg + 4 kg)", "mass"),
    ("90 m/min / 2", "speed"), ("3*(120 mm - 5 mm)", "length"), ("10 kg * 9.81 m/s^2", "force"),
    ("300 mm / 0.6 s", "speed"),
)  # fmt: skip
"""Entries and the kind of the field they stand in."""
REFUSED = (
    ("1,250 kg", "mass"), ("12-15 kg", "mass"), ("2*35 mm", "length"), ("1.5/2 kg", "mass"),
    ("3 kg / 0", "mass"), ("2*(3 kg", "mass"), ("2 m * 3 m", "length"),
    ("10 N*m * 3000 1/min", "power"),
)  # fmt: skip


def entries_part(table: Table) -> list[str]:
    """How a value may be typed, as the reader itself reads it."""
    rows = []
    for typed, kind in ENTRIES:
        value = read_value(typed, kind)
        ends = [e for e in (value.low, value.high) if e is not None]
        span = f", from {' to '.join(stated_quantity(e, value.unit) for e in ends)}" if ends else ""
        note = ", *assumed*" if value.status == "assumed" else ""
        rows.append([f"`{typed}`", kind, stated_quantity(value.si, value.unit) + span + note])
    refused = []
    for typed, kind in REFUSED:
        try:
            read_value(typed, kind)
        except ValueFault as fault:
            refused.append([f"`{typed}`", kind, f"{fault.read} {fault.remedy}"])
    told = (
        "Brackets, `+`, `-`, `*` and `/` may stand in any value except temperatures: products come "
        "before sums, a unit behind brackets belongs to all of them, terms of a sum are of one "
        "kind, and the whole has to be of the kind of the field. A minus between two values has "
        "spaces on both sides, or stands beside a bracket. `1/2` is a fraction; brackets stand at "
        "most 8 deep, and a value has at most 200 characters. The entry stays in the file as typed."
    )
    return [
        "", "## How a value is typed", "", table(["entry", "field", "read as"], rows), "", told, "",
        table(["refused", "field", "what is said"], refused),
    ]  # fmt: skip
