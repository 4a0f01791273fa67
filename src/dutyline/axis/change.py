"""The same axis with some fields changed: for remedies, studies and comparisons."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from dutyline.axis.fields import SECTIONS, find, plain
from dutyline.axis.model import Axis
from dutyline.axis.read import read_axis
from dutyline.axis.write import text_of
from dutyline.core.errors import Fault, InputError


def changed(axis: Axis, changes: Mapping[str, Any]) -> Axis:
    """An axis with the fields at some paths set anew, checked like a file.

    Parameters
    ----------
    axis : Axis
        As read.
    changes : mapping of str to object
        Path (``load.mass``, ``phase.up.time``, ``stage.2.ratio``) to what would stand in the file
        (``"28 kg"``, ``0.92``, ``["carton"]``); None leaves the field out.

    Returns
    -------
    Axis

    Raises
    ------
    InputError
        There is no such path, or the axis cannot be used any more.

    Notes
    -----
    A stated number in SI is written as ``f"{si!r} {unit}"`` with the unit of
    :class:`dutyline.core.values.Value`.
    """
    stated = {name: copy.deepcopy(list(tables)) for name, tables in axis.stated.items()}
    for path, item in changes.items():
        _set(stated, path, item)
    return read_axis(axis.file or "axis", text=text_of(stated))


def _set(stated: dict[str, list[dict[str, Any]]], path: str, item: Any) -> None:
    name, _, rest = path.partition(".")
    section = SECTIONS.get(plain(name))
    if section is None or not rest:
        raise _fault(path)
    tables = stated.setdefault(section.name, [] if section.many else [{}])
    if section.many:
        own, _, rest = rest.rpartition(".")
        table = _one_of(tables, own)
    else:
        table = tables[0]
    key, _, inner = rest.partition(".")
    field = find(section, key, None)
    if table is None or field is None:
        raise _fault(path)
    if inner:
        table, key = _inside(table.get(field.name), inner, path)
    else:
        key = field.name
    if item is None:
        table.pop(key, None)
    else:
        table[key] = item


def _one_of(tables: list[dict[str, Any]], own: str) -> dict[str, Any] | None:
    """A table of a list by its name, else by its number from 1."""
    for table in tables:
        if table.get("name") == own:
            return table
    number = int(own) if own.isdecimal() else 0
    return tables[number - 1] if 1 <= number <= len(tables) else None


def _inside(table: Any, inner: str, path: str) -> tuple[dict[str, Any], str]:
    """The innermost table and key of ``carton.mass`` or ``2.diameter``."""
    key, _, rest = inner.partition(".")
    if isinstance(table, list) and key.isdecimal() and rest and 1 <= int(key) <= len(table):
        return _inside(table[int(key) - 1], rest, path)
    if not isinstance(table, dict):
        raise _fault(path)
    if not rest:
        return table, key
    if isinstance(table.get(key), dict) and "value" not in table[key]:
        return _inside(table[key], rest, path)
    if rest == "mass":
        return table, key
    raise _fault(path)


def _fault(path: str) -> InputError:
    remedy = "Paths look like load.mass, phase.up.time or stage.2.ratio."
    return InputError("the change", [Fault("", path, "there is no such field to set.", remedy)])
