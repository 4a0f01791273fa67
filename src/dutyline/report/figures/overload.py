"""How long the drive allows a current, and how long the cycle asks for it."""

from __future__ import annotations

import math

import numpy as np

from dutyline.core.numbers import bare
from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import OverloadData
from dutyline.report.figures.frame import Frame, inside, tick_text


def _decades(data: OverloadData) -> tuple[float, ...]:
    times = np.concatenate([data.allowed, data.cycle_time[data.cycle_time > 0]])
    times = times[np.isfinite(times)]
    low = math.floor(math.log10(max(float(times.min()) * 0.8, 1e-4)))
    high = math.ceil(math.log10(min(float(times.max()), 100.0)))
    return tuple(10.0**k for k in range(low, max(high, low + 2) + 1))


def overload(data: OverloadData, key: str = "overload") -> str:
    """Time at or above a load over the load, both allowed and asked, as SVG 238 pt wide."""
    canvas = Canvas(238, 196, key)
    marks = _decades(data)
    reach = max(float(data.factor.max()), float(data.cycle_factor.max(initial=1.0)))
    x_range = (1.0, 1.0 + 1.02 * (reach - 1.0))
    x_marks = inside(*x_range, 4)
    frame = Frame(canvas, 28, 16, 232, 168, x_range, (marks[0], marks[-1]), y_log=True)
    frame.ground()
    frame.y_grid(marks, tuple(bare(m) for m in marks))
    frame.x_grid(x_marks, tuple(tick_text(m, x_marks) for m in x_marks))
    frame.titles("Time at or above the load, s", data.across_title)
    shown = (data.allowed <= marks[-1]) & (data.allowed >= marks[0])
    if data.reserve > 0:
        kept = data.allowed * (1.0 - data.reserve)
        some = (kept <= marks[-1]) & (kept >= marks[0])
        frame.curve(data.factor[some], kept[some], "soft", 0.6, "1.8 1.8")
    frame.curve(data.factor[shown], data.allowed[shown], "ink", 1.3)
    asked = data.cycle_time >= marks[0]
    if asked.any():
        f, t = data.cycle_factor[asked], data.cycle_time[asked]
        frame.curve(np.append(f, f[-1]), np.append(t, marks[0]), "act", 1.2)
        frame.label("this cycle", frame.spots(float(f[0]), float(t[0])), "act", 600)
        if data.corner_label:
            low = math.sqrt(float(t[-1]) * marks[0])
            frame.label(data.corner_label, frame.spots(float(f[-1]), low), "soft")
    elif data.corner_label:
        low = math.sqrt(marks[0] * marks[1])
        frame.label(
            data.corner_label, [((frame.left + 6, frame.upright(low)), "start")], "act", 600
        )
    if shown.any():
        middle = int(np.flatnonzero(shown)[shown.sum() // 2])
        at = (float(data.factor[middle]), float(data.allowed[middle]))
        frame.label("drive allows", frame.spots(*at))
    return canvas.svg()
