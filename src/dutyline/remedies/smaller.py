"""Whether one size smaller would do, as things are or after one change of an input."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dutyline.catalogue.parts import ProductLine
from dutyline.remedies import words
from dutyline.remedies.levers import Lever
from dutyline.remedies.numbers import Found, Scan, least, places
from dutyline.remedies.options import Option
from dutyline.remedies.probe import Goal, Probe, Reading
from dutyline.remedies.records import Smaller

_FIGURE = {
    "motor": "torque_stall",
    "gearhead": "frame",
    "drive": "current_rated",
    "brake": "torque_static",
    "resistor": "power_mean",
}
"""What tells the size of a part."""
_EASING = ("move", "load", "rest")
"""Families of change that a user is asked to weigh against a smaller part."""


def smaller(
    probe: Probe, options: Sequence[Option], levers: Sequence[Lever], goal: Goal
) -> tuple[Smaller, ...]:
    """The next smaller part of each kind, judged.

    Parameters
    ----------
    probe : Probe
        A combination that meets.
    options : sequence of Option
        Exchanges of a part, judged, nearest first.
    levers : sequence of Lever
    goal : Goal
        Everything.
    """
    found = []
    for family, field in (("motor", "motor"), ("gearhead", "gearhead"), ("drive", "drive"),
                          ("brake", "brake"), ("resistor", "resistor")):  # fmt: skip
        mine = [o for o in options if o.family == family and _less(o, field, probe)]
        for option in mine[:1]:
            if option.combination is not None and option.reading is not None:
                other = Probe(probe.axis, probe.line, option.combination)
                found.append(_judged(other, option, option.reading, levers, goal))
    return tuple(found)


def _size(line: ProductLine, field: str, name: str | None) -> float | None:
    if name is None or name == "none":
        return None
    part = getattr(line, f"{field}s")[getattr(line, f"{field}_index")[name]]
    size = getattr(part, _FIGURE[field])
    return None if size is None else float(size)


def _less(option: Option, field: str, probe: Probe) -> bool:
    after, before = (_size(probe.line, field, n) for n in (option.after, option.before))
    return after is not None and before is not None and after < before


def _judged(
    other: Probe, option: Option, reading: Reading, levers: Sequence[Lever], goal: Goal
) -> Smaller:
    head = option.field, option.before, option.after
    if goal.met(reading):
        return Smaller(*head, True, f"{option.subject} would do as well.")
    found = min(_eased(other, levers, goal), default=None,
                key=lambda one: one.size)  # fmt: skip
    if found is not None:
        change = words.changed_number(found.lever, found.way, found.after)
        change = change[:1].lower() + change[1:]
        return Smaller(*head, False, f"{option.subject} would do after {change.rstrip(',')}.")
    worst = reading.worst(but=goal.but)
    against = "" if worst is None else f": {words.stands_against(worst)}"
    return Smaller(*head, False, f"{option.subject} would not do{against}.")


def _eased(probe: Probe, levers: Sequence[Lever], goal: Goal) -> Iterator[Found]:
    """For each easing lever its smallest change with which the smaller part passes."""
    for lever in levers:
        if lever.family not in _EASING:
            continue
        for way in lever.ways:
            row = places(lever, way)
            ahead = probe.at(lever.changes(row[min(3, len(row) - 1)])) if row else None
            if ahead is None or not goal.left(ahead) > goal.left(probe.base):
                continue
            seen = [(lever.start, probe.base)]
            for place in row:
                reading = probe.at(lever.changes(place))
                if reading is None:
                    break
                seen.append((place, reading))
                if goal.met(reading):
                    one = least(probe, Scan(lever, way, tuple(seen)), goal)
                    if one is not None:
                        yield one
                    break
