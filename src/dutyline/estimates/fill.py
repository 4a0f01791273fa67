"""A product line with the data that it does not state filled in by estimates, each recorded."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from dutyline.catalogue.assumptions import Assumption
from dutyline.catalogue.parts import ProductLine
from dutyline.estimates import families, heat, windings
from dutyline.estimates.favours import FAVOURED
from dutyline.estimates.records import Guess, Method

METHODS: tuple[Method, ...] = (*windings.METHODS, *heat.METHODS, *families.METHODS)
"""Every method; of those to one datum the first that finds something counts."""
KINDS = ("motor", "gearhead", "drive", "brake", "resistor")


def estimated(line: ProductLine) -> ProductLine:
    """The line with every datum estimated that it lacks and that a method gives.

    Parameters
    ----------
    line : ProductLine
        As read; one that holds estimates already is begun from what it stated.

    Returns
    -------
    ProductLine
        ``assumed`` holds one record per datum filled in, and ``as_stated`` the line given. No
        stated datum is changed, and nothing is written to a file.
    """
    stated = line.as_stated or line
    filled: dict[str, Any] = {}
    assumed: list[Assumption] = []
    for kind in KINDS:
        own = [_filled(part, kind, stated) for part in getattr(stated, f"{kind}s")]
        filled[f"{kind}s"] = tuple(part for part, _ in own)
        assumed += [a for _, found in own for a in found]
    return replace(stated, **filled, assumed=tuple(assumed), as_stated=stated)


def _filled(part: Any, kind: str, line: ProductLine) -> tuple[Any, list[Assumption]]:
    found: list[Assumption] = []
    for method in METHODS:
        if method.kind != kind or getattr(part, method.field) is not None:
            continue
        guess = method.find(part, line)
        if guess is None:
            continue
        guess = _ranged(guess, method, part, found, line)
        found.append(_assumption(part.name, method, guess))
        part = replace(part, **{method.field: guess.end(method.end)})
    return part, found


def _ranged(
    guess: Guess, method: Method, part: Any, found: list[Assumption], line: ProductLine
) -> Guess:
    """What follows by definition from estimates is as wide as they are; the rest as it is."""
    if guess.low != guess.high or not found:
        return guess
    ends = {a.field: a.low if a.value == a.high else a.high for a in found}
    other = method.find(replace(part, **ends), line)
    if other is None:
        return guess
    low, high = min(guess.low, other.low), max(guess.high, other.high)
    return replace(guess, low=low, high=high)


def _assumption(part: str, method: Method, guess: Guess) -> Assumption:
    return Assumption(
        kind=method.kind,
        part=part,
        field=method.field,
        method=guess.how,
        value=guess.end(method.end),
        low=guess.low,
        high=guess.high,
        source=method.source,
        estimate=True,
        favours=() if guess.low == guess.high else FAVOURED.get((method.kind, method.field), ()),
    )


def offered(line: ProductLine, kind: str, part: str, field: str) -> str:
    """How a datum of a part could be estimated, in words; empty where no method gives it."""
    stated = line.as_stated or line
    kept = stated.derived.setdefault("offered", {})
    if (kind, part) not in kept:
        index = getattr(stated, f"{kind}_index")[part]
        kept[kind, part] = _filled(getattr(stated, f"{kind}s")[index], kind, stated)[1]
    return next((a.method for a in kept[kind, part] if a.field == field), "")
