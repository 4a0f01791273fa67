"""Everything around the axis: duty, stop, site, wishes, reserves and the search."""

from __future__ import annotations

from functools import cache
from math import pi
from typing import TypeVar

from dutyline.axis.equipment import Accuracy, Cabinet, Cable, Control, Equipment, Guide
from dutyline.axis.fields import SECTIONS
from dutyline.axis.model import Choose, Duty, Require, Site, Stop
from dutyline.axis.records import record_of
from dutyline.axis.stated import Stated, Tree

Record = TypeVar("Record")


def duty_of(tree: Tree) -> Duty:
    """``[duty]``, or its defaults."""
    table = tree.one("duty")
    return Duty() if table is None else record_of(Duty, table)


def stop_of(tree: Tree) -> Stop:
    """``[stop]``, or its defaults."""
    table = tree.one("stop")
    if table is None:
        return Stop()
    free = table.numbers("free_distance")
    both = None if free is None else (free[0], free[-1])
    return record_of(Stop, table, free_distance=both)


def site_of(tree: Tree) -> Site | None:
    """``[site]``, or None where the file does not state the mains."""
    table = tree.one("site")
    if table is None or not table.has("mains", "phases"):
        return None
    word = table.word("phases") or "3"
    return record_of(Site, table, phases=word if word == "dc" else int(word))


def require_of(tree: Tree) -> Require:
    """``[require]``, or its defaults. The bandwidth becomes an angular frequency."""
    table = tree.one("require")
    if table is None:
        return record_of(Require, _empty("require", tree.linear))
    bandwidth = table.number("bandwidth")
    angular = None if bandwidth is None else 2.0 * pi * bandwidth
    return record_of(Require, table, bandwidth=angular)


def choose_of(tree: Tree) -> Choose:
    """``[choose]``, or its defaults."""
    table = tree.one("choose")
    return Choose() if table is None else record_of(Choose, table)


def reserve_of(tree: Tree) -> dict[str, float]:
    """Required reserves stated in the file, by check id."""
    table = tree.one("reserve")
    if table is None:
        return {}
    return {name: number for name in table.entries if (number := table.number(name)) is not None}


def equipment_of(tree: Tree) -> Equipment:
    """Guide, accuracy, control, cable and cabinet, each None where the file has no section."""

    def one(name: str, kind: type[Record]) -> Record | None:
        table = tree.one(name)
        return None if table is None else record_of(kind, table)

    return Equipment(
        guide=one("guide", Guide),
        accuracy=one("accuracy", Accuracy),
        control=one("control", Control),
        cable=one("cable", Cable),
        cabinet=one("cabinet", Cabinet),
    )


@cache
def _empty(name: str, linear: bool | None) -> Stated:
    return Stated(SECTIONS[name], name, (), None, linear, {}, {}, {}, kept=True)
