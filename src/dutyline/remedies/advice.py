"""Remedies for every line that fails or is short: found, rounded, and re-run."""

from __future__ import annotations

from dataclasses import replace

from dutyline.checks.records import Line, Remedy, Verdict
from dutyline.remedies import words
from dutyline.remedies.levers import levers_of
from dutyline.remedies.numbers import Found, Scan, least, scans
from dutyline.remedies.options import Option, nearest, worded
from dutyline.remedies.parts import exchanged
from dutyline.remedies.probe import Goal, Key, Probe, everything, key_of

MOST_ALONE = 3
"""Changes of one number told for a line where they settle that line alone, smallest first."""
MANY = 4
"""Lines above which only the smallest is told."""
_AS_MUCH = 1.05
"""Sizes within this ratio count as one."""
Sized = tuple[bool, float, Remedy]
"""Whether it settles everything, how large it is, and the remedy."""


def needy(verdict: Verdict) -> tuple[Line, ...]:
    """The must lines that fail or are short."""
    return tuple(
        ln for ln in verdict.ledger if ln.severity == "must" and ln.state in ("fails", "short")
    )


def advised(verdict: Verdict) -> Verdict:
    """The verdict with what would make it pass, written into its lines.

    Every remedy changes one input, was judged anew with the very text it prints, and says whether
    everything is met then or that line alone. Where a kind of change does not help, the last
    entry of a line says so with an empty field.
    """
    lines = needy(verdict)
    if not lines or verdict.line is None:
        return verdict
    probe = Probe(verdict.axis, verdict.line, verdict.combination)
    whole = replace(everything(verdict.ledger), first=tuple(key_of(ln) for ln in lines))
    alone = {key_of(ln): Goal(keys=(key_of(ln),), but=whole.but) for ln in lines}
    levers = [lever for lever in levers_of(verdict.axis) if lever.ways]
    found, helped = _numbers(probe, scans(probe, levers, whole, list(alone.values())), whole, alone)
    tried = [lever.family for lever in levers]
    for options in (worded(probe), exchanged(probe)):
        tried += [option.family for option in options]
        for key, option, goal in nearest(options, whole, alone):
            found[key].append(_told(option, goal, key))
            helped[key].add(option.family)
    remedies = {
        key: _remedies(found[key], [f for f in tried if f not in helped[key]]) for key in alone
    }
    ledger = tuple(
        replace(ln, remedies=remedies[key_of(ln)]) if key_of(ln) in remedies else ln
        for ln in verdict.ledger
    )
    return replace(verdict, ledger=ledger)


def _numbers(
    probe: Probe, looked: list[Scan], whole: Goal, alone: dict[Key, Goal]
) -> tuple[dict[Key, list[Sized]], dict[Key, set[str]]]:
    """Changes of one number for each line, and the kinds of them that help."""
    found: dict[Key, list[Sized]] = {key: [] for key in alone}
    helped: dict[Key, set[str]] = {key: set() for key in alone}
    settled = set()
    for scan in looked:
        everything = least(probe, scan, whole) or _between(probe, scan, list(alone.values()), whole)
        if everything is not None:
            settled.add((scan.lever.paths, scan.way))
            for key in alone:
                found[key].append(_sized(everything, key))
                helped[key].add(scan.lever.family)
    most_alone = MOST_ALONE if len(alone) <= MANY else 1
    for key, goal in alone.items():
        able = [s for s in looked if (s.lever.paths, s.way) not in settled and s.until(goal)]
        helped[key] |= {scan.lever.family for scan in able}
        for scan in sorted(able, key=lambda s: s.size(goal))[:most_alone]:
            one = least(probe, scan, goal)
            found[key] += [] if one is None else [_sized(one, key)]
    return found, helped


def _between(probe: Probe, scan: Scan, alone: list[Goal], whole: Goal) -> Found | None:
    """The place where the last line in need is mended, if nothing else has broken by then.

    It settles everything in a window narrower than the steps of the scan.
    """
    if any(scan.until(goal) is None for goal in alone):
        return None
    latest = sorted(alone, key=scan.size, reverse=True)
    for goal in latest if len(alone) <= MANY else latest[:1]:
        found = least(probe, scan, goal)
        if found is not None and whole.met(found.reading):
            return replace(found, goal=whole)
    return None


def _sized(found: Found, key: Key) -> Sized:
    subject = words.changed_number(found.lever, found.way, found.after)
    text = words.helps(subject, found.reading, found.goal, key)
    before = ", ".join(found.lever.stated()[p] for p in found.lever.paths)
    after = ", ".join(found.after[p] for p in found.lever.paths)
    remedy = Remedy(", ".join(found.lever.paths), before, after, text)
    return found.goal.whole, found.size, remedy


def _told(option: Option, goal: Goal, key: Key) -> Sized:
    assert option.reading is not None
    text = words.helps(option.subject, option.reading, goal, key)
    return goal.whole, option.size, Remedy(option.field, option.before, option.after, text)


def _spared(one: Sized, found: list[Sized]) -> bool:
    """Whether one of the inputs that it changes together does as much by itself."""
    paths = one[2].field.split(", ")
    alone = [other for other in found if other[2].field in paths and other[2].field != one[2].field]
    return any(other[0] >= one[0] and other[1] <= _AS_MUCH * one[1] for other in alone)


def _remedies(found: list[Sized], vain: list[str]) -> tuple[Remedy, ...]:
    """Those that settle everything first, smaller before larger; what is in vain at the end."""
    needed = [one for one in found if not _spared(one, found)]
    ranked = sorted(needed, key=lambda s: (not s[0], s[1], s[2].field))
    said = words.in_vain(vain, settled=any(whole for whole, _, _ in found))
    last = (Remedy("", "", "", said),) if said else ()
    return (*(remedy for _, _, remedy in ranked), *last)
