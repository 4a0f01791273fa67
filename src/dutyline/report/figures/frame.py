"""The ground of a plot: scales, grid, titles with units, and places for labels."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.core.numbers import group
from dutyline.report.figures.canvas import SMALL, Canvas, Point, text_width

Array = NDArray[np.float64]
Values = TypeVar("Values", Array, np.float64)
Box = tuple[float, float, float, float]
"""Left, upper, right and lower edge [pt]."""
Place = tuple[Point, str]
"""A point on the base line of a label, and which part of the label stands there."""

_BEFORE = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""How much of a label stands to the left of its place."""


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


def stretches(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Index ranges over which a flag is set.

    >>> stretches(np.array([True, False, True, True]))
    [(0, 1), (2, 4)]
    """
    closed = np.zeros(flags.size + 2, dtype=bool)
    closed[1:-1] = flags
    edges = np.flatnonzero(closed[1:] != closed[:-1]).tolist()
    return list(zip(edges[::2], edges[1::2], strict=True))


@lru_cache(maxsize=256)
def _digits(marks: tuple[float, ...]) -> int:
    """Decimals that the ticks of a scale need."""
    step = min((abs(b - a) for a, b in pairwise(marks)), default=1.0)
    digits = max(0, -math.floor(math.log10(step) + 1e-9)) if step > 0 else 0
    if not math.isclose(step * 10**digits, round(step * 10**digits), rel_tol=1e-6):
        digits += 1
    return digits


def tick_text(value: float, marks: tuple[float, ...]) -> str:
    """A tick with the decimals that its scale needs."""
    return group(value, _digits(marks))


def _placed(
    value: Values, span: tuple[float, float], log: bool, start: float, end: float
) -> Values:
    low, high = span
    if log:
        value, low, high = np.log10(value), math.log10(low), math.log10(high)
    return start + (end - start) * (value - low) / (high - low)


def _dotted(tracks: Sequence[tuple[Array, Array]]) -> tuple[Array, Array]:
    """Points along tracks, about two points of print apart."""
    xs, ys = (np.concatenate(part) for part in zip(*tracks, strict=True))
    first = np.cumsum([0, *(x.size for x, _ in tracks[:-1])])
    across, upright = xs[1:] - xs[:-1], ys[1:] - ys[:-1]
    parts = np.maximum(1, (np.hypot(across, upright) / 2.0).astype(int))
    parts[first[1:] - 1] = 0  # from one track to the next
    piece = np.repeat(np.arange(parts.size), parts)
    count = np.arange(piece.size) - np.repeat(np.cumsum(parts) - parts, parts) + 1
    share = count / parts[piece]
    return (
        np.concatenate([xs[first], xs[piece] + share * across[piece]]),
        np.concatenate([ys[first], ys[piece] + share * upright[piece]]),
    )


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
    _boxes: list[Box] = field(default_factory=list)
    _tracks: list[tuple[Array, Array]] = field(default_factory=list)
    _dots: tuple[Array, Array] = (np.zeros(0), np.zeros(0))
    """Points along the tracks that labels have met so far, from left to right."""
    _places: list[float] = field(default_factory=list)
    """The same points across."""

    def x(self, value: ArrayLike) -> Array:
        """Where values stand across [pt]."""
        return _placed(np.asarray(value, float), self.x_range, self.x_log, self.left, self.right)

    def y(self, value: ArrayLike) -> Array:
        """Where values stand upright [pt]."""
        return _placed(np.asarray(value, float), self.y_range, self.y_log, self.bottom, self.top)

    def across(self, value: float) -> float:
        """Where one value stands across [pt]."""
        one = np.float64(value)
        return float(_placed(one, self.x_range, self.x_log, self.left, self.right))

    def upright(self, value: float) -> float:
        """Where one value stands upright [pt]."""
        one = np.float64(value)
        return float(_placed(one, self.y_range, self.y_log, self.bottom, self.top))

    def ground(self) -> None:
        """The tinted ground of the plot."""
        size = (self.right - self.left, self.bottom - self.top)
        self.canvas.rect((self.left, self.top), size, fill="sunk")

    def y_grid(self, marks: tuple[float, ...], texts: tuple[str, ...] | None = None) -> None:
        """Level lines with their numbers to the left; the zero line is firmer."""
        for mark, text in zip(
            marks, texts or tuple(tick_text(m, marks) for m in marks), strict=True
        ):
            y = self.upright(mark)
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
            x = self.across(mark)
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
        self._tracks.append((xs, ys))

    def hold(self, x: float, y: float, radius: float) -> None:
        """Keep labels away from a marker given in points."""
        self._boxes.append((x - radius, y - radius, x + radius, y + radius))

    def label(
        self, text: str, places: Iterable[Place], colour: str = "ink", weight: int = 400
    ) -> None:
        """Set a label at the first place that hides nothing, else at the one that hides least."""
        width = text_width(text, SMALL, weight)
        least, found = math.inf, None
        for place in places:
            (x, y), anchor = place
            left = x - width * _BEFORE[anchor]
            box = (left - 1.0, y - 6.6, left + width + 1.0, y + 2.2)
            cost = self._cost(box, least)
            if found is None or cost < least:
                least, found = cost, (place, box)
            if cost == 0:
                break
        assert found is not None
        (point, anchor), box = found
        if least > 0:
            self.canvas.rect(box[:2], (box[2] - box[0], box[3] - box[1]), fill="sunk", opacity=0.85)
        self.canvas.text(point, text, anchor, colour, weight)
        self._boxes.append(box)

    def _cost(self, box: Box, most: float) -> float:
        """What a label hides, and how far it stands outside; where that is ``most``, not all."""
        x0, y0, x1, y1 = box
        cost = 50.0 * max(0.0, self.left - x0, x1 - self.right, self.top - y0, y1 - self.bottom)
        hidden = [x0 < a1 and a0 < x1 and y0 < b1 and b0 < y1 for a0, b0, a1, b1 in self._boxes]
        cost += 1000.0 * sum(hidden)
        if cost < most:
            upright = self._met()
            near = upright[bisect_right(self._places, x0) : bisect_left(self._places, x1)]
            cost += np.count_nonzero((near > y0) & (near < y1))
        return cost

    def _met(self) -> Array:
        """How high points along every track are, from left to right."""
        if self._tracks:
            made = zip(self._dots, _dotted(self._tracks), strict=True)
            across, upright = (np.concatenate(parts) for parts in made)
            order = across.argsort()
            self._dots = across[order], upright[order]
            self._places = self._dots[0].tolist()
            self._tracks.clear()
        return self._dots[1]

    def spots(
        self, x: float, y: float, gap: float = 4.0, reaches: tuple[float, ...] = (1.0, 2.2, 4.0)
    ) -> Iterator[Place]:
        """Places around a point given in values: right above, left above, below, further off."""
        px, py = self.across(x), self.upright(y)
        for reach in reaches:
            d = gap * reach
            yield (px + d, py - d), "start"
            yield (px - d, py - d), "end"
            yield (px + d, py + d + 5), "start"
            yield (px - d, py + d + 5), "end"
            yield (px, py - d - 2), "middle"
            yield (px, py + d + 7), "middle"
            yield (px + d + 2, py + 2.6), "start"
            yield (px - d - 2, py + 2.6), "end"
