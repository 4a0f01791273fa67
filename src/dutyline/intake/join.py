"""Tables that add columns to parts which another table has named."""

from __future__ import annotations

import numpy as np

from dutyline.core.errors import Fault
from dutyline.core.faults import quoted
from dutyline.intake.trace import Lane, Table, blank


def join(into: Table, rows: Table, file: str, faults: list[Fault]) -> None:
    """Put the cells of a table beside those of the parts of the same names.

    Parameters
    ----------
    into : Table
        Changed.
    rows : Table
    file : str
        Of the second table, for faults.
    faults : list of Fault
        Added to: names that are not there or stand twice, and cells that hold two figures.
    """
    by_name = _names(into, faults)
    order = np.full(into.count, -1, np.int32)
    for row in range(rows.count):
        name = rows.text("name", row)
        if not name:
            read = "the row names no part; a name is needed to join."
            faults.append(Fault(rows.place(row, file), "name", read))
        elif name not in by_name:
            place = rows.lanes["name"].trace(row).place()
            read = f"read {quoted(name)}; no table before names it."
            remedy = "A table with join = true adds to parts that another one has."
            faults.append(Fault(place, "name", read, remedy))
        elif order[by_name[name]] < 0:
            order[by_name[name]] = row
        else:
            _further(rows, row, int(order[by_name[name]]), faults)
    for field, lane in rows.lanes.items():
        beside = lane.added(blank(1)).taken(np.where(order < 0, rows.count, order))
        held = into.lanes.get(field)
        if held is None:
            into.lanes[field] = beside
            continue
        _compare(held, beside, into, field, faults)
        into.lanes[field] = held.over(beside)


def _names(table: Table, faults: list[Fault]) -> dict[str, int]:
    found: dict[str, int] = {}
    for row in range(table.count):
        name = table.text("name", row)
        if name and found.setdefault(name, row) != row:
            lane = table.lanes["name"]
            first = lane.trace(found[name]).place()
            read = f"{quoted(name)} stands in {first} already."
            faults.append(Fault(lane.trace(row).place(), "name", read, "Rename one of the two."))
    return found


def _further(rows: Table, row: int, first: int, faults: list[Fault]) -> None:
    """A name that stands twice in the table that joins: the second row may only repeat."""
    for field, lane in rows.given(row):
        if lane.texts[row] != lane.texts[first]:
            _two(lane, row, lane, first, rows.text("name", row), field, faults)


def _compare(held: Lane, beside: Lane, into: Table, field: str, faults: list[Fault]) -> None:
    for row, (one, other) in enumerate(zip(held.texts, beside.texts, strict=True)):
        if one and other and one != other:
            _two(beside, row, held, row, into.text("name", row), field, faults)


def _two(
    lane: Lane, row: int, other: Lane, first: int, name: str, field: str, faults: list[Fault]
) -> None:
    new, old = lane.trace(row), other.trace(first)
    read = f"read {quoted(new.raw)} for {name}; {old.place()} holds {quoted(old.raw)}."
    faults.append(Fault(new.place(), field, read, "Keep one of the two."))
