"""A product line from foreign files: read by a mapping, put in our words, judged by our reader."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from dutyline.catalogue.columns import FORMS, FURTHER
from dutyline.catalogue.edition import FILE as EDITION
from dutyline.catalogue.edition import Edition, edition_text
from dutyline.catalogue.library import TRACE, line_of
from dutyline.catalogue.origins import KINDS
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import quoted
from dutyline.grids.records import Grid
from dutyline.intake.join import join
from dutyline.intake.mapping import LineMap, TableRule
from dutyline.intake.points import settled
from dutyline.intake.tables import Outcome, kept, read_table
from dutyline.intake.trace import Table
from dutyline.intake.write import FIRST_ROW, file_bytes, trace_bytes

Source = Callable[[TableRule], Sequence[Grid]]
"""Gives the grids that a table of the mapping names."""

_PLACE = re.compile(r"([a-z]+\.csv), row ([0-9]+)(?:, column (\w+))?")


@dataclass(frozen=True, slots=True)
class Brought:
    """What came."""

    line: ProductLine
    mapping: LineMap
    tables: tuple[Outcome, ...]
    remarks: tuple[str, ...] = field(default=())


def bring(
    mapping: LineMap, source: Source, ours: Mapping[str, bytes | Fault] | None = None
) -> Brought:
    """The product line that a mapping tells.

    Parameters
    ----------
    mapping : LineMap
    source : callable
        Gives the grids of a table; an :class:`InputError` of it is told with the others.
    ours : mapping of str to bytes or Fault, optional
        Files of our own form that the mapping names, or why one cannot be read.

    Raises
    ------
    InputError
        Anything that cannot be used or is not answered; all of it at once, each with the cell of
        the foreign file or the line of the mapping.
    """
    outcomes: list[Outcome] = []
    faults: list[Fault] = list(mapping.faults)
    remarks: list[str] = []
    own = dict(ours or {})
    faults += [held for held in own.values() if isinstance(held, Fault)]
    at_fault = {fault.place for fault in mapping.faults}
    for rule in mapping.tables:
        try:
            grids = source(rule)
        except InputError as error:
            faults += error.faults
            continue
        for grid in grids:
            outcome = read_table(grid, rule, mapping)
            outcomes.append(outcome)
            faults += [f for f in outcome.all() if _lines(f.place).isdisjoint(at_fault)]
            remarks += [f"{outcome.file}: {remark}" for remark in grid.remarks]
    if faults:
        raise InputError(mapping.document.file, faults)
    tables = _gathered(outcomes, faults, remarks)
    if faults:
        raise InputError(mapping.document.file, faults)
    forms = (*FORMS, *(form for form in FURTHER if form.file in tables))
    files = {form.file: file_bytes(form, tables.get(form.file, Table())) for form in forms}
    files.update((name, held) for name, held in own.items() if isinstance(held, bytes))
    files[TRACE] = trace_bytes(tables)
    name = mapping.line.get("name", "") or mapping.document.file.removesuffix(".toml")
    files[EDITION] = edition_text(Edition(**{**mapping.line, "name": name})).encode()
    try:
        line = line_of(name, "", files)
    except InputError as error:
        told = [_foreign(fault, tables, mapping) for fault in error.faults]
        raise InputError(mapping.document.file, told) from None
    return Brought(line, mapping, tuple(outcomes), tuple(dict.fromkeys(remarks)))


def _lines(place: str) -> set[str]:
    """The places in a place: the cell, and the line of the mapping that it names in brackets."""
    return {place, place.rpartition("(")[2].rstrip(")")}


def _gathered(outcomes: list[Outcome], faults: list[Fault], remarks: list[str]) -> dict[str, Table]:
    """Rows of all tables by our file; tables that join add their cells to rows that are there."""
    tables: dict[str, Table] = {}
    for outcome in sorted(outcomes, key=lambda o: o.rule.join):
        rule = outcome.rule
        rows, told = settled(kept(outcome.table, rule.kind), rule)
        if told:
            remarks.append(f"{outcome.file}: {told}.")
        into = tables.setdefault(rule.form.file, Table())
        if rule.join:
            join(into, rows, outcome.file, faults)
        else:
            into.add(rows)
    return tables


def _foreign(fault: Fault, tables: Mapping[str, Table], mapping: LineMap) -> Fault:
    """A fault of our files, told of the foreign cell behind it."""
    fault = _renamed(fault, tables)
    if fault.place.split(",")[0] in mapping.ours:
        return fault
    if fault.place == EDITION:
        return replace(fault, place=mapping.document.place(tuple(fault.field.split("."))))
    found = _PLACE.fullmatch(fault.place)
    if not found:
        kind = fault.place.split(",")[0].removesuffix(".csv")
        known = kind in KINDS
        return replace(fault, place=mapping.document.file, field=kind) if known else fault
    file, row, column = found[1], int(found[2]) - FIRST_ROW, found[3]
    table = tables.get(file, Table())
    if not 0 <= row < table.count:
        return replace(fault, place=mapping.document.file, field=fault.place)
    form = KINDS[file.removesuffix(".csv")]
    fault = replace(fault, read=_rows_named(fault.read, table))
    field_name = next((c.field for c in form.columns if c.name == column), "")
    text = table.text(field_name, row)
    if text:
        trace = table.lanes[field_name].trace(row)
        held = f" The cell holds {quoted(trace.raw)}{_unit(trace.unit)}."
        read = fault.read if text == trace.raw else fault.read + held
        return Fault(trace.place(), field_name, read, fault.remedy)
    place = table.place(row, mapping.document.file)
    remedy = fault.remedy if field_name == "" else f"Give {field_name} in columns or constants."
    return Fault(place, field_name, fault.read, remedy)


def _outside_quotes(text: str, change: Callable[[str], str]) -> str:
    """A sentence changed where it does not repeat what was read."""
    return '"'.join(p if k % 2 else change(p) for k, p in enumerate(text.split('"')))


def _renamed(fault: Fault, tables: Mapping[str, Table]) -> Fault:
    """Our files in what a fault says as the foreign tables that they were made of."""

    def name(found: re.Match[str]) -> str:
        return tables[found[0]].named(found[0])

    def change(text: str) -> str:
        files = "|".join(map(re.escape, tables)) or "(?!)"
        return re.sub(rf"(?<![\w.-])(?:{files})", name, text)

    read = _outside_quotes(fault.read, change)
    return replace(fault, read=read, remedy=_outside_quotes(fault.remedy, change))


def _rows_named(text: str, table: Table) -> str:
    """Rows of our file in a sentence as the foreign cells with which they begin."""

    def change(found: re.Match[str]) -> str:
        row = int(found[1]) - FIRST_ROW
        return table.place(row, found[0]) if 0 <= row < table.count else found[0]

    return _outside_quotes(text, lambda piece: re.sub(r"\brow ([0-9]+)\b", change, piece))


def _unit(unit: str) -> str:
    return f" {unit}" if unit and unit != "cell" else ""
