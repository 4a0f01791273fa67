"""Error of the load about the end of a motion, with the window it has to stay in."""

from __future__ import annotations

import numpy as np

from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import SettleData
from dutyline.report.figures.frame import Frame, ticks

_STYLES = (("act", 1.3, ""), ("soft", 0.9, "5.2 1.8"), ("soft", 0.9, "1.8 1.8"))
_HIGH = 4.0
"""Windows that the plot shows on either side, unless a motion ends farther off."""
_OVER = 1.25
"""Room beyond the error that is left at the end of what was simulated."""


def settle(data: SettleData, key: str = "settle") -> str:
    """Error over time as SVG 238 pt wide."""
    canvas = Canvas(238, 196, key)
    top = max(_HIGH * data.tolerance, *(_OVER * abs(curve.error[-1]) for curve in data.curves))
    last = max(float(curve.time[-1]) for curve in data.curves)
    marks = [m for m in (data.settled, data.allowed) if m is not None]
    end = min(last, 1.4 * max(marks)) if marks and data.settled is not None else last
    end = max(end, 0.05 * last)
    first = -0.15 * end
    y_marks = ticks(-top, top, 5)
    x_marks = tuple(m for m in ticks(0.0, end, 5) if m <= end * 1.0001)
    frame = Frame(canvas, 34, 16, 232, 168, (first, end), (y_marks[0], y_marks[-1]))
    frame.ground()
    _window(frame, data, first, end)
    frame.y_grid(y_marks)
    frame.x_grid(x_marks)
    frame.titles(data.error_title, data.time_title)
    frame.curve([0.0, 0.0], [y_marks[0], y_marks[-1]], "ink", 0.6, "1.2 1.8")
    for curve, (colour, width, dash) in zip(data.curves, _STYLES, strict=False):
        seen = (curve.time >= first) & (curve.time <= end)
        inside = seen & (np.abs(curve.error) <= y_marks[-1])
        edges = np.flatnonzero(np.diff(inside.astype(int)) != 0) + 1
        for part in np.split(np.arange(inside.size), edges):
            if inside[part[0]] and part.size > 1:
                frame.curve(curve.time[part], curve.error[part], colour, width, dash)
    _name(frame, data, end, float(y_marks[-1]))
    return canvas.svg()


def _name(frame: Frame, data: SettleData, end: float, top: float) -> None:
    """The name of the slowest motion beside its curve, about the middle of what is seen of it."""
    slowest = data.curves[0]
    inside = (slowest.time >= 0) & (slowest.time <= end) & (np.abs(slowest.error) <= top)
    seen = np.flatnonzero(inside)
    if seen.size:
        at = int(seen[seen.size // 2])
        spots = frame.spots(float(slowest.time[at]), float(slowest.error[at]))
        frame.label(slowest.label, spots, "act", 600)


def _window(frame: Frame, data: SettleData, first: float, end: float) -> None:
    """The band of the tolerance, and the instants that count."""
    high, low = frame.upright(data.tolerance), frame.upright(-data.tolerance)
    left, right = frame.across(first), frame.across(end)
    frame.canvas.rect((left, high), (right - left, low - high), "meets", opacity=0.11)
    for level in (data.tolerance, -data.tolerance):
        frame.curve([first, end], [level, level], "ink", 1.0)
    for mark, colour, word in (
        (data.allowed, "ink", "allowed"),
        (data.settled, "act", "settled"),
    ):
        if mark is not None and first <= mark <= end:
            x = frame.across(mark)
            frame.canvas.line((x, frame.top), (x, frame.bottom), colour, 0.85)
            row = frame.bottom - 4 if word == "settled" else frame.top + 9
            frame.canvas.text((x + 3, row), word, "start", colour, 600)
