"""Samples of a table phase: stated in the axis file, or in a CSV file beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from dutyline.axis.beside import text_beside
from dutyline.axis.sheet import Column, read_sheet
from dutyline.axis.stated import Stated
from dutyline.axis.tables import FaultList
from dutyline.core.faults import ValueFault
from dutyline.core.values import Value

PLACES = ("time", "angle", "length")
"""What samples may stand over, in order of preference."""
OVER = {"time": "time", "angle": "leader", "length": "leader"}
SPEEDS = {"angle": "angular-speed", "length": "speed"}
_SI = {"time": "s", "angle": "rad", "length": "m"}
_WAYS = ("points", "file")


def values_of(linear: bool) -> tuple[str, str]:
    """What samples may give: a place, or a speed of the load."""
    way = "length" if linear else "angle"
    return way, SPEEDS[way]


def samples_of(phase: Stated, linear: bool, faults: FaultList) -> dict[str, Any]:
    """Fields ``samples``, ``gives`` and ``over`` of a table phase; faults are told.

    Parameters
    ----------
    phase : Stated
        A phase that does ``table``.
    linear : bool
        Travel of the load.
    faults : FaultList
    """
    stated = [name for name in _WAYS if phase.has(name)]
    if len(stated) != 1:
        read = "points or file is missing." if not stated else "points and file stand together."
        remedy = 'Write file = "cam.csv", or points = [["0 s", "0 mm"], ["10 ms", "0.2 mm"]].'
        faults.add(phase.keys, f"{phase.path}.{_WAYS[-1]}", read, remedy)
        return {}
    found = _points(phase, linear) if stated == ["points"] else _file(phase, linear, faults)
    if found is None:
        return {}
    rows, place, value = found
    over, gives = OVER[place], "position" if value in ("length", "angle") else "speed"
    _agree(phase, "over", over, faults)
    _agree(phase, "gives", gives, faults)
    _check_leader(phase, place, faults)
    return {"samples": tuple(rows), "over": over, "gives": gives}


def _points(phase: Stated, linear: bool) -> tuple[list[tuple[float, float]], str, str] | None:
    found = phase.entries.get("points")
    if not isinstance(found, tuple):
        return None
    pairs: Sequence[tuple[Value, Value]] = [p for p in found if isinstance(p, tuple)]
    place = next(kind for kind, unit in _SI.items() if unit == pairs[0][0].unit)
    way, speed = values_of(linear)
    value = way if pairs[0][1].unit in ("m", "rad") else speed
    return [(a.si, b.si) for a, b in pairs], place, value


def _file(
    phase: Stated, linear: bool, faults: FaultList
) -> tuple[list[tuple[float, float]], str, str] | None:
    name = phase.word("file") or ""
    where = f"{phase.path}.file"
    keys = (*phase.keys, phase.spelled.get("file", "file"))
    try:
        text = text_beside(faults.document, name)
    except ValueFault as fault:
        faults.add(keys, where, fault.read, fault.remedy)
        return None
    columns = (Column("a time or a place of the leader", PLACES), _column(phase, linear))
    sheet = read_sheet(name, where, text, columns)
    if sheet.faults:
        faults.faults += [f for f in sheet.faults if f not in faults.faults]
        return None
    return sheet.rows, sheet.kinds[0], sheet.kinds[1]


def _column(phase: Stated, linear: bool) -> Column:
    kinds = values_of(linear)
    gives = phase.word("gives")
    if gives is not None:
        kinds = (kinds[1], kinds[0]) if gives == "speed" else kinds
    return Column("a place or a speed of the load", kinds)


def _agree(phase: Stated, name: str, found: str, faults: FaultList) -> None:
    """A stated word has to be what the units of the samples say."""
    stated = phase.word(name)
    if stated is not None and stated != found:
        keys = (*phase.keys, phase.spelled.get(name, name))
        read = f"{name} is {stated}, but the units of the samples say {found}."
        faults.add(keys, f"{phase.path}.{name}", read, f'Write {name} = "{found}", or other units.')


def _check_leader(phase: Stated, place: str, faults: FaultList) -> None:
    """The leader's speed is of the kind of its places."""
    speed = phase.entries.get("leader_speed")
    if place == "time" or not isinstance(speed, Value):
        return
    wanted = "rad/s" if place == "angle" else "m/s"
    if speed.unit != wanted:
        keys = (*phase.keys, phase.spelled.get("leader_speed", "leader_speed"))
        kind = "turns" if place == "angle" else "moves along"
        read = f'read "{speed.typed}", but the leader {kind} in the samples.'
        sample = "60 r/min" if place == "angle" else "0.5 m/s"
        faults.add(keys, f"{phase.path}.leader_speed", read,
                   f'Write it as in leader_speed = "{sample}".')  # fmt: skip
