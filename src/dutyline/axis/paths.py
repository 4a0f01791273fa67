"""Paths such as ``load.mass`` and ``phase.up.time``: what they mean in plain data by section."""

from __future__ import annotations

from typing import Any

from dutyline.axis.fields import SECTIONS, find, names_of, nearest, plain
from dutyline.axis.forms import Section
from dutyline.core.errors import DutylineError
from dutyline.core.toml_lines import Path as KeyPath

REMEDY = "Paths look like load.mass, phase.up.time or stage.2.ratio."


class PathError(DutylineError):
    """A path that leads nowhere."""

    def __init__(self, read: str, remedy: str = REMEDY) -> None:
        self.read, self.remedy = read, remedy
        super().__init__(f"{read} {remedy}")


def set_path(stated: dict[str, list[dict[str, Any]]], path: str, item: Any) -> KeyPath:
    """Set one field of plain data by section, in place; None takes it out.

    Parameters
    ----------
    stated : dict
        Tables by section, as :attr:`dutyline.axis.model.Axis.stated`.
    path : str
        ``load.mass``, ``phase.up.time``, ``stage.2.ratio``, ``load.payloads.carton.mass``.
    item : object
        What would stand in the file.

    Returns
    -------
    tuple
        Address of what was set.

    Raises
    ------
    PathError
        There is no such section, table or field.
    """
    name, _, rest = path.partition(".")
    section = SECTIONS.get(plain(name))
    if section is None:
        near = nearest(name, tuple(SECTIONS))
        raise PathError(
            "there is no such section.", f'The nearest is "{near}".' if near else REMEDY
        )
    if not rest:
        raise PathError("a field is missing behind the section.")
    tables = stated.get(section.name) or ([] if section.many else [{}])
    table, rest, base = _table(section, tables, rest)
    key, _, inner = rest.partition(".")
    field = find(section, key, None)
    if field is None:
        near = nearest(key, names_of(section, None))
        remedy = f'The nearest is "{near}".' if near else REMEDY
        raise PathError(f"there is no such field in {section.name}.", remedy)
    keys: KeyPath = (*base, field.name)
    holder, last = (table, field.name) if not inner else _inside(table.get(field.name), inner)
    stated[section.name] = tables
    if item is None:
        holder.pop(last, None)
    else:
        holder[last] = item
    return (*keys, *(int(k) - 1 if k.isdecimal() else k for k in inner.split(".") if k))


def _table(
    section: Section, tables: list[dict[str, Any]], rest: str
) -> tuple[dict[str, Any], str, KeyPath]:
    """The table that a path means, the rest of the path and the address of the table."""
    if not section.many:
        return tables[0], rest, (section.name,)
    parts = rest.split(".")
    for size in range(len(parts) - 1, 0, -1):
        number = _number(tables, ".".join(parts[:size]))
        if number is not None:
            return tables[number], ".".join(parts[size:]), (section.name, number)
    own = [str(table.get("name") or n) for n, table in enumerate(tables, 1)]
    near = nearest(parts[0], tuple(own))
    listed = f"There are {', '.join(own[:20])}." if own else f"There is no [[{section.name}]]."
    remedy = f'The nearest is "{near}".' if near else listed
    raise PathError(f'there is no {section.name} "{parts[0]}".', remedy)


def _number(tables: list[dict[str, Any]], own: str) -> int | None:
    """Place of a table of a list by its name, else by its number from 1."""
    for number, table in enumerate(tables):
        if table.get("name") == own:
            return number
    number = int(own) if own.isdecimal() and len(own) < 9 else 0
    return number - 1 if 1 <= number <= len(tables) else None


def _inside(table: Any, inner: str) -> tuple[dict[str, Any], str]:
    """The innermost table and key of ``carton.mass`` or ``2.diameter``."""
    key, _, rest = inner.partition(".")
    if isinstance(table, list) and key.isdecimal() and rest and 1 <= int(key) <= len(table):
        return _inside(table[int(key) - 1], rest)
    if not isinstance(table, dict):
        raise PathError(f'there is no "{inner}" in it.')
    if not rest:
        return table, key
    if isinstance(table.get(key), dict) and "value" not in table[key]:
        return _inside(table[key], rest)
    if rest == "mass":
        return table, key
    raise PathError(f'there is no "{inner}" in it.')
