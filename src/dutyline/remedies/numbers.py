"""The smallest change of one number of the axis that meets a goal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from dutyline.remedies.levers import Changes, Lever
from dutyline.remedies.probe import Goal, Probe, Reading
from dutyline.remedies.steps import crossing

SCAN = (1.12, 1.4, 2.0, 3.2, 5.0, 8.0, 20.0)
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


@dataclass(frozen=True, slots=True)
class Scan:
    """One lever looked at outward in one direction, until everything is met or its range ends."""

    lever: Lever
    way: int
    seen: tuple[tuple[float, Reading], ...]
    """Places and what was read there, as it is first."""

    def until(self, goal: Goal) -> int | None:
        """The first place that meets a goal, None where none does."""
        return next((k for k, (_, r) in enumerate(self.seen) if k and goal.met(r)), None)

    def size(self, goal: Goal) -> float:
        """About how large the change to a goal is, from a straight line between two places."""
        k = self.until(goal)
        if k is None:
            return float("inf")
        (out, first), (into, second) = self.seen[k - 1 : k + 1]
        low, high = goal.left(first), goal.left(second)
        share = high / (high - low) if math.isfinite(low) and math.isfinite(high) else 0.0
        return _size(self.lever, into - share * (into - out))


def scans(probe: Probe, levers: Sequence[Lever], whole: Goal, alone: Sequence[Goal]) -> list[Scan]:
    """Every lever in every direction in which it moves any of the lines."""
    found = []
    for lever in levers:
        for way in lever.ways:
            row = places(lever, way)
            if not row or _idle(probe, lever, row, alone):
                continue
            seen = [(lever.start, probe.base)]
            for place in row:
                reading = probe.at(lever.changes(place))
                if reading is None:
                    break
                seen.append((place, reading))
                if whole.met(reading):
                    break
            found.append(Scan(lever, way, tuple(seen)))
    return found


def _idle(probe: Probe, lever: Lever, row: list[float], alone: Sequence[Goal]) -> bool:
    """True where neither a middling nor the largest change moves any of the lines."""
    base = probe.base
    for place in (row[min(1, len(row) - 1)], row[-1]):
        reading = probe.at(lever.changes(place))
        if reading is None:
            continue
        for goal in alone:
            before, after = goal.left(base), goal.left(reading)
            if before != after and not abs(before - after) < _SAME:
                return False
    return True


def least(probe: Probe, scan: Scan, goal: Goal) -> Found | None:
    """The smallest rounded change of a lever that meets a goal; None where none does.

    Notes
    -----
    A change that helps only between two places of the scan is not found.
    """
    k = scan.until(goal)
    if k is None:
        return None
    lever, way = scan.lever, scan.way
    (out, missed), (into, _) = scan.seen[k - 1 : k + 1]
    _, place = edge(probe, lever, goal, (out, missed), into, _WIDTH)
    for finer in (1.0, 10.0, 100.0):
        after = lever.rounded(place, way, finer)
        reading = probe.at(after)
        if reading is not None and goal.met(reading):
            return Found(lever, way, after, goal, reading, _size(lever, place))
    return None


def edge(
    probe: Probe,
    lever: Lever,
    goal: Goal,
    outside: tuple[float, Reading | None],
    inside: float,
    width: float,
) -> tuple[float, float]:
    """Two places side by side, the first not meeting a goal, the other meeting it.

    Only the lines that are missed outside are followed; where another one is missed at the place
    found, all are.
    """  # fmt: skip
    out, missed = outside
    if lever.unit == "degC":
        width = 0.25
    elif lever.count:
        width = 0.5 / lever.base[0]
    narrow = goal if missed is None else goal.narrowed(missed)
    for wanted in (narrow, goal):

        def left(place: float, wanted: Goal = wanted) -> float:
            reading = probe.at(lever.changes(place))
            return float("-inf") if reading is None else wanted.left(reading)

        found = crossing(left, out, inside, width)
        if goal.met(probe.at(lever.changes(found[1]))):
            break
    return found


def _size(lever: Lever, place: float) -> float:
    if lever.unit == "degC":
        return abs(place) / 50.0
    return max(place, 1.0 / place) - 1.0
