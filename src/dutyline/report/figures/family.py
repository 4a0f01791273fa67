"""A family of motors on its power law, and the curves of one motor; what is doubted is marked."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from dutyline.core.numbers import significant
from dutyline.report.figures.canvas import Canvas, Point
from dutyline.report.figures.data import CurvesData, FamilyData
from dutyline.report.figures.frame import Frame, inside, span
from dutyline.report.figures.marks import draw_mark

Array = NDArray[np.float64]

_WIDTH, _HEIGHT = 238.0, 196.0
_EDGE = "1.8 1.8"
_DASHES = ("", "5.2 1.8", "1.8 1.8", "5 1.6 1 1.6")
MOST_LABELS = 4


def round_marks(low: float, high: float) -> tuple[float, ...]:
    """Numbers 1, 2 and 5 times a power of ten inside a range; powers alone where they are many.

    >>> round_marks(0.09, 3.0)
    (0.1, 0.2, 0.5, 1.0, 2.0)
    """
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    steps = (1.0,) if len(powers) > 4 else (1.0, 2.0, 5.0)
    found = tuple(float(f"{s}e{p}") for p in powers for s in steps)
    return tuple(m for m in found if low <= m <= high)


def _span(values: Array) -> tuple[float, float]:
    return float(values.min()) / 1.5, float(values.max()) * 1.5


def family(data: FamilyData, key: str = "family") -> str:
    """A quantity over the size, both logarithmic, as SVG 238 pt wide."""
    canvas = Canvas(_WIDTH, _HEIGHT, key)
    x_range = _span(data.size)
    ends = np.array(x_range)
    y_range = _span(np.concatenate([data.value, data.low, data.high]))
    frame = Frame(canvas, 34, 16, 232, 168, x_range, y_range, x_log=True, y_log=True)
    frame.ground()
    for marks, grid in (
        (round_marks(*y_range), frame.y_grid),
        (round_marks(*x_range), frame.x_grid),
    ):
        grid(marks, tuple(significant(m, 1) for m in marks))
    frame.titles(data.value_title, data.size_title)
    canvas.area(frame.x(ends), frame.y(data.high), frame.y(data.low), "meets", opacity=0.12)
    for edge in (data.low, data.high):
        frame.curve(ends, edge, "soft", 0.6, _EDGE)
    frame.curve(ends, data.law, "meets", 1.1)
    for size, value, doubted in zip(data.size, data.value, data.doubted, strict=True):
        if not doubted:
            canvas.circle((frame.across(size), frame.upright(value)), 2.2, "ink", "sheet", 0.6)
    _doubts(frame, data)
    frame.label("usual", frame.spots(float(ends[1]) / 1.3, float(data.low[1])), "soft")
    return canvas.svg()


def _doubts(frame: Frame, data: FamilyData) -> None:
    """Doubtful points with their names, each tied to where the law would have it."""
    labels = 0
    for name, size, value, doubted in zip(
        data.names, data.size, data.value, data.doubted, strict=True
    ):
        if not doubted:
            continue
        x, y = frame.across(size), frame.upright(value)
        wanted = float(np.exp(np.interp(np.log(size), np.log(frame.x_range), np.log(data.law))))
        foot = frame.upright(wanted)
        frame.canvas.line((x, y), (x, foot), "caution", 0.9, "2 1.4")
        frame.avoid(np.array([x, x]), np.array([y, foot]))
        draw_mark(frame.canvas, "caution", (x, y), 8.0)
        frame.hold(x, y, 5.0)
        labels += 1
        if labels <= MOST_LABELS:
            frame.label(name, frame.spots(float(size), float(value), 6.0), "caution", 600)


def curves(data: CurvesData, key: str = "curves") -> str:
    """Torque over speed of every curve of a motor, its points drawn, as SVG 238 pt wide."""
    canvas = Canvas(_WIDTH, _HEIGHT, key)
    x_range = span(np.concatenate([c.speed for c in data.curves]), above=0.05)
    y_range = span(np.concatenate([c.torque for c in data.curves]), above=0.10)
    frame = Frame(canvas, 34, 16, 232, 168, x_range, y_range)
    frame.ground()
    frame.y_grid(inside(*y_range, 5))
    frame.x_grid(inside(*x_range, 4))
    frame.titles(data.torque_title, data.speed_title)
    for k, curve in enumerate(data.curves):
        frame.curve(curve.speed, curve.torque, "ink", 0.9, _DASHES[k % len(_DASHES)])
        for x, y in zip(frame.x(curve.speed), frame.y(curve.torque), strict=True):
            canvas.circle((float(x), float(y)), 0.9, "ink", "ink", 0.2)
    for speed, torque, label in data.doubted:
        at: Point = (frame.across(speed), frame.upright(torque))
        draw_mark(canvas, "caution", at, 8.0)
        frame.hold(*at, 5.0)
        frame.label(label, frame.spots(speed, torque, 6.0), "caution", 600)
    for curve in data.curves:
        shares = (0.1, 0.3, 0.5, 0.7, 0.9)
        places = [
            spot
            for share in shares
            for spot in frame.spots(
                share * float(curve.speed[-1]),
                float(np.interp(share * curve.speed[-1], curve.speed, curve.torque)),
            )
        ]
        frame.label(curve.label, places, "soft")
    return canvas.svg()
