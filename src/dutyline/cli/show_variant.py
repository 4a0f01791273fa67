"""What a variant changes, as text: differences only."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.app.results import MAIN, Line
from dutyline.app.variants import Difference
from dutyline.cli.marks import mark_of, shape, verdict_mark
from dutyline.cli.screen import Screen, cells
from dutyline.cli.show_verdict import numbers_of, share

_NONE = "none"
_WIDE_FROM = 110
Row = tuple[str, str, str]


def show_variant(screen: Screen, found: Difference, *, quiet: bool = False) -> list[str]:
    """Every line that ``dutyline verify --variant`` prints."""
    before, after = verdict_mark(found.before), verdict_mark(found.after)
    name, parts = screen.yours(found.after.axis.variant), found.after.combination.text()
    turned = before.word if before is after else f"{before.word} becomes {after.word}"
    lines = screen.wrap(f"Variant {name} with {parts}: {turned}.", f"{shape(screen, after)} ", "  ")
    if quiet:
        return lines
    if found.after.axis.remark:
        lines += screen.wrap(screen.yours(found.after.axis.remark))
    inputs = [(c.path, c.before or _NONE, c.after or _NONE) for c in found.inputs]
    lines += ["", *_table(screen, ("Changed", "file", "variant"), inputs)]
    wide = screen.width >= _WIDE_FROM
    pairs = [(p.before, p.after) for p in found.lines]
    checks = [(_title(one, other), _cell(one, wide), _cell(other, wide)) for one, other in pairs]
    checks = [row for row in checks if row[1] != row[2]]
    if checks:
        lines += ["", *_table(screen, ("Check", "file", "variant"), checks)]
    same = len({(ln.check, ln.part) for ln in found.after.ledger}) - len(checks)
    lines += ["", *screen.wrap(f"{max(same, 0)} other lines of the ledger read the same.")]
    return [*lines, "The tool computes, it certifies nothing."]


def _title(one: Line | None, other: Line | None) -> str:
    line = other or one
    return "" if line is None else line.title


def _cell(line: Line | None, wide: bool) -> str:
    """``71 %, meets``; on a wide screen the numbers as well."""
    if line is None:
        return _NONE
    state = mark_of(line).word + ("" if line.case == MAIN else f", case {line.case}")
    if line.used is None or line.yes_no:
        return state
    demand, behind = numbers_of(line)
    numbers = f", {demand}{behind}" if wide else ""
    return f"{share(line.used)}{numbers}, {state}"


def _table(screen: Screen, heads: Row, rows: Sequence[Row]) -> list[str]:
    """Three columns; one row after the other where they do not fit."""
    first, second = (screen.width_of([heads[k], *(row[k] for row in rows)]) for k in (0, 1))
    lines = []
    for number, row in enumerate([heads, *rows]):
        columns = (screen.left(row[0], first), screen.left(row[1], second), screen.text(row[2]))
        said = "  " + "  ".join(columns)
        if cells(said) > screen.width:
            lines += screen.wrap(f"{row[0]}: {row[1]}; {row[2]}", "  ", "    ")
        else:
            lines.append(screen.bold(said) if number == 0 else said)
    return lines
