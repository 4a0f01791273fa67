"""Figures that somebody stands for: ``[[confirmed]]`` of ``audit.toml``, and those of no use."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import Any, NamedTuple

from dutyline.audit.records import Finding
from dutyline.catalogue.origins import KINDS, cell_of
from dutyline.catalogue.parts import ProductLine
from dutyline.core.spelling import nearest

FIELDS = ("file", "part", "column", "value")
"""Needed in an entry."""
NOTE = "note"
_FILES = {form.file: kind for kind, form in KINDS.items()}
_NAMED = ("motors", "gearheads", "drives", "brakes", "resistors")
"""Kinds whose rows have a name; a point of a curve or a pairing is told by several cells."""


class Confirmed(NamedTuple):
    """One figure that is right as it stands."""

    file: str
    part: str
    column: str
    value: str
    """The cell as it is written."""


def misread(entry: Confirmed) -> tuple[str, str]:
    """What is wrong with the names in an entry and what helps; empty where nothing is."""
    kind = _FILES.get(entry.file)
    if kind is None:
        close = nearest(entry.file, _FILES)
        known = f"The nearest is {close}." if close else f"There are {', '.join(_FILES)}."
        return f'"{entry.file}" is no file of a product line.', known
    columns = [column.name for column in KINDS[kind].columns]
    if entry.column not in columns:
        close = nearest(entry.column, columns)
        known = f"The nearest is {close}." if close else f"It holds {', '.join(columns)}."
        return f'{entry.file} has no column "{entry.column}".', known
    return "", ""


def idle(
    line: ProductLine, entries: Iterable[Confirmed], held: Collection[Finding]
) -> Iterator[tuple[Confirmed, str]]:
    """Entries that hold no finding, each with the reason as a sentence."""
    used = {key_of(finding) for finding in held}
    for entry in entries:
        if entry not in used:
            yield entry, _reason(line, entry)


def key_of(finding: Finding) -> Confirmed:
    """The entry that confirms a finding."""
    return Confirmed(finding.file, finding.part, finding.column, finding.raw)


def _reason(line: ProductLine, entry: Confirmed) -> str:
    kind = _FILES[entry.file]
    silent = "No rule doubts it."
    if kind not in _NAMED:
        return silent
    index: Any = getattr(line, f"{kind.removesuffix('s')}_index")
    if entry.part not in index:
        close = nearest(entry.part, index)
        return f"{entry.file} has no such part." + (f" The nearest is {close}." if close else "")
    raw = cell_of(line, kind, (entry.part,), entry.column)
    if raw != entry.value:
        return f'The cell reads "{raw}".' if raw else "The cell is empty."
    return silent
