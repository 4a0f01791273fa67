"""The ledger with used shares, reserves and states as formulas."""

from __future__ import annotations

import math
from collections.abc import Mapping

from dutyline.checks.ledger import TOLERANCE
from dutyline.checks.records import Line, Verdict
from dutyline.core.numbers import scale_for
from dutyline.grids.write import Cell, Formula, Look
from dutyline.report.sections.ledger import advice, counted
from dutyline.report.words import demand_and_limit, in_words
from dutyline.report.workbook.sheets import Sheet, finite, worked

_HEAD = (
    "Check", "Part", "Demand", "Limit", "Unit", "Used share", "Reserve", "Reserve wanted", "State",
    "Counts as", "At, s", "Case", "As the report says it", "What was found, is missing or helps",
    "Formula", "Source",
)  # fmt: skip
_LOOK = Look(
    (30, 13, 13, 13, 10, 11, 10, 10, 12, 10, 10, 12, 24, 50, 50, 40),
    shares=frozenset({5, 6, 7}),
)


def ledger_sheet(verdict: Verdict, demands: Mapping[str, tuple[str, float]]) -> Sheet:
    """Every check in a row.

    Parameters
    ----------
    verdict : Verdict
    demands : mapping of str to (str, float)
        By check and part: the place that works its demand out on the first case, and what stands
        there in SI. It is used where it gives the demand of the line.
    """
    case = (verdict.cases[0] if verdict.cases else verdict).axis.case
    sheet = Sheet("Ledger", _HEAD, _LOOK)
    for line in counted(verdict):
        linked = demands.get(f"{line.check} {line.part}") if line.case == case else None
        sheet.add(*_row(line, sheet.next, linked))
    return sheet


def measured(line: Line) -> bool:
    """True where a share of a limit is used; false for facts and for what could not be checked."""
    demand, limit = finite(line.demand), finite(line.limit)
    known = demand is not None and limit is not None and limit > 0
    return known and line.used is not None and not line.yes_no


def _row(line: Line, n: int, linked: tuple[str, float] | None) -> list[Cell]:
    said = in_words(line) if line.used is not None else "; ".join(line.missing)
    helping = advice(line) if line.remedies else said
    behind: list[Cell] = [line.severity, finite(line.at), line.case, _told(line), helping,
                          line.formula, line.source]  # fmt: skip
    if not measured(line):
        empty: list[Cell] = [None] * 6
        return [line.title, line.part, *empty, line.state, *behind]
    assert line.demand is not None
    assert line.limit is not None
    assert line.margin is not None
    scale = scale_for(line.unit, line.limit)
    demand: Cell = line.demand / scale.size
    if linked is not None and math.isclose(linked[1], line.demand, rel_tol=1e-6):
        by = "" if scale.size == 1.0 else f"/{scale.size!r}"
        demand = Formula(f"={linked[0]}{by}", line.demand / scale.size)
    left = f"G{n}"
    state = f'=IF({left}<-{TOLERANCE:G},"fails",IF({left}<H{n}-{TOLERANCE:G},"short","meets"))'
    return [
        line.title, line.part, demand, line.limit / scale.size, scale.text,
        worked(f"=C{n}/D{n}", line.used), worked(f"=1-F{n}", line.margin), line.required,
        Formula(state, line.state), *behind,
    ]  # fmt: skip


def _told(line: Line) -> str:
    demand, limit, unit = demand_and_limit(line) if measured(line) else ("", "", "")
    return " ".join(t for t in (demand, "of", limit, unit) if t) if demand else ""


def verdict_formula(sheet: Sheet, word: str) -> Formula:
    """The verdict from the states of the ledger, by the first rule that applies."""
    last = sheet.next - 1

    def count(state: str) -> str:
        own = f"{sheet.name}!$J$2:$J${last}"
        return f'COUNTIFS({own},"must",{sheet.name}!$I$2:$I${last},"{state}")'

    text = (
        f'=IF({count("fails")}>0,"fails",IF({count("not-checked")}>0,"incomplete",'
        f'IF({count("short")}>0,"short","meets")))'
    )
    return Formula(text, word)
