"""From a table of the file to a record of parameters: SI numbers under the names of the file."""

from __future__ import annotations

from dataclasses import fields
from functools import cache, lru_cache
from typing import Any, TypeVar

from dutyline.axis.forms import Field, Section
from dutyline.axis.stated import Stated
from dutyline.train.bent_parameters import CamSectionParams
from dutyline.train.parameters import (
    BodyParams,
    PayloadParams,
    RollerParams,
    TractionParams,
)

Record = TypeVar("Record")

_NESTED: dict[str, type[Any]] = {
    "body": BodyParams,
    "roller": RollerParams,
    "payload": PayloadParams,
    "traction": TractionParams,
    "section": CamSectionParams,
}


def record_of(kind: type[Record], stated: Stated, **more: Any) -> Record:
    """A record with every field that the table states or has a default for.

    Parameters
    ----------
    kind : type
        A dataclass whose fields have the names of the file.
    stated : Stated
        The table.
    **more
        Further fields of the record, as they are.
    """
    kept = stated.kept and not any(isinstance(item, tuple) for item in more.values())
    record: Record = (_known if kept else _made)(kind, stated, **more)  # type: ignore[arg-type]
    return record


def _made(kind: type[Any], stated: Stated, **more: Any) -> Any:
    found: dict[str, Any] = {}
    for definition in _defined(kind, stated.section, stated.kind):  # type: ignore[arg-type]
        if not definition.default and definition.name not in stated.entries:
            continue
        value = _value(definition, stated)
        if value is not None:
            found[definition.name] = value
    return kind(**{**found, **more})


_known = lru_cache(maxsize=256, typed=True)(_made)
"""Records of tables that are kept."""


@cache
def _defined(record: type[Any], section: Section, kind: str | None) -> tuple[Field, ...]:
    """Fields of a kind of table that the record has too, in its order."""
    named = (section.field(field.name, kind) for field in fields(record))
    return tuple(field for field in named if field is not None)


def _value(definition: Field, stated: Stated) -> Any:
    name = definition.name
    if definition.takes in ("text", "name"):
        return stated.word(name)
    if definition.takes == "flag":
        return stated.flag(name)
    if definition.takes == "names":
        return stated.names(name) or None
    if definition.takes == "table":
        found = stated.entries.get(name)
        return record_of(_NESTED[definition.of], found) if isinstance(found, Stated) else None
    if definition.takes == "tables":
        inner = _NESTED[definition.of]
        return tuple(record_of(inner, one) for one in stated.tables(name)) or None
    if definition.takes == "named":
        inner = _NESTED[definition.of]
        return {key: record_of(inner, one) for key, one in stated.named(name).items()} or None
    if definition.takes == "pairs":
        found = stated.entries.get(name)
        return _bare(found) if isinstance(found, tuple) else None
    if definition.count is not None:
        return stated.numbers(name)
    number = stated.number(name)
    return int(number) if definition.takes == "whole" and number is not None else number


def _bare(pairs: tuple[Any, ...]) -> tuple[tuple[float, float], ...]:
    """Pairs of values as pairs of SI numbers."""
    return tuple((first.si, second.si) for first, second in pairs)
