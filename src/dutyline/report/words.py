"""How states, instants and values are said in the report."""

from __future__ import annotations

import math

from dutyline.checks.records import Line
from dutyline.core.numbers import (
    SPACE,
    THIN,
    echo,
    group,
    pair,
    percent,
    stated_quantity,
    with_unit,
)
from dutyline.core.values import Value

STATE_WORDS = {
    "meets": "meets",
    "short": "short of reserve",
    "caution": "fails or short, no must line",
    "fails": "fails",
    "open": "not checked",
}
"""Marks and what they stand for, as a legend says it; a line says its own state."""

WHOLE_CYCLE = frozenset(
    {
        "continuous-use",
        "continuous-use-plain",
        "winding-temperature",
        "thermal-runaway",
        "drive-continuous-current",
        "overload-accumulated",
        "gear-equivalent",
        "gear-mean-speed",
        "gear-life",
        "gear-thermal",
        "resistor-mean",
        "mains-current",
        "cabinet-heat",
        "yearly-energy",
    }
)
"""Checks that the cycle as a whole decides, not one instant of it."""


def mark_of(line: Line) -> str:
    """Mark of a line: a caution or note that is missed has its own."""
    if line.state == "not-checked":
        return "open"
    if line.severity != "must" and line.state in ("short", "fails"):
        return "caution"
    return line.state


def when(line: Line) -> str:
    """The instant where it is worst, ``cycle`` or ``always``."""
    if line.at is not None:
        return instant(line.at)
    return "cycle" if line.check in WHOLE_CYCLE else "always"


def instant(time: float) -> str:
    r"""A moment of the cycle: two decimals of a second, less in a cycle of minutes.

    >>> instant(0.15), instant(1820.0)
    ('0.15\xa0s', '1\u202f820\xa0s')
    """
    return f"{group(time, 2 if time < 100.0 else 1 if time < 1000.0 else 0)}{SPACE}s"


def demand_and_limit(line: Line) -> tuple[str, str, str]:
    """Demand, limit and unit of a measured line, both numbers in one unit."""
    if line.demand is None or line.limit is None:
        return "", "", ""
    demand, limit, unit = pair(line.demand, line.limit, line.unit)
    if line.unit == "A":
        unit = "A rms"
    if line.unit == "s" and line.limit > 1e5 * 3600:
        limit = f"> {group(1e5)}"
    return demand, limit, unit


def share(used: float) -> str:
    """A used share as percent; far beyond the limit only that it is far.

    >>> share(12.0).replace(SPACE, " ").replace(THIN, " ")
    '> 999 %'
    """
    return percent(used) if used < 9.995 else f">{SPACE}999{THIN}%"


def sized(line: Line) -> tuple[str, str]:
    """Demand and limit, each with its unit."""
    demand, limit, unit = demand_and_limit(line)
    return with_unit(demand, unit), limit if math.isinf(line.limit or 0) else with_unit(limit, unit)


def in_words(line: Line) -> str:
    """What stands in place of a share: the words of a line, after its number if it has no limit."""
    if not math.isinf(line.limit or 0.0) or math.isinf(line.demand or 0.0):
        return line.text
    demand, _, unit = demand_and_limit(line)
    return ", ".join(part for part in (with_unit(demand, unit), line.text) if part)


def with_echo(value: Value) -> str:
    """A value for a sentence: SI, and the inch-pound echo where it was typed so."""
    text = stated_quantity(value.si, value.unit, 3)
    return text + echo(value.si, value.unit) if value.inch else text


def listed(names: list[str]) -> str:
    """Words in a row: ``a``, ``a and b``, ``a, b and c``."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def left_and_wanted(line: Line) -> str:
    """``8 % left, 10 % wanted.`` for a line short of its reserve."""
    if line.margin is None:
        return ""
    return f"{percent(line.margin)} left, {percent(line.required)} wanted."


def beyond(line: Line, demand: str, limit: str) -> str:
    """A caution over its limit: what is the custom of the trade is told from what a part bears."""
    word = "usual" if line.check == "inertia-ratio" else "the limit"
    return f"{demand} where {limit} is {word}."
