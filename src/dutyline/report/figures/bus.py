"""Voltage of the bus and power there over one settled cycle: what returns, what is burnt."""

from __future__ import annotations

import math

import numpy as np

from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import BusData
from dutyline.report.figures.frame import Frame, inside, span, stretches

_TRIP = "5.2 1.8"
_IDLE = "1.8 1.8"


def _voltage(frame: Frame, data: BusData) -> None:
    ends = frame.x_range
    levels = [
        (data.idle, "highest idle", "soft", 0.75, _IDLE),
        (data.switching, data.switching_label, "ink", 1.1, ""),
        (data.trip, "drive trips", "fails", 0.9, _TRIP),
    ]
    known = [level for level in levels if not math.isnan(level[0])]
    for value, _, colour, width, dash in known:
        frame.curve(ends, (value, value), colour, width, dash)
    frame.curve(data.time, data.voltage, "act", 1.2)
    for value, name, colour, _, _ in known:
        shares = (0.02, 0.3, 0.5, 0.7, 0.98)
        places = [s for share in shares for s in frame.spots(share * ends[1], value, 3.0, (1.0,))]
        frame.label(name, places, colour)


def _power(frame: Frame, data: BusData) -> None:
    zero = frame.upright(0.0)
    back = np.minimum(data.power, 0.0)
    size = float(np.abs(data.power).max(initial=1e-9))
    for a, b in stretches(back < -1e-3 * size):
        x = frame.x(data.time[a:b])
        frame.canvas.area(x, frame.y(back[a:b]), zero, "hatch:returned", "meets")
    for a, b in stretches(data.burnt > 1e-3 * size):
        x = frame.x(data.time[a:b])
        frame.canvas.area(x, frame.y(-data.burnt[a:b]), zero, "act", opacity=0.45)
    frame.curve(data.time, data.power, "ink", 1.1)
    lowest = int(data.power.argmin())
    at = frame.spots(float(data.time[lowest]), float(data.power[lowest]))
    frame.label(f"returned {data.returned}", at, "meets")
    if data.burnt_label:
        k = int(data.burnt.argmax())
        at = frame.spots(float(data.time[k]), -0.5 * float(data.burnt[k]))
        frame.label(data.burnt_label, at, "act", 600)


def bus(data: BusData, key: str = "bus") -> str:
    """Two panels over one cycle as SVG 238 pt wide."""
    canvas = Canvas(238, 196, key)
    times = (0.0, float(data.time[-1]))
    levels = [data.idle, data.switching, float(data.voltage.min()), float(data.voltage.max())]
    known = [level for level in (*levels, data.trip) if not math.isnan(level)]
    low, high = min(known), max(known)
    air = 0.22 * (high - low) or 1.0
    volts = Frame(canvas, 32, 16, 232, 76, times, (low - air, high + air))
    watts = Frame(canvas, 32, 96, 232, 168, times, span(data.power, 0.18, 0.12))
    for frame, title in ((volts, data.voltage_title), (watts, data.power_title)):
        frame.ground()
        frame.y_grid(inside(*frame.y_range, 3))
        canvas.text((frame.left, frame.top - 6), title, weight=600)
    marks = inside(*times, 5)
    for x in volts.x(marks):
        canvas.line((float(x), volts.top), (float(x), volts.bottom))
    watts.x_grid(marks)
    _voltage(volts, data)
    _power(watts, data)
    canvas.text((watts.right, watts.bottom + 22), data.time_title, "end", weight=600)
    return canvas.svg()
