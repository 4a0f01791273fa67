"""The duty line: every check is a mark on one line from 0 to its limit."""

from __future__ import annotations

import math

from dutyline.core.numbers import THIN
from dutyline.report.figures.canvas import SMALL, Canvas, number, text_width
from dutyline.report.figures.data import DutyData, DutyMark
from dutyline.report.figures.marks import draw_mark

_WIDTH, _LIMIT, _Y = 493.2, 362.0, 29.5
_MOST = 1.14


def place_of(used: float) -> float:
    """Where a used share stands across [pt]; far beyond the limit it is pressed together."""
    if used <= 1.0:
        return 1.0 + (_LIMIT - 1.0) * max(used, 0.0)
    beyond = (_MOST - 1.0) * (1.0 - math.exp(-(used - 1.0) / 0.14))
    return 1.0 + (_LIMIT - 1.0) * (1.0 + beyond)


def ghost_path(used: float) -> str:
    """Path letters of the mark that stood at a used share."""
    return f"M{number(place_of(used))} {number(_Y - 8)}V{number(_Y + 8)}"


def _scale(canvas: Canvas, reserve: float) -> None:
    canvas.line((1.0, _Y), (place_of(1.0), _Y), "edge", 0.6, "8 2.3 1.4 2.3")
    for share in (0.0, 0.25, 0.5, 0.75):
        x = place_of(share)
        canvas.line((x, _Y - 3), (x, _Y + 3), "edge", 0.5)
        text = f"{100 * share:.0f}{THIN}%" if share else "0"
        canvas.text((x, _Y + 15), text, "middle" if share else "start", "soft")
    if reserve > 0:
        x = place_of(1.0 - reserve)
        canvas.rect((x, _Y - 4.2), (place_of(1.0) - x, 8.4), "hatch:reserve")


def _first_said(mark: DutyMark) -> tuple[int, float]:
    """Worst state first, within it the largest share."""
    order = ("fails", "short", "caution")
    return (order.index(mark.state) if mark.state in order else len(order), -mark.used)


def _labels(canvas: Canvas, marks: list[DutyMark], size: float) -> None:
    """Names of the marks that need a decision, in up to two rows above the line."""
    ends: list[float] = [math.inf, math.inf]
    free_right = [-math.inf, -math.inf]
    for mark in sorted((m for m in marks if m.label), key=_first_said):
        x = place_of(mark.used)
        width = text_width(mark.label, size, 600)
        for row, y in enumerate((8.0, 20.5)):
            if x > _LIMIT - 1 and free_right[row] < x and x + width + 3 < _WIDTH - 2:
                canvas.line((x, y - 6), (x, _Y - 5), "soft", 0.5)
                canvas.text((x + 3, y), mark.label, weight=600, size=size)
                free_right[row] = x + width + 8
                ends[row] = min(ends[row], x - 4)
                break
            if x - 3 < ends[row] and x - width - 6 > 0:
                canvas.line((x, y - 6), (x, _Y - 5), "soft", 0.5)
                canvas.text((x - 3, y), mark.label, "end", weight=600, size=size)
                ends[row] = x - width - 10
                free_right[row] = max(free_right[row], x + 4)
                break


def duty(data: DutyData, key: str = "duty", size: float = 8.2) -> str:
    """The duty line as SVG, the full width of the page; ``size`` is that of its labels [pt]."""
    canvas = Canvas(_WIDTH, 48.5, key)
    _scale(canvas, data.reserve)
    for was in data.ghosts:
        canvas.path(ghost_path(was), "soft", 0.9, dash="1.8 1.5")
    for mark in data.marks:
        if mark.state == "meets":
            x = place_of(mark.used)
            canvas.line((x, _Y - 5.4), (x, _Y + 5.4), "meets", 1.0)
    x = place_of(1.0)
    canvas.line((x, _Y - 7), (x, _Y + 8.4), "ink", 1.3)
    canvas.text((x, _Y + 16), "limit", "middle", weight=700)
    others = [m for m in data.marks if m.state != "meets"]
    _labels(canvas, others, size)
    for mark in sorted(others, key=lambda m: m.used):
        draw_mark(canvas, mark.state, (place_of(mark.used), _Y), 8.0)
    if data.unmade:
        shown = min(data.unmade, 6)
        start = place_of(_MOST) + 28
        for n in range(shown):
            draw_mark(canvas, "open", (start + 4 + 12.4 * n, _Y), 8.0)
        canvas.text((start, _Y + 15), f"{data.unmade} not checked", colour="soft", size=SMALL)
    return canvas.svg()


def meter(used: float, reserve: float, state: str, key: str, width: float = 71.0) -> str:
    """The bar of one check: used share, reserve hatched, limit post; 106 % fits."""
    canvas = Canvas(width, 7.5, key)
    limit, y = width * 0.94, 3.75
    end = min(limit * max(used, 0.0), width - 0.5)
    canvas.rect((0, y - 1.2), (limit, 2.4), "hair")
    if reserve > 0:
        canvas.rect((limit * (1 - reserve), y - 2.5), (limit * reserve, 5), "hatch:reserve")
    canvas.rect((0, y - 1.2), (end, 2.4), state)
    canvas.line((end, y - 2.7), (end, y + 2.7), "ink", 0.9)
    canvas.line((limit, y - 3.4), (limit, y + 3.4), "ink", 1.2)
    return canvas.svg()
