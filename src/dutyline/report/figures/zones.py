"""Torque over speed of a product line: zones of sizes, of geared motors, and all outputs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import Boundary
from dutyline.report.figures.frame import Frame, inside, tick_text

Array = NDArray[np.float64]

_WIDE, _CELL, _ACROSS = 493.0, 126.0, 3
_DASHES = ("", "1.8 1.8", "6 1.6 1.6 1.6")


@dataclass(frozen=True, slots=True)
class Winding:
    """Boundaries of one winding at one supply, or of one motor behind one gearhead."""

    label: str
    peak: Boundary | None
    continuous: Boundary | None


@dataclass(frozen=True, slots=True)
class ZoneData:
    """One small plot."""

    title: str
    windings: tuple[Winding, ...]
    peak_limit: float | None = None
    """What the gearhead takes for a short time."""
    continuous_limit: float | None = None
    end: float | None = None
    """Highest speed that both parts take."""


@dataclass(frozen=True, slots=True)
class OutputData:
    """Outputs of all geared motors: top speed, torque, and whether the gearhead limits it."""

    speed: Array
    torque: Array
    by_gearhead: NDArray[np.bool_]


def zones(data: Sequence[ZoneData], torque_title: str, key: str = "zones") -> str:
    """Small plots, up to three in a row, each with its own scales, as SVG 493 pt wide."""
    across = min(_ACROSS, len(data))
    rows = math.ceil(len(data) / across)
    canvas = Canvas(_WIDE, rows * _CELL + 12, key)
    step = _WIDE / across
    for k, one in enumerate(data):
        left, top = (k % across) * step, (k // across) * _CELL
        _zone(canvas, one, left, top, step, torque_title)
    canvas.text((_WIDE - 6, rows * _CELL + 8), "Speed, r/min", "end", weight=600)
    return canvas.svg()


def _bounds(data: ZoneData) -> tuple[float, float]:
    limits = [b for w in data.windings for b in (w.peak, w.continuous) if b is not None]
    own = [v for v in (data.peak_limit, data.continuous_limit) if v is not None]
    speeds = [float(b.speed[-1]) for b in limits]
    torques = [float(b.torque.max()) for b in limits] + own
    return 1.04 * max(speeds, default=1.0), 1.12 * max(torques, default=1.0)


def _zone(
    canvas: Canvas, data: ZoneData, left: float, top: float, width: float, torque_title: str
) -> None:
    fastest, largest = _bounds(data)
    box = (left + 30, top + 26, left + width - 8, top + _CELL - 14)
    frame = Frame(canvas, *box, (0.0, fastest), (0.0, largest))
    frame.ground()
    marks, across = inside(0.0, largest, 4), inside(0.0, fastest, 3)
    frame.y_grid(marks)
    frame.x_grid(across, tuple(tick_text(m, across) for m in across))
    canvas.text((frame.left, top + 10), data.title, weight=600)
    canvas.text((frame.left, top + 20), torque_title, colour="soft")
    for winding, dash in zip(data.windings, _DASHES, strict=False):
        if winding.continuous is not None:
            _under(frame, winding.continuous, data)
        if winding.peak is not None:
            _line(frame, winding.peak, "ink", 1.2, dash)
        if winding.continuous is not None:
            _line(frame, winding.continuous, "meets", 1.0, dash or "5.2 1.8")
    for limit, dash in ((data.peak_limit, "4.5 1.5"), (data.continuous_limit, "1.5 1.5")):
        if limit is not None:
            frame.curve([0.0, data.end or fastest], [limit, limit], "fails", 0.9, dash)
    if data.end is not None and data.end < fastest:
        frame.curve([data.end, data.end], [0.0, largest / 1.12], "soft", 0.7, "1.8 1.8")


def _line(frame: Frame, boundary: Boundary, colour: str, width: float, dash: str) -> None:
    end = boundary.speed[-1]
    frame.curve(
        np.append(boundary.speed, end), np.append(boundary.torque, 0.0), colour, width, dash
    )


def _under(frame: Frame, boundary: Boundary, data: ZoneData) -> None:
    """Tint what can be used for any length of time."""
    most = np.inf if data.continuous_limit is None else data.continuous_limit
    end = boundary.speed[-1] if data.end is None else min(data.end, float(boundary.speed[-1]))
    speed = np.linspace(0.0, end, 60)
    torque = np.minimum(np.interp(speed, boundary.speed, boundary.torque), most)
    frame.canvas.area(frame.x(speed), frame.y(torque), frame.upright(0.0), "meets", opacity=0.09)


def outputs(data: OutputData, torque_title: str, key: str = "outputs") -> str:
    """Peak torque over top speed of every geared motor, both logarithmic, as SVG 493 pt wide."""
    canvas = Canvas(_WIDE, 210, key)
    decades_x, decades_y = _decades(data.speed), _decades(data.torque)
    frame = Frame(
        canvas, 40, 16, _WIDE - 10, 182, (decades_x[0], decades_x[-1]),
        (decades_y[0], decades_y[-1]), x_log=True, y_log=True,
    )  # fmt: skip
    frame.ground()
    frame.y_grid(decades_y, tuple(f"{m:g}" for m in decades_y))
    frame.x_grid(decades_x, tuple(f"{m:g}" for m in decades_x))
    frame.titles(torque_title, "Top speed at the output, r/min")
    for x, y, gear in zip(frame.x(data.speed), frame.y(data.torque), data.by_gearhead, strict=True):
        if gear:
            canvas.rect((float(x) - 2.2, float(y) - 2.2), (4.4, 4.4), "sheet", "fails", 1.0)
        else:
            canvas.circle((float(x), float(y)), 2.2, "ink", "ink", 0.6)
    return canvas.svg()


def _decades(values: Array) -> tuple[float, ...]:
    """1, 2, 5 steps that hold all values."""
    low, high = float(values.min()), float(values.max())
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    steps = [s * 10.0**p for p in powers for s in (1.0, 2.0, 5.0)]
    below = max(s for s in steps if s <= low)
    above = min((s for s in steps if s >= high), default=steps[-1] * 2.0)
    found = tuple(s for s in steps if below <= s <= above)
    return found if len(found) > 1 else (below, 2.0 * below)


@dataclass(frozen=True, slots=True)
class Trip:
    """An overload curve and the parts that share it."""

    label: str
    factor: Array
    time: Array


def trips(data: Sequence[Trip], key: str = "trips") -> str:
    """Overload time over load factor, the time logarithmic, as SVG 493 pt wide."""
    canvas = Canvas(_WIDE, 190, key)
    times = np.concatenate([one.time for one in data])
    reach = max(float(one.factor.max()) for one in data)
    decades = _decades(times)
    frame = Frame(canvas, 40, 16, _WIDE - 10, 162, (1.0, 1.0 + 1.05 * (reach - 1.0)),
                  (decades[0], decades[-1]), y_log=True)  # fmt: skip
    marks = inside(1.0, reach, 5)
    frame.ground()
    frame.y_grid(decades, tuple(f"{m:g}" for m in decades))
    frame.x_grid(marks, tuple(tick_text(m, marks) for m in marks))
    frame.titles("Time from cold, s", "Current over rated current")
    for k, one in enumerate(data):
        frame.curve(one.factor, one.time, "ink", 1.2, _DASHES[k % len(_DASHES)])
    for one in data:
        middle = one.factor.size // 2
        frame.label(one.label, frame.spots(float(one.factor[middle]), float(one.time[middle])))
    return canvas.svg()
