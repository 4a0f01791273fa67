"""Speed, torque by cause and power over one cycle, with the phases as a rail below."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.core.numbers import fixed
from dutyline.report.figures.canvas import SMALL, Canvas, number, text_width
from dutyline.report.figures.data import Block, CycleData, Readout
from dutyline.report.figures.frame import Frame, inside, span, stretches, tick_text

Array = NDArray[np.float64]

_WIDTH, _LEFT, _RIGHT = 493.2, 36.0, 402.0
_PANELS = ((14.0, 46.0), (76.0, 92.0), (184.0, 50.0))
_RAIL = 254.0
_FILL = {
    "gravity": ("gravity", "none"),
    "process": ("hatch:process", "process"),
    "inertia": ("hatch:inertia", "inertia"),
    "friction": ("hatch:friction", "friction"),
    "loss": ("hatch:loss", "friction"),
}


def _panel(
    canvas: Canvas, data: CycleData, place: int, reach: tuple[float, float], right: float
) -> Frame:
    top, height = _PANELS[place]
    times = (float(data.time[0]), float(data.time[-1]))
    frame = Frame(canvas, _LEFT, top, right, top + height, times, reach)
    frame.ground()
    frame.y_grid(inside(*reach, 5 if height > 60 else 3))
    for block in data.blocks[1:]:
        x = frame.across(block.start)
        canvas.line((x, frame.top), (x, frame.bottom), "rule", 0.6, "1.2 1.8")
    return frame


def _stack(data: CycleData) -> tuple[list[tuple[Array, Array, str]], float, float]:
    """Bands (base, top, cause) piled up on both sides of zero, and their extremes."""
    above, below = np.zeros_like(data.torque), np.zeros_like(data.torque)
    bands = []
    for cause in data.causes:
        plus, minus = np.maximum(cause.torque, 0.0), np.minimum(cause.torque, 0.0)
        bands += [(above, above + plus, cause.name), (below, below + minus, cause.name)]
        above, below = above + plus, below + minus
    return bands, float(below.min()), float(above.max())


def _fill(frame: Frame, time: Array, base: Array, top: Array, name: str) -> None:
    """One band, drawn over the stretches where it is not empty."""
    size = max(abs(end) for end in frame.y_range)
    fill, edge = _FILL[name]
    for first, end in stretches(np.abs(top - base) > 1e-4 * size):
        a, b = max(first - 1, 0), min(end + 1, time.size)
        if time[a] == time[first]:
            a = first
        if time[b - 1] == time[end - 1]:
            b = end
        if b - a > 1:
            x = frame.x(time[a:b])
            frame.canvas.area(x, frame.y(top[a:b]), frame.y(base[a:b]), fill, edge)


def _power(frame: Frame, data: CycleData) -> None:
    back = np.minimum(data.power, 0.0)
    size = max(abs(end) for end in frame.y_range)
    for first, end in stretches(back < -2e-3 * size):
        a, b = max(first - 1, 0), min(end + 1, back.size)
        x, zero = frame.x(data.time[a:b]), frame.upright(0.0)
        frame.canvas.area(x, frame.y(back[a:b]), zero, "hatch:returned", "meets")
    frame.curve(data.time, data.power, "ink", 1.15)


def _cursor(frames: tuple[Frame, ...], data: CycleData) -> None:
    """The moment of the peak through all panels, with the values marked."""
    if data.peak_time is None:
        return
    canvas = frames[0].canvas
    x = frames[0].across(data.peak_time)
    for frame, values in zip(frames, (data.speed, data.torque, data.power), strict=True):
        end = frame.bottom + (9 if frame is frames[-1] else 0)
        canvas.line((x, frame.top), (x, end), "act", 0.85)
        k = int(np.argmin(np.abs(data.time - data.peak_time)))
        near = np.flatnonzero(np.isclose(data.time, data.time[k], atol=1e-12))
        k = int(near[int(np.argmax(np.abs(data.torque[near])))])
        canvas.circle((x, frame.upright(values[k])), 2.3, "sheet", "act", 1.3)
    foot = frames[-1].bottom + 9.5
    canvas.path(f"M{number(x)} {number(foot)}l3.4 5h-6.8Z", "act", 0.1, "act")


def _rail(canvas: Canvas, frame: Frame, blocks: tuple[Block, ...]) -> None:
    for block in blocks:
        x0, x1 = frame.across(block.start), frame.across(block.start + block.duration)
        edge, fill = ("act", "tint") if block.moving else ("edge", "sheet")
        canvas.rect((x0 + 0.6, _RAIL), (max(x1 - x0 - 1.2, 0.6), 23), fill, edge)
        room = x1 - x0 - 8
        name = _fit(block.name, room, 600)
        if name:
            canvas.text((x0 + 5, _RAIL + 9.6), name, weight=600)
        time = f"{fixed(block.duration, 2)}\u00a0s"
        if text_width(time) <= room:
            canvas.text((x0 + 5, _RAIL + 19), time, colour="soft")


def _fit(text: str, room: float, weight: int) -> str:
    """The text if it fits, else its first word if that fits, else nothing."""
    for shorter in (text, text.split(",")[0], text.split(" ")[0]):
        if text_width(shorter, SMALL, weight) <= room:
            return shorter
    return ""


def _read(canvas: Canvas, top: float, read: Readout) -> float:
    """The value at the peak and what belongs to it; returns where the next line stands."""
    x = _RIGHT + 12
    canvas.text((x, top + 12), read.value, weight=700, size=11)
    y = top + 24.0
    for line in read.lines:
        canvas.text((x, y), line, colour="soft")
        y += 10
    return y


def _keys(canvas: Canvas, y: float, rows: list[tuple[str, str, str, str]]) -> float:
    """Pattern, name and value of each cause, topmost first."""
    x = _RIGHT + 12
    for fill, edge, label, value in rows:
        canvas.rect((x, y - 6.4), (8, 7), fill, "edge" if edge == "none" else edge, 0.5)
        canvas.text((x + 12, y), label)
        canvas.text((_WIDTH, y), value, "end", weight=600)
        y += 12
    return y


def _beside(canvas: Canvas, data: CycleData) -> None:
    """The column of numbers to the right of the panels."""
    x = _RIGHT + 12
    if data.peak_label:
        canvas.text((x, 10), data.peak_label, weight=600, colour="act")
    _read(canvas, _PANELS[0][0], data.speed_read)
    top = _PANELS[1][0]
    canvas.text((x, top + 12), data.torque_read.value, weight=700, size=11)
    rows = [
        (*_FILL[c.name], c.label, v) for c, v in zip(data.causes, data.cause_values, strict=True)
    ]
    y = _keys(canvas, top + 26, rows[::-1]) + 4
    for line in data.torque_read.lines:
        canvas.text((x, y), line, colour="soft")
        y += 10
    y = _read(canvas, _PANELS[2][0], data.power_read)
    if data.returned:
        _keys(canvas, y + 2, [("hatch:returned", "meets", "returned", data.returned)])


def _panels(canvas: Canvas, data: CycleData, right: float, marked: bool) -> tuple[Frame, ...]:
    """Speed, torque and power on one scale of time; the tick at a marked peak is left out."""
    bands, lowest, highest = _stack(data)
    torques = span([lowest, highest, float(data.torque.min()), float(data.torque.max())])
    reaches = (span(data.speed, 0.08, 0.08), torques, span(data.power, 0.08, 0.08))
    frames = tuple(_panel(canvas, data, k, reach, right) for k, reach in enumerate(reaches))
    for frame, title in zip(
        frames, (data.speed_title, data.torque_title, data.power_title), strict=True
    ):
        canvas.text((_LEFT, frame.top - 4), title, weight=600)
    frames[0].curve(data.time, data.speed, "ink", 1.1)
    for base, top, name in bands:
        _fill(frames[1], data.time, base, top, name)
    zero = frames[1].upright(0.0)
    canvas.line((_LEFT, zero), (right, zero), "edge", 0.7)
    frames[1].curve(data.time, data.torque, "ink", 1.15)
    _power(frames[2], data)
    marks = inside(float(data.time[0]), float(data.time[-1]), 10)
    peak = None
    if marked and data.peak_time is not None:
        peak = frames[2].across(data.peak_time)
    for m in marks:
        if peak is not None and abs(frames[2].across(m) - peak) < 6 and m != marks[-1]:
            continue
        last = " s" if m == marks[-1] else ""
        at = (frames[2].across(m), frames[2].bottom + 10)
        canvas.text(at, tick_text(m, marks) + last.replace(" ", "\u00a0"), "middle", "soft")
    return frames


def panels(data: CycleData, right: float, key: str = "panels") -> tuple[str, tuple[Frame, ...]]:
    """The three panels alone, as SVG for a screen, with their frames.

    Parameters
    ----------
    data : CycleData
    right : float
        Where the panels end [pt]; the drawing is a little wider.
    key : str
        Prefix of the pattern names.
    """
    canvas = Canvas(right + 10, _PANELS[2][0] + _PANELS[2][1] + 14, key)
    frames = _panels(canvas, data, right, False)
    return canvas.svg(), frames


def cause_fill(name: str) -> tuple[str, str]:
    """Fill and edge of a cause of torque."""
    return _FILL[name]


def cycle(data: CycleData, key: str = "cycle") -> str:
    """Three panels over one cycle as SVG, the full width of the page."""
    canvas = Canvas(_WIDTH, _RAIL + 24, key)
    frames = _panels(canvas, data, _RIGHT, True)
    _cursor(frames, data)
    _rail(canvas, frames[0], data.blocks)
    _beside(canvas, data)
    return canvas.svg()
