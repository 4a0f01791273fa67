"""The smallest change of one number of the axis that meets a goal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dutyline.remedies.levers import Changes, Lever
from dutyline.remedies.probe import Goal, Key, Probe, Reading
from dutyline.remedies.steps import crossing

SCAN = (1.08, 1.25, 1.6, 2.2, 3.2, 5.0, 8.0, 20.0)
"""Places looked at outward, as shares; the range of a lever ends the row."""
WARMER = (5.0, 10.0, 20.0, 40.0, 60.0)
"""The same for temperatures [K]."""
_SAME = 1e-9
_WIDTH = 0.002
"""Share of what is stated to which a root is found; rounding goes beyond it."""


@dataclass(frozen=True, slots=True)
class Found:
    """A change that was re-run and meets its goal."""

    lever: Lever
    way: int
    after: Changes
    goal: Goal
    key: Key
    """The line it was looked for."""
    reading: Reading
    size: float
    """How large the change is: the ratio of after to before, as a share beyond one."""


def places(lever: Lever, way: int) -> list[float]:
    """Places outward from the stated value, the end of the range last."""
    if lever.unit == "degC":
        end = lever.most if way > 0 else lever.least
        return [way * p for p in WARMER if p < abs(end)] + ([end] if end else [])
    end = lever.most if way > 0 else lever.least
    row = [f if way > 0 else 1.0 / f for f in SCAN]
    inside = [p for p in row if (p < end if way > 0 else p > end)]
    return [*inside, end] if end != 1.0 else []


def searched(
    probe: Probe, lever: Lever, whole: Goal, alone: dict[Key, Goal]
) -> Iterator[Found]:
    """For each line the change of one lever that meets everything, else that line at least.

    Parameters
    ----------
    probe : Probe
    lever : Lever
    whole : Goal
        Everything.
    alone : dict
        Each line and the goal of meeting it by itself.
    """
    for way in lever.ways:
        yield from _one_way(probe, lever, way, whole, alone)


def _one_way(
    probe: Probe, lever: Lever, way: int, whole: Goal, alone: dict[Key, Goal]
) -> Iterator[Found]:
    row = places(lever, way)
    if not row or _idle(probe, lever, row, alone):
        return
    seen: list[tuple[float, Reading]] = [(lever.start, probe.base)]
    for place in row:
        reading = probe.at(lever.changes(place))
        if reading is None:
            break
        seen.append((place, reading))
        if whole.met(reading):
            found = _root(probe, lever, way, whole, seen)
            if found is not None:
                for key in alone:
                    yield Found(lever, way, *found[:1], whole, key, *found[1:])
                return
    for key, goal in alone.items():
        until = next((k for k, (_, reading) in enumerate(seen) if goal.met(reading)), None)
        if until:
            found = _root(probe, lever, way, goal, seen[: until + 1])
            if found is not None:
                yield Found(lever, way, *found[:1], goal, key, *found[1:])


def _idle(probe: Probe, lever: Lever, row: list[float], alone: dict[Key, Goal]) -> bool:
    """True where neither a middling nor the largest change moves any of the lines."""
    base = probe.base
    for place in (row[min(1, len(row) - 1)], row[-1]):
        reading = probe.at(lever.changes(place))
        if reading is None:
            continue
        for goal in alone.values():
            before, after = goal.left(base), goal.left(reading)
            if before != after and not abs(before - after) < _SAME:
                return False
    return True


def _root(
    probe: Probe, lever: Lever, way: int, goal: Goal, seen: list[tuple[float, Reading]]
) -> tuple[Changes, Reading, float] | None:
    """The rounded change between the last place that fails and the first that does."""
    out, into = seen[-2][0], seen[-1][0]
    width = 0.25 if lever.unit == "degC" else _WIDTH
    if lever.count:
        width = 0.5 / lever.base[0]

    def left(place: float) -> float:
        reading = probe.at(lever.changes(place))
        return float("-inf") if reading is None else goal.left(reading)

    _, into = crossing(left, out, into, width)
    for finer in (1.0, 10.0, 100.0):
        after = lever.rounded(into, way, finer)
        reading = probe.at(after)
        if reading is not None and goal.met(reading):
            return after, reading, _size(lever, into)
    return None


def _size(lever: Lever, place: float) -> float:
    if lever.unit == "degC":
        return abs(place) / 50.0
    return max(place, 1.0 / place) - 1.0
