"""Changes of the phases in the text of an axis file: order, kind and name, comments kept.

A phase is moved, copied and taken out as the lines it stands on, with the comment directly above
it. In a variant the phases become its own first; those of the file stay.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, MutableMapping
from typing import Any

from dutyline.axis import edit
from dutyline.axis.edit_variants import find_variant, list_of, names, plain_of, with_own_phases
from dutyline.axis.fields import SECTIONS, find, plain
from dutyline.core.errors import Fault, InputError
from dutyline.core.toml_lines import line_index

KINDS = ("move", "dwell", "run")
"""Kinds of phase that a page makes; others are written in the file."""
LONGEST_NAME = 60
_SECTION = SECTIONS["phase"]
_WAYS = ("by", "to", "turns")
_UNIT = re.compile(r"(?!x ?[0-9(])[A-Za-z°'\"][^\s)]*")
"""The first unit of an entry, arithmetic or not."""

Row = dict[str, Any]


def stated(text: str, variant: str) -> list[Row]:
    """The phases as the file or a variant states them, in canonical words; none without TOML."""
    try:
        document = edit.parsed(text)
        held: Any = with_own_phases(document, variant) if variant else document
    except InputError:
        return []
    tables = held.get("phase")
    tables = tables if isinstance(tables, list) else []
    rows = [plain_of(table) for table in tables if isinstance(table, Mapping)]
    return [{_canonical(key): item for key, item in row.items()} for row in rows]


def add_phase(text: str, variant: str, after: int, kind: str) -> str:
    """The text with one more phase behind the one at a place from 1; 0: before the first.

    A new move has no distance yet, so that what was computed stays as it was but for its time.

    Raises
    ------
    InputError
        No such kind, variant or place, or there are too many phases.
    """
    if kind not in KINDS:
        raise _refused("kind", f'read "{kind}"; one of {", ".join(KINDS)} is needed.')
    fields = {"do": kind, **_needed(stated(text, variant), kind)}
    text = _listed(text, variant)
    count = len(_blocks(text, _keys(text, variant)))
    if not 0 <= after <= count:
        raise _refused("after", f"there is no phase {after}.")
    if count >= edit.MOST_TABLES:
        raise _refused("phase", f"there are {count} phases already.", "Use a table of samples.")
    head = "[[variant.phase]]" if variant else "[[phase]]"
    lines = [head, *(f"{key} = {_written(item)}" for key, item in fields.items())]
    return _inserted(text, _keys(text, variant), after, "\n".join(lines))


def remove_phase(text: str, variant: str, number: int) -> str:
    """The text without the phase at a place from 1.

    Raises
    ------
    InputError
        There is no such phase or variant.
    """
    text, start, end, _ = _found(text, variant, number)
    rows = _rows(text)
    return "".join([*rows[:start], *rows[end:]])


def move_phase(text: str, variant: str, number: int, to: int) -> str:
    """The text with the phase at a place from 1 taken to another place.

    Raises
    ------
    InputError
        There is no such phase, place or variant.
    """
    text, start, end, blocks = _found(text, variant, number)
    if not 1 <= to <= len(blocks):
        raise _refused("to", f"there is no place {to}.")
    if to == number:
        return text
    rows = _rows(text)
    taken, rest = "".join(rows[start:end]), "".join([*rows[:start], *rows[end:]])
    return _inserted(rest, _keys(rest, variant), to - 1, taken)


def copy_phase(text: str, variant: str, number: int) -> str:
    """The text with the phase at a place from 1 standing twice, the second under a name of its own.

    Raises
    ------
    InputError
        There is no such phase or variant.
    """
    text, start, end, blocks = _found(text, variant, number)
    if len(blocks) >= edit.MOST_TABLES:
        raise _refused("phase", f"there are {len(blocks)} phases already.")
    taken = "".join(_rows(text)[start:end])
    text = _inserted(text, _keys(text, variant), number, taken)
    document = edit.parsed(text)
    tables = _tables(document, variant)
    name = tables[number].get("name")
    if isinstance(name, str):
        used = {table.get("name") for table in tables}
        tables[number]["name"] = next(n for k in range(2, 999) if (n := f"{name} {k}") not in used)
    return document.as_string()


def rename_phase(text: str, variant: str, number: int, name: str) -> str:
    """The text with a phase under another name, and what speaks of it under the old one.

    Raises
    ------
    InputError
        There is no such phase or variant, or the name cannot be used.
    """
    name = " ".join(name.split())
    document = edit.parsed(text)
    if variant:
        with_own_phases(document, variant)
    tables = _tables(document, variant)
    if not 1 <= number <= len(tables):
        raise _refused("phase", f"there is no phase {number}.")
    if len(name) > LONGEST_NAME or not name.isprintable() or "," in name:
        read = f"a name of at most {LONGEST_NAME} characters without a comma is needed."
        raise _refused("name", read)
    if name and any(t.get("name") == name for k, t in enumerate(tables, 1) if k != number):
        raise _refused("name", f'"{name}" is the name of another phase.')
    old = tables[number - 1].get("name")
    if name:
        tables[number - 1]["name"] = name
    else:
        tables[number - 1].pop("name", None)
    if isinstance(old, str) and not variant:
        _follow(document, old, name or str(number))
    return document.as_string()


def change_kind(text: str, variant: str, number: int, kind: str) -> str:
    """The text with a phase of another kind; what that kind does not have is taken out.

    Raises
    ------
    InputError
        There is no such phase, kind or variant.
    """
    if kind not in KINDS:
        raise _refused("kind", f'read "{kind}"; one of {", ".join(KINDS)} is needed.')
    needed = _needed(stated(text, variant), kind)
    document = edit.parsed(text)
    if variant:
        with_own_phases(document, variant)
    tables = _tables(document, variant)
    if not 1 <= number <= len(tables):
        raise _refused("phase", f"there is no phase {number}.")
    table = tables[number - 1]
    allowed = {field.name for field in _SECTION.fields_of(kind)}
    for key in list(table):
        if _canonical(key) not in allowed:
            table.pop(key)
    spelled = next((key for key in table if _canonical(key) == "do"), "do")
    table[spelled] = kind
    have = {_canonical(key) for key in table}
    for key, item in needed.items():
        if key not in have and not (key == "by" and have & set(_WAYS)):
            table[key] = item
    return document.as_string()


def _needed(rows: list[Row], kind: str) -> dict[str, str]:
    """Fields with which a new phase can be computed."""
    fields = {"time": "0.5 s"}
    if kind == "move":
        typed = next(
            (edit.shown(row[way]) for row in rows for way in ("by", "to") if way in row), ""
        )
        unit = _UNIT.search(typed)
        fields = {"by": f"0 {unit[0]}" if unit else "0 mm", **fields}
    elif kind == "run":
        typed = next((edit.shown(row["speed"]) for row in rows if "speed" in row), "")
        fields = {"speed": typed or "0 mm/s", **fields}
    return fields


def _follow(document: Any, old: str, new: str) -> None:
    """Where the file speaks of a phase by its name, the new one."""
    for force in document.get("force") or []:
        held = force.get("phases")
        if isinstance(held, list):
            for k, name in enumerate(held):
                if name == old:
                    held[k] = new
    for row in document.get("phase") or []:
        if row.get("from") == old:
            row["from"] = new
    for kind in ("case", "variant"):
        for table in document.get(kind) or []:
            own = table.get("set")
            if not isinstance(own, MutableMapping):
                continue
            for path in [p for p in own if p.startswith(f"phase.{old}.")]:
                own[f"phase.{new}.{path[len(old) + 7 :]}"] = own.pop(path)


def _tables(document: Any, variant: str) -> Any:
    held = find_variant(document, variant) if variant else document
    tables = held.get("phase")
    return tables if isinstance(tables, list) else []


def _canonical(key: str) -> str:
    field = find(_SECTION, key, None)
    return plain(key) if field is None else field.name


def _keys(text: str, variant: str) -> tuple[str | int, ...]:
    """Address of the list of phases."""
    return ("variant", names(text).index(variant), "phase") if variant else ("phase",)


def _listed(text: str, variant: str) -> str:
    """The text with phases that stand one by one, of the variant's own where there is one."""
    document = edit.parsed(text)
    if variant and "phase" not in find_variant(document, variant):
        with_own_phases(document, variant)
        text = document.as_string()
    rows = _rows(text)
    lines = line_index(text).lines
    first = lines.get((*_keys(text, variant), 0))
    if first is not None and not rows[first - 1].lstrip().startswith("[["):
        document = edit.parsed(text)
        held = find_variant(document, variant) if variant else document
        stood = [row.unwrap() for row in held["phase"]]
        held.pop("phase")
        held["phase"] = list_of(stood)
        text = document.as_string()
    return text


def _found(text: str, variant: str, number: int) -> tuple[str, int, int, list[tuple[int, int]]]:
    text = _listed(text, variant)
    blocks = _blocks(text, _keys(text, variant))
    if not 1 <= number <= len(blocks):
        raise _refused("phase", f"there is no phase {number}.")
    return (text, *blocks[number - 1], blocks)


def _blocks(text: str, keys: tuple[str | int, ...]) -> list[tuple[int, int]]:
    """First line and line behind each phase, from 0, comments directly above included."""
    rows = _rows(text)
    lines = line_index(text).lines
    found = []
    number = 0
    while (*keys, number) in lines:
        own = (*keys, number)
        head = lines[own] - 1
        behind = [n - 1 for p, n in lines.items() if n - 1 > head and p[: len(own)] != own]
        end = min(behind, default=len(rows))
        found.append((_above(rows, head), _above(rows, end) if behind else end))
        number += 1
    return found


def _rows(text: str) -> list[str]:
    """The lines of a text with their ends; nothing but a line feed ends one."""
    *rows, last = text.split("\n")
    return [f"{row}\n" for row in rows] + ([last] if last else [])


def _above(rows: list[str], head: int) -> int:
    """The first line of the comment directly above a line."""
    while head > 0 and rows[head - 1].lstrip().startswith("#"):
        head -= 1
    return head


def _inserted(text: str, keys: tuple[str | int, ...], after: int, lines: str) -> str:
    """The text with lines behind a phase, set off by empty lines."""
    rows = _rows(text)
    blocks = _blocks(text, keys)
    if not blocks:
        at = len(rows)
    else:
        at = blocks[after - 1][1] if after else blocks[0][0]
    before, behind = "".join(rows[:at]).rstrip("\n"), "".join(rows[at:])
    return f"{before}\n\n{lines.strip(chr(10))}\n" + (f"\n{behind}" if behind else "")


def _written(item: str) -> str:
    import tomlkit

    return str(tomlkit.item(item).as_string())


def _refused(field: str, read: str, remedy: str = "") -> InputError:
    return InputError("the change", [Fault("", field, read, remedy)])
