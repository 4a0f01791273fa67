"""A verdict and its lines as sentences: the same words on the terminal and in the report."""

from __future__ import annotations

import math
from collections.abc import Sequence

from dutyline.catalogue.assumptions import Assumption
from dutyline.catalogue.column_words import spoken
from dutyline.checks.asking import wanted
from dutyline.checks.records import Line, State, Verdict, VerdictWord
from dutyline.core.numbers import percent
from dutyline.core.wording import lower_first

VERDICT_WORDS: dict[VerdictWord, str] = {
    "meets": "Meets",
    "short": "Short of reserve",
    "fails": "Fails",
    "incomplete": "Incomplete",
}
STATE_WORDS: dict[State, str] = {
    "meets": "meets",
    "short": "short of reserve",
    "fails": "fails",
    "not-checked": "not checked",
}
FAR = 10
"""Times its limit above which the number itself says nothing."""
_MOST_CLAUSES = 3
_ALWAYS_SAID = "gravity-safety-caution"
_ALWAYS_A_ROW = "data-quality"


def clause(line: Line) -> str:
    """What is wrong with one line, in few words: ``holding has 8 % left where 10 % is wanted``."""
    name = _name(line)
    if line.used is None or line.margin is None:
        return f"{name} is not checked"
    if line.yes_no:
        return line.text or f"{name} fails"
    said = _measured(line, name, line.used, line.margin)
    return said if line.severity == "must" else f"{said} ({line.severity})"


def _measured(line: Line, name: str, used: float, margin: float) -> str:
    if line.state != "fails":
        return f"{name} has {percent(margin)} left where {percent(line.required)} is wanted"
    if line.limit == 0:
        return nothing_left(line)
    if not math.isfinite(used):
        return endless(line)
    if used > FAR:
        return f"{name} is {used_share(used)}"
    return f"{name} takes {percent(used)} of its limit"


def state_word(line: Line) -> str:
    """The state of a line in words, the same as in JSON; what is no must line is called so.

    ``fails``, but ``fails, caution`` where the verdict does not hang on it; ``meets, assumed``
    where data of the parts were assumed.
    """
    assumed = ", assumed" if line.on_assumed_data else ""
    if line.severity == "must" or line.state in ("meets", "not-checked"):
        return STATE_WORDS[line.state] + assumed
    return f"{line.state}, {line.severity}{assumed}"


def endless(line: Line) -> str:
    """A demand without bound in words: ``overload grows until the drive trips``."""
    if line.check.startswith("overload"):
        return "the overload grows until the drive trips"
    if line.check in ("winding-temperature", "thermal-runaway", "continuous-use"):
        return f"{_name(line)} runs away"
    if line.check == "settling":
        return f"the load does not settle: {line.text.removeprefix('simulated; ')}"
    return f"{_name(line)} has no bound"


def nothing_left(line: Line) -> str:
    """A limit of zero in words: beyond the curve of a motor there is no torque."""
    if line.part == "motor" and line.unit == "N*m":
        return f"{_name(line)} finds no torque left at this speed"
    return f"{_name(line)} has a limit of zero"


def used_share(used: float) -> str:
    """A used share; far beyond the limit only that it is far.

    >>> used_share(831.04)
    'over 10 times its limit'
    """
    return f"over {FAR} times its limit" if used > FAR else percent(used)


def remark(line: Line) -> bool:
    """True for a caution that is said as a sentence and not counted among the checks."""
    said = line.check == _ALWAYS_SAID or (line.yes_no and line.check != _ALWAYS_A_ROW)
    return line.severity != "must" and said


def shares_nothing(line: Line) -> bool:
    """True where there is no used share to show: open, yes or no, or a number without a limit."""
    told = line.severity == "note" and math.isinf(line.limit or 0.0)
    return line.used is None or line.yes_no or told


def open_lines(lines: Sequence[Line]) -> list[Line]:
    """Lines that need a reader, worst first: fails, short, cautions, not checked."""
    return sorted(
        (ln for ln in lines if ln.state != "meets" and ln.severity != "note" and not remark(ln)),
        key=_rank,
    )


def _rank(line: Line) -> tuple[int, float]:
    if line.state == "not-checked":
        return (3, 0.0)
    place = 2 if line.severity != "must" else 0 if line.state == "fails" else 1
    return (place, -(line.used if line.used is not None else float("inf")))


def verdict_sentence(verdict: Verdict) -> str:
    """``XM72-0450H with XG72-6 meets 35 of 41 checks: holding has 8 % left where ...``"""
    lines = [line for line in verdict.ledger if not remark(line)]
    met = sum(line.state == "meets" for line in lines)
    open_ones = open_lines(lines)
    head = f"{verdict.combination.text()} meets {met} of {len(lines)} checks"
    if not open_ones:
        if met == len(lines):
            head = f"{verdict.combination.text()} meets all {met} checks"
        tightest = tightest_line(lines)
        if tightest is None or tightest.used is None:
            return f"{head}.{on_estimates(verdict)}"
        told = f"the tightest is {_name(tightest)} with {percent(tightest.used)} used"
        return f"{head}; {told}.{on_estimates(verdict)}"
    decided = [ln for ln in open_ones if ln.state != "not-checked"]
    clauses = [clause(ln) for ln in decided[:_MOST_CLAUSES]]
    if len(decided) > _MOST_CLAUSES:
        clauses.append(f"{len(decided) - _MOST_CLAUSES} more are not met")
    missing = len(open_ones) - len(decided)
    if missing:
        clauses.append(f"{missing} {'lacks' if missing == 1 else 'lack'} data{_first(lines)}")
    return f"{head}: {', '.join(clauses)}.{on_estimates(verdict)}"


def on_estimates(verdict: Verdict) -> str:
    """What the verdict owes to estimates, as a sentence behind a space; empty where nothing."""
    resting = [ln for ln in verdict.ledger if ln.estimated and not remark(ln)]
    if not resting:
        return ""
    musts = [ln for ln in resting if ln.severity == "must"]
    count = f"{len(resting)} {'check rests' if len(resting) == 1 else 'checks rest'} on estimates"
    if verdict.verdict in ("meets", "short") and musts:
        return f" Only thanks to estimates: {count}, and on the stated data it is incomplete."
    return f" {count[0].upper()}{count[1:]}."


def assumed_data(verdict: Verdict) -> tuple[Assumption, ...]:
    """Data of the parts for which something else was taken, estimates first, each once."""
    every = dict.fromkeys(lean for line in verdict.ledger for lean in line.leans)
    return tuple(sorted(every, key=lambda a: (not a.estimate, a.safe)))


def how_found(method: str) -> str:
    """A method as it follows ``estimated``: ``from stall torque over stall current``."""
    return method if method.split()[0] in ("by", "from", "as", "like") else f"from {method}"


def _first(lines: Sequence[Line]) -> str:
    """The datum to ask for first, behind a comma."""
    asked = wanted(lines)
    if not asked:
        return ""
    ask = asked[0].ask
    return f", first of all {spoken(f'{ask.kind}s', ask.field)} of {ask.part}"


def tightest_line(lines: Sequence[Line]) -> Line | None:
    """The must line with the largest used share; yes-no lines have none."""
    measured = [
        ln for ln in lines if ln.used is not None and ln.severity == "must" and not ln.yes_no
    ]
    return max(measured, key=lambda ln: ln.used or 0.0, default=None)


def _name(line: Line) -> str:
    return lower_first(line.title)
