"""One table of a foreign file as rows of ours, each cell with its trace."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import PurePath

from dutyline.core.errors import Fault
from dutyline.core.faults import ValueFault, quoted
from dutyline.grids.records import Grid
from dutyline.intake import fields
from dutyline.intake.conventions import OWN_SHAFT, TURNED
from dutyline.intake.exact import Exact, exact
from dutyline.intake.figures import Figure, Manner
from dutyline.intake.keys import POINTS
from dutyline.intake.manners import Heading, column_of, headings, manner, place_of, said
from dutyline.intake.mapping import LineMap, TableRule, Target
from dutyline.intake.numerals import Numerals
from dutyline.intake.points import Points, ends, points, wide
from dutyline.intake.trace import Cell, Record, Trace
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
    records: list[Record] = field(default_factory=list)
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


@dataclass(frozen=True, slots=True)
class _Source:
    """One column of a record."""

    target: Target
    manner: Manner | None
    column: int
    told: tuple[str, str] = ("", "")
    """Unit and conventions for the trace."""


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
    cache: dict[tuple[int, str, bool], Figure] = {}
    above: dict[int, str] = {}
    for row in _data_rows(view, rule, rows):
        record: Record = dict(constants.cells)
        exacts: dict[str, Exact] = dict(constants.exacts)
        polyline: Points | None = None
        for k, source in enumerate(sources):
            cell = _text(view, row, source, rule, above, found)
            if cell is None:
                continue
            text, raw = cell
            where = view.cell(row, source.column)
            place = Trace(grid.file, grid.sheet, where, raw, *source.told)
            plain = view.number(row, source.column)
            try:
                if source.target.field == POINTS:
                    polyline = points(text, source.target, rule.numerals, place)
                    continue
                assert source.manner is not None
                if plain and view.percent(row, source.column):
                    text = as_seen(text, source.manner.unit)
                key = (k, text, plain)
                if key not in cache:
                    cache[key] = source.manner.read(text, plain)
            except ValueFault as fault:
                where = view.place(row, source.column)
                found.fault(where, source.target.field, fault.read, fault.remedy)
                continue
            _put(record, exacts, source, cache[key], place)
        if across is not None:
            polyline = across.of(row, found.fault)
        _carry_over(record, exacts, sources, constants, view, row, found)
        found.records += _expanded(record, sources, polyline)
    return found


def as_seen(text: str, unit: str) -> str:
    """A number that a workbook shows as percent, as its unit asks for it.

    >>> as_seen("0.95", "%"), as_seen("0.95", "1")
    ('95', '0.95')
    """
    if "%" not in unit:
        return text
    number = Fraction(text) * 100
    return exact(number).text()


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
) -> Iterator[_Source]:
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
                yield _Source(target, read_as, head.column, told)
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
    cells: Record
    exacts: dict[str, Exact]
    sources: tuple[_Source, ...]


def _constants(grid: Grid, rule: TableRule, mapping: LineMap, found: Outcome) -> _Constants:
    """Fields that are the same in every row."""
    cells: Record = {}
    exacts: dict[str, Exact] = {}
    sources: list[_Source] = []
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
        source = _Source(target, read_as, -1)
        sources.append(source)
        _put(cells, exacts, source, figure, trace)
    return _Constants(cells, exacts, tuple(sources))


def _data_rows(view: View, rule: TableRule, rows: Mapping[int, int]) -> Iterator[int]:
    """Places of the rows of data that are not empty."""
    named = [*rule.heading, *([rule.units] if rule.units else [])]
    below = max(named, default=0) + 1
    first = below if rule.first is None else rule.first
    columns = range(view.columns())
    for number, row in rows.items():
        inside = number >= first and (rule.last is None or number <= rule.last)
        if not inside or number in rule.skip or number in named:
            continue
        if any(view.raw(row, column) for column in columns):
            yield row


def _text(
    view: View,
    row: int,
    source: _Source,
    rule: TableRule,
    above: dict[int, str],
    found: Outcome,
) -> tuple[str, str] | None:
    """A cell cleared of marks, and as it stands; None where it says that nothing is known."""
    raw = view.raw(row, source.column)
    text = " ".join(raw.split())
    if view.formula(row, source.column):
        read = f"holds the formula {quoted(text)}; its result is needed."
        found.fault(view.place(row, source.column), source.target.field, read,
                    "Write the value into the cell.")  # fmt: skip
        return None
    if source.target.repeat:
        text = text or above.get(source.column, "")
        above[source.column] = text
    for mark in rule.strip:
        text = text.removesuffix(mark).removeprefix(mark).strip()
    word = text.casefold()
    if not text or word in rule.unknown:
        return None
    return source.target.values.get(word, text), raw


def _put(
    record: Record, exacts: dict[str, Exact], source: _Source, figure: Figure, trace: Trace
) -> None:
    name = source.target.field
    text = figure.text
    if source.target.factor is not None and name in record:
        before = record[name]
        text = f"{before.text};{text}"
        cells, raw = f"{before.trace.cell}+{trace.cell}", f"{before.trace.raw} | {trace.raw}"
        trace = Trace(trace.file, trace.sheet, cells, raw, trace.unit, trace.convention)
    if not text:
        return
    record[name] = Cell(text, trace)
    if figure.exact is not None:
        exacts[name] = figure.exact


def _carry_over(
    record: Record,
    exacts: dict[str, Exact],
    sources: list[_Source],
    constants: _Constants,
    view: View,
    row: int,
    found: Outcome,
) -> None:
    """Figures stated at the other shaft of a gearhead, to our shaft, by ratio and efficiency."""
    for source in (*sources, *constants.sources):
        name = source.target.field
        shaft = (source.manner.answers or {}).get("shaft") if source.manner else None
        if shaft is None or name not in exacts or shaft == OWN_SHAFT.get(name, "output"):
            continue
        ratio_power, efficiency_power = TURNED[name]
        missing = [
            other
            for other, power in (("ratio", ratio_power), ("efficiency", efficiency_power))
            if power and other not in exacts
        ]
        if missing:
            place = view.place(row, max(source.column, 0))
            read = f"holds at the {shaft}; {' and '.join(missing)} of the row are needed for it."
            found.fault(place, name, read, "Give them, or leave the figure out.")
            del record[name]
            continue
        value = exacts[name] * exacts.get("ratio", exact(1)) ** ratio_power
        value = value * exacts.get("efficiency", exact(1)) ** efficiency_power
        record[name] = Cell(value.text(), record[name].trace)
        exacts[name] = value


def _expanded(record: Record, sources: list[_Source], polyline: Points | None) -> list[Record]:
    """Lists of names and polylines as several rows; without figures that serve others only."""
    rows = [record]
    for source in sources:
        name = source.target.field
        listed = source.target.items and source.manner and source.manner.column.kind == "name"
        if listed and name in record:
            cell = record[name]
            words = [w.strip() for w in cell.text.split(source.target.items) if w.strip()]
            rows = [{**row, name: Cell(word, cell.trace)} for row in rows for word in words]
    if polyline is not None:
        rows = [{**row, "speed": s, "torque": t} for row in rows for s, t in polyline]
    return rows


def kept(records: list[Record], kind: str) -> list[Record]:
    """Records without the figures that only served to convert others."""
    known = fields.kept(kind)
    if all(known.issuperset(record) for record in records):
        return records
    return [{f: c for f, c in record.items() if f in known} for record in records]
