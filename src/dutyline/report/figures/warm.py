"""Winding and housing from cold until the cycle is settled, and over one settled cycle."""

from __future__ import annotations

import math

import numpy as np

from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import WarmData
from dutyline.report.figures.frame import Frame, Place, inside, ticks

_HOUSING = "5.2 1.8"


def _limit(frame: Frame, data: WarmData, label: bool) -> None:
    if math.isnan(data.limit):
        return
    low, high = frame.x_range
    frame.curve([low, high], [data.limit, data.limit], "ink", 1.3)
    if label:
        at = low + 0.03 * (high - low)
        frame.label(data.limit_label, frame.spots(at, data.limit, 3.0))


def _from_cold(frame: Frame, data: WarmData) -> None:
    x = frame.x(data.up_time)
    frame.canvas.area(x, frame.y(data.up_high), frame.y(data.up_low), "act", opacity=0.25)
    frame.curve(data.up_time, data.up_high, "act", 1.2)
    frame.curve(data.up_time, data.up_housing, "ink", 0.9, _HOUSING)
    end = int(0.8 * (data.up_time.size - 1))
    spots = frame.spots(float(data.up_time[end]), float(data.up_high[end]))
    frame.label("winding", spots, "act", 600)
    places: list[Place] = []
    for share in (0.75, 0.5, 0.9, 0.3):
        k = int(share * (data.up_time.size - 1))
        places += frame.spots(float(data.up_time[k]), float(data.up_housing[k]))
    frame.label("housing", places)


def warm(data: WarmData, key: str = "warm") -> str:
    """Temperatures over the time from cold and over one cycle as SVG 238 pt wide."""
    canvas = Canvas(238, 196, key)
    values = np.concatenate([data.up_low, data.up_high, data.up_housing, data.winding])
    top = float(values.max()) if math.isnan(data.limit) else max(float(values.max()), data.limit)
    marks = ticks(0.0, top * 1.04, 5)
    reach = (0.0, max(marks[-1], top * 1.06))
    settled = data.time.size > 0
    wide = 148.0 if settled else 232.0
    up = Frame(canvas, 28, 16, wide, 168, (0.0, float(data.up_time[-1])), reach)
    up.ground()
    up.y_grid(inside(*reach, 5))
    up.x_grid(inside(*up.x_range, 4 if settled else 6))
    up.titles(data.title, data.up_title)
    _limit(up, data, True)
    _from_cold(up, data)
    if settled:
        cycle = Frame(canvas, 160, 16, 232, 168, (0.0, float(data.time[-1])), reach)
        cycle.ground()
        for mark in inside(*reach, 5):
            y = cycle.upright(mark)
            canvas.line((cycle.left, y), (cycle.right, y), "edge" if mark == 0 else "hair",
                        0.7 if mark == 0 else 0.5)  # fmt: skip
        cycle.x_grid(inside(*cycle.x_range, 2))
        cycle.titles("", data.time_title)
        _limit(cycle, data, False)
        cycle.curve(data.time, data.winding, "act", 1.2)
        cycle.curve(data.time, data.housing, "ink", 0.9, _HOUSING)
    return canvas.svg()
