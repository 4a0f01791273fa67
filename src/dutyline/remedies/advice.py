"""Remedies for every line that fails or is short: found, rounded, and re-run."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from dutyline.checks.records import Line, Remedy, Verdict
from dutyline.remedies import words
from dutyline.remedies.levers import levers_of
from dutyline.remedies.numbers import Found, searched
from dutyline.remedies.parts import Swap, swaps
from dutyline.remedies.probe import Goal, Key, Probe, Reading, key_of

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
    open_ = frozenset(key_of(ln) for ln in verdict.ledger if ln.state == "not-checked")
    whole = Goal(whole=True, but=open_)
    alone = {key_of(ln): Goal(keys=(key_of(ln),), but=open_) for ln in lines}
    found: dict[Key, list[Sized]] = {key: [] for key in alone}
    tried: list[str] = []
    helped: dict[Key, set[str]] = {key: set() for key in alone}
    for lever in levers_of(verdict.axis):
        tried.append(lever.family)
        for one in searched(probe, lever, whole, alone):
            found[one.key].append(_number(one))
            helped[one.key].add(lever.family)
    for family, key, sized in _swapped(probe, verdict, whole, alone, tried):
        found[key].append(sized)
        helped[key].add(family)
    remedies = {
        key: (*_ordered(found[key]), *_vain([f for f in tried if f not in helped[key]]))
        for key in alone
    }
    ledger = tuple(
        replace(ln, remedies=remedies[key_of(ln)]) if key_of(ln) in remedies else ln
        for ln in verdict.ledger
    )
    return replace(verdict, ledger=ledger)


def _ordered(found: list[Sized]) -> list[Remedy]:
    return [item[2] for item in sorted(found, key=lambda s: (not s[0], s[1], s[2].field))]


def _number(found: Found) -> Sized:
    subject = words.changed_number(found.lever, found.way, found.after)
    text = words.helps(subject, found.reading, found.goal, found.key)
    before = ", ".join(found.lever.stated()[p] for p in found.lever.paths)
    after = ", ".join(found.after[p] for p in found.lever.paths)
    remedy = Remedy(", ".join(found.lever.paths), before, after, text)
    return found.goal.whole, found.size, remedy


def _swapped(
    probe: Probe, verdict: Verdict, whole: Goal, alone: dict[Key, Goal], tried: list[str]
) -> Iterator[tuple[str, Key, Sized]]:
    """For each line and kind of exchange the nearest part that settles all, else that line."""
    options = swaps(verdict.axis, verdict.line, verdict.combination)
    readings = probe.with_parts([swap.combination for swap in options])
    judged = list(zip(options, readings, strict=True))
    for family in dict.fromkeys(swap.family for swap in options):
        tried.append(family)
        mine = [(s, r) for s, r in judged if s.family == family and r is not None]
        for key, goal in alone.items():
            best = _nearest(mine, whole) or _nearest(mine, goal)
            if best is not None:
                swap, reading, met = best
                text = words.helps(swap.subject, reading, met, key)
                remedy = Remedy(swap.field, swap.before, swap.after, text)
                yield family, key, (met.whole, swap.size, remedy)


def _nearest(
    judged: list[tuple[Swap, Reading]], goal: Goal
) -> tuple[Swap, Reading, Goal] | None:
    return next(((s, r, goal) for s, r in judged if goal.met(r)), None)


def _vain(families: list[str]) -> tuple[Remedy, ...]:
    return (Remedy("", "", "", words.in_vain(families)),) if families else ()
