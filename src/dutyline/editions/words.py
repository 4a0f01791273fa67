"""A difference as sentences: the same on the terminal and on paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from dutyline.catalogue.column_words import spoken, spoken_unit
from dutyline.catalogue.content import content_hash
from dutyline.catalogue.edition import titled
from dutyline.core.numbers import SPACE, THIN, group
from dutyline.core.wording import upper_first
from dutyline.editions.records import Change, CurveChange, Difference, Group, Item, Said, Successor

EXAMPLES = 3
"""Rows of a group told by name where not every one is asked for."""
NAMED = 30
"""Parts of a kind that are gone or new told by name likewise."""
_SAME_PERCENT = 0.001
_FAR = (0.2, 2.0)
_EFFECTS = (("less", "Allows less"), ("", "Other values"), ("more", "Allows more"))
_SAID = {"name": "Name", "edition": "Edition", "date": "Date", "note": "Note",
         "currency": "Currency of the prices", "audit.toml": "audit.toml"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Told:
    """One difference: a sentence, and what is behind it."""

    head: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Chapter:
    """Differences of one sort."""

    title: str
    rows: tuple[Told, ...]


def headline(found: Difference) -> str:
    """What differs, in one sentence."""
    names = " and ".join(titles(found))
    if found.same:
        return f"{names} hold the same content."
    if found.empty:
        files = ", ".join(found.reordered)
        if not files:
            return f"{names} hold the same rows."
        return f"{names} hold the same rows, those of {files} in another order."
    parts = len({(c.kind, c.key) for c in found.changes})
    counts = [
        f"{counted(len(found.changes), 'value')} of {counted(parts, 'row')} changed"
        if found.changes
        else "",
        f"{counted(len(found.curves), 'curve')} changed" if found.curves else "",
        f"{counted(len(found.gone), 'row or curve', 'rows or curves')} gone" if found.gone else "",
        f"{counted(len(found.new), 'row or curve', 'rows or curves')} new" if found.new else "",
    ]
    return f"{names}: {', '.join(filter(None, counts))}."


def titles(found: Difference) -> tuple[str, str]:
    """The two lines as sentences name them; where both are called alike, with their folders."""
    lines = (found.before, found.after)
    first, second = (titled(line) for line in lines)
    if first != second:
        return first, second
    places = [line.folder or f"content {content_hash(line)[:8]}" for line in lines]
    return f"{first} ({places[0]})", f"{second} ({places[1]})"


def chapters(found: Difference, *, every: bool = False) -> tuple[Chapter, ...]:
    """All differences, what can end a past verdict first.

    Parameters
    ----------
    found : Difference
    every : bool
        Name every row of a group, not the first few.
    """
    most = None if every else EXAMPLES
    values = [g for g in found.groups if g.nature == "value"]
    told = {
        title: [
            *(_group(g, most) for g in values if g.effect == effect),
            *(_curve(c) for c in found.curves if c.effect == effect),
        ]
        for effect, title in _EFFECTS
    }
    unstated = [_group(g, most) for g in found.groups if g.nature == "unstated"]
    stated = [_group(g, most) for g in found.groups if g.nature == "stated"]
    pairs = [
        ("Gone", _items(found.gone, most)),
        ("Allows less", told["Allows less"]),
        ("No longer stated", unstated),
        ("Other values", told["Other values"]),
        ("Now stated", stated),
        ("Allows more", told["Allows more"]),
        ("New", _items(found.new, most)),
        ("Gone beside new", [_successor(s) for s in found.successors]),
        ("The line itself", [_said(s) for s in found.said]),
        ("Order", [Told(f"The rows of {f} stand in another order.") for f in found.reordered]),
    ]
    return tuple(Chapter(title, tuple(rows)) for title, rows in pairs if rows)


def counted(count: int, one: str, more: str = "") -> str:
    """``1 row``, ``12 rows``"""
    return f"{group(count)} {one if count == 1 else more or one + 's'}"


def name_of(kind: str, key: Sequence[Any]) -> str:
    """A part, pairing or curve as sentences name it."""
    if kind == "pairings":
        _, left, right, mains, phases = key
        supply = "" if mains is None else f", {mains:g}{SPACE}V"
        supply += "" if phases is None else f", {phases}~"
        return f"{left} with {right}{supply}"
    if kind == "curves":
        motor, mains, phases, what = key
        return f"{what} curve of {motor} at {mains:g}{SPACE}V, {phases}~"
    return str(key[0])


def share_text(low: float, high: float) -> str:
    """A ratio, or a range of them, as a reader says it.

    >>> share_text(0.95, 0.95), share_text(1.02, 1.1).replace(THIN, " ")
    ('5\u202f% less', '2 to 10 % more')
    >>> share_text(0.1, 0.1)
    '0.1 times'
    """
    ends = (low, high)
    if all(_FAR[0] <= end <= _FAR[1] for end in ends) and (low - 1) * (high - 1) > 0:
        shares = sorted(abs(end - 1) for end in ends)
        texts = [f"{100 * share:.3g}" for share in shares]
        told = texts[0] if shares[1] - shares[0] < _SAME_PERCENT else " to ".join(texts)
        return f"{told}{THIN}% {'less' if low < 1 else 'more'}"
    texts = [f"{end:.4g}" for end in ends]
    return f"{texts[0] if texts[0] == texts[1] else ' to '.join(texts)} times"


def change_text(change: Change) -> str:
    """``15 becomes 14.25``, with the unit of the column"""
    old, new = _valued(change, change.old), _valued(change, change.new)
    if change.nature == "stated":
        return new
    if change.nature == "unstated":
        return f"was {old}"
    return f"{change.old} becomes {new}"


def change_name(change: Change) -> str:
    """``Acceleration torque of XG72-24``"""
    said = upper_first(spoken(change.kind, change.field))
    return f"{said} of {name_of(change.kind, change.key)}"


def _valued(change: Change, text: str) -> str:
    unit = spoken_unit(change.kind, change.field)
    return f"{text}{SPACE}{unit}" if unit and text else text


def _group(found: Group, most: int | None) -> Told:
    if len(found.changes) == 1:
        change = found.changes[0]
        return Told(f"{change_name(change)}: {_one(change)}")
    count = f"{group(len(found.changes))} of {group(found.of)} {found.kind}"
    named = upper_first(spoken(found.kind, found.field))
    return Told(f"{named} of {count}: {_many(found)}", _examples(found, most))


def _one(change: Change) -> str:
    if change.nature == "unstated":
        return f"no longer stated, was {_valued(change, change.old)}."
    if change.nature == "stated":
        return f"now {_valued(change, change.new)}."
    share = "" if change.ratio is None else f", {share_text(change.ratio, change.ratio)}"
    return f"{change_text(change)}{share}."


def _many(found: Group) -> str:
    first = found.changes[0]
    share = ""
    if found.low is not None and found.high is not None:
        share = share_text(found.low, found.high)
    if found.nature == "unstated":
        return "no longer stated."
    if found.nature == "stated":
        return f"now {_valued(first, first.new)}." if found.alike else "now stated."
    if found.alike:
        return f"{change_text(first)}{', ' if share else ''}{share}."
    return f"{share or 'other values'}."


def _examples(found: Group, most: int | None) -> str:
    """Rows by name; with a range the one that changes least and the one that changes most."""
    changes = found.changes
    if most is not None and len(changes) > most:
        ends = sorted(changes, key=lambda c: c.ratio or 0.0)
        chosen = [ends[0], ends[-1]] if found.low != found.high else []
        rest = [c for c in changes if all(c is not e for e in chosen)]
        picked = {id(c) for c in (*chosen, *rest[: most - len(chosen)])}
        shown = [c for c in changes if id(c) in picked]
    else:
        shown = list(changes)
    named = [name_of(c.kind, c.key) + ("" if found.alike else f" {change_text(c)}") for c in shown]
    return _listed(named, len(changes) - len(shown))


def _curve(change: CurveChange) -> Told:
    name = name_of("curves", change.key)
    low, high = change.low, change.high
    said = []
    if low is not None and high is not None and (low, high) != (1.0, 1.0):
        same = low < 1.0 < high or 1.0 in (low, high)
        told = f"{low:.4g} to {high:.4g} times" if same else share_text(low, high)
        said.append(f"torque {told}")
    if change.end != 1.0:
        said.append(f"ends at {share_text(change.end, change.end)} speed")
    if not said:
        said.append("other points on the same course")
    return Told(f"{name[:1].upper()}{name[1:]}: {', '.join(said)}.")


def _items(items: Iterable[Item], most: int | None) -> list[Told]:
    """Parts, pairings by their kind, curves; each sort in one row."""
    sorts: dict[str, list[Item]] = {}
    for item in items:
        sort = f"{item.key[0]} pairings" if item.kind == "pairings" else item.kind
        sorts.setdefault(sort, []).append(item)
    beside = {"pairings", "curves"}
    found = []
    for sort, own in sorts.items():
        few = most if most is None or own[0].kind in beside else NAMED
        names = [name_of(i.kind, i.key) for i in own[:few]]
        count = group(len(own))
        word = sort if len(own) > 1 else sort.removesuffix("s")
        found.append(Told(f"{count} {word}", _listed(names, len(own) - len(names))))
    return found


def _listed(names: Sequence[str], left: int) -> str:
    more = f" and {group(left)} more" if left else ""
    return f"{'; '.join(names)}{more}."


def _successor(found: Successor) -> Told:
    gone, new = found.gone.key[0], found.new.key[0]
    values = ", ".join(f"{spoken(c.kind, c.field)} ({change_text(c)})" for c in found.changes)
    equal = f"equal but for {values}" if values else "equal in every value"
    return Told(f"{gone} is gone; {new} is new and {equal}.")


def _said(found: Said) -> Told:
    if found.what == "audit.toml":
        states = [f"checksum {t}" if t else "none" for t in (found.old, found.new)]
        return Told(f"audit.toml: {states[0]} becomes {states[1]}.")
    old, new = (t or "not stated" for t in (found.old, found.new))
    return Told(f"{_SAID[found.what]}: {old} becomes {new}.")
