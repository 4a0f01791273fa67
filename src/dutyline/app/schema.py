"""Every field of the axis file: kind, unit, default, meaning."""

from __future__ import annotations

from typing import Any

from dutyline.axis import fields
from dutyline.axis.forms import KINDS, STAGES, Field, Section
from dutyline.axis.schema import schema as axis_schema
from dutyline.core.arguments import expect

__all__ = ["Field", "Section", "schema", "sections"]


def schema(kind: str | None = None) -> dict[str, Any]:
    """The fields that may stand in an axis file, as JSON Schema of draft 2020-12.

    Parameters
    ----------
    kind : str, optional
        A mechanism, stage or phase kind: its fields only.

    Raises
    ------
    InputError
        There is no such kind.
    """
    if kind is not None:
        expect(kind, str, "kind", 'Name a kind: "belt".')
    return axis_schema(kind)


def sections(kind: str | None = None) -> list[tuple[Section, tuple[Field, ...]]]:
    """Sections with the fields that belong to a kind; all where no kind is named.

    Raises
    ------
    InputError
        There is no such kind.
    """
    every = [*fields.SECTIONS.values(), *fields.NESTED.values()]
    if kind is None:
        return [(section, section.fields) for section in every]
    axis_schema(kind)
    word = fields.choice(kind, (*KINDS, *STAGES)) or kind
    name = "mechanism" if word in KINDS else "stage" if word in STAGES else "phase"
    return [(fields.SECTIONS[name], fields.SECTIONS[name].fields_of(word))]
