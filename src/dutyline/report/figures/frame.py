"""The ground of a plot: scales, grid, titles with units, and places for labels."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.core.numbers import group
from dutyline.report.figures.canvas import SMALL, Canvas, Point, text_width

Array = NDArray[np.float64]


def ticks(low: float, high: float, about: int = 5) -> tuple[float, ...]:
    """Round numbers (1, 2, 2.5 or 5 times a power of ten) that cover ``low`` to ``high``.

    >>> ticks(-0.3, 3.9, 5)
    (-1.0, 0.0, 1.0, 2.0, 3.0, 4.0)
    """
    if not high > low:
        low, high = low - 0.5 * max(abs(low), 1.0), high + 0.5 * max(abs(high), 1.0)
    raw = (high - low) / about
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(s * power for s in (1.0, 2.0, 2.5, 5.0, 10.0) if s * power >= raw * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return tuple(round(k * step, 12) for k in range(first, last + 1))


def inside(low: float, high: float, about: int = 5) -> tuple[float, ...]:
    """The round numbers of :func:`ticks` that lie within ``low`` to ``high``."""
    tiny = 1e-9 * max(abs(low), abs(high))
    return tuple(m for m in ticks(low, high, about) if low - tiny <= m <= high + tiny)


def span(values: ArrayLike, below: float = 0.06, above: float = 0.06) -> tuple[float, float]:
    """Range of a scale: all values and zero, with shares of air below and above."""
    v = np.asarray(values, dtype=float)
    low, high = min(0.0, float(v.min())), max(0.0, float(v.max()))
    size = high - low or 1.0
    return low - (below * size if low < 0 else 0.0), high + (above * size if high > 0 else 0.0)


def tick_text(value: float, marks: tuple[float, ...]) -> str:
    """A tick with the decimals that its scale needs."""
    step = min((abs(b - a) for a, b in pairwise(marks)), default=1.0)
    digits = max(0, -math.floor(math.log10(step) + 1e-9)) if step > 0 else 0
    if not math.isclose(step * 10**digits, round(step * 10**digits), rel_tol=1e-6):
        digits += 1
    return group(value, digits)


@dataclass(slots=True)
class Frame:
    """A rectangle on a canvas with scales in both directions."""

    canvas: Canvas
    left: float
    top: float
    right: float
    bottom: float
    x_range: tuple[float, float]
    y_range: tuple[float, float]
    x_log: bool = False
    y_log: bool = False
    _boxes: list[tuple[float, float, float, float]] = field(default_factory=list)
    _tracks: list[tuple[Array, Array]] = field(default_factory=list)

    def x(self, value: ArrayLike) -> Array:
        """Where values stand across [pt]."""
        return self._place(value, self.x_range, self.x_log, self.left, self.right)

    def y(self, value: ArrayLike) -> Array:
        """Where values stand upright [pt]."""
        return self._place(value, self.y_range, self.y_log, self.bottom, self.top)

    @staticmethod
    def _place(
        value: ArrayLike, span: tuple[float, float], log: bool, start: float, end: float
    ) -> Array:
        v = np.asarray(value, dtype=float)
        low, high = span
        if log:
            v, low, high = np.log10(v), math.log10(low), math.log10(high)
        return np.asarray(start + (end - start) * (v - low) / (high - low), dtype=float)

    def ground(self) -> None:
        """The tinted ground of the plot."""
        size = (self.right - self.left, self.bottom - self.top)
        self.canvas.rect((self.left, self.top), size, fill="sunk")

    def y_grid(self, marks: tuple[float, ...], texts: tuple[str, ...] | None = None) -> None:
        """Level lines with their numbers to the left; the zero line is firmer."""
        for mark, text in zip(
            marks, texts or tuple(tick_text(m, marks) for m in marks), strict=True
        ):
            y = float(self.y(mark))
            zero = mark == 0 and not self.y_log
            self.canvas.line(
                (self.left, y), (self.right, y), "edge" if zero else "hair", 0.7 if zero else 0.5
            )
            self.canvas.text((self.left - 4, y + 2.6), text, "end", "soft")

    def x_grid(self, marks: tuple[float, ...], texts: tuple[str, ...] | None = None) -> None:
        """Upright lines with their numbers below."""
        for mark, text in zip(
            marks, texts or tuple(tick_text(m, marks) for m in marks), strict=True
        ):
            x = float(self.x(mark))
            self.canvas.line((x, self.top), (x, self.bottom))
            half = text_width(text) / 2
            inside = min(x, self.canvas.width - half)
            self.canvas.text((inside, self.bottom + 10), text, "middle", "soft")

    def titles(self, upright: str, across: str = "") -> None:
        """Axis titles: above left and below right."""
        self.canvas.text((self.left, self.top - 6), upright, weight=600)
        if across:
            self.canvas.text((self.right, self.bottom + 22), across, "end", weight=600)

    def curve(
        self,
        x: ArrayLike,
        y: ArrayLike,
        colour: str = "ink",
        width: float = 1.15,
        dash: str = "",
    ) -> None:
        """A curve in values; labels keep away from it."""
        xs, ys = self.x(x), self.y(y)
        self.canvas.polyline(xs, ys, colour, width, dash)
        self.avoid(xs, ys)

    def avoid(self, xs: Array, ys: Array) -> None:
        """Keep labels away from a track given in points."""
        parts = np.maximum(1, (np.hypot(np.diff(xs), np.diff(ys)) / 2.0).astype(int))
        piece = np.repeat(np.arange(parts.size), parts)
        count = np.arange(piece.size) - np.repeat(np.cumsum(parts) - parts, parts) + 1
        share = count / parts[piece]
        self._tracks.append((
            np.append(xs[:1], xs[piece] + share * np.diff(xs)[piece]),
            np.append(ys[:1], ys[piece] + share * np.diff(ys)[piece]),
        ))  # fmt: skip

    def hold(self, x: float, y: float, radius: float) -> None:
        """Keep labels away from a marker given in points."""
        self._boxes.append((x - radius, y - radius, x + radius, y + radius))

    def label(
        self,
        text: str,
        places: list[tuple[Point, str]],
        colour: str = "ink",
        weight: int = 400,
    ) -> None:
        """Set a label at the first place that hides nothing, else at the one that hides least.

        ``places`` are base line points with an anchor (``start``, ``middle``, ``end``).
        """
        boxes = self._around(text, places, weight)
        costs = self._costs(boxes)
        best = int(np.argmin(costs))
        point, anchor = places[best]
        x0, y0, x1, y1 = (float(v) for v in boxes[best])
        if costs[best] > 0:
            self.canvas.rect((x0, y0), (x1 - x0, y1 - y0), fill="sunk", opacity=0.85)
        self.canvas.text(point, text, anchor, colour, weight)
        self._boxes.append((x0, y0, x1, y1))

    @staticmethod
    def _around(text: str, places: list[tuple[Point, str]], weight: int) -> Array:
        """Left, upper, right and lower edge of a label at each place, shape (places, 4)."""
        width = text_width(text, SMALL, weight)
        before = {"start": 0.0, "middle": width / 2, "end": width}
        left = np.array([point[0] - before[anchor] for point, anchor in places])
        line = np.array([point[1] for point, _ in places])
        return np.stack([left - 1.0, line - 6.6, left + width + 1.0, line + 2.2], axis=1)

    def _costs(self, boxes: Array) -> Array:
        """What a label hides at each place, and how far it stands outside."""
        x0, y0, x1, y1 = boxes.T
        sides = np.stack([self.left - x0, x1 - self.right, self.top - y0, y1 - self.bottom])
        cost = 50.0 * np.maximum(0.0, sides.max(axis=0))
        if self._boxes:
            a0, b0, a1, b1 = np.array(self._boxes).T[:, :, None]
            hidden = (x0 < a1) & (a0 < x1) & (y0 < b1) & (b0 < y1)
            cost += 1000.0 * np.count_nonzero(hidden, axis=0)
        if self._tracks:
            xs, ys = (np.concatenate(track) for track in zip(*self._tracks, strict=True))
            near = (xs > x0.min()) & (xs < x1.max()) & (ys > y0.min()) & (ys < y1.max())
            x, y = xs[near], ys[near]
            across = (x > x0[:, None]) & (x < x1[:, None])
            upright = (y > y0[:, None]) & (y < y1[:, None])
            cost += np.count_nonzero(across & upright, axis=1)
        return np.asarray(cost, dtype=float)

    def spots(
        self, x: float, y: float, gap: float = 4.0, reaches: tuple[float, ...] = (1.0, 2.2, 4.0)
    ) -> list[tuple[Point, str]]:
        """Places around a point given in values: right above, left above, below, further off."""
        px, py = float(self.x(x)), float(self.y(y))
        out: list[tuple[Point, str]] = []
        for reach in reaches:
            d = gap * reach
            out += [
                ((px + d, py - d), "start"),
                ((px - d, py - d), "end"),
                ((px + d, py + d + 5), "start"),
                ((px - d, py + d + 5), "end"),
                ((px, py - d - 2), "middle"),
                ((px, py + d + 7), "middle"),
                ((px + d + 2, py + 2.6), "start"),
                ((px - d - 2, py + 2.6), "end"),
            ]
        return out
