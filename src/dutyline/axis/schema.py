"""The axis file as JSON Schema (draft 2020-12), made from the one definition of its fields."""

from __future__ import annotations

import tomllib
from typing import Any

from dutyline.axis.fields import NESTED, SECTIONS, choice, nearest
from dutyline.axis.fields_motion import phase_section
from dutyline.axis.forms import (
    BARE_KINDS,
    CRANK_KINDS,
    DOES,
    KINDS,
    OF_THE_LOAD,
    ROTARY_KINDS,
    STAGES,
    Field,
    Section,
)
from dutyline.axis.kinds import Kind, kinds
from dutyline.core.dimensions import dimension
from dutyline.core.errors import Fault, InputError
from dutyline.core.values import STATUSES

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_REQUIRED = ("schema", "axis", "load", "mechanism", "phase")
_BY_KIND = ("load", "mechanism", "phase", "balance", "force", "stop", "require", "accuracy")
"""Sections whose fields or units follow the mechanism."""

_KINDS_OF: dict[str, tuple[str, ...]] = {
    "mechanism": KINDS,
    "stage": STAGES,
    "phase": DOES,
    "balance": SECTIONS["balance"].fields[0].choices,
}
"""Kinds by the section whose tables they tell apart."""

Json = dict[str, Any]


def schema(kind: str | None = None) -> Json:
    """Fields that may stand in an axis file, in canonical words.

    Parameters
    ----------
    kind : str, optional
        A mechanism kind: the whole file for it. A kind of a stage, phase or balance, or a
        section: its table alone.

    Returns
    -------
    dict
        A JSON Schema of draft 2020-12 for the data of the TOML file.

    Raises
    ------
    InputError
        There is no such kind or section.
    """
    if kind is None:
        bodies = [_file(each) for each in KINDS]
        return {"$schema": DIALECT, "title": "Axis file", "oneOf": bodies, "$defs": _shared()}
    if (word := choice(kind, KINDS)) is not None:
        return {"$schema": DIALECT, **_file(word), "$defs": _shared()}
    forms = [_own(section, own) for section, own in named(kind)]
    return {"$schema": DIALECT, **(forms[0] if len(forms) == 1 else {"anyOf": forms})}


def _own(section: Section, kind: str | None) -> Json:
    """One section, or the table of one of its kinds."""
    if kind is None and section.name == "mechanism":
        return {"oneOf": [_table(section, each, linear=True) for each in KINDS]}
    if kind is None:
        return _section(section, None, linear=True)
    table = _table(section, kind, linear=section.name != "stage")
    told = kinds().get(kind)
    if told is None:
        return table
    return {**table, "description": told.what, "$comment": _relations(told)}


def _relations(kind: Kind) -> str:
    """The relations of a kind on one line, with what to watch."""
    said = [f"{name}: {formula}." for name, formula in kind.relations]
    return " ".join([*said, f"Source: {kind.source}.", *kind.watch])


def named(word: str) -> list[tuple[Section, str | None]]:
    """Sections that a word means, with the kind where it is one: ``stop`` means two.

    Raises
    ------
    InputError
        It is neither a kind nor a section.
    """
    every = {**SECTIONS, **NESTED}
    found: list[tuple[Section, str | None]] = []
    for section, own_kinds in _KINDS_OF.items():
        if (own := choice(word, own_kinds)) is not None:
            found.append((SECTIONS[section], own))
    if (name := choice(word, tuple(every))) is not None:
        found.append((every[name], None))
    if found:
        return found
    known = tuple(k for several in _KINDS_OF.values() for k in several)
    near = nearest(word, (*known, *every))
    remedy = f'The nearest is "{near}".' if near else (
        f"There are the kinds {', '.join(known)}, and the sections {', '.join(every)}."
    )  # fmt: skip
    raise InputError("the kind", [Fault("", "", f'there is no kind or section "{word}".', remedy)])


def _file(kind: str) -> Json:
    """The whole file for one kind of mechanism."""
    linear = kind not in (*ROTARY_KINDS, *CRANK_KINDS, "ratio-table")
    of_load = kind not in ROTARY_KINDS
    properties: Json = {"schema": {"const": 1, "description": "Form of the file."}}
    for name, section in SECTIONS.items():
        if name == "load":
            properties[name] = _load(kind, linear=of_load)
        elif name in _BY_KIND:
            own = phase_section(linear, of_load) if name == "phase" else section
            travel = of_load if name in OF_THE_LOAD else linear
            properties[name] = _section(own, kind, linear=travel)
        else:
            properties[name] = {"$ref": f"#/$defs/{name}"}
    told = kinds()[kind]
    return {
        "title": told.title,
        "description": told.what,
        "$comment": _relations(told),
        "examples": [tomllib.loads(told.example)],
        "type": "object",
        "properties": properties,
        "required": [n for n in _REQUIRED if n != "load" or kind not in BARE_KINDS],
        "additionalProperties": False,
    }


def _shared() -> Json:
    """Sections that are the same for every kind of mechanism."""
    return {
        name: _section(section, None, linear=True)
        for name, section in SECTIONS.items()
        if name not in _BY_KIND
    }


def _load(kind: str, *, linear: bool) -> Json:
    section = SECTIONS["load"]
    if kind not in ("direct", "ratio-table"):
        return _table(section, kind, linear=linear)
    both = (
        _table(section, kind, linear=True),
        _table(section, f"{kind} rotary", linear=False),
    )
    return {"anyOf": list(both)}


def _section(section: Section, kind: str | None, *, linear: bool) -> Json:
    if section.name == "mechanism":
        return _table(section, kind, linear=linear)
    tables = [_table(section, own, linear=linear) for own in _kinds(section)]
    one = tables[0] if len(tables) == 1 else {"oneOf": tables}
    if not section.many:
        return one
    least = {"minItems": 1} if section.name == "phase" else {}
    return {"type": "array", "items": one, **least}


def _kinds(section: Section) -> tuple[str | None, ...]:
    """Kinds of a list of tables, None where it has none."""
    return _KINDS_OF.get(section.name, (None,))


def _table(section: Section, kind: str | None, *, linear: bool) -> Json:
    fields = section.fields_of(kind)
    properties: Json = {}
    for field in fields:
        properties[field.name] = _field(field, kind, linear=linear)
        if field.name == section.selector and kind is not None and field.choices:
            properties[field.name] = {"const": kind, "title": field.label}
        if "torque" in field.aliases:
            properties["torque"] = properties[field.name]
    return {
        "title": section.title if kind is None else f"{section.title}: {kind}",
        "description": section.meaning,
        "type": "object",
        "properties": properties,
        "required": [field.name for field in fields if field.required],
        "additionalProperties": False,
    }


def _field(field: Field, kind: str | None, *, linear: bool) -> Json:
    """One field: what it takes, and what is said of it."""
    said: Json = {"title": field.label, "description": _sentence(field, linear=linear)}
    if field.default:
        said["default"] = field.default
    if usual := field.usual(linear):
        said["$comment"] = f"Usual: {usual}."
    return {**_takes(field, kind, linear=linear), **said}


def _takes(field: Field, kind: str | None, *, linear: bool) -> Json:
    plain: dict[str, Json] = {
        "text": {"type": "string"},
        "name": {"enum": list(field.choices)},
        "names": {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]},
        "flag": {"enum": [True, False, "yes", "no"]},
        "whole": _whole(field),
        "fraction": _number(field),
        "efficiency": _number(field),
        "phases": {"enum": [1, 3, "dc"]},
        "samples": {
            "type": "array",
            "items": {"type": "array", "minItems": 2, "maxItems": 2},
            "minItems": 2,
        },
        "changes": {"type": "object", "minProperties": 1},
        "rows": {"type": "array", "items": {"type": "object"}, "minItems": 1},
        "points": {
            "type": "array",
            "items": {"type": "array", "minItems": 2, "maxItems": 2},
            "minItems": 1,
        },
    }
    plain["pairs"] = plain["points"]
    if field.takes in plain:
        return plain[field.takes]
    if field.takes in ("table", "tables", "named"):
        return _inner(field, kind, linear=linear)
    value = _number(field) if field.dimension(linear) == "1" else _quantity()
    if field.count is None:
        return value
    least, most = field.count
    several = {"type": "array", "items": value, "minItems": least, "maxItems": most}
    return {"anyOf": [value, several]} if least == 1 else several


def _inner(field: Field, kind: str | None, *, linear: bool) -> Json:
    if field.of in SECTIONS:
        one: Json = {"type": "object"}
        return one if field.takes == "table" else {"type": "array", "items": one}
    section = NESTED[field.of]
    table = _table(section, None if section.selector else kind, linear=linear)
    if field.takes == "table":
        return table
    if field.takes == "tables":
        return {"type": "array", "items": table}
    return {"type": "object", "additionalProperties": {"anyOf": [_quantity(), table]}}


def _quantity() -> Json:
    return {"anyOf": [{"type": "string", "minLength": 1}, _said({"type": "string"})]}


def _whole(field: Field) -> Json:
    bare: Json = {"type": "integer", **_limits(field)}
    return {"anyOf": [bare, _said({"anyOf": [{"type": "integer"}, {"type": "string"}]})]}


def _number(field: Field) -> Json:
    bare: Json = {"type": "number", **_limits(field)}
    text: Json = {"type": "string", "minLength": 1}
    return {"anyOf": [bare, text, _said({"type": ["number", "string"]})]}


def _said(value: Json) -> Json:
    """The table form of a value."""
    return {
        "type": "object",
        "properties": {
            "value": value,
            "status": {"enum": list(STATUSES)},
            "note": {"type": "string"},
            "range": {"anyOf": [{"type": "string"}, {"type": "array", "items": value}]},
        },
        "required": ["value"],
        "additionalProperties": False,
    }


def _limits(field: Field) -> Json:
    found: Json = {}
    if field.above is not None:
        found["exclusiveMinimum"] = field.above
    if field.least is not None:
        found["minimum"] = field.least
    if field.most is not None:
        found["maximum"] = field.most
    return found


def _sentence(field: Field, *, linear: bool) -> str:
    """Meaning, and the kind of value with units that people write."""
    if not field.quantity or field.takes in ("angle or length", "leader speed"):
        return field.meaning
    kind = dimension(field.dimension(linear))
    unused = "" if field.used else " No check of this version uses it."
    return f"{field.meaning} Takes {kind.noun}: {kind.examples}.{unused}"
