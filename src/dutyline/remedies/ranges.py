"""How far each input may go until the combination does not pass any more."""

from __future__ import annotations

import math
from collections.abc import Sequence

from dutyline.core.wording import phase_name
from dutyline.remedies.levers import Changes, Lever, owner_of, shown
from dutyline.remedies.numbers import edge, places
from dutyline.remedies.probe import Goal, Probe
from dutyline.remedies.records import Answer, Effect, Range, Slope
from dutyline.remedies.words import LEAST_SLOPE, NUDGE, listed, lower

_WIDTH = 0.004
_FINE = 1e-7
_SAME = 1e-9


def effects(probe: Probe, levers: Sequence[Lever], goal: Goal) -> tuple[Effect, ...]:
    """How the least slack answers to every lever, and how far each may go.

    For a combination that meets. Ways that help are only followed where a small step already
    breaks something: a threshold right beside the stated value.
    """
    found = []
    for lever in levers:
        slope = _slope(probe, lever, goal)
        several = [_range(probe, lever, way, goal) for way in (-1, 1) if way in lever.harms]
        several += [_at_once(probe, lever, way, goal) for way in (-1, 1) if way not in lever.harms]
        kept = tuple(one for one in several if one is not None)
        felt = any(
            side is not None and abs(side) >= LEAST_SLOPE for side in (slope.less, slope.more)
        )
        if kept or felt:
            path, now = ", ".join(lever.paths), ", ".join(lever.stated().values())
            found.append(Effect(path, lever.name, now, slope, kept))
    return tuple(found)


def _nudged(lever: Lever, way: int) -> float:
    nudge = 1.0 if lever.unit == "degC" else NUDGE
    return lever.start + way * nudge


def _slope(probe: Probe, lever: Lever, goal: Goal) -> Slope:
    less, less_check = _share(probe, lever, -1, goal)
    more, more_check = _share(probe, lever, 1, goal)
    return Slope(less, more, less_check, more_check)


def _share(probe: Probe, lever: Lever, way: int, goal: Goal) -> tuple[float | None, str]:
    """Change of the least slack per share of the input in one way, and what binds there."""
    place = _nudged(lever, way)
    inside = lever.top is None or lever.values(place)[0] <= lever.top
    reading = None if lever.count or not inside else probe.at(lever.changes(place))
    if reading is None:
        return None, ""
    worst = reading.worst(but=goal.but)
    change = goal.left(reading) - goal.left(probe.base)
    share = change / abs(place - lever.start) if math.isfinite(change) else None
    return share, "" if worst is None else worst.title


def _at_once(probe: Probe, lever: Lever, way: int, goal: Goal) -> Range | None:
    """The stated value itself as the end of a way, where the smallest step breaks something."""
    if lever.count or not (lever.ways or lever.harms) or lever.family == "mains":
        return None
    reading = probe.at(lever.changes(_nudged(lever, way)))
    if reading is None or goal.met(reading):
        return None
    now = ", ".join(lever.stated().values())
    worst = reading.worst(but=goal.but)
    binds = "" if worst is None else worst.title
    path = ", ".join(lever.paths)
    return Range(path, lever.name, way, now, now, lever.base[0], lever.unit, now, binds)


def _range(probe: Probe, lever: Lever, way: int, goal: Goal) -> Range | None:
    """Outward until something is not met, and back to the last place that is."""
    row = places(lever, way)
    inside, outside = lever.start, None
    for place in row:
        reading = probe.at(lever.changes(place))
        if reading is None and (place == row[0] or lever.family == "wish"):
            return None
        if not goal.met(reading):
            outside = place
            break
        inside = place
    if not row:
        return None
    now, end = (", ".join(c.values()) for c in (lever.stated(), lever.rounded(row[-1], way)))
    head = ", ".join(lever.paths), lever.name, way, now
    if outside is None:
        last = probe.at(lever.changes(row[-1]))
        if last is None or abs(goal.left(probe.base) - goal.left(last)) < _SAME:
            return None
        return Range(*head, "", lever.values(row[-1])[0], lever.unit, end, "")
    missed = probe.at(lever.changes(outside))
    beyond, place = edge(probe, lever, goal, (outside, missed), inside, _WIDTH * abs(inside))
    after = ", ".join(told(probe, lever, place, way, goal).values())
    binds = _binding(probe, lever, beyond, goal)
    return Range(*head, after, lever.values(place)[0], lever.unit, end, binds)


def told(
    probe: Probe, lever: Lever, place: float, way: int, goal: Goal, finest: float = 1.0
) -> Changes:
    """The last sensible values this side of a place, re-run; the values as they are at worst."""
    for finer in (finest, 10.0 * finest, 100.0 * finest):
        after = lever.rounded(place, -way, finer)
        passed = (lever.place_of_text(after) - lever.start) * way > 1e-9
        if passed and goal.met(probe.at(after)):
            return after
    return lever.stated()


def _binding(probe: Probe, lever: Lever, place: float, goal: Goal) -> str:
    reading = probe.at(lever.changes(place))
    worst = None if reading is None else reading.worst(but=goal.but)
    return "the motion" if worst is None else worst.title


def answers(probe: Probe, levers: Sequence[Lever], goal: Goal) -> tuple[Answer, ...]:
    """The shortest times of moves and ramps and the largest payload, with what binds there.

    For a combination that does not pass, the first place that does; nothing where none does.
    """
    timed = [v for v in levers if v.family == "move" and v.paths[0].endswith((".time", ".ramp"))]
    carried = [v for v in levers if ".payloads." in v.paths[0]]
    carried = carried or [v for v in levers if v.paths[0] in ("load.mass", "load.inertia")]
    found = [_answer(probe, lever, goal) for lever in (*timed, *carried)]
    return tuple(one for one in found if one is not None)


def _answer(probe: Probe, lever: Lever, goal: Goal) -> Answer | None:
    harm = -1 if lever.family == "move" else 1
    meets = goal.met(probe.base)
    way = harm if meets else -harm
    last = lever.start
    for place in places(lever, way):
        reading = probe.at(lever.changes(place))
        if reading is None and not meets:
            return None
        if goal.met(reading) != meets:
            inside, outside = (last, place) if meets else (place, last)
            return _edged(probe, lever, goal, harm, inside, outside)
        last = place
    return None


def _edged(
    probe: Probe, lever: Lever, goal: Goal, harm: int, inside: float, outside: float
) -> Answer:
    missed = probe.at(lever.changes(outside))
    beyond, place = edge(probe, lever, goal, (outside, missed), inside, _FINE)
    if goal.met(probe.base):
        after = told(probe, lever, place, harm, goal, finest=10.0)
    else:
        after = lever.rounded(place, -harm, 10.0)
    binds = _binding(probe, lever, beyond, goal)
    each = [shown(text) for text in after.values()]
    if lever.family == "move":
        names = [f"{phase_name(owner_of(p))} {t}" for p, t in zip(after, each, strict=True)]
        kind = "ramp" if lever.paths[0].endswith(".ramp") else "time"
        said = f"Shortest {kind} of {listed(names)}"
        if len(names) > 1:
            said = f"{lever.name[:1].upper()}{lever.name[1:]} sped up alike: {listed(names)}"
    else:
        said = f"Largest value of {lever.name}: {each[0]}"
    return Answer(
        field=", ".join(lever.paths), text=f"{said}; then {lower(binds)} binds.",
        value=lever.values(place)[0], unit=lever.unit, before=", ".join(lever.stated().values()),
        after=", ".join(after.values()), binds=binds,
    )  # fmt: skip
