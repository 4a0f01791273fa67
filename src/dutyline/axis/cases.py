"""Cases and variants: the same file with some fields changed, each read like a file of its own."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from dutyline.axis.fields import SECTIONS, plain
from dutyline.axis.model import MAIN, Axis
from dutyline.axis.paths import PathError, set_path
from dutyline.axis.rolls import rolls_of
from dutyline.axis.stated import Stated, Tree
from dutyline.axis.sweep import MOST, sweep_size, sweeps
from dutyline.axis.tables import FaultList
from dutyline.core.errors import Fault, InputError
from dutyline.core.toml_lines import LineIndex
from dutyline.core.toml_lines import Path as KeyPath
from dutyline.core.toml_text import Document

OUTSIDE: dict[str, tuple[str, ...]] = {
    "case": ("axis", "choose", "reserve", "case", "variant"),
    "variant": ("case", "variant"),
}
"""Sections that a case or a variant does not change."""
FIXED = ("mechanism.kind", "phase.do")
"""What makes another machine, or another phase, of it."""

Data = dict[str, list[dict[str, Any]]]
Read = Callable[[Document], tuple[Axis, Tree]]


@dataclass(frozen=True, slots=True)
class _Change:
    """What one case or variant makes of the file."""

    name: str
    remark: str
    path: str
    """``case.empty``; the address in faults."""
    keys: KeyPath
    set: dict[str, Any]
    set_keys: KeyPath
    phases: list[dict[str, Any]] | None = None
    phase_keys: KeyPath = ()


def check_cases(tree: Tree, faults: FaultList) -> None:
    """Tell of names that stand twice, of paths that lead nowhere, and of cases without effect.

    A variant may state nothing yet: it is then the file as it stands, under a name.
    """
    for kind, outside in OUTSIDE.items():
        seen = {MAIN} if kind == "case" else set()
        for table in tree.many(kind):
            _check_name(table, seen, faults)
            if kind == "case" and not table.has("set") and not table.has("phase"):
                read = "neither set nor phase is stated, so nothing changes."
                faults.add(table.keys, table.path, read, 'Add set = { "load.mass" = "28 kg" }.')
            _check_paths(table, outside, tree, faults)


def _check_name(table: Stated, seen: set[str], faults: FaultList) -> None:
    name = table.word("name")
    if name is None:
        return
    if name in seen:
        what = f"the {table.section.name} of the file itself" if name == MAIN else "another one too"
        keys = (*table.keys, table.spelled.get("name", "name"))
        faults.add(keys, f"{table.path}.name", f'"{name}" is the name of {what}.',
                   "Give it a name of its own.")  # fmt: skip
    seen.add(name)


def _check_paths(table: Stated, outside: tuple[str, ...], tree: Tree, faults: FaultList) -> None:
    data = _canonical(tree)
    owner = table.section.name
    for path, item in _set_of(table).items():
        keys = (*table.keys, table.spelled.get("set", "set"), path)
        where = f"{table.path}.set"
        section = plain(path.partition(".")[0])
        if section in outside:
            read = f'"{path}" belongs to the whole file; a {owner} does not change it.'
            faults.add(keys, where, read, "Leave it out.")
        elif owner == "case" and _fixed(path):
            read = f'"{path}" makes another machine of it; a case is the same machine.'
            faults.add(keys, where, read, "Make it a [[variant]], or give the case its own phases.")
        elif section == "phase" and table.has("phase"):
            read = f'"{path}" and phases of its own stand together.'
            faults.add(keys, where, read, "Write the value into those phases.")
        else:
            try:
                set_path(data, path, item)
            except PathError as error:
                faults.add(keys, where, f'"{path}": {error.read}', error.remedy)


def _fixed(path: str) -> bool:
    first, _, rest = plain(path.replace(".", " . ")).partition("_._")
    return f"{first}.{rest.rpartition('_._')[2]}" in FIXED


def _set_of(table: Stated) -> dict[str, Any]:
    found = table.raw.get("set")
    return dict(found) if isinstance(found, dict) else {}


def with_cases(axis: Axis, tree: Tree, document: Document, read: Read) -> Axis:
    """The axis with its cases and variants, each with the cases of its own.

    Raises
    ------
    InputError
        Every fault of every case and variant, placed where the file states the change.
    """
    faults: list[Fault] = []
    cases: list[Axis] = []
    sources = [(axis, tree, document)]
    for table in tree.many("case"):
        change = _change(table)
        own = _changed(change, tree, document, ("case", "variant"))
        found = _read(change, own, document, read, faults)
        if found is not None:
            case = replace(found[0], case=change.name, remark=change.remark)
            cases.append(case)
            sources.append((case, found[1], own))
    _check_products(sources, document, faults)
    for one, its_tree, its_document in sources if not faults else ():
        for change in _products(one, its_tree):
            own = _changed(change, its_tree, its_document, ("case", "variant"))
            found = _read(change, own, its_document, read, faults)
            if found is not None:
                cases.append(replace(found[0], case=change.name, remark=change.remark))
    if cases:
        notes = (*axis.notes, *_notes(axis, cases))
        axis = replace(axis, cases=tuple(cases), notes=notes)
    variants = []
    for table in tree.many("variant"):
        change = _change(table)
        own = _changed(change, tree, document, ("variant",))
        found = _read(change, own, document, read, faults)
        if found is None:
            continue
        try:
            whole = with_cases(*found, own, read)
            title = f"{axis.title}, {change.name}"
            variants.append(replace(whole, variant=change.name, remark=change.remark, title=title))
        except InputError as error:
            faults += [_moved(f, change, document) for f in error.faults]
    if faults:
        raise InputError(document.file, list(dict.fromkeys(faults)))
    return replace(axis, variants=tuple(variants)) if variants else axis


def _products(axis: Axis, tree: Tree) -> Iterator[_Change]:
    """What a sweep over stated ranges adds to a case."""
    before = "" if axis.case == MAIN else f"{axis.case}, "
    for name, settings in sweeps(tree.many("phase")):
        yield _Change(f"{before}{name}", axis.remark, "phase", ("phase",), dict(settings), ())
    together = tree.one("tandem")
    against = 0.0 if together is None else together.number("preload") or 0.0
    if against:
        setting = {"tandem.preload": f"{-against:.12g} N*m"}
        name = f"{before}preload the other way"
        yield _Change(name, axis.remark, "mechanism", ("mechanism",), setting, ())
    for name, diameter in rolls_of(axis, tree):
        setting = {"mechanism.roll": f"{diameter:.12g} m"}
        yield _Change(f"{before}{name}", axis.remark, "mechanism", ("mechanism",), setting, ())


def _check_products(
    sources: list[tuple[Axis, Tree, Document]], document: Document, faults: list[Fault]
) -> None:
    count = sum(sweep_size(tree.many("phase")) for _, tree, _ in sources)
    if count > MOST:
        read = f"the ranges make {count} products over all cases; {MOST} are judged."
        remedy = "State a range for one quantity, and single values for the others."
        faults.append(Fault(document.place(("phase",)), "phase", read, remedy))


def _notes(axis: Axis, cases: list[Axis]) -> Iterator[str]:
    for case in cases:
        for note in case.notes:
            if note not in axis.notes and not note.startswith("Phase "):
                yield f"Case {case.case}: {note}"


def _change(table: Stated) -> _Change:
    rows = table.raw.get("phase")
    return _Change(
        name=table.word("name") or "",
        remark=table.word("note") or "",
        path=table.path,
        keys=table.keys,
        set=_set_of(table),
        set_keys=(*table.keys, table.spelled.get("set", "set")),
        phases=rows if isinstance(rows, list) else None,
        phase_keys=(*table.keys, table.spelled.get("phase", "phase")),
    )


def _read(
    change: _Change, changed: Document, document: Document, read: Read, faults: list[Fault]
) -> tuple[Axis, Tree] | None:
    try:
        return read(changed)
    except InputError as error:
        faults += [_moved(fault, change, document) for fault in error.faults]
        return None


def _moved(fault: Fault, change: _Change, document: Document) -> Fault:
    """A fault of the changed file, at the place that changes it."""
    if change.path in ("phase", "mechanism"):
        return replace(fault, read=f"with {change.name}: {fault.read}")
    field = f"{change.path}.{fault.field}"
    file, _, line = fault.place.rpartition(":")
    if file and file != document.file:  # samples in a file of their own
        return replace(fault, field=field)
    inside = _lines_inside(change.keys, document)
    place = fault.place if line.isdigit() and int(line) in inside else document.place(change.keys)
    return replace(fault, place=place, field=field)


def _lines_inside(keys: KeyPath, document: Document) -> set[int]:
    size = len(keys)
    return {line for path, line in document.index.lines.items() if path[:size] == keys}


def _changed(change: _Change, tree: Tree, document: Document, without: tuple[str, ...]) -> Document:
    """The document that a case or variant stands for, with the lines of what it states."""
    data, lines = _canonical(tree), _lines(tree, document)
    for name in without:
        data.pop(name, None)
    if change.phases is not None:
        stops = [] if any(_stops(row) for row in change.phases) else _kept_stops(data)
        data["phase"] = [*copy.deepcopy(change.phases), *stops]
        lines = {path: line for path, line in lines.items() if path[0] != "phase"}
        size = len(change.phase_keys)
        for path, line in document.index.lines.items():
            if path[:size] == change.phase_keys:
                lines[("phase", *path[size:])] = line
    for place, item in change.set.items():
        keys = set_path(data, place, copy.deepcopy(item))
        own = document.index.of((*change.set_keys, place)) if change.set_keys else None
        if own is not None:
            lines[keys] = own
    whole: dict[str, Any] = {"schema": 1}
    for name, tables in data.items():
        whole[name] = tables if SECTIONS[name].many else tables[0]
    return replace(document, data=whole, index=LineIndex(lines), faults=())


def _stops(row: dict[str, Any]) -> bool:
    return any(plain(str(item)) == "stop" for item in row.values() if isinstance(item, str))


def _kept_stops(data: Data) -> list[dict[str, Any]]:
    """Stops of the file that start from anywhere; a cycle of its own keeps them."""
    rows = data.get("phase", [])
    return [row for row in rows if row.get("do") == "stop" and row.get("from", "worst") == "worst"]


def _canonical(tree: Tree) -> Data:
    """Everything stated, in canonical words."""
    return {
        name: [copy.deepcopy(dict(table.raw)) for table in tables]
        for name, tables in tree.tables.items()
    }


def _lines(tree: Tree, document: Document) -> dict[KeyPath, int]:
    """Lines of the file under the canonical words."""
    renamed: dict[KeyPath, KeyPath] = {}
    for name, tables in tree.tables.items():
        for number, table in enumerate(tables):
            base: KeyPath = (name, number) if SECTIONS[name].many else (name,)
            renamed[table.keys] = base
            for field, key in table.spelled.items():
                renamed[(*table.keys, key)] = (*base, field)
    found: dict[KeyPath, int] = {}
    for path, line in document.index.lines.items():
        size = next((n for n in range(len(path), 0, -1) if path[:n] in renamed), 0)
        if size:
            found[(*renamed[path[:size]], *path[size:])] = line
    return found
