"""Every stated and defaulted field as people read it: heading, label, symbol, value, line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache, lru_cache
from typing import TypeAlias

from dutyline.axis.fields import SECTIONS
from dutyline.axis.fields_mechanism import TITLES
from dutyline.axis.fields_train import STAGE_TITLES
from dutyline.axis.forms import Field, Section
from dutyline.axis.model import Input
from dutyline.axis.stated import Entry, Stated, Tree, default_of
from dutyline.axis.unusual import unusual
from dutyline.core.reader import Reader, reader
from dutyline.core.toml_lines import LineIndex
from dutyline.core.toml_text import Document
from dutyline.core.values import Value

Lines: TypeAlias = "tuple[int | tuple[Lines, ...] | None, ...]"
"""Lines of the fields of a table, in their order."""

_WITH_DEFAULTS = ("duty", "require")
"""Sections whose defaults count even where the file does not have them."""
_WORDS_OF = ("axis",)
"""Sections that hold words about the file, not facts of the machine."""


def inputs_of(tree: Tree, document: Document) -> tuple[Input, ...]:
    """Stated fields in the order of the file, each section followed by its defaults."""
    found: list[Input] = []
    for tables in tree.tables.values():
        for table in tables:
            own = _known if table.kept else _inputs
            found += own(table, _lines(table, document.index), reader())
    for name in _WITH_DEFAULTS:
        if name not in tree.tables:
            empty = Stated(SECTIONS[name], name, (), None, tree.linear, {}, {}, {})
            found += _defaults(empty, SECTIONS[name].title, "")
    return tuple(found)


def _lines(table: Stated, index: LineIndex) -> Lines:
    """Line of each field of a table; of a field that holds tables, those of their fields."""
    return tuple(
        tuple(_lines(one, index) for one in _held(entry)) if _nested(entry)
        else index.of((*table.keys, table.spelled[name]))
        for name, entry in table.entries.items()
    )  # fmt: skip


def _inputs(table: Stated, lines: Lines, _: Reader) -> tuple[Input, ...]:
    """Of one table of the file; cautions are written for the reader."""
    return tuple(_table(table, lines, _heading(table), _before(table)))


_known = lru_cache(maxsize=256)(_inputs)
"""Of tables that are kept."""


def _table(table: Stated, lines: Lines, heading: str, before: str) -> list[Input]:
    found: list[Input] = []
    for (name, entry), line in zip(table.entries.items(), lines, strict=True):
        field = table.field(name)
        if field is None:
            continue
        label = before + (field.label if not before else _small(field.label))
        path = f"{table.path}.{name}"
        if isinstance(line, tuple):
            found += _inner(entry, line, heading, label)
            continue
        shown: Value | str = entry if isinstance(entry, Value) else as_text(entry)
        usual, odd = field.usual(table.linear), unusual(table, field, entry)
        found.append(Input(path, heading, label, field.symbol, shown, line, usual, odd))
    return found + _defaults(table, heading, before)


def _nested(entry: Entry) -> bool:
    if isinstance(entry, tuple):
        return bool(entry) and isinstance(entry[0], Stated)
    return not isinstance(entry, Value | str | bool)


def _held(entry: Entry) -> tuple[Stated, ...]:
    """The tables that a field holds."""
    if isinstance(entry, Stated):
        return (entry,)
    if isinstance(entry, Mapping):
        return tuple(entry.values())
    rows = entry if isinstance(entry, tuple) else ()
    return tuple(table for table in rows if isinstance(table, Stated))


def _inner(entry: Entry, lines: tuple[Lines, ...], heading: str, label: str) -> Iterator[Input]:
    if isinstance(entry, Mapping):
        labels = [f"{name}: " for name in entry]
    elif isinstance(entry, Stated):
        labels = [f"{label}: "]
    else:
        labels = [f"{label} {number}: " for number in range(1, len(lines) + 1)]
    for table, own, before in zip(_held(entry), lines, labels, strict=True):
        yield from _table(table, own, heading, before)


def _defaults(table: Stated, heading: str, before: str) -> list[Input]:
    """Defaults that matter: assumed ones, and others that are not neutral."""
    if table.section.name in _WORDS_OF or not table.section.used:
        return []
    found = []
    for field, value in _defaulted(table.section, table.kind, bool(table.linear)):
        if not table.has(field.name):
            label = before + (field.label if not before else _small(field.label))
            path, usual = f"{table.path}.{field.name}", field.usual(table.linear)
            found.append(Input(path, heading, label, field.symbol, value, None, usual))
    return found


@cache
def _defaulted(
    section: Section, kind: str | None, linear: bool
) -> tuple[tuple[Field, Value | str], ...]:
    """Fields of a kind whose default matters, with it."""
    fields = (f for f in section.fields_of(kind) if f.used and f.default)
    known = ((field, _default(field, linear)) for field in fields)
    return tuple((field, value) for field, value in known if value is not None)


def _default(field: Field, linear: bool) -> Value | str | None:
    value = default_of(field, linear)
    if value is None:
        return field.default if field.assumed else None
    neutral = value.si == 0.0 or (value.unit == "1" and value.si == 1.0)
    return None if neutral and not field.assumed else value


def _heading(table: Stated) -> str:
    kind = table.kind or ""
    if table.section.name == "mechanism":
        return TITLES.get(kind, table.section.title)
    if table.section.name == "stage":
        return table.word("name") or STAGE_TITLES.get(kind, table.section.title)
    return table.section.title


def _before(table: Stated) -> str:
    """What goes before labels where several tables share a heading."""
    if table.section.name == "phase":
        return f"{table.word('name') or 'Phase ' + table.path.rpartition('.')[2]}: "
    if table.section.name in ("force", "balance"):
        number = table.path.rpartition(".")[2]
        return f"{table.word('name') or f'{table.section.title} {number}'}: "
    if table.section.name == "branch":
        return f"{table.word('name') or 'Branch'}, "
    return ""


def _small(label: str) -> str:
    return label[:1].lower() + label[1:]


LONGEST_LIST = 20
"""Items of a list that are shown."""


def as_text(entry: Entry) -> str:
    """A list, word or flag on one line."""
    if isinstance(entry, bool):
        return "yes" if entry else "no"
    if isinstance(entry, str):
        return entry
    if isinstance(entry, Value):
        return entry.typed
    if isinstance(entry, tuple):
        told = [
            " at ".join(v.typed for v in reversed(part)) if isinstance(part, tuple)
            else as_text(part)
            for part in entry[:LONGEST_LIST]
        ]  # fmt: skip
        more = len(entry) - len(told)
        return ", ".join([*told, *([f"{more} more"] if more else [])]) or "none"
    return ""
