"""What a reader of the results has to know about the file."""

from __future__ import annotations

from dutyline.axis.stated import Stated, Tree
from dutyline.motion.pieces import Cycle


def notes_of(tree: Tree, cycle: Cycle) -> tuple[str, ...]:
    """Sections and fields stated but unused, and how missing data were completed."""
    unused = [
        f"[{name}] is stated; no check of this version uses it."
        for name, tables in tree.tables.items()
        if tables and not tables[0].section.used
    ]
    fields = [
        f"{table.path}.{name} is stated; no check of this version uses it."
        for tables in tree.tables.values()
        for table in tables
        if table.section.used
        for name in table.entries
        if _unused(table, name)
    ]
    completed = [f"Phase {phase.name}: {phase.note}." for phase in cycle.phases if phase.note]
    return (*unused, *fields, *completed)


def _unused(table: Stated, name: str) -> bool:
    field = table.field(name)
    return field is not None and not field.used
