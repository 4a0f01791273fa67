"""The ledger: every check with its share, demand, limit, moment and state."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.checks.records import Line, Verdict
from dutyline.checks.sentence import open_lines, remark, shares_nothing, state_word
from dutyline.report.tree import (
    Bar,
    Column,
    Group,
    Legend,
    Mark,
    Row,
    Run,
    Section,
    Table,
    cell,
    strong,
    words,
)
from dutyline.report.words import (
    STATE_WORDS,
    beyond,
    demand_and_limit,
    in_words,
    left_and_wanted,
    mark_of,
    share,
    when,
)

MOST_REMEDIES = 2
"""Told under a line."""
_COLUMNS = (
    Column(words("Check"), 42),
    Column(words("Reserve hatched"), 25),
    Column(words("Used"), 10, "right"),
    Column(words("Demand of limit"), 34),
    Column(words("At"), 10),
    Column(words("State"), 11),
    Column(words("Case, remark")),
)


def counted(verdict: Verdict) -> list[Line]:
    """Lines that count as checks; pure remarks stand among the cautions."""
    return [line for line in verdict.ledger if not remark(line)]


def needing(verdict: Verdict) -> list[Line]:
    """Measured lines that need a decision, worst first, then those not checked."""
    return open_lines(counted(verdict))


def advice(line: Line) -> str:
    """What is short and what would help, as sentences."""
    said = []
    if mark_of(line) == "caution" and line.used is not None and not line.yes_no:
        demand, limit, unit = demand_and_limit(line)
        sized = f"{limit}{' ' + unit if unit else ''}"
        said.append(beyond(line, demand, sized))
    elif line.state == "short":
        said.append(left_and_wanted(line))
    if line.text and line.used is not None:
        said.append(f"{line.text[:1].upper()}{line.text[1:]}.")
    helping = [remedy.text for remedy in line.remedies if remedy.field][:MOST_REMEDIES]
    said += helping or [remedy.text for remedy in line.remedies]
    return " ".join(s for s in said if s)


def _state(line: Line) -> Run:
    return Run(state_word(line), mark_of(line))


def _remark(line: Line) -> str:
    case = "" if line.case == "main" else f"case {line.case}"
    text = line.text if line.state == "meets" and not shares_nothing(line) else ""
    return ", ".join(t for t in (case, text) if t)


def row_of(line: Line) -> Row:
    """One line of the ledger as a row."""
    mark = mark_of(line)
    loud = mark != "meets"
    name = cell(Mark(mark), strong(line.title) if loud else line.title)
    if line.used is None or shares_nothing(line):
        said = "; ".join(line.missing) if mark == "open" else in_words(line)
        text = f"{said} missing" if mark == "open" and said else said
        return Row(
            (name, cell(Run(text, "soft"), span=4), cell(_state(line), *_case(line), span=2)),
        )
    demand, limit, unit = demand_and_limit(line)
    behind = f" of {limit}" + (f"\u00a0{unit}" if unit else "")
    body = (
        name,
        cell(Bar(min(line.used, 2.0), line.required, mark)),
        cell(strong(share(line.used))),
        cell(strong(demand), Run(behind, "soft")),
        cell(when(line)),
    )
    if loud:
        told = cell(_state(line), *_case(line), span=2)
        return Row((*body, told), words(advice(line)))
    return Row((*body, cell(_state(line)), cell(Run(_remark(line), "small"))))


def _case(line: Line) -> tuple[Run, ...]:
    return () if line.case == "main" else (Run(f", case {line.case}", "small"),)


def _tightest_first(lines: Sequence[Line]) -> list[Line]:
    return sorted(lines, key=lambda ln: -1.0 if shares_nothing(ln) else -(ln.used or 0.0) - 1.0)


_ORDER = (
    "Motor",
    "Drive",
    "Gearhead",
    "Brake and stopping",
    "Braking energy and mains",
    "Control and accuracy",
    "Mechanics",
    "Place and data",
)


def by_subject(lines: Sequence[Line]) -> list[tuple[str, list[Line]]]:
    """Lines under the headings of their checks, the tightest of each first."""
    groups: dict[str, list[Line]] = {}
    for line in lines:
        groups.setdefault(line.group, []).append(line)
    names = sorted(groups, key=lambda g: _ORDER.index(g) if g in _ORDER else len(_ORDER))
    return [(name, _tightest_first(groups[name])) for name in names]


def ledger(verdict: Verdict) -> Section:
    """All checks by subject, what needs a decision first."""
    first = needing(verdict)
    rows: list[Row | Group] = []
    if first:
        rows.append(Group("Needs a decision"))
        rows += [row_of(line) for line in first]
    rest = [line for line in counted(verdict) if line not in first]
    for name, members in by_subject(rest):
        rows.append(Group(name))
        rows += [row_of(line) for line in members]
    count = len(counted(verdict))
    blocks = (
        Legend(tuple(STATE_WORDS)),
        Table(_COLUMNS, tuple(rows), pad=0.98, gutter=2.2, size=8.0),
    )
    remark_ = words(f"all {count} checks; by subject, tightest first")
    return Section("ledger", "Ledger", blocks, remark_, room=70.0)
