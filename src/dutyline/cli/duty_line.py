"""The duty line: every check as a stroke on one line from nothing used to the limit."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.app.results import Line, shares_nothing
from dutyline.cli.marks import FAILS, MEETS, OPEN, OVER, Mark, mark_of, needs_reader, shape
from dutyline.cli.screen import Screen, cells
from dutyline.core.numbers import percent

_CHAIN = "──·"
_USUAL_RESERVE = 0.10
_MOST_BEYOND = 8


def scale_cells(width: int) -> int:
    """Cells from zero to the limit: 50 at 80 columns, 84 at 120."""
    return 50 + (width - 80) * 17 // 20


def _cell(used: float, limit: int) -> int:
    return min(max(int(used * limit), 0), limit - 1)


def _background(limit: int) -> list[str]:
    reserve = limit - round(_USUAL_RESERVE * limit)
    return ["░" if k >= reserve else _CHAIN[k % 3] for k in range(limit)]


def _strokes(screen: Screen, lines: Sequence[Line], limit: int) -> str:
    """Everything below the limit: strokes, and the mark where something is not met."""
    row = _background(limit)
    held: dict[int, list[Mark]] = {}
    for line in lines:
        if line.used is not None and line.used <= 1.0 and mark_of(line) is not FAILS:
            held.setdefault(_cell(line.used, limit), []).append(mark_of(line))
    for k, marks in held.items():
        worst = min(marks, key=lambda m: m.order)
        row[k] = shape(screen, worst) if worst is not MEETS else "║" if len(marks) > 1 else "│"
    return "".join(screen.text(c) if len(c) == 1 else c for c in row)


def _beyond(screen: Screen, lines: Sequence[Line]) -> str:
    over = [ln for ln in lines if ln.used is not None and (ln.used > 1.0 or mark_of(ln) is FAILS)]
    over.sort(key=lambda ln: ln.used or 0.0)
    text = "".join(shape(screen, mark_of(ln)) for ln in over[:_MOST_BEYOND])
    unmade = [ln for ln in lines if ln.state == "not-checked"]
    if unmade:
        rings = min(len(unmade), _MOST_BEYOND)
        text += "  " + shape(screen, OPEN) * rings + f" {len(unmade)} not checked"
    return text


def _label(line: Line) -> str:
    used = line.used or 0.0
    return f"{line.title.lower()} {percent(used) if used < 9.995 else 'far over'}"


def _labels(screen: Screen, lines: Sequence[Line], limit: int) -> str:
    """Names above the strokes that matter: the tightest before the limit, the worst behind it."""
    shown = [ln for ln in lines if ln.used is not None and ln.severity != "note"]
    before = [ln for ln in shown if (ln.used or 0.0) <= 1.0 and mark_of(ln) is not FAILS]
    before.sort(key=lambda ln: (not needs_reader(ln), -(ln.used or 0.0)))
    behind = [ln for ln in shown if (ln.used or 0.0) > 1.0 or mark_of(ln) is FAILS]
    behind.sort(key=lambda ln: (ln.severity != "must", -(ln.used or 0.0)))
    row = ""
    if before:
        text = screen.text(_label(before[0]))
        row = " " * max(_cell(before[0].used or 0.0, limit) + 1 - cells(text), 0) + text
    for k, line in enumerate(behind):
        text = screen.text(_label(line))
        start = max(limit + 2, cells(row) + 2) if not k else cells(row) + 2
        if start + cells(text) > screen.width:
            start = screen.width - cells(text)
            if k or start < cells(row) + 2:
                break
        row += " " * (start - cells(row)) + text
    return row


def _ticks(limit: int) -> str:
    row = "0"
    for share in (25, 50, 75):
        row = row.ljust(round(share / 100 * limit)) + str(share)
    return row.ljust(limit) + "limit  share used, %"


def duty_line(screen: Screen, lines: Sequence[Line]) -> list[str]:
    """Three lines: names, strokes, scale. Empty where words alone are wanted."""
    if screen.words or not lines:
        return []
    lines = [line for line in lines if line.used is None or not shares_nothing(line)]
    limit = scale_cells(screen.width)
    strokes = _strokes(screen, lines, limit) + screen.text("┃") + _beyond(screen, lines)
    scale = _ticks(limit)
    if cells(scale) > screen.width:
        scale = scale[: scale.index("  share")]
    return [_labels(screen, lines, limit), strokes, scale]


def bar(screen: Screen, line: Line, width: int = 15) -> str:
    """The used share of one check as a bar that ends in the limit."""
    if line.used is None:
        return " " * width
    inner = width - 1
    filled = round(min(max(line.used, 0.0), 1.0) * inner)
    reserve = inner - round(min(max(line.required, 0.0), 1.0) * inner)
    row = "".join("━" if k < filled else "░" if k >= reserve else "─" for k in range(inner))
    crossed = mark_of(line) in (FAILS, OVER) and line.used > 1.0
    return screen.text(row + ("╋" if crossed else "┃"))
