"""The whole document against the definition: which sections stand in it, and of which kind."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from dutyline.axis import entries
from dutyline.axis.fields import SECTIONS, find, nearest, plain
from dutyline.axis.fields_motion import phase_section
from dutyline.axis.forms import (
    BARE_KINDS,
    CRANK_KINDS,
    INPUT_KINDS,
    KINDS,
    LINEAR_KINDS,
    OF_THE_LOAD,
    ROTARY_KINDS,
    TRAVEL_FORMS,
    Section,
)
from dutyline.axis.needs import check_needs
from dutyline.axis.ratio_file import Pairs, points_of_file, with_points
from dutyline.axis.stated import Stated, Tree
from dutyline.axis.tables import FaultList, Table, read_table
from dutyline.core.faults import ValueFault
from dutyline.core.reading import read_value
from dutyline.core.recent import Recent

SCHEMA = 1
"""Form of the axis file that this version reads."""
MOST: dict[str, int] = {
    "branch": 10,
    "phase": 500,
    "stage": 30,
    "force": 100,
    "balance": 20,
    "case": 20,
    "variant": 20,
}
"""Tables of a list; more are none of a machine."""
MOST_OTHERS = 20
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


MOST_KEPT = 256
"""Tables without a fault that are remembered."""
LONGEST_KEPT = 4_000
"""Letters of a table that is remembered."""
_READ: Recent[Stated] = Recent(MOST_KEPT)
"""Tables by all that they are read from: the next text differs in one or two of them."""


def read_sections(faults: FaultList) -> Tree:
    """Every section of the document; what is wrong goes to the list of faults."""
    data = faults.document.data
    raw = sorted_out(data, faults)
    mechanism = raw.get("mechanism", [({}, ())])[0][0]
    kind = _kind(SECTIONS["mechanism"], mechanism)
    load = raw.get("load", [({}, ())])[0][0]
    linear = _linear(kind, load, [row for row, _ in raw.get("phase", [])])
    load_linear = linear
    points = points_of_file(mechanism, faults) if kind == "ratio-table" else None
    if kind in INPUT_KINDS:
        linear, load_linear = _input_and_load(kind, mechanism, points)
    tables: dict[str, tuple[Stated, ...]] = {}
    for name, rows in raw.items():
        section = SECTIONS[name]
        if name == "branch":
            tables[name] = tuple(_branch(row, keys, n, faults) for n, (row, keys) in
                                 enumerate(rows, 1))  # fmt: skip
            continue
        found = []
        for number, (row, keys) in enumerate(rows, 1):
            table = Table(row, keys, _path(section, row, number))
            own = _own_kind(section, row, kind, load_linear)
            if name == "phase":
                section = phase_section(linear, load_linear)
            travel = load_linear if name in OF_THE_LOAD else linear
            found.append(_table(table, section, own, travel, faults))
        tables[name] = tuple(found)
    if points is not None:
        tables["mechanism"] = (with_points(tables["mechanism"][0], points),)
    if kind in BARE_KINDS and "load" not in tables:
        tables["load"] = (Stated(SECTIONS["load"], "load", (), kind, load_linear, {}, {}, {}),)
    _check_sections(tables, faults)
    return Tree(tables, linear, load_linear)


def _branch(
    row: Mapping[str, Any], keys: tuple[str | int, ...], number: int, faults: FaultList
) -> Stated:
    """One branch with the tables of its load, mechanism, stages and balances."""
    section = SECTIONS["branch"]
    path = _path(section, dict(row), number)
    inner = {key: find(section, key, None) for key in row}
    own = {key: item for key, item in row.items()
           if (field := inner[key]) is None or field.name == "name"}  # fmt: skip
    stated = read_table(Table(own, keys, path), section, None, None, faults)
    rows = {field.name: (key, row[key]) for key, field in inner.items() if field is not None}
    mechanism = rows.get("mechanism", ("mechanism", {}))[1]
    kind = _kind(SECTIONS["mechanism"], mechanism) if isinstance(mechanism, Mapping) else None
    load = rows.get("load", ("load", {}))[1]
    linear = _linear(kind, load if isinstance(load, dict) else {}, ())
    if kind in INPUT_KINDS:
        linear = _input_and_load(kind, mechanism)[1]
    found: dict[str, Any] = dict(stated.entries)
    raw, spelled = dict(stated.raw), dict(stated.spelled)
    for name in ("load", "mechanism", "stage", "balance"):
        key, item = rows.get(name, (name, None))
        if item is None:
            if name in ("load", "mechanism"):
                remedy = f"Add [branch.{name}] below the branch."
                faults.add(keys, f"{path}.{name}", "this is missing.", remedy)
            continue
        several = item if isinstance(item, list) else [item]
        if (name in ("load", "mechanism")) == isinstance(item, list) or not all(
            isinstance(one, dict) for one in several
        ):
            wanted = "[branch.{0}]" if name in ("load", "mechanism") else "[[branch.{0}]]"
            read = f"read {entries.shown(item)}; {wanted.format(name)} is needed."
            faults.add((*keys, key), f"{path}.{name}", read, f"Write {wanted.format(name)}.")
            continue
        tables = []
        for count, one in enumerate(several):
            place = (*keys, key, count) if isinstance(item, list) else (*keys, key)
            address = f"{path}.{name}" + (f".{count + 1}" if isinstance(item, list) else "")
            own_kind = _own_kind(SECTIONS[name], one, kind, linear)
            tables.append(
                _table(Table(one, place, address), SECTIONS[name], own_kind, linear, faults)
            )
        spelled[name] = key
        found[name] = tuple(tables) if isinstance(item, list) else tables[0]
        plain_form = [dict(table.raw) for table in tables]
        raw[name] = plain_form if isinstance(item, list) else plain_form[0]
    return Stated(section, path, keys, None, linear, found, raw, spelled, stated.spoilt)


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


def sorted_out(
    data: Any, faults: FaultList, home: Mapping[str, Section] = SECTIONS
) -> dict[str, list[tuple[dict[str, Any], tuple[str | int, ...]]]]:
    """Raw tables by section, each with its keys in the file; ``home`` are the sections known."""
    found: dict[str, list[tuple[dict[str, Any], tuple[str | int, ...]]]] = {}
    for key, item in data.items():
        word = plain(key)
        if word == "schema" or key.startswith("doubled "):
            continue
        section = home.get(word)
        if section is None:
            faults.add((key,), key[:60], *_no_section(word, item, home))
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
    most = MOST.get(section.name, MOST_OTHERS)
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


def _no_section(word: str, item: Any, home: Mapping[str, Section]) -> tuple[str, str]:
    near = nearest(word, tuple(home))
    remedy = f'The nearest is "{near}".' if near else f"There are {', '.join(home)}."
    if not isinstance(item, dict | list):
        holders = [s.name for s in home.values() if find(s, word, None)]
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


def _kind(section: Section, row: Mapping[str, Any]) -> str | None:
    """Kind that a table states; None where it states none that there is."""
    selector = next((f for f in section.fields if f.name == section.selector), None)
    if selector is None:
        return None
    for key, item in row.items():
        if find(section, key, None) is selector:
            try:
                return entries.word(selector, item)
            except ValueFault:
                return None
    return None


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


def _input_and_load(
    kind: str, row: Mapping[str, Any], points: Pairs | None = None
) -> tuple[bool, bool]:
    """Whether the stated travel and the load are linear, for kinds with an input of their own."""
    stated = {plain(key): item for key, item in row.items()}
    load = kind in CRANK_KINDS or kind == "toggle"
    own = kind == "toggle"
    if kind == "ratio-table":
        first = stated.get("points")
        pair = first[0] if isinstance(first, list) and first else None
        units = pair if isinstance(pair, list) and len(pair) == 2 else ["0 deg", "0 mm"]
        if points:
            units = [f"0 {value.unit}" for value in points[0]]
        own, load = (_along(stated.get(word), typed, default) for word, typed, default in (
            ("input_travel", units[0], False), ("load_travel", units[1], True)))  # fmt: skip
    of_load = plain(str(stated.get("motion", "input"))) == "load"
    return (load if of_load else own), load


def _along(word: Any, typed: Any, default: bool) -> bool:
    """Whether a travel is linear: as stated, else by the unit of its first place."""
    if isinstance(word, str) and plain(word) in ("linear", "rotary"):
        return plain(word) == "linear"
    for kind, way in (("length", True), ("angle", False)):
        try:
            read_value(typed, kind)
        except (ValueFault, TypeError):
            continue
        return way
    return default


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
        turns = mechanism in ("direct", "ratio-table") and not linear
        return f"{mechanism} rotary" if turns else mechanism
    return _kind(section, row)


def _table(
    table: Table, section: Section, kind: str | None, linear: bool | None, faults: FaultList
) -> Stated:
    """One table read and checked; what was told of one like it without a fault still holds."""
    asked = _asked(table, section, kind, linear)
    if asked is not None and (known := _READ.get(asked)) is not None:
        return known
    stated = read_table(table, section, kind, linear, faults)
    check_needs(stated, faults)
    if asked is not None and not faults.faults:
        stated = replace(stated, kept=True)
        _READ.put(asked, stated)
    return stated


def _asked(
    table: Table, section: Section, kind: str | None, linear: bool | None
) -> tuple[Hashable, ...] | None:
    """All that a table is read from; None where it is too long to be kept."""
    try:
        data = repr(table.data)
    except ValueError:  # a whole number of thousands of digits
        return None
    if len(data) > LONGEST_KEPT:
        return None
    return section, kind, linear, table.path, table.keys, data


def _check_sections(tables: dict[str, tuple[Stated, ...]], faults: FaultList) -> None:
    for name, remedy in _REQUIRED.items():
        if name not in tables:
            brackets = f"[[{name}]]" if SECTIONS[name].many else f"[{name}]"
            faults.add((), name, f"there is no {brackets}.", remedy)
        elif SECTIONS[name].many and not tables[name]:
            faults.add((name,), name, f"there is no [[{name}]].", remedy)
