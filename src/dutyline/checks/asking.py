"""What to ask the maker for: the data whose lack leaves most checks open, first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dutyline.catalogue.column_words import spoken
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.lacking import WORDS
from dutyline.checks.records import Ask, Line


@dataclass(frozen=True, slots=True)
class Wanted:
    """One datum to ask for."""

    ask: Ask
    words: str
    """``winding resistance of the motor in ohm``, or the heading of its column."""
    musts: tuple[str, ...]
    """Titles of the checks that need it and that the verdict hangs on."""
    others: tuple[str, ...]
    """Titles of the other checks that need it."""
    estimate: str
    """How it could be estimated meanwhile, in words; empty where no method gives it."""


def wanted(lines: Sequence[Line], line: ProductLine | None = None) -> tuple[Wanted, ...]:
    """Data that open lines need, first those that most must lines need, then most lines.

    Parameters
    ----------
    lines : sequence of Line
        A ledger.
    line : ProductLine, optional
        Where the parts come from, for how a datum could be estimated.
    """
    titles: dict[Ask, tuple[dict[str, None], dict[str, None]]] = {}
    for open_ in lines:
        for ask in open_.asks:
            own = titles.setdefault(ask, ({}, {}))
            own[0 if open_.severity == "must" else 1][open_.title] = None
    ranked = sorted(titles.items(), key=lambda item: (-len(item[1][0]), -len(item[1][1])))
    return tuple(
        Wanted(ask, _words(ask), tuple(musts), tuple(others), _offered(line, ask))
        for ask, (musts, others) in ranked
    )


def _words(ask: Ask) -> str:
    own = WORDS.get(f"{ask.kind}.{ask.field}")
    return own[1] if own else spoken(f"{ask.kind}s", ask.field)


def _offered(line: ProductLine | None, ask: Ask) -> str:
    if line is None:
        return ""
    from dutyline.estimates.fill import offered

    return offered(line, ask.kind, ask.part, ask.field)


def needed_by(datum: Wanted) -> str:
    """``peak torque, continuous use and 3 more``"""
    titles = [t[:1].lower() + t[1:] for t in (*datum.musts, *datum.others)]
    shown, more = titles[:MOST_TITLES], len(titles) - MOST_TITLES
    if more > 0:
        return f"{', '.join(shown)} and {more} more"
    return " and ".join((", ".join(shown[:-1]), shown[-1])) if len(shown) > 1 else shown[0]


MOST_TITLES = 3
