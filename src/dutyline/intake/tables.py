"""One table of a foreign file as rows of ours, each cell with its trace."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import PurePath

import numpy as np

from dutyline.core.errors import Fault
from dutyline.core.faults import ValueFault, quoted
from dutyline.grids.records import Grid
from dutyline.intake import fields
from dutyline.intake.cells import AS_PERCENT, Source, as_seen, cleared, translated
from dutyline.intake.conventions import OWN_SHAFT, TURNED
from dutyline.intake.exact import Exact, exact
from dutyline.intake.figures import Manner
from dutyline.intake.keys import POINTS
from dutyline.intake.manners import Heading, column_of, headings, manner, place_of, said
from dutyline.intake.mapping import LineMap, TableRule
from dutyline.intake.numerals import Numerals
from dutyline.intake.points import Points, Wide, ends, wide
from dutyline.intake.trace import Lane, Places, Spring, Table, Trace, constant
from dutyline.intake.view import View

MOST_FAULTS = 200
"""Told of one table; those beyond are counted."""
MOST_ALIKE = 5
"""Told of one column; those beyond are counted."""


@dataclass(slots=True)
class Outcome:
    """What a table gave, and everything wrong with it."""

    rule: TableRule
    file: str
    sheet: str
    table: Table = field(default_factory=Table)
    faults: list[Fault] = field(default_factory=list)
    alike: dict[str, int] = field(default_factory=dict)
    """Faults by field."""
    left_out: tuple[str, ...] = ()
    """Headings that the mapping does not name."""
    ignored: tuple[str, ...] = ()
    """Headings that it says to leave out."""
    stated: tuple[str, ...] = ()
    """Fields that the mapping gives itself, the same in every row."""
    manners: dict[str, Manner] = field(default_factory=dict)
    """How each field of the table was read."""

    def fault(self, place: str, field: str, read: str, remedy: str = "") -> None:
        """Keep one fault."""
        if field:
            self.alike[field] = self.alike.get(field, 0) + 1
        if self.alike.get(field, 0) <= MOST_ALIKE and len(self.faults) < MOST_FAULTS:
            self.faults.append(Fault(place, field, read, remedy))

    def all(self) -> list[Fault]:
        """Every fault kept, and how many more each field has."""
        more = [
            Fault(self.file, name, f"{count - MOST_ALIKE} more cells have faults like these.")
            for name, count in self.alike.items()
            if count > MOST_ALIKE
        ]
        return [*self.faults, *more]


Read = list[tuple[Source, list[str]]]
"""Columns that give a figure, with their cells cleared of marks."""


def read_table(grid: Grid, rule: TableRule, mapping: LineMap) -> Outcome:
    """Every row of a grid by its rule; faults are kept, not raised."""
    view = View(grid, rule.turned)
    found = Outcome(rule, grid.file, grid.sheet)
    rows = {view.number_of(row): row for row in range(view.rows())}
    _check_rows(rule, rows, mapping, found)
    heads = headings(view, rule, rows)
    sources = list(_sources(view, rule, mapping, heads, rows, found))
    across = wide(view, rule, heads, rows, found.fault) if rule.wide else None
    if rule.wide:
        found.manners.update(ends(*rule.wide, rule.numerals))
    constants = _constants(grid, rule, mapping, found)
    found.stated = tuple(constants.cells)
    if found.faults:
        return found
    at = list(_data_rows(view, rule, rows))
    read = [(source, cleared(view, at, source, rule, found)) for source in sources]
    table = _columns(view, at, read, constants, found)
    _carry_over(table, read, constants, view, at, found)
    table, origin = _expanded(table, sources)
    points = _points(view, at, read, across, rule, found)
    if points is not None and not found.faults:
        table = points.put(table, origin)
    found.table = table
    return found


def _columns(
    view: View,
    at: list[int],
    read: Read,
    constants: _Constants,
    found: Outcome,
) -> Table:
    """A column of ours for each field, but for points."""
    table = Table(len(at))
    places, rows = np.arange(len(at), dtype=np.int32), np.asarray(at, np.int32)
    first = np.zeros(len(at), np.int32)
    for source, cells in read:
        name, manner = source.target.field, source.manner
        if manner is None:
            continue
        texts = translated(view, at, source.column, cells, manner, found)
        columns = np.full(len(at), source.column, np.int32)
        spring = Spring(view, rows, columns, *source.told)
        lane = Lane(texts, [spring], first, places)
        if view.grid.percents and "%" in manner.unit:
            lane = _shown(lane, view, at, source.column)
        before = table.lanes.get(name)
        if before is not None:
            lane = _behind(before, lane) if source.target.factor is not None else lane.over(before)
        table.lanes[name] = lane
    for name, (text, trace) in constants.cells.items():
        fixed = constant(text, trace, len(at))
        lane_of = table.lanes.get(name)
        table.lanes[name] = fixed if lane_of is None else lane_of.over(fixed)
    return table


def _shown(lane: Lane, view: View, at: list[int], column: int) -> Lane:
    """A column whose cells say where the workbook shows them as percent."""
    (spring,) = lane.springs
    said = "; ".join(filter(None, [spring.convention, AS_PERCENT]))
    which = np.fromiter((view.percent(row, column) for row in at), np.int32, len(at))
    return Lane(lane.texts, [spring, replace(spring, convention=said)], which, lane.at)


def _behind(before: Lane, lane: Lane) -> Lane:
    """Items of two columns in one cell of ours."""
    spring, more = before.springs[0], lane.springs[0]
    beside = dict(spring.beside)
    columns = spring.columns.copy()
    texts = list(lane.texts)
    for k, (one, other) in enumerate(zip(before.texts, lane.texts, strict=True)):
        if one and other:
            texts[k] = f"{one};{other}"
            beside[k] = (*beside.get(k, ()), int(more.columns[k]))
        elif one:
            texts[k] = one
        else:
            columns[k] = more.columns[k]
    return Lane(texts, [replace(spring, columns=columns, beside=beside)], before.which, before.at)


def _points(
    view: View,
    at: list[int],
    read: Read,
    across: Wide | None,
    rule: TableRule,
    found: Outcome,
) -> Points | None:
    """Points of every row, where the table has them in one cell or across its columns."""
    if across is not None:
        assert rule.wide is not None
        points = Points(view, rule.wide)
        for row in at:
            across.add(points, row, found.fault)
        return points
    listed = [(source, cells) for source, cells in read if source.target.field == POINTS]
    if not listed:
        return None
    source, cells = listed[-1]
    points = Points(view, (source.target.speed, source.target.torque))
    for row, text in zip(at, cells, strict=True):
        if not text:
            points.counts.append(-1)
            continue
        try:
            points.add_cell(text, source.target, rule.numerals, row, source.column)
        except ValueFault as fault:
            found.fault(view.place(row, source.column), POINTS, fault.read, fault.remedy)
            points.counts.append(-1)
    return points


def _check_rows(rule: TableRule, rows: Mapping[int, int], mapping: LineMap, found: Outcome) -> None:
    """Rows that the mapping names have to be there."""
    for key, numbers in (("heading", rule.heading), ("units", (rule.units,)),
                         ("first", (rule.first,))):  # fmt: skip
        for number in numbers:
            if number is not None and number not in rows:
                there = f"rows {min(rows)} to {max(rows)}" if rows else "none"
                read = f"{_named(found)}: there is no row {number}; there are {there}."
                found.fault(mapping.document.place((*rule.keys, key)), key, read)


def _named(found: Outcome) -> str:
    return f"{found.file}, sheet {found.sheet}" if found.sheet else found.file


def _sources(
    view: View,
    rule: TableRule,
    mapping: LineMap,
    heads: list[Heading],
    rows: Mapping[int, int],
    found: Outcome,
) -> Iterator[Source]:
    """Columns that give a figure; open questions are faults."""
    taken: set[int] = set()
    ignored: list[str] = []
    given: dict[str, str] = {}
    for line in rule.rules:
        head, read, remedy = column_of(view, line, heads)
        if head is None:
            place = mapping.document.place(line.keys)
            found.fault(place, "", f"{_named(found)}: {read}", remedy)
            continue
        taken.add(head.column)
        if not line.targets:
            ignored.append(line.heading)
        for target in line.targets:
            if target.field in given and target.factor is None:
                place = mapping.document.place(target.keys)
                read = f"{quoted(given[target.field])} gives {target.field} already."
                found.fault(place, target.field, read, "Keep one of the two.")
            given[target.field] = line.heading
            place = place_of(view, rule, head, rows)
            read_as, asked = manner(target, rule, mapping.answers, head, place)
            for question in asked:
                where = f"{question.place} ({mapping.document.place(target.keys)})"
                found.fault(where, question.field, question.read, question.remedy)
            if read_as is not None:
                found.manners[target.field] = read_as
            elif target.field == POINTS:
                found.manners.update(ends(target.speed, target.torque, rule.numerals))
            if not asked:
                told = (read_as.unit, said(read_as.answers or {})) if read_as else ("", "")
                yield Source(target, read_as, head.column, told)
    _check_unheaded(view, rule, heads, taken, rows, found)
    _check_units(view, rule, taken, rows, found)
    found.ignored = tuple(ignored)
    numbers = rule.wide is not None
    found.left_out = tuple(
        head.text
        for head in heads
        if head.text and head.column not in taken and not (numbers and head.text[:1].isdigit())
    )


def _check_unheaded(
    view: View,
    rule: TableRule,
    heads: list[Heading],
    taken: set[int],
    rows: Mapping[int, int],
    found: Outcome,
) -> None:
    """A cell of a CSV file below no heading: a comma in a number may have moved its row."""
    if found.sheet or rule.turned or not taken:
        return
    bare = [h.column for h in heads if not h.text and h.column not in taken]
    for row in _data_rows(view, rule, rows) if bare else ():
        for column in bare:
            if view.raw(row, column):
                letters = view.cell(0, column).rstrip("0123456789")
                read = f"read {quoted(view.raw(row, column))}; its column has no heading."
                remedy = (f'Look for a separator within a cell of the row, or write '
                          f'"column {letters}" = "ignore".')  # fmt: skip
                found.fault(view.place(row, column), "", read, remedy)
                return


def _check_units(
    view: View, rule: TableRule, taken: set[int], rows: Mapping[int, int], found: Outcome
) -> None:
    """A row of units that holds numbers is a row of data."""
    row = None if rule.units is None else rows.get(rule.units)
    if row is None:
        return
    for column in sorted(taken):
        text = view.raw(row, column).strip()
        if text and any(c.isdigit() for c in text) and not any(c.isalpha() for c in text):
            read = f"read {quoted(text)}; units are needed in row {rule.units}."
            found.fault(view.place(row, column), "units", read, "Correct units, or leave it out.")
            return


@dataclass(frozen=True, slots=True)
class _Constants:
    cells: dict[str, tuple[str, Trace]]
    exacts: dict[str, Exact]
    sources: tuple[Source, ...]


def _constants(grid: Grid, rule: TableRule, mapping: LineMap, found: Outcome) -> _Constants:
    """Fields that are the same in every row."""
    cells: dict[str, tuple[str, Trace]] = {}
    exacts: dict[str, Exact] = {}
    sources: list[Source] = []
    for target, value in rule.constants:
        text = value.replace("{file}", PurePath(grid.file).stem).replace("{sheet}", grid.sheet)
        place = mapping.document.place(target.keys)
        if target.field in found.manners:
            read = f"a column gives {target.field} already."
            found.fault(place, target.field, read, "Keep one of the two.")
            continue
        marked = TableRule(rule.kind, rule.form, rule.keys, rule.file, numerals=Numerals("."),
                           answers=rule.answers)  # fmt: skip
        read_as, asked = manner(target, marked, mapping.answers, Heading(0, "", ""), place)
        for question in asked:
            found.fault(place, question.field, question.read, question.remedy)
        if read_as is None:
            continue
        try:
            figure = read_as.read(text, False)
        except ValueFault as fault:
            found.fault(place, target.field, fault.read, fault.remedy)
            continue
        trace = Trace(mapping.document.file, "", f"line {place.rpartition(':')[2]}", value, "",
                      said(read_as.answers or {}))  # fmt: skip
        source = Source(target, read_as, -1)
        sources.append(source)
        if figure.text:
            cells[target.field] = figure.text, trace
        if figure.exact is not None:
            exacts[target.field] = figure.exact
    return _Constants(cells, exacts, tuple(sources))


def _data_rows(view: View, rule: TableRule, rows: Mapping[int, int]) -> Iterator[int]:
    """Places of the rows of data that are not empty."""
    named = [*rule.heading, *([rule.units] if rule.units else [])]
    below = max(named, default=0) + 1
    first = below if rule.first is None else rule.first
    for number, row in rows.items():
        inside = number >= first and (rule.last is None or number <= rule.last)
        if not inside or number in rule.skip or number in named:
            continue
        if view.filled(row):
            yield row


def _carry_over(
    table: Table,
    read: Read,
    constants: _Constants,
    view: View,
    at: list[int],
    found: Outcome,
) -> None:
    """Figures stated at the other shaft of a gearhead, to our shaft, by ratio and efficiency."""
    by_name = {source.target.field: (source, cells) for source, cells in read if source.manner}
    fixed = {source.target.field: (source, [""] * len(at)) for source in constants.sources}
    for name, (source, cells) in {**fixed, **by_name}.items():
        shaft = (source.manner.answers or {}).get("shaft") if source.manner else None
        if shaft is None or shaft == OWN_SHAFT.get(name, "output"):
            continue
        lane = table.lanes[name]
        for k, row in enumerate(at):
            if not lane.texts[k]:
                continue
            value = exact(1)
            missing = []
            for other, power in ((name, 1), *zip(("ratio", "efficiency"), TURNED[name],
                                                 strict=True)):  # fmt: skip
                if not power:
                    continue
                own, texts = by_name.get(other, (source, cells))
                figure = _exact(view, row, own, texts[k]) if other in by_name else None
                figure = figure or constants.exacts.get(other)
                if figure is None:
                    missing.append(other)
                else:
                    value = value * figure**power
            if missing:
                place = view.place(row, max(source.column, 0))
                needed = " and ".join(missing)
                told = f"holds at the {shaft}; {needed} of the row are needed for it."
                found.fault(place, name, told, "Give them, or leave the figure out.")
            else:
                lane.texts[k] = value.text()


def _exact(view: View, row: int, source: Source, text: str) -> Exact | None:
    """The exact number of a cell that was read before."""
    if not text or source.manner is None:
        return None
    plain = view.number(row, source.column)
    if plain and view.percent(row, source.column):
        text = as_seen(text, source.manner)
    try:
        return source.manner.read(text, plain).exact
    except ValueFault:
        return None


def _expanded(table: Table, sources: list[Source]) -> tuple[Table, Places]:
    """Lists of names as several rows, and from which row each came."""
    origin = np.arange(table.count, dtype=np.int32)
    for source in sources:
        mark, name = source.target.items, source.target.field
        if not (mark and source.manner and source.manner.column.kind == "name"):
            continue
        words = [
            [w.strip() for w in text.split(mark) if w.strip()] if text else [""]
            for text in table.lanes[name].texts
        ]
        counts = [len(own) for own in words]
        order = np.repeat(np.arange(table.count, dtype=np.int32), counts)
        table, origin = table.taken(order), origin[order]
        table.lanes[name].texts[:] = [word for own in words for word in own]
    return table, origin


def kept(table: Table, kind: str) -> Table:
    """Without the figures that only served to convert others."""
    known = fields.kept(kind)
    return Table(table.count, {name: lane for name, lane in table.lanes.items() if name in known})
