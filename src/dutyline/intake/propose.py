"""A mapping proposed from what tables call their columns; what is not said stays a question."""

from __future__ import annotations

import functools
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dutyline.catalogue.columns import Column
from dutyline.catalogue.origins import KINDS
from dutyline.core.faults import ValueFault
from dutyline.grids.records import Grid
from dutyline.intake import fields, units
from dutyline.intake.conventions import ASKED, BY_KEY, COIL, keys_of
from dutyline.intake.keys import POINTS
from dutyline.intake.manners import (
    Heading,
    answered_by,
    check_unit,
    headings,
    unit_in_heading,
    without_brackets,
)
from dutyline.intake.mapping import PLAIN, TableRule, Target
from dutyline.intake.numerals import Numerals
from dutyline.intake.view import View
from dutyline.intake.words import answers_in, fields_of, kinds_of, means_unknown

MOST_HEADING = 20
"""Rows looked at for headings."""
MOST_COLUMNS = 400
"""Columns of a table, or rows where the two have changed places."""
MOST_LOOKED = 2000
"""Rows of data looked at for marks of numbers and words."""
MOST_EMPTY = 2
"""Empty rows between headings and units."""
_LEAST_SCORE = 1.5
_NAMED = 2.0
"""What the name of a file or sheet counts against one understood heading."""
_OURS = {"ampere": "rms", "current": "line", "voltage": "rms", "across": "line-line",
         "at": "20 degC", "inertia": "J", "shaft": "output", "play": "total",
         "temperature": "limit"}  # fmt: skip
_OUR_COUNT = {"pole_pairs": "pairs", "encoder_bits": "bits", "encoder_turn_bits": "bits"}
_LONGEST_UNIT = 30
_NUMBER = re.compile(r"[+-]?[0-9][0-9.,' ]*(?:[eE][+-]?[0-9]+)?")


@dataclass(frozen=True, slots=True)
class Proposed:
    """One column and what it seems to be."""

    heading: str
    """As the mapping has to write it: the heading, or ``column C`` where it stands twice."""
    sample: str
    """The first cell that is not empty."""
    field: str = ""
    """Empty where it was not understood."""
    unit: str = ""
    """As said by the row of units or the heading; empty where it is not, or none is needed."""
    stated: str = ""
    """Unit to be written into the mapping; empty where the table says it itself."""
    answers: tuple[tuple[str, str], ...] = ()
    """Conventions that the heading or unit answers."""
    why: str = ""
    open: tuple[str, ...] = ()
    """What has to be answered before the column can be read."""


@dataclass(frozen=True, slots=True)
class Table:
    """One table as it seems to be."""

    file: str
    sheet: str
    kind: str
    """Empty where too little of it was understood."""
    heading: tuple[int, ...] = ()
    units: int | None = None
    turned: bool = False
    numerals: Numerals = PLAIN
    separator: str = ""
    encoding: str = ""
    unknown: tuple[str, ...] = ()
    columns: tuple[Proposed, ...] = ()
    open: tuple[str, ...] = ()
    """Questions about the table as a whole."""
    wide: bool = False


def proposed(grid: Grid, encoding: str = "") -> Table:
    """What a grid seems to be; ``encoding`` is the one that its file has to be read with."""
    best = max(_readings(grid), key=lambda r: r[0], default=None)
    if best is None or best[0] < _LEAST_SCORE:
        return Table(
            grid.file,
            grid.sheet,
            "",
            encoding=encoding,
            open=("no row of headings was understood.",),
        )
    _, kind, view, rule = best
    rows = {view.number_of(row): row for row in range(view.rows())}
    below = _next_filled(view, rows[max(rule.heading)] + 1)
    if below is not None and _is_units(view, below):
        rule = replace(rule, units=view.number_of(below))
    first = rows[max((*rule.heading, rule.units or 0))] + 1
    data = range(first, min(view.rows(), first + MOST_LOOKED))
    columns = _columns(view, rule, kind, rows, data)
    wide = kind == "curves" and sum(_is_number(c.heading) for c in columns) > 2
    if wide:
        columns = [c for c in columns if not _is_number(c.heading)]
    table = Table(
        grid.file, grid.sheet, kind, rule.heading, rule.units, view.turned,
        separator=grid.separator, encoding=encoding, columns=tuple(columns), wide=wide,
    )  # fmt: skip
    return _with_marks(replace(table, open=_lacking(table)), view, rule, rows, data)


def _lacking(table: Table) -> tuple[str, ...]:
    """Fields that every row needs and no column gives, and what a wide table leaves open."""
    given = {column.field for column in table.columns}
    needed = [c.field for c in KINDS[table.kind].columns if c.required and c.field not in given]
    asked = []
    if table.wide:
        needed = [name for name in needed if name not in ("speed", "torque")]
        asked.append("headings that are numbers are speeds, cells below them torques; units?")
    if needed:
        asked.append(f"{', '.join(needed)} of every row: which columns, or which constants?")
    return tuple(asked)


def _readings(grid: Grid) -> Iterator[tuple[float, str, View, TableRule]]:
    """Ways to read a grid as a table, with how much of it is understood."""
    named = kinds_of(f"{grid.file} {grid.sheet}")
    for turned in (False, True):
        view = View(grid, turned)
        numbers = [view.number_of(row) for row in range(min(view.rows(), MOST_HEADING))]
        if view.columns() > MOST_COLUMNS:
            continue
        for k, number in enumerate(numbers):
            if not _may_be_heading(view, k):
                continue
            choices = [(number,)] if k == 0 else [(number,), (numbers[k - 1], number)]
            for heading in choices:
                yield from _scored(view, heading, named)


def _may_be_heading(view: View, row: int) -> bool:
    """Whether a row holds words rather than numbers; speeds of a wide table are let pass."""
    cells = [text for c in range(view.columns()) if (text := view.text(row, c))]
    words = sum(not _is_number(text) for text in cells)
    return words >= 2 and (words * 2 > len(cells) or _is_number(cells[-1]))


def _scored(
    view: View, heading: tuple[int, ...], named: Sequence[str]
) -> Iterator[tuple[float, str, View, TableRule]]:
    rows = {view.number_of(row): row for row in range(min(view.rows(), MOST_HEADING + 1))}
    for kind, form in KINDS.items():
        rule = TableRule(kind, form, (), view.grid.file, heading=heading, turned=view.turned)
        heads = headings(view, rule, rows)
        filled = [head for head in heads if head.text]
        if len(filled) < 2:
            return
        taken: dict[str, float] = {}
        for head in filled:
            for share, field in fields_of(kind, head.text)[:1]:
                taken[field] = max(taken.get(field, 0.0), share)
            ours = _ours(kind, head.text)
            if ours is not None:
                taken[ours.field] = 1.2
        score = sum(taken.values()) + (_NAMED if kind in named and taken else 0.0)
        score -= 0.1 * (len(heading) - 1) + (0.5 if view.turned else 0.0)
        yield score, kind, view, rule


def _ours(kind: str, heading: str) -> Column | None:
    """The column of ours that a heading names."""
    return next((c for c in KINDS[kind].columns if c.name == heading), None)


def _next_filled(view: View, row: int) -> int | None:
    """The first row that is not empty from a row on, if it is near."""
    near = range(row, min(row + 1 + MOST_EMPTY, view.rows()))
    return next((r for r in near if any(view.text(r, c) for c in range(view.columns()))), None)


def _is_units(view: View, row: int) -> bool:
    """Whether a row holds units alone."""
    cells = [text for c in range(view.columns()) if (text := view.text(row, c))]
    if not cells or any(_is_number(text) for text in cells):
        return False
    return 2 * sum(map(_reads_as_unit, cells)) > len(cells)


@functools.lru_cache(maxsize=4096)
def _reads_as_unit(text: str) -> bool:
    bare = without_brackets(text)
    if len(bare) > _LONGEST_UNIT:
        return False
    if bare in ("-", "1", "%"):
        return True
    for column in {c.unit: c for form in KINDS.values() for c in form.columns if c.unit}.values():
        try:
            check_unit(Target("", column, ()), bare)
        except ValueFault as fault:
            if "may be" in fault.read:
                return True
            continue
        return True
    return False


def _is_number(text: str) -> bool:
    return _NUMBER.fullmatch(text) is not None


def _columns(
    view: View, rule: TableRule, kind: str, rows: dict[int, int], data: range
) -> list[Proposed]:
    """Every column with a heading."""
    heads = [head for head in headings(view, rule, rows) if head.text]
    times = Counter(head.text for head in heads)
    found: list[Proposed] = []
    best: dict[str, tuple[float, int]] = {}
    for head in heads:
        name = head.text if times[head.text] == 1 else _letter(view, head)
        sample = next((t for row in data if (t := view.text(row, head.column))), "")
        ours = _ours(kind, head.text)
        if ours is not None:
            one, share = _own(kind, name, sample, ours), 2.0
        else:
            one, share = _meant(kind, head, name, sample)
        if one.field in best and one.field:
            before, place = best[one.field]
            weaker = place if share > before else len(found)
            other = found[place].heading if weaker == len(found) else name
            note = (f'may be {one.field} too, as "{other}" is; say which one.',)
            if weaker == len(found):
                one = Proposed(name, sample, open=note)
            else:
                found[place] = Proposed(found[place].heading, found[place].sample, open=note)
        if one.field:
            best[one.field] = max(best.get(one.field, (0.0, 0)), (share, len(found)))
        found.append(one)
    return found


def _letter(view: View, head: Heading) -> str:
    if view.turned:
        return f"row {head.column + 1}"
    return f"column {view.cell(0, head.column).rstrip('0123456789')}"


def _own(kind: str, name: str, sample: str, column: Column) -> Proposed:
    """A heading of our own form says unit and convention by itself."""
    answers = []
    for key in ASKED.get((kind, column.field), ()):
        answer = _OURS.get(key) or _OUR_COUNT.get(column.field) or COIL.get(column.field, "")
        answers.append((key, answer))
    unit = column.unit
    if units.needs_unit(column):
        unit = "s" if column.kind == "pairs" else column.unit or "1"
    return Proposed(name, sample, column.field, unit, unit, tuple(answers),
                    "a heading of our own form")  # fmt: skip


def _meant(kind: str, head: Heading, name: str, sample: str) -> tuple[Proposed, float]:
    """What the words of a heading mean."""
    choices = fields_of(kind, head.text)
    if not choices:
        return Proposed(name, sample), 0.0
    share, field = choices[0]
    alike = [other for s, other in choices[1:] if s == share]
    if alike:
        note = f"may be {', '.join([field, *alike])}; say which one."
        return Proposed(name, sample, open=(note,)), share
    column = fields.column_for(kind, field)
    assert column is not None
    target = Target(field, column, ())
    unit, asked = _unit(target, head)
    said = dict(answers_in(head.text, keys_of(kind, field)))
    beside = dict(units.unit_text(unit).answers)
    open_ = [asked] if asked else []
    for key in ASKED.get((kind, field), ()):
        if key not in said and key not in beside:
            open_.append(f"{BY_KEY[key].question} {answered_by(key, BY_KEY[key].answers)}")
    if said.get("temperature") == "rise":
        open_.append(f"{BY_KEY['over'].question} {answered_by('over', ())}")
    why = "the heading is a known word" if share == 1.0 else "the heading holds a known word"
    if (kind, field) == ("motors", "size"):
        why += "; right only where motors of one size differ in the winding alone"
    return Proposed(name, sample, field, unit, "", tuple(said.items()), why, tuple(open_)), share


def _unit(target: Target, head: Heading) -> tuple[str, str]:
    """The unit that the table says; else the question for it."""
    assert target.column is not None
    if not units.needs_unit(target.column):
        return "", ""
    kind = units.kind_of(target.column)
    example = kind.examples if target.column.field not in units.SHARES else "1 or %"
    if head.units:
        unit = head.units.strip()
        try:
            check_unit(target, unit.strip("[]() "))
        except ValueFault as fault:
            return "", f"unit? {fault.read}"
        return unit, ""
    unit, doubt = unit_in_heading(target, head.text)
    if unit:
        return unit, ""
    return "", f"unit? {doubt.read if doubt else f'{kind.noun} is needed: {example}'}"


def _with_marks(
    table: Table, view: View, rule: TableRule, rows: dict[int, int], data: range
) -> Table:
    """Decimal and thousands marks as the cells show them, and words that mean not known."""
    heads = {h.text: h.column for h in headings(view, rule, rows)}
    seen: Counter[str] = Counter()
    words: dict[str, str] = {}
    for proposed_column in table.columns:
        field = proposed_column.field
        column = fields.column_for(table.kind, field) if field and field != POINTS else None
        place = heads.get(proposed_column.heading)
        if column is None or place is None or column.kind not in ("number", "int"):
            continue
        for row in data:
            text = view.text(row, place)
            if not text or view.number(row, place):
                continue
            if means_unknown(text):
                words.setdefault(text.casefold(), text)
            seen[_marks(text)] += 1
    numerals, asked = _numerals(seen)
    return replace(table, numerals=numerals, unknown=tuple(words.values()),
                   open=(*table.open, *asked))  # fmt: skip


def _marks(text: str) -> str:
    """What the marks of one cell show: a decimal mark, marks between thousands, or either."""
    body = text.lstrip("+-").replace("\u00a0", " ").replace("\u202f", " ")
    for decimal, other in ((",", "."), (".", ",")):
        if re.fullmatch(rf"[0-9]{{1,3}}(?:\{other}[0-9]{{3}})+\{decimal}[0-9]+", body):
            return f"decimal {decimal} thousands {other}"
        if re.fullmatch(rf"[1-9][0-9]{{0,2}}\{decimal}[0-9]{{3}}", body):
            return f"either {decimal}"
        if re.fullmatch(rf"[0-9]*\{decimal}[0-9]+", body):
            return f"decimal {decimal}"
        if re.fullmatch(rf"[0-9]{{1,3}}(?:\{decimal}[0-9]{{3}}){{2,}}", body):
            return f"thousands {decimal}"
    if re.fullmatch(r"[0-9]{1,3}(?:[ '][0-9]{3})+(?:[.,][0-9]+)?", body):
        return f"thousands {body[-4] if body[-4] in chr(39) + ' ' else ' '}"
    return ""


def _numerals(seen: Counter[str]) -> tuple[Numerals, tuple[str, ...]]:
    decimals = {mark for mark in ".," if any(f"decimal {mark}" in s for s in seen)}
    thousands = {mark for mark in "., '" if any(s.endswith(f"thousands {mark}") for s in seen)}
    either = {mark for mark in ".," if f"either {mark}" in seen}
    if len(decimals) > 1 or decimals & thousands:
        read = "the cells use points and commas both ways; say decimal, or mend the table."
        return Numerals(), (read,)
    decimal = next(iter(decimals), "")
    if not decimal and thousands & set(".,"):
        decimal = "," if "." in thousands else "."
    if decimal:
        thousands |= either - {decimal}
        return Numerals(decimal, next(iter(sorted(thousands)), "")), ()
    if either:
        mark = sorted(either)[0]
        read = f"decimal? cells like 1{mark}500 may be thousands or a decimal mark."
        return Numerals("", next(iter(thousands), "")), (read,)
    return Numerals("", next(iter(thousands), "")), ()
