"""Changes in the text of an axis file that leave comments, order and spelling of the rest alone."""

from __future__ import annotations

import re
from collections.abc import Callable, MutableMapping
from typing import TYPE_CHECKING, Any

from dutyline.axis.fields import SECTIONS, find, nearest, plain
from dutyline.axis.forms import Field, Section
from dutyline.core.errors import Fault, InputError
from dutyline.core.recent import Recent

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

_BARE = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_FLAGS = {"yes": True, "no": False, "true": True, "false": False}
_LISTED = ("names", "carry")
MOST_TABLES = 500
"""Tables of one section that the page may make."""

Table = MutableMapping[str, Any]

MOST_KEPT = 16
"""Documents that wait for the next change of their text."""
LONGEST_KEPT = 50_000
"""Letters of a text whose document waits; as a document a text takes sixty times the room."""

_WRITTEN: Recent[TOMLDocument] = Recent(MOST_KEPT)
"""Documents in which a value took the place of another, by their text, for its next change."""


def set_value(text: str, path: str, typed: str) -> str:
    """The text with one field set to what was typed; an empty text takes the field out.

    Parameters
    ----------
    text : str
        An axis file that is TOML.
    path : str
        ``load.mass``, ``phase.up.time``, ``stage.2.ratio``, ``load.payloads.carton``.
    typed : str
        As it was typed: ``12 kg``, ``0.02``, ``yes``.

    Raises
    ------
    InputError
        The text is no TOML, or there is no such field.
    """
    document = parsed(text)
    holder, key, field = place(document, path, make=bool(typed.strip()))
    replaced = bool(typed.strip()) and key in holder
    put(holder, key, field, typed.strip())
    text = document.as_string()
    if replaced and len(text) <= LONGEST_KEPT:
        _WRITTEN.put(text, document)
    return text


def put(holder: Table, key: str, field: Field, typed: str, like: Any = None) -> None:
    """Set what stands at a key to what was typed; an empty text takes it out.

    ``like`` is a value after whose form the new one is written where nothing stands there.
    """
    if not typed:
        holder.pop(key, None)
        return
    held = holder.get(key)
    if isinstance(held, MutableMapping) and "value" in held:
        held["value"] = _item(field, typed, held["value"])
    else:
        like = like.get("value") if isinstance(like, MutableMapping) else like
        holder[key] = _item(field, typed, like if held is None else held)


def typed_at(text: str, path: str) -> str:
    """What stands at a field, as it was typed; empty where nothing can be read there."""
    try:
        holder, key, _ = place(parsed(text), path)
    except InputError:
        return ""
    return shown(holder.get(key))


def shown(held: Any) -> str:
    """A value of the text as it was typed; empty where there is none."""
    if isinstance(held, MutableMapping):
        held = held.get("value")
    if held is None or isinstance(held, MutableMapping):
        return ""
    if isinstance(held, bool):
        return "yes" if held else "no"
    return ", ".join(map(str, held)) if isinstance(held, list) else str(held)


def set_status(text: str, path: str, status: str, note: str | None = None) -> str:
    """The text with the status of a stated value, and its note, set.

    Raises
    ------
    InputError
        The text is no TOML, or no value stands there.
    """
    document = parsed(text)
    holder, key, _ = place(document, path)
    mark(holder, key, path, status, note)
    return document.as_string()


def mark(holder: Table, key: str, path: str, status: str, note: str | None) -> None:
    """Set status and note of the value at a key; ``path`` is its name in faults.

    Raises
    ------
    InputError
        No value stands there.
    """
    import tomlkit

    held = holder.get(key)
    if held is None:
        read = "nothing is stated there whose status could be set."
        raise InputError("the change", [Fault("", path, read, "State a value first.")])
    if not isinstance(held, MutableMapping):
        table = tomlkit.inline_table()
        table["value"] = held
        holder[key] = held = table
    if status == "given":
        held.pop("status", None)
    else:
        held["status"] = status
    if note is not None and note.strip():
        held["note"] = note.strip()
    elif note is not None:
        held.pop("note", None)
    if list(held) == ["value"]:
        holder[key] = held["value"]


def parsed(text: str) -> TOMLDocument:
    """The text as a document that can be changed.

    Raises
    ------
    InputError
        The text is no TOML.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    if (waiting := _WRITTEN.take(text)) is not None:
        return waiting
    try:
        return tomlkit.parse(text)
    except (TOMLKitError, ValueError, RecursionError):
        read = "the file is not TOML as it stands, so no single field can be set."
        fault = Fault("", "", read, "Mend the text of the file first.")
        raise InputError("the change", [fault]) from None


def place(document: Table, path: str, make: bool = False) -> tuple[Table, str, Field]:
    """Table, key as spelled there, and field of a path; with ``make`` a section is made for it.

    Raises
    ------
    InputError
        There is no such field.
    """
    name, _, rest = path.partition(".")
    section = SECTIONS.get(plain(name))
    if section is None or not rest:
        raise _no_field(path, nearest(name, tuple(SECTIONS)))
    table, rest = _table(document, section, rest, path, make)
    key, _, inner = rest.partition(".")
    field = find(section, key, None)
    if field is None:
        raise _no_field(path)
    spelled = _spelled(table, lambda own: find(section, own, None) is field, field.name)
    if not inner:
        return table, spelled, field
    held = table.get(spelled)
    for step in inner.split(".")[:-1]:
        held = _step(held, step, path)
    last = inner.rsplit(".", 1)[-1]
    if isinstance(held, list) and last.isdecimal():
        raise _no_field(path)
    if not isinstance(held, MutableMapping):
        raise _no_field(path)
    if last == "mass" and last not in held and len(inner.split(".")) == 2:
        return table[spelled], inner.split(".")[0], field
    return held, last, field


def _step(held: Any, step: str, path: str) -> Any:
    if isinstance(held, MutableMapping) and step in held:
        inner = held[step]
        return inner if isinstance(inner, MutableMapping) else held
    if isinstance(held, list) and step.isdecimal() and 1 <= int(step) <= len(held):
        return held[int(step) - 1]
    raise _no_field(path)


def _table(
    document: Table, section: Section, rest: str, path: str, make: bool
) -> tuple[Table, str]:
    import tomlkit

    if not section.many:
        if section.name not in document:
            if not make:
                return tomlkit.table(), rest
            document[section.name] = tomlkit.table()
        return document[section.name], rest
    tables = list(document.get(section.name) or [])
    parts = rest.split(".")
    for size in range(len(parts) - 1, 0, -1):
        own = ".".join(parts[:size])
        for table in tables:
            if table.get("name") == own:
                return table, ".".join(parts[size:])
        if own.isdecimal() and len(own) < 9 and 1 <= int(own) <= len(tables):
            return tables[int(own) - 1], ".".join(parts[size:])
    raise _no_field(path)


def _spelled(table: Table, same: Callable[[str], bool], name: str) -> str:
    return next((own for own in table if same(own)), name)


def _no_field(path: str, near: str | None = None) -> InputError:
    remedy = f'The nearest is "{near}".' if near else ""
    return InputError("the change", [Fault("", path, "there is no such field.", remedy)])


def _item(field: Field, typed: str, held: Any) -> Any:
    """What was typed as it would be written by hand, and as what stood there was written."""
    if field.takes == "flag" and typed.lower() in _FLAGS:
        return _FLAGS[typed.lower()]
    if field.takes in _LISTED:
        return [part.strip() for part in typed.split(",") if part.strip()]
    bare = field.takes in ("whole", "phases", "fraction", "efficiency") or field.takes == "1"
    was = isinstance(held, int | float) and not isinstance(held, bool)
    if (bare or was) and _BARE.fullmatch(typed):
        number = float(typed)
        return int(number) if number.is_integer() and "." not in typed else number
    return typed
