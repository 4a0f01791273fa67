"""Fields of the axis file as a page edits them: stated, not stated, and not usable."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import lru_cache

from dutyline.app.schema import takes
from dutyline.app.workbench.records import FieldView, Wrong
from dutyline.axis.fields import SECTIONS
from dutyline.axis.forms import OF_THE_LOAD, Field, Section
from dutyline.axis.model import Axis, Input
from dutyline.core.reader import Reader, reader
from dutyline.core.values import Value

_SIMPLE = ("name", "names", "flag", "whole", "fraction", "efficiency", "phases", "text")
_WORDS = {"flag": ("yes", "no")}

Faults = Mapping[str, Wrong]
"""What is wrong with a field, by its path."""
RIGHT = Wrong("", "")


def stated(axis: Axis, prefixes: Iterable[str], faults: Faults) -> tuple[FieldView, ...]:
    """Fields of some sections as the file states them, and the defaults that count."""
    starts, wanted = tuple(f"{prefix}." for prefix in prefixes), reader()
    return tuple(
        _view(i, faults.get(i.path, RIGHT), wanted)
        for i in axis.inputs
        if i.path.startswith(starts)
    )


@lru_cache(maxsize=1024)
def _view(entry: Input, wrong: Wrong, wanted: Reader) -> FieldView:
    """A stated field for one reader; most edits leave most fields as they are."""
    with wanted.served():
        return _stated(entry, wrong)


def _stated(entry: Input, wrong: Wrong) -> FieldView:
    field = field_of(entry.path)
    value = entry.value
    there = entry.line is not None
    if isinstance(value, Value):
        typed, shown = value.typed, entry.shown(value.si, system="si")
        status, note = value.status, value.note
    else:
        typed, shown = value if there else "", "" if there else value
        status, note = "given" if there else "default", ""
    meant = None if _inner(entry.path) else field
    told = note or hint(meant, "" if entry.unusual else entry.usual)
    return FieldView(
        path=entry.path,
        label=entry.label,
        symbol=entry.symbol,
        typed="" if wrong.gone else wrong.typed or (typed if there else ""),
        shown="" if wrong.gone else shown,
        status=status,
        note=note,
        hint="; ".join(t for t in (_range(entry), told) if t),
        choices=choices(field),
        fault=wrong.said,
        meanings=wrong.meanings,
        stated=(there or bool(wrong.typed)) and not wrong.gone,
        measurable=isinstance(value, Value),
        odd="" if wrong.typed else entry.unusual,
    )


def _range(entry: Input) -> str:
    """Ends of a stated range; empty where one value is stated."""
    value = entry.value
    if not isinstance(value, Value) or value.low is None or value.high is None:
        return ""
    return f"from {entry.shown(value.low, system='si')} to {entry.shown(value.high, system='si')}"


def _inner(path: str) -> bool:
    """True in a table of its own within a section: a payload, a body, rollers."""
    name, _, rest = path.partition(".")
    section = SECTIONS.get(name)
    return section is not None and not section.many and "." in rest


def hint(field: Field | None, usual: str = "") -> str:
    """Usual range where it is one that helps, else what the field means."""
    if field is None:
        return ""
    helps = usual and not all(one.wide for one in field.typical)
    return f"usually {usual}" if helps else field.meaning


def choices(field: Field | None) -> tuple[str, ...]:
    """Words that a field takes; empty where it takes anything."""
    if field is None:
        return ()
    return field.choices or _WORDS.get(field.takes, ())


@lru_cache(maxsize=1024)
def field_of(path: str) -> Field | None:
    """The definition behind a path, of the first kind that has it; None for inner tables."""
    name, _, rest = path.partition(".")
    section = SECTIONS.get(name)
    if section is None:
        return None
    last = rest.rpartition(".")[2]
    return next((f for f in section.fields if f.name == last), None)


def unstated(
    axis: Axis, section: Section, kind: str | None, base: str, faults: Faults
) -> tuple[FieldView, ...]:
    """Fields that a section might have and the file does not state, in the order of the forms."""
    known = {i.path for i in axis.inputs}
    linear = axis.train.chain.load.linear if section.name in OF_THE_LOAD else axis.linear
    return tuple(
        _answered(view, faults[view.path]) if view.path in faults else view
        for view in _possible(section, kind, base, linear)
        if view.path not in known
    )


def _answered(view: FieldView, wrong: Wrong) -> FieldView:
    """A field that the file does not state, with what was typed into it and cannot be used."""
    return replace(
        view,
        typed=wrong.typed,
        shown="" if wrong.typed else view.shown,
        fault=wrong.said,
        meanings=wrong.meanings,
        stated=bool(wrong.typed),
    )


@lru_cache(maxsize=512)
def _possible(section: Section, kind: str | None, base: str, linear: bool) -> tuple[FieldView, ...]:
    """Every field that a section might have, as a file without it leaves it."""
    found: dict[str, FieldView] = {}
    for field in section.fields_of(kind):
        path = f"{base}.{field.name}"
        simple = field.quantity or field.takes in _SIMPLE
        if not simple or path in found or not field.used:
            continue
        if field.name in ("name", section.selector):
            continue
        found[path] = FieldView(
            path=path,
            label=field.label,
            symbol=field.symbol,
            typed="",
            shown=field.default,
            status="",
            note="",
            hint=hint(field, field.usual(linear)) or takes(field, kind),
            choices=choices(field),
            stated=False,
        )
    return tuple(found.values())
