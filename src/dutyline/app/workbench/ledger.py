"""The ledger for a page: what needs a person first, then by subject."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

from dutyline.app.workbench.records import GroupView, RemedyView, RowView
from dutyline.axis.model import Axis, Input
from dutyline.checks.records import Line, Verdict
from dutyline.checks.sentence import open_lines, shares_nothing, state_word
from dutyline.core.reader import Reader, reader
from dutyline.core.values import Value
from dutyline.report.sections.ledger import advice, by_subject, counted
from dutyline.report.words import demand_and_limit, in_words, mark_of, share, when

NEEDED = "Needs you"
Told = tuple[str, str, str]
"""Label, value and status of an input, as printed."""


def groups(verdict: Verdict) -> tuple[GroupView, ...]:
    """Headings with their lines."""
    lines = counted(verdict)
    first = open_lines(lines)
    apart = {id(line) for line in first}
    rest = [line for line in lines if id(line) not in apart]
    named = [(NEEDED, first)] if first else []
    inputs = _inputs(verdict.axis)
    return tuple(
        GroupView(name, tuple([row(line, inputs) for line in members]))
        for name, members in [*named, *by_subject(rest)]
    )


def key_of(line: Line) -> str:
    """Name of a line in the page."""
    return f"{line.check}--{line.part}"


def row(line: Line, inputs: Mapping[str, Told] | None = None) -> RowView:
    """One line, with what it rests on where the inputs of its axis are told by their path."""
    mark = mark_of(line)
    used = None if shares_nothing(line) else line.used
    bare = used is None
    demand, limit, unit = ("", "", "") if bare else demand_and_limit(line)
    return RowView(
        key=key_of(line),
        mark=mark,
        title=line.title,
        used="" if used is None else share(used),
        share=used if used is not None and math.isfinite(used) else None,
        reserve=line.required,
        demand=demand,
        limit=f"{limit}\u00a0{unit}" if unit and limit else limit,
        when="" if bare else when(line),
        at=line.at,
        state=state_word(line) + ("" if line.case == "main" else f", case {line.case}"),
        said=_said(line, mark, bare),
        remedies=tuple(
            RemedyView(r.field, r.after, r.text) for r in line.remedies if r.field
        ),
        formula=line.formula,
        source=line.source,
        inputs=_rests_on(line, inputs or {}),
    )  # fmt: skip


def _said(line: Line, mark: str, bare: bool) -> str:
    if mark == "open":
        missing = "; ".join(line.missing)
        return f"{missing} missing" if missing else in_words(line)
    if bare:
        return in_words(line)
    if mark == "meets":
        return line.text
    helping = {r.text for r in line.remedies if r.field}
    text = advice(line)
    for told in helping:
        text = text.replace(told, "")
    return " ".join(word for word in text.split(" ") if word)  # no-break spaces stay


def _rests_on(line: Line, inputs: Mapping[str, Told]) -> tuple[Told, ...]:
    """Assumed and default inputs of a line, as printed."""
    if not line.assumed:
        return ()
    paths = set(line.assumed)
    return tuple([told for path, told in inputs.items() if path in paths])


def _inputs(axis: Axis) -> dict[str, Told]:
    wanted = reader()
    return {i.path: _told(i, wanted) for i in axis.inputs if isinstance(i.value, Value)}


@lru_cache(maxsize=1024)
def _told(entry: Input, wanted: Reader) -> Told:
    value = entry.value
    assert isinstance(value, Value)
    with wanted.served():
        return entry.label, entry.shown(value.si), value.status
