"""What came through a mapping, as text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from dutyline.app.bring import KINDS
from dutyline.cli.marks import MEETS, shape
from dutyline.cli.screen import Screen
from dutyline.core.numbers import group

_SHOWN = 12


def show_bring(screen: Screen, found: Any, *, quiet: bool = False, verbose: bool = False
               ) -> list[str]:  # fmt: skip
    """Counts, then for each table its columns with unit and conventions, and what was left out."""
    line = found.line
    counts = ", ".join(_counted(len(getattr(line, kind)), kind) for kind in KINDS
                       if getattr(line, kind))  # fmt: skip
    name = screen.yours(line.name)
    lines = screen.wrap(f"{shape(screen, MEETS)} {name}: {counts}. Nothing guessed.", "", "  ")
    if quiet:
        return [screen.text(text) for text in lines]
    for table in found.tables:
        sheet = f", sheet {table.sheet}" if table.sheet else ""
        rows = _counted(table.table.count, "points" if table.rule.kind == "curves" else "rows")
        head = f"{screen.yours(table.file)}{screen.yours(sheet)}: {rows} of {table.rule.kind}"
        lines += ["", screen.bold(head)]
        told = _applied(table.manners, verbose)
        lines += [text for entry in told for text in screen.wrap(entry, "  ", "    ")]
        if table.stated:
            stated = f"Stated in the mapping: {', '.join(table.stated)}."
            lines += screen.wrap(stated, "  ", "    ")
        for word, names in (("Left out by the mapping", table.ignored),
                            ("Not named in the mapping, left out", table.left_out)):  # fmt: skip
            if names:
                lines += screen.wrap(f"{word}: {_few(names, verbose)}.", "  ", "    ")
    for remark in found.remarks:
        lines += ["", *screen.wrap(remark, "", "  ")]
    return [screen.text(text) for text in lines]


def _applied(manners: Mapping[str, Any], verbose: bool) -> list[str]:
    """Columns that were converted, those alike together; with ``-v`` every column."""
    alike: dict[str, list[str]] = {}
    for name, manner in manners.items():
        answers = "; ".join(f"{key} {answer}" for key, answer in (manner.answers or {}).items())
        unit = "unit of each cell" if manner.unit == "cell" else manner.unit
        how = ", ".join(part for part in (unit, answers) if part)
        if how or verbose:
            alike.setdefault(how or "as it stands", []).append(name)
    return [f"{how}: {', '.join(names)}" for how, names in alike.items()]


def _few(names: tuple[str, ...], verbose: bool) -> str:
    quoted = [f'"{name}"' for name in names]
    if verbose or len(quoted) <= _SHOWN:
        return ", ".join(quoted)
    return f"{', '.join(quoted[:_SHOWN])} and {len(quoted) - _SHOWN} more"


def _counted(count: int, kind: str) -> str:
    return f"{group(count)} {kind.removesuffix('s') if count == 1 else kind}"
