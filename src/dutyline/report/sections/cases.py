"""Several cases of one axis: what each asks of the motor, and its own verdict."""

from __future__ import annotations

from dutyline.checks.records import Verdict
from dutyline.checks.sentence import VERDICT_WORDS
from dutyline.core.numbers import quantity
from dutyline.report.tree import Column, Row, Section, Table, cell, strong, words

_FIGURES = (("peak_torque", "N*m"), ("rms_torque", "N*m"), ("peak_speed", "rad/s"))


def cases(verdict: Verdict) -> Section | None:
    """A row for each case; None where there is one alone."""
    if len(verdict.cases) < 2:
        return None
    rows = []
    for one in verdict.cases:
        motor = one.demand["motor"]
        figures = [
            "" if motor[name] is None else quantity(motor[name] or 0.0, unit)
            for name, unit in _FIGURES
        ]
        title = next((ln.title for ln in one.ledger if ln.check == one.binding), "")
        texts = (*figures, title, VERDICT_WORDS[one.verdict])
        rows.append(Row((cell(strong(one.axis.case)), *(cell(text) for text in texts))))
    columns = (
        Column(words("Case"), 48),
        Column(words("Peak torque"), 20, "right"),
        Column(words("Rms torque"), 20, "right"),
        Column(words("Top speed"), 22, "right"),
        Column(words("Least left"), None),
        Column(words("By itself"), 22),
    )
    remark = words("all have to meet; figures at the motor; cycle and calculations show main")
    return Section("cases", "Cases", (Table(columns, tuple(rows)),), remark)
