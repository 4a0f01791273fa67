"""What becomes of kept verdicts, as sentences: the same on the terminal and on paper."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice

from dutyline.checks.records import Line
from dutyline.checks.sentence import VERDICT_WORDS, state_word, used_share
from dutyline.core.numbers import group
from dutyline.editions.records import Item
from dutyline.editions.touch import Touched
from dutyline.editions.words import change_name, change_text, counted, name_of, share_text
from dutyline.kept.records import Judged, Moved

NAMED = 3
"""Differences and ledger lines told of one verdict where not all are asked for."""


def summary(verdicts: Sequence[Judged]) -> str:
    """How many kept verdicts hold, in one sentence."""
    if not verdicts:
        return ""
    tally: dict[str, int] = {}
    for one in verdicts:
        tally[one.outcome] = tally.get(one.outcome, 0) + 1
    untouched = sum(one.outcome == "holds" and not one.touched for one in verdicts)
    held = tally.get("holds", 0)
    words = {
        "lost": "no longer hold" if tally.get("lost", 0) != 1 else "no longer holds",
        "not judged": "could not be judged",
        "worse": "did not meet and became worse",
        "better": "did not meet and became better",
        "as before": "did not meet and stayed so",
    }
    parts = [f"{group(tally[k])} {word}" for k, word in words.items() if k in tally]
    if held:
        aside = f", {group(untouched)} of them untouched" if untouched else ""
        parts.append(f"{group(held)} {'holds' if held == 1 else 'hold'}{aside}")
    return f"{counted(len(verdicts), 'kept verdict')}: {'; '.join(parts)}."


def title_of(judged: Judged) -> str:
    """Which verdict it is: axis, variant, parts."""
    kept = judged.kept
    axis = kept.title or ("" if judged.axis is None else judged.axis.title) or kept.axis_file
    variant = f", variant {kept.variant}" if kept.variant else ""
    parts = kept.combination.text()
    return f"{axis}{variant}, {parts}" if parts else kept.source


def turn_text(judged: Judged) -> str:
    """``meets becomes fails``, ``still meets``"""
    then, now = (VERDICT_WORDS.get(v, "").lower() for v in (judged.then, judged.now))  # type: ignore[call-overload]
    match judged.outcome:
        case "not judged":
            return f"not judged, was {then}" if then else "not judged"
        case "holds":
            return "still meets"
        case "as before":
            return f"{then} as before"
    return f"{then} becomes {now}" if now else f"{then} before, no longer possible"


def touched_texts(touched: Touched, most: int | None = NAMED) -> list[str]:
    """What differs of the parts of a verdict, each in a few words."""
    found = [f"{item.key[0]} is gone" for item in touched.gone]
    for change in sorted(touched.changes, key=lambda c: c.effect != "less"):
        found.append(f"{change_name(change)}: {change_text(change)}")
    for curve in touched.curves:
        name = name_of("curves", curve.key)
        low, high = curve.low, curve.high
        known = low is not None and high is not None and low != high
        found.append(
            f"{name}: {share_text(low or 0.0, high or 0.0)}" if known else f"{name} changed"
        )
    found += [f"{_item(item)} is gone" for item in touched.fewer]
    found += [f"{_item(item)} is new" for item in touched.more]
    found += [f"{kind} pairings are in one of the lines only" for kind in touched.wide]
    if most is None or len(found) <= most:
        return found
    return [*found[:most], f"{group(len(found) - most)} more differences of its parts"]


def _item(item: Item) -> str:
    name = name_of(item.kind, item.key)
    return f"the pairing {name}" if item.kind == "pairings" else f"the {name}"


def moved_texts(moved: Sequence[Moved], most: int | None = NAMED) -> list[str]:
    """Ledger lines that moved, worst first, each in a few words; small ones are counted."""
    texts = [_moved(pair) for pair in moved]
    seen = [text for text in texts if text]
    shown = list(islice(seen, most))
    left = len(seen) - len(shown)
    if left:
        shown.append(f"{counted(left, 'more line')} moved")
    small = len(moved) - len(seen)
    if small:
        shown.append(f"{counted(small, 'line')} moved by less than a percent of the limit")
    return shown


def _moved(pair: Moved) -> str:
    """Empty where both read the same."""
    old, new = _line(pair.before), _line(pair.after)
    if old == new:
        return ""
    state = "" if pair.after is None else f", {state_word(pair.after)}"
    if state and old.endswith(state) and new.endswith(state):
        old = old.removesuffix(state)
    return f"{pair.title}: {old} becomes {new}"


def _line(line: Line | None) -> str:
    if line is None:
        return "no line"
    if line.used is None or line.yes_no:
        return state_word(line)
    return f"{used_share(line.used)}, {state_word(line)}"
