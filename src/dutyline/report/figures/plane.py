"""Motor torque over speed: boundaries, the trace of the cycle, effective point and peak."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import Boundary, PlaneData
from dutyline.report.figures.frame import Frame, Place, inside, span

Array = NDArray[np.float64]

_DOWN = "3.6 1.8"
_CONTINUOUS = "5.2 1.8"
_LOW = "1.8 1.8"


def _bounds(data: PlaneData) -> tuple[tuple[float, float], tuple[float, float]]:
    """Ranges across and upright that hold everything drawn."""
    limits = [b for b in (data.peak, data.continuous, data.low) if b is not None]
    speeds = np.concatenate([data.speed, *(b.speed for b in limits)])
    torques = np.concatenate([data.torque, *(b.torque for b in limits)])
    return span(speeds, above=0.05), span(torques, below=0.09, above=0.10)


def _runs(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Index ranges over which a flag does not change."""
    edges = np.flatnonzero(np.diff(flags.astype(np.int8))) + 1
    cuts = [0, *(int(e) for e in edges), flags.size]
    return list(pairwise(cuts))


def _limits(frame: Frame, data: PlaneData) -> None:
    """The boundaries of the motor, continuous zone tinted."""
    if data.continuous is not None:
        b = data.continuous
        x, y = frame.x(b.speed), frame.y(b.torque)
        frame.canvas.area(x, y, frame.upright(0.0), "meets", opacity=0.09)
    if data.low is not None:
        frame.curve(data.low.speed, data.low.torque, "soft", 0.75, _LOW)
    if data.peak is not None:
        b = data.peak
        frame.curve(*_with_brake_side(b, frame.y_range[0]), "ink", 1.3)
    if data.continuous is not None:
        frame.curve(data.continuous.speed, data.continuous.torque, "meets", 1.1, _CONTINUOUS)


def _with_brake_side(boundary: Boundary, low: float) -> tuple[Array, Array]:
    """The boundary, its far end and as much of its mirror image as the frame shows."""
    speed, torque = boundary.speed[::-1], -boundary.torque[::-1]
    shown = torque >= low
    count = int(np.argmin(shown)) if not shown.all() else speed.size
    mirror_speed, mirror = speed[:count], torque[:count]
    if 0 < count < speed.size:
        reach = float(np.interp(-low, boundary.torque[::-1], boundary.speed[::-1]))
        mirror_speed, mirror = np.append(mirror_speed, reach), np.append(mirror, low)
    elif count == 0:
        mirror_speed, mirror = boundary.speed[-1:], np.array([low])
    return np.append(boundary.speed, mirror_speed), np.append(boundary.torque, mirror)


def _trace(frame: Frame, data: PlaneData) -> None:
    """The cycle: solid where the load goes forward, dashed where it comes back."""
    x, y = frame.x(data.speed), frame.y(data.torque)
    for first, end in _runs(data.forward):
        stop = min(end + 1, x.size)
        frame.canvas.polyline(
            x[first:stop], y[first:stop], "act", 1.2, "" if data.forward[first] else _DOWN
        )
    frame.avoid(x, y)


def _points(frame: Frame, data: PlaneData) -> None:
    if data.worst is not None:
        centre = (frame.across(data.worst[0]), frame.upright(data.worst[1]))
        frame.canvas.circle(centre, 2.4, "sheet", "act", 1.3)
        frame.hold(*centre, 3.0)
    if data.effective is not None:
        x, y = frame.across(data.effective[0]), frame.upright(data.effective[1])
        frame.canvas.circle((x, y), 3.0, "none", "ink", 1.05)
        frame.canvas.line((x - 5, y), (x + 5, y), "ink", 1.05)
        frame.canvas.line((x, y - 5), (x, y + 5), "ink", 1.05)
        frame.hold(x, y, 5.5)


def _along(frame: Frame, boundary: Boundary, shares: tuple[float, ...]) -> Iterator[Place]:
    """Label places at shares of a boundary's speed range, above and below it."""
    for share in shares:
        speed = share * float(boundary.speed[-1])
        torque = float(np.interp(speed, boundary.speed, boundary.torque))
        yield from frame.spots(speed, torque)


def _ridge(data: PlaneData, forward: bool) -> list[int]:
    """Samples of one sense of motion to which a word can be tied: along its top and its foot."""
    sense = data.forward if forward else ~data.forward
    where = (sense & (data.speed > 1e-9)).nonzero()[0]
    if where.size == 0:
        return []
    torque, speed = data.torque[where], data.speed[where]
    top, foot = torque.max(), torque.min()
    close = 0.02 * max(float(top - foot), 1e-9)
    picks = []
    for edge in (torque >= top - close, torque <= foot + close):
        order = where[edge][speed[edge].argsort()]
        picks += [int(order[order.size // 2]), int(order[3 * order.size // 4])]
    return [*picks, int(where[speed.argmax()])]


def _tied(frame: Frame, data: PlaneData, picks: list[int]) -> Iterator[Place]:
    """Label places close around samples of the cycle."""
    for k in picks:
        yield from frame.spots(float(data.speed[k]), float(data.torque[k]), reaches=(1.0,))


def plane(data: PlaneData, key: str = "plane") -> str:
    """The torque-speed plane as SVG, 238 pt wide."""
    return framed_plane(data, key)[0]


def plane_frame(data: PlaneData, key: str = "plane") -> Frame:
    """The empty frame of the plane."""
    return Frame(Canvas(238, 196, key), 28, 16, 232, 168, *_bounds(data))


def framed_plane(data: PlaneData, key: str = "plane") -> tuple[str, Frame]:
    """The torque-speed plane as SVG, 238 pt wide, and its frame."""
    frame = plane_frame(data, key)
    canvas, x_range, y_range = frame.canvas, frame.x_range, frame.y_range
    x_marks, y_marks = inside(*x_range, 4), inside(*y_range, 5)
    frame.ground()
    frame.y_grid(y_marks)
    frame.x_grid(x_marks)
    frame.titles(data.torque_title, data.speed_title)
    zero = np.full(2, frame.upright(0.0))
    frame.avoid(np.array([frame.left, frame.right]), zero)
    _limits(frame, data)
    _trace(frame, data)
    _points(frame, data)
    if data.worst is not None and data.worst_label:
        frame.label(data.worst_label, frame.spots(*data.worst), "act", 600)
    if data.peak is not None:
        frame.label(data.peak_label, _along(frame, data.peak, (0.03, 0.1, 0.3, 0.5, 0.8)))
    if data.continuous is not None:
        shares = (0.97, 0.85, 0.75, 0.65, 0.55, 0.4, 0.25, 0.1)
        frame.label(data.continuous_label, _along(frame, data.continuous, shares), "meets")
    if data.low is not None:
        frame.label(
            data.low_label, _along(frame, data.low, (0.9, 0.8, 0.95, 0.7, 0.6, 0.4)), "soft"
        )
    if data.effective is not None:
        frame.label("effective point", frame.spots(*data.effective, 6.0, (1.0, 1.5)))
    for forward, name in ((True, data.forward_label), (False, data.backward_label)):
        picks = _ridge(data, forward)
        if picks:
            frame.label(name, _tied(frame, data, picks), "act")
    return canvas.svg(), frame
