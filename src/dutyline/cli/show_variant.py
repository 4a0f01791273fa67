"""What a variant changes, as text: differences only."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.app.results import MAIN, Line, state_word
from dutyline.app.variants import Difference
from dutyline.cli.marks import shape, verdict_mark
from dutyline.cli.screen import Screen
from dutyline.cli.show_verdict import numbers_of, share

_NONE = "none"
_WIDE_FROM = 110
Row = tuple[str, str, str]


def show_variant(screen: Screen, found: Difference, *, quiet: bool = False) -> list[str]:
    """Every line that ``dutyline verify --variant`` prints."""
    before, after = verdict_mark(found.before), verdict_mark(found.after)
    name, parts = screen.yours(found.after.axis.variant), found.after.combination.text()
    turned = before.word if before is after else f"{before.word} becomes {after.word}"
    lines = screen.wrap(f"Variant {name}, {parts}: {turned}.", f"{shape(screen, after)} ", "  ")
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
    state = state_word(line) + ("" if line.case == MAIN else f", case {line.case}")
    if line.used is None or line.yes_no:
        return state
    demand, behind = numbers_of(line)
    numbers = f", {demand}{behind}" if wide else ""
    return f"{share(line.used)}{numbers}, {state}"


def _table(screen: Screen, heads: Row, rows: Sequence[Row]) -> list[str]:
    """Three columns; where they do not fit, one row below the other under its name."""
    widths = [screen.width_of([heads[k], *(row[k] for row in rows)]) for k in range(3)]
    if sum(widths) + 6 > screen.width:
        return _blocks(screen, heads, rows)
    lines = []
    for number, row in enumerate([heads, *rows]):
        first, second = (screen.left(row[k], widths[k]) for k in (0, 1))
        said = f"  {first}  {second}  {screen.text(row[2])}"
        lines.append(screen.bold(said) if number == 0 else said)
    return lines


def _blocks(screen: Screen, heads: Row, rows: Sequence[Row]) -> list[str]:
    lines = []
    indent = " " * (screen.width_of(heads[1:]) + 6)
    for name, *cells_ in rows:
        lines.append(screen.text(f"  {name}"))
        for head, said in zip(heads[1:], cells_, strict=True):
            begin = "    " + screen.left(head, len(indent) - 4)
            lines += screen.wrap(said, begin, indent)
    return lines
