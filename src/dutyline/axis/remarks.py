"""What a reader of the results has to know about the file."""

from __future__ import annotations

from dutyline.axis.stated import Stated, Tree
from dutyline.motion.pieces import Cycle


def notes_of(tree: Tree, cycle: Cycle) -> tuple[str, ...]:
    """Sections and fields stated but unused, and how missing data were completed."""
    unused = [
        path
        for name, tables in tree.tables.items()
        for path in ((f"[{name}]",) if _set_aside(tables) else _paths(tables))
    ]
    stated = [f"Stated, but used by no check of this version: {', '.join(unused)}."]
    completed = [f"Phase {phase.name}: {phase.note}." for phase in cycle.phases if phase.note]
    return (*(stated if unused else ()), *completed)


def _set_aside(tables: tuple[Stated, ...]) -> bool:
    return bool(tables) and not tables[0].section.used


def _paths(tables: tuple[Stated, ...]) -> tuple[str, ...]:
    return tuple(
        f"{table.path}.{name}" for table in tables for name in table.entries if _unused(table, name)
    )


def _unused(table: Stated, name: str) -> bool:
    field = table.field(name)
    return field is not None and not field.used
