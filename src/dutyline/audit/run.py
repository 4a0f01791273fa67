"""The audit of a line: every rule asked, what is broken explained by as few figures as possible."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

import numpy as np
from numpy.typing import NDArray

from dutyline.audit.blame import Broken, Record, blamed, cell_of
from dutyline.audit.confirmed import idle
from dutyline.audit.look import Look
from dutyline.audit.records import Asked, Audit, Cell, Finding, Rule, Tested
from dutyline.audit.registry import RULES
from dutyline.audit.thresholds import settings_of
from dutyline.catalogue.parts import ProductLine

ROUNDING = 1e-9
"""A measure this close to an end of its band, relative, lies inside."""
ROUNDS = 4
"""Looks at a line at most; each with what the looks before found put right."""
SWITCHED_OFF = "switched off in audit.toml"


def audit(line: ProductLine) -> Audit:
    """Doubtful figures of a product line; made once and kept with the line.

    Raises
    ------
    InputError
        The ``audit.toml`` of the line cannot be used.
    """
    if "audit" not in line.derived:
        line.derived["audit"] = _audit(line)
    return cast("Audit", line.derived["audit"])


def _audit(line: ProductLine) -> Audit:
    settings = settings_of(line, RULES)
    look = Look(line)
    tests, broken, asked = _asked(look, settings.rules)
    found: tuple[Finding, ...] = ()
    if broken:
        found = _explained(look, settings.rules, tests, broken)
    asked += [Asked(rule, 0, 0, SWITCHED_OFF) for rule in RULES if rule.id in settings.off]
    held = tuple(f for f in found if settings.holds(f))
    return Audit(
        line=line,
        findings=tuple(f for f in found if not settings.holds(f)),
        confirmed=held,
        idle=tuple(idle(line, settings.confirmed, held)) if settings.confirmed else (),
        asked=tuple(sorted(asked, key=lambda a: _PLACE[a.rule.id])),
        rows=sum(look.size(kind) for kind in _KINDS),
        fired=tuple((one.rule.id, cell_of(one.tested.sides[0], one.at)) for one in broken),
    )


Tests = list[tuple[Rule, Tested, NDArray[np.bool_]]]


def _explained(
    look: Look, rules: Sequence[Rule], tests: Tests, broken: list[Broken]
) -> tuple[Finding, ...]:
    """Findings, with those that come to light once others are thought away."""
    from dutyline.audit.findings import finding_of, in_order, sure_of, value_of
    from dutyline.audit.mend import mended

    found: dict[Cell, Finding] = {}
    for _ in range(ROUNDS):
        fresh = [one for one in blamed(Record(broken, tests), broken) if one.cell not in found]
        if not fresh:
            break
        wanted = {}
        for one in fresh:
            found[one.cell] = finding_of(look, one)
            wanted[one.cell] = sure_of(one, value_of(look, one.cell))
        look = Look(mended(look, wanted))
        tests, broken, _ = _asked(look, rules)
    return in_order(found.values())


def _asked(look: Look, rules: Sequence[Rule]) -> tuple[Tests, list[Broken], list[Asked]]:
    """Every rule asked: all tests, those outside their bands, and the counts."""
    tests: Tests = []
    broken: list[Broken] = []
    asked: list[Asked] = []
    for rule in rules:
        count = outside = 0
        for tested in rule.run(look):
            out, passed = _judged(rule, tested)
            tests.append((rule, tested, passed))
            found = int(np.count_nonzero(out))
            if found:
                broken += [Broken(rule, tested, int(k)) for k in np.nonzero(out)[0]]
            outside += found
            count += found + int(np.count_nonzero(passed))
        silent = "" if count else _silence(look, rule)
        asked.append(Asked(rule, count, outside, silent))
    return tests, broken, asked


_PLACE = {rule.id: place for place, rule in enumerate(RULES)}
_KINDS = ("motors", "gearheads", "drives", "brakes", "resistors", "curves", "pairings")


def _judged(rule: Rule, tested: Tested) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Where the measure lies outside its band, and where inside; neither where it is nan."""
    low, high = rule.bands[tested.band]
    measure = tested.measure
    with np.errstate(invalid="ignore"):
        outside = (measure < low - ROUNDING * abs(low)) | (measure > high * (1 + ROUNDING * (
            1 if high > 0 else -1)))  # fmt: skip
        inside = ~outside & ~np.isnan(measure)
    return outside, inside


def _silence(look: Look, rule: Rule) -> str:
    """Why a rule could not be asked at all."""
    from dutyline.catalogue.origins import KINDS, column_of

    empty = []
    for need in rule.needs:
        kind, _, name = need.partition(".")
        if not look.states(kind, name):
            empty.append(f"{column_of(kind, name).name} of {KINDS[kind].file}")
    if empty:
        return f"nothing stated in {', '.join(empty)}"
    return rule.few or "no row states all of what it compares"
