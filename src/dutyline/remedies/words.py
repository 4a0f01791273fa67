"""Remedies as sentences."""

from __future__ import annotations

from dutyline.checks.records import Line
from dutyline.checks.sentence import FAR
from dutyline.core.numbers import percent
from dutyline.remedies.levers import Changes, Lever, shown
from dutyline.remedies.probe import Goal, Key, Reading, slack

FAMILIES = {
    "move": "slower moves",
    "rest": "longer rests",
    "load": "a lighter load",
    "friction": "less friction",
    "transmission": "another transmission",
    "ambient": "cooler air",
    "wish": "an easier wish",
    "mains": "other mains",
    "hold": "closing the brake at rest",
    "ratio": "another ratio",
    "gearhead": "another frame of gearhead",
    "motor": "another motor",
    "drive": "another drive",
    "brake": "another brake",
    "resistor": "another resistor",
}
"""Kinds of change in a sentence."""


def lower(title: str) -> str:
    """A title inside a sentence."""
    return title[:1].lower() + title[1:]


def listed(items: list[str], last: str = "and") -> str:
    """``a, b and c``"""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def changed_number(lever: Lever, way: int, after: Changes) -> str:
    """A change of one number as the subject of a sentence."""
    before = lever.stated()
    first = lever.paths[0]
    if len(lever.paths) > 1:
        each = listed([f"“{p.split('.')[1]}” {shown(after[p])}" for p in lever.paths])
        return f"Slowing every move down, {each},"
    verb = "Raising" if way > 0 else "Lowering"
    return f"{verb} {lever.name} from {shown(before[first])} to {shown(after[first])}"


def helps(subject: str, reading: Reading, goal: Goal, key: Key) -> str:
    """The whole sentence: all of it would do, or this check alone and what then stands against."""
    if goal.whole:
        return f"{subject} would do."
    line = reading.line(key)
    used = None if line is None or line.yes_no else line.used
    then = "" if used is None else f", {percent(used)},"
    worst = reading.worst(but=(key, *goal.but))
    if worst is None or slack(worst) >= 0:
        return f"{subject} would settle this{then.rstrip(',')}."
    return f"{subject} would settle this{then} but {stands_against(worst)}."


def stands_against(line: Line) -> str:
    """``top speed fails with 104 %``"""
    if line.state == "not-checked":
        return f"{lower(line.title)} could not be checked then"
    if line.yes_no or line.used is None:
        return f"{lower(line.title)} fails then"
    word = "is short of its reserve" if line.state == "short" else "fails"
    share = f" with {percent(line.used)}" if line.used <= FAR else ""
    return f"{lower(line.title)} {word}{share}"


def in_vain(families: list[str], settled: bool) -> str:
    """What was tried and does not help by itself, after what nothing does where that is so."""
    names = list(dict.fromkeys(FAMILIES[family] for family in families))
    none = "" if settled else "No single change makes everything pass. "
    if not names:
        return none.strip()
    if len(names) == 1:
        return f"{none}{names[0].capitalize()} does not help by itself."
    return f"{none}Neither {listed(names, 'nor')} helps by itself."
