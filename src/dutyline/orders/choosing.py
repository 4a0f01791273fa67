"""Which accessory of a line serves: the smallest that fits by what it states, and why."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from dutyline.catalogue.parts import Accessory, ProductLine
from dutyline.catalogue.patterns import alike, listed
from dutyline.core.numbers import stated_quantity

UNITS = {"flange": "m", "shaft": "m", "current": "A", "voltage": "V", "power": "W", "length": "m"}
WORDS = {
    "flange": "flange", "shaft": "shaft", "current": "current", "voltage": "voltage",
    "power": "power", "length": "length", "phases": "phases", "moving": "whether it may move",
}  # fmt: skip
"""Data of an accessory as a reader calls them."""
_SAME = 1e-3
"""Relative difference below which two stated figures are one."""


@dataclass(frozen=True, slots=True)
class Need:
    """What an accessory must be."""

    kind: str
    noun: str
    """In a sentence: ``mains filter``."""
    exact: Mapping[str, float] = field(default_factory=dict)
    """Figures that must be these, SI."""
    least: Mapping[str, float] = field(default_factory=dict)
    """Figures that must reach these, SI; the first decides which is smallest."""
    phases: int | None = None
    moving: bool = False
    parts: Mapping[str, str | None] = field(default_factory=dict)
    """Names of the parts that it goes with, by kind of part: ``motors``."""


@dataclass(frozen=True, slots=True)
class Choice:
    """The accessory chosen, or what stands in the way."""

    part: Accessory | None = None
    why: str = ""
    missing: tuple[str, ...] = ()


def fitting(line: ProductLine | None, need: Need) -> list[Accessory]:
    """Accessories of the kind whose patterns name the parts, in the order of the file."""
    rows = () if line is None else line.accessories
    return [a for a in rows if a.kind == need.kind and _goes_with(a, need.parts)]


def _goes_with(part: Accessory, parts: Mapping[str, str | None]) -> bool:
    for kind in ("motors", "gearheads", "drives", "brakes"):
        patterns = listed(getattr(part, f"fits_{kind}"))
        name = parts.get(kind)
        if patterns and (name is None or not any(alike(name, p) for p in patterns)):
            return False
    return True


def choose(line: ProductLine | None, need: Need) -> Choice:
    """The smallest accessory that fits, by stated data alone."""
    rows = fitting(line, need)
    if not rows:
        known = line is not None and any(a.kind == need.kind for a in line.accessories)
        said = f"no {need.noun} of the product line goes with these parts"
        return Choice(missing=(said if known else f"{need.noun}: the product line lists none",))
    judged = [(part, *_judged(part, need)) for part in rows]
    good = [part for part, failed, unstated in judged if not failed and not unstated]
    if good:
        best = min(good, key=lambda part: _size(part, need))
        return Choice(best, _why(best, len(good), need))
    doubtful = [(part, unstated) for part, failed, unstated in judged if not failed]
    if doubtful:
        part, unstated = doubtful[0]
        return Choice(missing=(f"{_joined(unstated)} of {part.name} (accessories.csv)",))
    return Choice(missing=(_short(rows, need),))


def _judged(part: Accessory, need: Need) -> tuple[list[str], list[str]]:
    """Figures that do not fit, and figures that are not stated."""
    failed, unstated = [], []
    for name in (*need.exact, *need.least):
        value = getattr(part, name)
        if value is None:
            unstated += [] if name == "length" else [WORDS[name]]
        elif name in need.exact:
            failed += [] if math.isclose(value, need.exact[name], rel_tol=_SAME) else [name]
        elif value < need.least[name] * (1.0 - 1e-9):
            failed.append(name)
    if need.phases is not None:
        unstated += [] if part.phases else [WORDS["phases"]]
        failed += ["phases"] if part.phases and need.phases not in part.phases else []
    if need.moving:
        unstated += [] if part.moving else [WORDS["moving"]]
        failed += ["moving"] if part.moving == "no" else []
    return failed, unstated


def _size(part: Accessory, need: Need) -> tuple[float, ...]:
    own = (getattr(part, name) for name in need.least)
    kind = 0.0 if need.moving else float(part.moving == "yes")
    return (*(math.inf if value is None else value for value in own), kind)


def _why(best: Accessory, count: int, need: Need) -> str:
    told = []
    for name, least in need.least.items():
        value = getattr(best, name)
        if value is not None and name != "voltage":
            own, wanted = (stated_quantity(v, UNITS[name], 3) for v in (value, least))
            told.append(f"{own} for {wanted}")
    told += [
        f"{WORDS[name]} {stated_quantity(value, UNITS[name], system='si')}"
        for name, value in need.exact.items()
    ]
    first = "the only one that fits" if count == 1 else f"the smallest of {count} that fit"
    return f"{', '.join(told)}; {first}" if told else ("fits these parts" if count == 1 else first)


def _short(rows: Sequence[Accessory], need: Need) -> str:
    """What the line would have to hold."""
    wanted = [
        f"{WORDS[name]} {stated_quantity(value, UNITS[name], 3)}"
        for name, value in need.exact.items()
    ]
    wanted += [
        f"{WORDS[name]} {stated_quantity(value, UNITS[name], 3)} or more"
        for name, value in need.least.items()
    ]
    wanted += [] if need.phases is None else [f"{need.phases} phase{'s'[: need.phases - 1]}"]
    wanted += ["made to move"] if need.moving else []
    return f"{need.noun} with {_joined(wanted)}: none of {len(rows)} in the product line"


def _joined(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
