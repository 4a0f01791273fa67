"""Winding temperature over one settled cycle, with its limit."""

from __future__ import annotations

from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import WarmData
from dutyline.report.figures.frame import Frame, ticks


def warm(data: WarmData, key: str = "warm") -> str:
    """Winding temperature over time as SVG 238 pt wide."""
    canvas = Canvas(238, 196, key)
    low, high = float(data.temperature.min()), max(float(data.temperature.max()), data.limit)
    y_marks = ticks(min(low, 20.0), high * 1.03, 5)
    x_marks = tuple(m for m in ticks(0.0, data.time[-1], 5) if m <= data.time[-1] * 1.0001)
    span = (0.0, float(data.time[-1]))
    frame = Frame(canvas, 28, 16, 232, 168, span, (y_marks[0], y_marks[-1]))
    frame.ground()
    frame.y_grid(y_marks)
    frame.x_grid(x_marks)
    frame.titles("Winding temperature, °C", data.time_title)
    frame.curve([0.0, data.time[-1]], [data.limit, data.limit], "ink", 1.3)
    frame.curve(data.time, data.temperature, "act", 1.2)
    frame.label(data.limit_label, frame.spots(0.05 * float(data.time[-1]), data.limit, 3.0))
    middle = data.time.size // 2
    at = (float(data.time[middle]), float(data.temperature[middle]))
    frame.label("winding", frame.spots(*at), "act", 600)
    return canvas.svg()
