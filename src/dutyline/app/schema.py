"""Every field of the axis file: kind, unit, default, meaning."""

from __future__ import annotations

from typing import Any

from dutyline.axis import fields
from dutyline.axis.forms import CRANK_KINDS, LINEAR_KINDS, ROTARY_KINDS, Field, Section
from dutyline.axis.kinds import Kind, kinds
from dutyline.axis.schema import named
from dutyline.axis.schema import schema as axis_schema
from dutyline.core.arguments import expect

__all__ = ["Field", "Kind", "Section", "card", "schema", "sections", "takes"]


def schema(kind: str | None = None) -> dict[str, Any]:
    """The fields that may stand in an axis file, as JSON Schema of draft 2020-12.

    Parameters
    ----------
    kind : str, optional
        A mechanism, stage, phase or balance kind, or a section: its fields only.

    Raises
    ------
    InputError
        There is no such kind or section.
    """
    if kind is not None:
        expect(kind, str, "kind", 'Name a kind: "belt".')
    return axis_schema(kind)


def sections(kind: str | None = None) -> list[tuple[Section, str | None, tuple[Field, ...]]]:
    """Sections with the kind and its fields; all sections where nothing is named.

    Raises
    ------
    InputError
        There is no such kind or section.
    """
    if kind is None:
        every = [*fields.SECTIONS.values(), *fields.NESTED.values()]
        return [(section, None, section.fields) for section in every]
    return [(section, own, section.fields_of(own)) for section, own in named(kind)]


def takes(field: Field, kind: str | None = None) -> str:
    """What a field takes, in words; travel is a length or an angle where the kind decides it."""
    if field.choices:
        return ", ".join(field.choices)
    known = LINEAR_KINDS if kind in LINEAR_KINDS else (*ROTARY_KINDS, *CRANK_KINDS)
    word = field.dimension(kind in LINEAR_KINDS) if kind in known else field.takes
    return "a bare number" if word == "1" else word


def card(kind: str) -> Kind | None:
    """What a mechanism or stage kind is and does; None for other words."""
    found = (kinds().get(own) for _, own in named(kind) if own)
    return next((each for each in found if each is not None), None)
