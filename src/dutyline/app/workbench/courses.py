"""The cycle over time and torque over speed, drawn, with what a cursor needs to read them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from dutyline.app.workbench.records import CourseView, PlaneView
from dutyline.checks.records import Verdict
from dutyline.core.deadline import wanted
from dutyline.core.numbers import decimals, quantity
from dutyline.demand.trace import MotorTrace
from dutyline.report.figures.cycle import cause_fill, panels
from dutyline.report.figures.frame import Frame
from dutyline.report.figures.plane import framed_plane
from dutyline.report.sections.demand import cycle_alt, cycle_data
from dutyline.report.sections.plots import plane_alt, plane_data

Array = NDArray[np.float64]

_RIGHT = 334.0
MOST_POINTS = 400
"""Samples that a cursor reads, ends and extremes among them."""
STRAIGHT = 1e-9
"""Of the largest value: what may lie off a straight line, small enough to add up unseen."""


def course(verdict: Verdict) -> CourseView | None:
    """Speed, torque by cause and power; None where there is no trace."""
    trace = verdict.trace
    if not isinstance(trace, MotorTrace):
        return None
    wanted()
    data = cycle_data(verdict, trace)
    svg, frames = panels(data, _RIGHT, "cycle")
    kept = samples(trace, (data.speed, data.torque, data.power, *(c.torque for c in data.causes)))
    fine = _digits(data.torque)
    frame = {
        "width": _RIGHT + 10,
        "height": frames[2].bottom + 14,
        "left": frames[0].left,
        "right": frames[0].right,
        "duration": float(data.time[-1]),
        "peak": trace.peak_time,
        "panels": [_panel(f) for f in frames],
        "torque": _rounded(data.torque[kept], fine),
        "power": _rounded(data.power[kept], _digits(data.power)),
        "causes": [
            {
                "name": cause.name,
                "label": cause.label,
                "fill": cause_fill(cause.name)[0],
                "values": _rounded(cause.torque[kept], fine),
            }
            for cause in data.causes
        ],
        "decimals": {
            "speed": 0,
            "torque": min(4, decimals(float(np.abs(data.torque).max()))),
            "power": 0 if float(np.abs(data.power).max()) >= 100 else 1,
        },
        "below": [
            list(data.speed_read.lines), list(data.torque_read.lines), list(data.power_read.lines),
        ],
        "returned": data.returned,
    }  # fmt: skip
    motion = {
        "time": _rounded(data.time[kept], _digits(data.time, 8)),
        "speed": _rounded(data.speed[kept], _digits(data.speed)),
    }
    return CourseView(svg, cycle_alt(verdict, trace, data), frame, motion)


def samples(trace: MotorTrace, read: Sequence[Array]) -> NDArray[np.intp]:
    """Places of the samples kept: every jump, and of runs between as many as fit evenly.

    A sample on the straight line between its neighbours in everything that is read tells nothing.

    Parameters
    ----------
    trace : MotorTrace
    read : sequence of (n,) arrays
    """
    count = trace.time.size
    peak = int(np.argmin(np.abs(trace.time - trace.peak_time)))
    bent = ~_straight(trace.time, read)
    bent[[0, peak, count - 1]] = True
    telling = np.flatnonzero(bent)
    if telling.size <= MOST_POINTS:
        return telling
    jumps = np.flatnonzero(np.diff(trace.time) <= 0)
    even = telling[np.linspace(0, telling.size - 1, MOST_POINTS).round().astype(int)]
    kept = np.unique(np.concatenate([even, jumps, jumps + 1, [peak]]))
    return kept if kept.size <= 4 * MOST_POINTS else np.unique(np.append(even, peak))


def _straight(time: Array, read: Sequence[Array]) -> NDArray[np.bool_]:
    """Where all that is read lies on the line between the samples before and behind."""
    step = time[1:] - time[:-1]
    before, behind = step[:-1], step[1:]
    straight, reach = (before > 0) & (behind > 0), before + behind
    for values in read:
        step = values[1:] - values[:-1]
        off = np.abs(step[1:] * before - step[:-1] * behind)
        straight &= off <= STRAIGHT * np.abs(values).max() * reach
    plain = np.zeros(time.size, dtype=bool)
    plain[1:-1] = straight
    return plain


def _panel(frame: Frame) -> dict[str, float]:
    low, high = frame.y_range
    return {"top": frame.top, "bottom": frame.bottom, "low": float(low), "high": float(high)}


def _digits(values: Array, figures: int = 5) -> int:
    """Decimals that leave the largest value with some figures, enough to place a cursor."""
    largest = float(np.abs(values).max(initial=0.0))
    return figures - 1 - math.floor(math.log10(largest)) if 0 < largest < math.inf else figures


def _rounded(values: Array, digits: int) -> list[float]:
    found: list[float] = (values.round(digits) + 0.0).tolist()
    return found if digits > 0 else [int(v) for v in found]


def plane(verdict: Verdict) -> PlaneView | None:
    """Torque over speed with its limits; None where there is no trace."""
    trace = verdict.trace
    if not isinstance(trace, MotorTrace):
        return None
    wanted()
    data = plane_data(verdict, trace)
    svg, frame = framed_plane(data, "plane")
    kept = samples(trace, (data.speed, data.torque))
    geometry: dict[str, Any] = {
        "x": [frame.left, frame.right, *(float(v) for v in frame.x_range)],
        "y": [frame.bottom, frame.top, *(float(v) for v in frame.y_range)],
        "torque": _rounded(data.torque[kept], _digits(data.torque)),
    }
    motion = {
        "time": _rounded(trace.time[kept], _digits(trace.time, 8)),
        "speed": _rounded(data.speed[kept], _digits(data.speed)),
    }
    return PlaneView(svg, plane_alt(verdict, data), geometry, motion)


def cycle_said(verdict: Verdict) -> str:
    """Length of the cycle and its rate."""
    time = verdict.axis.cycle.duration
    rate = 60 / time
    return f"{quantity(time, 's')}, {rate:.3g} per minute"
