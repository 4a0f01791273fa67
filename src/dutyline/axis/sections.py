"""The whole document against the definition: which sections stand in it, and of which kind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from dutyline.axis import entries
from dutyline.axis.fields import LATER_SECTIONS, SECTIONS, find, nearest, plain
from dutyline.axis.forms import (
    KINDS,
    LATER_KINDS,
    LINEAR_KINDS,
    ROTARY_KINDS,
    TRAVEL_FORMS,
    Section,
)
from dutyline.axis.needs import check_needs
from dutyline.axis.stated import Stated, Tree
from dutyline.axis.tables import FaultList, Table, read_table
from dutyline.core.faults import ValueFault
from dutyline.core.reading import read_value

SCHEMA = 1
"""Form of the axis file that this version reads."""
MOST: dict[str, int] = {
    "phase": 500,
    "stage": 30,
    "force": 100,
    "balance": 20,
    "case": 20,
    "variant": 20,
}
"""Tables of a list; more are none of a machine."""
_LATER: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "mechanism": (LATER_KINDS, KINDS),
}
_TRAVELS: dict[str, tuple[str, str]] = {
    "by": TRAVEL_FORMS["travel"],
    "to": TRAVEL_FORMS["travel"],
    "speed": TRAVEL_FORMS["travel speed"],
}
"""Fields of a phase whose unit tells whether the load moves along or turns."""
_REQUIRED: dict[str, str] = {
    "axis": 'Add [axis] with title = "...".',
    "load": "Add [load] with what is moved.",
    "mechanism": 'Add [mechanism] with kind = "..."; one of ' + ", ".join(KINDS) + ".",
    "phase": "Add at least one [[phase]].",
}


def read_sections(faults: FaultList) -> Tree:
    """Every section of the document; what is wrong goes to the list of faults."""
    data = faults.document.data
    raw = _sorted_out(data, faults)
    mechanism = raw.get("mechanism", [({}, ())])[0][0]
    kind, later = _kind(SECTIONS["mechanism"], mechanism)
    load = raw.get("load", [({}, ())])[0][0]
    linear = _linear(kind, load, [row for row, _ in raw.get("phase", [])])
    tables: dict[str, tuple[Stated, ...]] = {}
    for name, rows in raw.items():
        section = SECTIONS[name]
        found = []
        for number, (row, keys) in enumerate(rows, 1):
            table = Table(row, keys, _path(section, row, number))
            own = _own_kind(section, row, kind, linear)
            found.append(_table(table, section, own, linear, faults))
        tables[name] = tuple(found)
    if not later:
        _check_sections(tables, faults)
    return Tree(tables, linear)


def check_schema(faults: FaultList) -> bool:
    """Whether the document says that it is of the form this version reads."""
    data = faults.document.data
    keys = [key for key in data if plain(key) == "schema"]
    if not keys:
        faults.add((), "schema", "this is missing.", f"Write schema = {SCHEMA} on the first line.")
        return True
    stated = data[keys[0]]
    if stated != SCHEMA or isinstance(stated, bool | float):
        read = f"read {entries.shown(stated)}; this version reads schema {SCHEMA}."
        faults.add((keys[0],), "schema", read, f"Write schema = {SCHEMA}.")
        return False
    if next(iter(data)) != keys[0]:
        faults.add((keys[0],), "schema", "this does not stand first.", "Move it to the first line.")
    return True


def _sorted_out(
    data: Any, faults: FaultList
) -> dict[str, list[tuple[dict[str, Any], tuple[str | int, ...]]]]:
    """Raw tables by section, each with its keys in the file."""
    found: dict[str, list[tuple[dict[str, Any], tuple[str | int, ...]]]] = {}
    for key, item in data.items():
        word = plain(key)
        if word == "schema" or key.startswith("doubled "):
            continue
        section = SECTIONS.get(word)
        if section is None:
            faults.add((key,), key[:60], *_no_section(word, item))
        elif word in found:
            faults.add((key,), word, f"[{word}] stands twice.", "Keep one of the two.")
        elif section.many:
            found[word] = _rows(section, key, item, faults)
        elif not isinstance(item, dict):
            read = f"read {entries.shown(item)}; a section is needed."
            faults.add((key,), word, read, f"Write [{word}] on a line of its own.")
        else:
            found[word] = [(item, (key,))]
    return found


def _rows(
    section: Section, key: str, item: Any, faults: FaultList
) -> list[tuple[dict[str, Any], tuple[str | int, ...]]]:
    most = MOST[section.name]
    if not isinstance(item, list) or not all(isinstance(row, dict) for row in item):
        read = f"read {entries.shown(item)}; a list of tables is needed."
        faults.add((key,), section.name, read, f"Write [[{section.name}]] with double brackets.")
        return []
    if len(item) > most:
        read = f"there are {len(item)} of them; this version takes {most}."
        remedy = "Join some of them."
        if section.name == "phase":
            remedy = "Join phases, or cut the cycle into parts."
        faults.add((key, most), section.name, read, remedy)
    return [(row, (key, number)) for number, row in enumerate(item[:most])]


def _no_section(word: str, item: Any) -> tuple[str, str]:
    if word in LATER_SECTIONS:
        return (
            f"{word} is not computed by this version.",
            f"Leave [{word}] out and state one load and one motor.",
        )
    near = nearest(word, tuple(SECTIONS))
    remedy = f'The nearest is "{near}".' if near else f"There are {', '.join(SECTIONS)}."
    if not isinstance(item, dict | list):
        holders = [s.name for s in SECTIONS.values() if find(s, word, None)]
        if holders:
            remedy = f"Put it below [{holders[0]}]."
        return "there is no such field outside of the sections.", remedy
    return "there is no such section.", remedy


def _path(section: Section, row: dict[str, Any], number: int) -> str:
    """``load``; in a list with the name of the table, else with its number from 1."""
    if not section.many:
        return section.name
    name = next((v for k, v in row.items() if plain(k) == "name"), None)
    return f"{section.name}.{name if isinstance(name, str) and name.strip() else number}"


def _kind(section: Section, row: Mapping[str, Any]) -> tuple[str | None, bool]:
    """Kind that a table states, and whether it is one of a later version."""
    selector = next((f for f in section.fields if f.name == section.selector), None)
    if selector is None:
        return None, False
    for key, item in row.items():
        if find(section, key, None) is selector:
            try:
                word = entries.word(selector, item)
            except ValueFault:
                return None, False
            if word in _LATER.get(section.name, ((), ()))[0]:
                return None, True
            return word, False
    return None, False


def _linear(
    kind: str | None, load: dict[str, Any], phases: Sequence[Mapping[str, Any]]
) -> bool | None:
    if kind in LINEAR_KINDS:
        return True
    if kind in ROTARY_KINDS:
        return False
    if kind == "direct":
        told = next((way for row in phases if (way := _way(row)) is not None), None)
        turns = "inertia" in {plain(key) for key in load}
        return not turns if told is None else told == "length"
    return None


def _way(phase: Mapping[str, Any]) -> str | None:
    """``length`` or ``angle`` by the units of a phase; None where they do not tell."""
    stated = {plain(key): item for key, item in phase.items()}
    if "turns" in stated:
        return "angle"
    for name, kinds in _TRAVELS.items():
        item = stated.get(name)
        typed = item.get("value") if isinstance(item, Mapping) else item
        for kind, way in zip(kinds, ("length", "angle"), strict=True):
            if isinstance(typed, str):
                try:
                    read_value(typed, kind)
                except ValueFault:
                    continue
                return way
    return None


def _own_kind(
    section: Section, row: dict[str, Any], mechanism: str | None, linear: bool | None
) -> str | None:
    if section.name == "load":
        return "direct rotary" if mechanism == "direct" and not linear else mechanism
    return _kind(section, row)[0]


def _table(
    table: Table, section: Section, kind: str | None, linear: bool | None, faults: FaultList
) -> Stated:
    later = _LATER.get(section.name)
    if later is not None and _kind(section, table.data)[1]:
        key = next(k for k in table.data if find(section, k, None) is not None
                   and getattr(find(section, k, None), "name", "") == section.selector)  # fmt: skip
        word = entries.shown(table.data[key])
        read = f"{word} is not computed by this version."
        where = f"{table.path}.{section.selector}"
        faults.add((*table.keys, key), where, read, f"This version computes {', '.join(later[1])}.")
        return Stated(section, table.path, table.keys, None, linear, {}, {}, {},
                      frozenset({section.selector}))  # fmt: skip
    stated = read_table(table, section, kind, linear, faults)
    check_needs(stated, faults)
    return stated


def _check_sections(tables: dict[str, tuple[Stated, ...]], faults: FaultList) -> None:
    for name, remedy in _REQUIRED.items():
        if name not in tables:
            brackets = f"[[{name}]]" if SECTIONS[name].many else f"[{name}]"
            faults.add((), name, f"there is no {brackets}.", remedy)
        elif SECTIONS[name].many and not tables[name]:
            faults.add((name,), name, f"there is no [[{name}]].", remedy)
