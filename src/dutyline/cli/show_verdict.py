"""A verdict as text: sentence, duty line, what needs the reader, the ledger by groups."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from dutyline.app.results import (
    Line,
    Verdict,
    assumed_data,
    assumed_words,
    beyond,
    demand_and_limit,
    how_found,
    in_words,
    left_and_wanted,
    needed_by,
    open_lines,
    remark,
    shares_nothing,
    state_word,
    verdict_sentence,
    wanted,
    when,
)
from dutyline.cli.duty_line import bar, duty_line
from dutyline.cli.marks import INCOMPLETE, OPEN, mark_of, shape, verdict_mark
from dutyline.cli.screen import Screen, cells
from dutyline.core.numbers import percent, quantity, with_unit

_GROUPS = (
    "Motor",
    "Drive",
    "Gearhead",
    "Brake and stopping",
    "Braking energy and mains",
    "Control and accuracy",
    "Place and data",
)
"""Heads in the order in which a reader looks for them; others follow."""
_STATE_CELLS = 16
_USED_CELLS = 7
_WHEN_CELLS = 6
_TITLE_CELLS = 25
_LEAST_TITLE = 16
_BAR_FROM = 100
_MOST_SHARE = 9.995
MOST_REMEDIES = 3
"""Told under a line; -v and --json tell all."""
MOST_ASKED = 4
"""Data told that are missing or assumed; -v and --json tell all."""
MANY_LINES = 4
"""Lines above which each tells only one."""


@dataclass(frozen=True, slots=True)
class _Columns:
    """Widths of the ledger; one set for all groups."""

    title: int
    numbers: int
    bar: int

    def total(self) -> int:
        bar = self.bar + 1 if self.bar else 0
        return 2 + self.title + bar + _USED_CELLS + 2 + self.numbers + 1 + _WHEN_CELLS + 1


def numbers_of(line: Line) -> tuple[str, str]:
    """Demand, and what stands behind it: ``0.95`` and `` of 1.03 N·m``."""
    demand, limit, unit = demand_and_limit(line)
    told = line.severity == "note" and math.isinf(line.limit or 0.0)
    if not demand or (told and math.isinf(line.demand or 0.0)):
        return "", line.text
    if math.isinf(line.limit or 0.0):
        return with_unit(demand, unit), "" if line.severity == "note" else f" of {limit}"
    return demand, f" of {with_unit(limit, unit)}"


def share(used: float) -> str:
    """Used share as it stands in a column."""
    return percent(used) if used < _MOST_SHARE else "> 999\u202f%"


def _columns(screen: Screen, lines: Sequence[Line]) -> _Columns:
    measured = [ln for ln in lines if not shares_nothing(ln)]
    title = screen.width_of([ln.title for ln in measured], 20)
    numbers = screen.width_of(["".join(numbers_of(ln)) for ln in measured], 12)
    columns = _Columns(title, numbers, 15 if screen.width >= _BAR_FROM else 0)
    spare = screen.width - _STATE_CELLS - columns.total()
    roomy = min(title + spare, max(title + 1, _TITLE_CELLS))
    return replace(columns, title=max(roomy, _LEAST_TITLE))


def _state(screen: Screen, line: Line) -> str:
    text = screen.paint(state_word(line), mark_of(line).colour)
    return text if line.case == "main" else f"{text}, case {screen.yours(line.case)}"


def _row(screen: Screen, line: Line, columns: _Columns) -> list[str]:
    demand, behind = numbers_of(line)
    head = f"{shape(screen, mark_of(line))} "
    if line.used is None or shares_nothing(line):
        return _worded_row(screen, line, columns, head)
    numbers = screen.bold(demand) + screen.text(behind)
    used = screen.text(share(line.used))
    fits = cells(screen.text(line.title)) <= columns.title and screen.width >= 80
    if fits:
        drawn = bar(screen, line, columns.bar) + " " if columns.bar else ""
        told = screen.right(used, _USED_CELLS) + " "
        if not drawn and cells(used) + cells(screen.text(line.title)) == _touching(columns):
            told = f" {used}"
        row = (
            f"{head}{screen.left(line.title, columns.title)}{drawn}"
            f"{told} {screen.left(numbers, columns.numbers)} "
            f"{screen.left(when(line), _WHEN_CELLS)} {_state(screen, line)}"
        )
        if cells(row) <= screen.width:
            return [row]
    first = f"{head}{screen.text(line.title)}: {_state(screen, line)}"
    return [first, f"  {screen.right(used, _USED_CELLS)}  {numbers}  {screen.text(when(line))}"]


def _touching(columns: _Columns) -> int:
    """Cells of title and share together, where they touch."""
    return columns.title + _USED_CELLS


def _worded_row(screen: Screen, line: Line, columns: _Columns, head: str) -> list[str]:
    """A line without a share: what was found or what is missing stands in place of numbers."""
    said = "; ".join(line.missing) if line.state == "not-checked" else line.text
    if line.state != "not-checked" and line.severity == "note" and math.isinf(line.limit or 0.0):
        said = in_words(line)
    if not said:
        demand, _ = numbers_of(line)
        said = demand or (quantity(line.demand, line.unit) if line.demand is not None else "")
    place = columns.total() if columns.title < screen.width else screen.width
    title = screen.left(line.title, max(columns.title + 1, cells(screen.text(line.title)) + 1))
    row = head + title + screen.text(said)
    end = f"{_state(screen, line)}"
    if screen.width >= 80 and cells(row) < place and place + cells(end) <= screen.width:
        return [screen.left(row, place) + end]
    first = f"{head}{screen.text(line.title)}: {end}"
    return [first, *screen.wrap(said, "  ")] if said else [first]


def _alike(lines: Sequence[Line]) -> list[list[Line]]:
    """Open lines, three at least, that lack the same data."""
    groups: dict[frozenset[str], list[Line]] = {}
    for line in lines:
        if line.state == "not-checked" and line.missing:
            groups.setdefault(frozenset(line.missing), []).append(line)
    return [members for members in groups.values() if len(members) > 2]


def _unmade(screen: Screen, lines: Sequence[Line]) -> list[str]:
    """Several lines that lack the same data, and these data once."""
    titles = "; ".join(line.title for line in lines)
    said = screen.wrap(f"Not checked: {titles}.", f"{shape(screen, mark_of(lines[0]))} ", "  ")
    return [*said, *screen.wrap(f"Missing: {'; '.join(lines[0].missing)}.", "  ", "  ")]


def _advice(screen: Screen, line: Line, said: set[str], most: int | None) -> list[str]:
    """The sentences under a line that needs the reader, without remedies told above."""
    lines = []
    measured = line.used is not None and not line.yes_no
    if measured and line.severity == "caution" and (line.used or 0.0) > 1:
        demand, behind = numbers_of(line)
        limit = behind.removeprefix(" of ")
        lines.append(f"Caution: {beyond(line, demand, limit)}")
    elif line.state == "short" and line.margin is not None and not line.yes_no:
        lines.append(left_and_wanted(line))
    if line.text and line.used is not None and not line.yes_no:
        lines.append(f"{line.text[:1].upper()}{line.text[1:]}.")
    told = screen.wrap(" ".join(lines), "  ") if lines else []
    for remedy in told_remedies(line, said, most):
        told += screen.wrap(remedy, "  ", "    ")
    return told


def told_remedies(line: Line, said: set[str], most: int | None) -> list[str]:
    """The first remedies that no line above told; without a limit all, and what does not help."""
    helping = [remedy.text for remedy in line.remedies if remedy.field]
    vain = [remedy.text for remedy in line.remedies if not remedy.field]
    if most is None:
        return [*helping, *vain]
    fresh = [text for text in helping if text not in said][:most]
    said.update(fresh)
    if helping:
        return fresh or ["The same changes would do."]
    return vain


def _to_ask(screen: Screen, verdict: Verdict, *, every: bool) -> list[str]:
    """Data to ask the maker for, those first that most checks wait for."""
    data = wanted(verdict.ledger, verdict.line)
    if not data:
        return []
    shown = data if every else data[:MOST_ASKED]
    lines = ["", screen.bold("Data to ask for")]
    for datum in shown:
        ask = datum.ask
        said = f"{ask.part}: {datum.words} ({ask.file}, {ask.column}), for {needed_by(datum)}."
        if datum.estimate:
            said += f" Can be estimated {how_found(datum.estimate)}: --estimate."
        lines += screen.wrap(said, "  ", "    ")
    more = len(data) - len(shown)
    return [*lines, f"  {more} more: {screen.yours('-v')}"] if more else lines


def _taken(screen: Screen, verdict: Verdict, *, every: bool) -> list[str]:
    """What was taken for data that nobody stated."""
    found = assumed_data(verdict)
    if not found:
        return []
    shown = found if every else found[:MOST_ASKED]
    told = "The data do not state them; a check that says assumed rests on what is taken here."
    lines = ["", screen.bold("Assumed product data"), *screen.wrap(told, "  ", "  ")]
    for assumption in shown:
        lines += screen.wrap(f"{assumed_words(assumption)}.", "  ", "    ")
    more = len(found) - len(shown)
    return [*lines, f"  {more} more: {screen.yours('-v')}"] if more else lines


def _workings(screen: Screen, line: Line) -> list[str]:
    """Formula, inputs and source, for ``-v``."""
    said = [("Formula", line.formula), ("Assumed", ", ".join(line.assumed))]
    said += [("Phase", line.phase or ""), ("Source", line.source)]
    rows = [screen.wrap(f"{name}: {text}", "  ", "    ") for name, text in said if text]
    return [line for row in rows for line in row]


def _groups(lines: Sequence[Line]) -> dict[str, list[Line]]:
    groups: dict[str, list[Line]] = {name: [] for name in _GROUPS}
    for line in lines:
        groups.setdefault(line.group, []).append(line)
    for members in groups.values():
        members.sort(key=lambda ln: -(ln.used if ln.used is not None else -1.0))
    return {name: members for name, members in groups.items() if members}


def sentence(screen: Screen, verdict: Verdict) -> list[str]:
    """The verdict in one sentence with its marks."""
    marks = [shape(screen, verdict_mark(verdict))]
    if verdict.verdict == "incomplete":
        short = [ln for ln in open_lines(verdict.ledger) if ln.state != "not-checked"]
        marks = [shape(screen, mark_of(ln)) for ln in short[:1]] + [shape(screen, INCOMPLETE)]
    elif any(ln.state == "not-checked" for ln in open_lines(verdict.ledger)):
        marks.append(shape(screen, OPEN))
    ending = verdict_mark(verdict)
    said = verdict_sentence(verdict)
    word_ = screen.paint(ending.word[:1].upper() + ending.word[1:], ending.colour)
    return screen.wrap(f"{said} {word_}.", " ".join(marks) + " ", "    ")


def show_verdict(
    screen: Screen,
    verdict: Verdict,
    *,
    quiet: bool = False,
    verbose: bool = False,
    further: Sequence[str] = (),
) -> list[str]:
    """Every line that ``dutyline verify`` prints; ``further`` ones stand behind the ledger."""
    lines = sentence(screen, verdict)
    if quiet:
        return lines
    drawn = duty_line(screen, [ln for ln in verdict.ledger if not remark(ln)])
    lines += ["", *drawn] if drawn else []
    columns = _columns(screen, verdict.ledger)
    needing = open_lines(verdict.ledger)
    if needing:
        lines += ["", screen.bold("Needs you")]
        together = [] if verbose else _alike(needing)
        alone = [ln for ln in needing if not any(ln in members for members in together)]
        said: set[str] = set()
        most = None if verbose else MOST_REMEDIES if len(needing) <= MANY_LINES else 1
        for line in alone:
            lines += _row(screen, line, columns) + _advice(screen, line, said, most)
            lines += _workings(screen, line) if verbose else []
        for members in together:
            lines += _unmade(screen, members)
    lines += _to_ask(screen, verdict, every=verbose)
    lines += _taken(screen, verdict, every=verbose)
    rest = [ln for ln in verdict.ledger if ln not in needing and not remark(ln)]
    for group, members in _groups(rest).items():
        lines += ["", screen.bold(group)]
        for line in members:
            lines += _row(screen, line, columns)
    lines += further
    for caution in _cautions(verdict):
        lines += ["", *screen.wrap(caution, "", "")]
    for note in [n for n in verdict.axis.notes if n not in verdict.cautions]:
        if not note.startswith("Phase "):
            lines += ["", *screen.wrap(f"Note: {note}", "", "")]
    return [*lines, "", "The tool computes, it certifies nothing."]


def _cautions(verdict: Verdict) -> list[str]:
    """Sentences that no row of the ledger says: general cautions, and yes-no ones by name."""
    rows = tuple(f"{line.title}:" for line in verdict.ledger if not remark(line))
    said = [c for c in verdict.cautions if not c.startswith(rows)]
    remarks = tuple(f"{line.title}:" for line in verdict.ledger if remark(line))
    return [f"Caution: {c}" if c.startswith(remarks) else c for c in said]
