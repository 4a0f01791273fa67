"""One table of the file against the definition of its section: fields, kinds, faults."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from dutyline.axis import entries
from dutyline.axis.fields import (
    NESTED,
    SECTIONS,
    find,
    kinds_with,
    names_of,
    nearest,
    plain,
)
from dutyline.axis.forms import PLAIN_FORMS, Field, Section
from dutyline.axis.pairs import pairs, points, quantity_of, samples
from dutyline.axis.stated import Entry, Stated
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.toml_lines import Path as KeyPath
from dutyline.core.toml_text import MOST_FAULTS, Document
from dutyline.core.values import Value

_SIMPLE: dict[str, Callable[[Field, Any], Entry]] = {
    "text": entries.text,
    "name": entries.word,
    "names": entries.names,
    "flag": entries.flag,
    "whole": entries.whole,
    "fraction": entries.fraction,
    "phases": entries.phases,
}


@dataclass(slots=True)
class FaultList:
    """Faults found so far in one document."""

    document: Document
    faults: list[Fault] = field(default_factory=list)

    def add(
        self,
        keys: KeyPath,
        where: str,
        read: str,
        remedy: str = "",
        meanings: tuple[str, ...] = (),
    ) -> None:
        """One more fault, placed at the line of a key.

        Raises
        ------
        InputError
            There are so many faults that the file is none.
        """
        fault = Fault(self.document.place(keys), where, read, remedy, meanings)
        if fault not in self.faults:
            self.faults.append(fault)
        if len(self.faults) >= MOST_FAULTS:
            raise InputError(self.document.file, self.faults)

    def told(self, path: str) -> bool:
        """Whether something at or below a path is at fault already."""
        return any(f.field == path or f.field.startswith(f"{path}.") for f in self.faults)


@dataclass(frozen=True, slots=True)
class Table:
    """A raw table with its address."""

    data: Mapping[str, Any]
    keys: KeyPath
    path: str


def read_table(
    table: Table,
    section: Section,
    kind: str | None,
    linear: bool | None,
    faults: FaultList,
    home: Mapping[str, Section] = SECTIONS,
) -> Stated:
    """Every field of one table; faults go to the list and spoil their field only.

    Parameters
    ----------
    table : Table
    section : Section
    kind : str or None
        Kind that decides which fields belong; None where it is not known.
    linear : bool or None
        Travel of the axis; None where it is not known.
    faults : FaultList
    home : mapping of str to Section
        The sections of the file, for what helps.
    """
    found: dict[str, Entry] = {}
    raw: dict[str, object] = {}
    spelled: dict[str, str] = {}
    spoilt: set[str] = set()
    misspelt: set[str] = set()
    for key, item in table.data.items():
        keys = (*table.keys, key)
        definition = find(section, key, kind)
        if definition is None:
            faults.add(keys, f"{table.path}.{key[:60]}", *_unknown(section, key, kind, home))
            meant = nearest(key, names_of(section, kind))
            aimed = None if meant is None else find(section, meant, kind)
            if aimed is not None:
                misspelt.add(aimed.name)
            continue
        name = definition.name
        where = f"{table.path}.{name}"
        if name in spelled:
            read = f'this stands twice, as "{spelled[name]}" and as "{key}".'
            faults.add(keys, where, read, "Keep one of the two.")
            continue
        spelled[name] = key
        if kind is not None and definition.kinds and kind not in definition.kinds:
            spoilt.add(name)
            faults.add(keys, where, *_other_kind(section, name, kind))
            continue
        entry, canonical = _entry(definition, item, Table({}, keys, where), kind, linear, faults)
        if entry is None:
            spoilt.add(name)
        else:
            found[name], raw[name] = entry, canonical
    at_fault = frozenset((spoilt | misspelt) - set(found))
    stated = Stated(section, table.path, table.keys, kind, linear, found, raw, spelled, at_fault)
    _check_required(stated, faults)
    return stated


def _entry(
    definition: Field,
    item: Any,
    at: Table,
    kind: str | None,
    linear: bool | None,
    faults: FaultList,
) -> tuple[Entry | None, object]:
    """The entry and its plain form; None after a fault."""
    try:
        if definition.takes in _SIMPLE:
            entry = _SIMPLE[definition.takes](definition, item)
            return entry, _plain_form(definition, entry, item)
        if definition.takes in PLAIN_FORMS:
            return _structured(definition, item, at, kind, linear, faults)
        if definition.count is not None:
            return _several(definition, item, linear), item
        return quantity_of(definition, item, linear), item
    except ValueFault as fault:
        remedy = fault.remedy or entries.sample(definition, bool(linear))
        faults.add(at.keys, at.path, fault.read, remedy, fault.meanings)
        return None, None


def _plain_form(definition: Field, entry: Entry, item: Any) -> object:
    if definition.takes == "names" and isinstance(entry, tuple):
        return list(entry)
    if definition.takes == "phases":
        return entry if entry == "dc" else int(str(entry))
    return entry if isinstance(entry, str | bool) else item


def _several(definition: Field, item: Any, linear: bool | None) -> tuple[Value, ...]:
    least, most = definition.count or (1, 1)
    rows = item if isinstance(item, list) else [item]
    if not least <= len(rows) <= most:
        number = str(least) if least == most else f"{least} to {most}"
        read = f"read {entries.shown(item)}; a list of {number} values is needed."
        raise ValueFault(read, f"They are: {definition.meaning.rstrip('.').lower()}.")
    return tuple(quantity_of(definition, row, linear) for row in rows)


def _structured(
    definition: Field,
    item: Any,
    at: Table,
    kind: str | None,
    linear: bool | None,
    faults: FaultList,
) -> tuple[Entry | None, object]:
    if definition.takes == "efficiency":
        return _efficiency(definition, item), item
    if definition.takes == "points":
        return points(item, linear), item
    if definition.takes == "pairs":
        return pairs(definition, item), item
    if definition.takes == "samples":
        return samples(item, linear), item
    if definition.takes == "named":
        return _named(definition, item, at, kind, linear, faults)
    if definition.takes == "changes":
        changes = entries.changes(item)
        return entries.changes_text(changes), changes
    rows = [item] if definition.takes == "table" and isinstance(item, dict) else item
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        needed = "a table" if definition.takes == "table" else "a list of tables"
        read = f"read {entries.shown(item)}; {needed} is needed."
        raise ValueFault(read, _inner_fields(definition))
    if definition.takes == "rows":
        return entries.rows(definition, rows), rows
    section = NESTED[definition.of]
    tables = []
    for number, row in enumerate(rows):
        one = definition.takes == "table"
        place = Table(
            row,
            at.keys if one else (*at.keys, number),
            at.path if one else f"{at.path}.{number + 1}",
        )
        own = row.get(section.selector) if section.selector else kind
        tables.append(read_table(place, section, _shape(section, own, kind), linear, faults))
    plain_form = [dict(t.raw) for t in tables]
    if definition.takes == "table":
        return tables[0], plain_form[0]
    return tuple(tables), plain_form


def _inner_fields(definition: Field) -> str:
    if definition.takes == "rows":
        return f"Write [[case.{definition.name}]] above each."
    return f"Its fields: {', '.join(names_of(NESTED[definition.of], None))}."


def _shape(section: Section, own: Any, kind: str | None) -> str | None:
    """Kind of a nested table: its shape, else the kind of the section around it."""
    if not section.selector:
        return kind
    from_field = next(f for f in section.fields if f.name == section.selector)
    try:
        return entries.word(from_field, own)
    except ValueFault:
        return None


def _named(
    definition: Field,
    item: Any,
    at: Table,
    kind: str | None,
    linear: bool | None,
    faults: FaultList,
) -> tuple[Entry | None, object]:
    """Names to values or tables: payloads."""
    if not isinstance(item, dict):
        read = f"read {entries.shown(item)}; a table of names is needed."
        raise ValueFault(read, 'Write it as in payloads = { carton = "12 kg" }.')
    section = NESTED[definition.of]
    found: dict[str, Stated] = {}
    raw: dict[str, object] = {}
    for name, own in item.items():
        short = not isinstance(own, dict) or "value" in own
        row = {"mass": own} if short else own
        keys = (*at.keys, name)
        entries.check_text(name)
        place = Table(row, keys, f"{at.path}.{name}")
        found[name] = read_table(place, section, kind, linear, faults)
        raw[name] = own if short else dict(found[name].raw)
    return found, raw


def _efficiency(definition: Field, item: Any) -> Value:
    if isinstance(item, list):
        read = "a list of efficiencies over speed and torque is not computed by this version."
        raise ValueFault(read, "Give the one efficiency near the working point.")
    return entries.quantity(definition, item, "number")


def _unknown(
    section: Section, key: str, kind: str | None, home: Mapping[str, Section]
) -> tuple[str, str]:
    near = nearest(key, names_of(section, kind))
    others = [f"[{s.name}]" for s in home.values() if find(s, key, None) and s is not section]
    other = kinds_with(section, key)
    if other:
        return _other_kind(section, plain(key), kind or "")
    if others and not section.nested and (near is None or plain(near) != plain(key)):
        return (
            f"there is no such field in [{section.name}].",
            f"{' and '.join(others[:3])} {'has' if len(others) == 1 else 'have'} it."
            if near is None
            else f'The nearest is "{near}"; {others[0]} has one of this name.',
        )
    read = f"there is no such field{'' if len(key) < 60 else f', {quoted(key)}'}."
    if near:
        return read, f'The nearest is "{near}".'
    known = ", ".join(f.name for f in section.fields_of(kind))
    if len(known) < 300:
        return read, f"There are {known}."
    verb = "schema" if home is SECTIONS else "replace --new"
    return read, f'"dutyline {verb}" lists them all.'


def _other_kind(section: Section, name: str, kind: str) -> tuple[str, str]:
    having = kinds_with(section, name)
    subject = f'a "{kind}"' if kind else "this"
    if section.name == "phase":
        subject = f'a phase that does "{kind}"'
    verb = "has it" if len(having) == 1 else "have it"
    return f"{subject} has no such field.", f"{_listed(having)} {verb}."


def _listed(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _check_required(stated: Stated, faults: FaultList) -> None:
    for definition in stated.section.required_of(stated.kind):
        name = definition.name
        if stated.has(name):
            continue
        if stated.kind is None and definition.kinds:
            continue
        linear = bool(stated.linear)
        kind = definition.dimension(linear) if definition.quantity else ""
        sample = entries.example(kind) if kind else ""
        remedy = f'Add it, as in {name} = "{sample}".' if sample else _add(definition)
        faults.add(stated.keys, f"{stated.path}.{name}", "this is missing.", remedy)


def _add(definition: Field) -> str:
    if definition.choices:
        return f"Add it; one of {', '.join(definition.choices)}."
    return f"Add it: {definition.meaning[0].lower()}{definition.meaning[1:]}"
