"""Lines, areas and words on an SVG of fixed size; coordinates are printed with two decimals."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from html import escape

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.report.figures.colours import FACE, LIGHT
from dutyline.report.formula import Token, read

Array = NDArray[np.float64]
Point = tuple[float, float]

SMALL = 7.5
"""Size of plot text [pt]; nothing is smaller."""

LETTERS = "New Computer Modern Math, serif"
"""Face of Greek letters, which the face of the pages does not have."""

_PATTERNS = {
    # name: (cell [pt], turn [deg], drawing with {c} for the colour, colour token)
    "inertia": (4.0, 45, '<path d="M0 0V4" stroke="{c}" stroke-width="1.4"/>', "inertia"),
    "friction": (
        2.9,
        0,
        '<circle cx=".8" cy=".8" r=".65" fill="{c}"/>'
        '<circle cx="2.25" cy="2.25" r=".65" fill="{c}"/>',
        "friction",
    ),
    "loss": (2.9, 0, '<circle cx="1.4" cy="1.4" r=".55" fill="{c}"/>', "friction"),
    "process": (3.0, 90, '<path d="M0 0V3" stroke="{c}" stroke-width=".9"/>', "process"),
    "returned": (3.5, -45, '<path d="M0 0V3.5" stroke="{c}" stroke-width="1.3"/>', "meets"),
    "reserve": (2.4, 45, '<path d="M0 0V2.4" stroke="{c}" stroke-width=".8"/>', "soft"),
}


def coordinate(x: float) -> str:
    """A coordinate: two decimals, no trailing zeros, no minus zero."""
    text = f"{x:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


@lru_cache(maxsize=2048)
def number(x: float) -> str:
    """The same of a place or size that comes again with other drawings."""
    return coordinate(x)


@lru_cache(maxsize=1024)
def text_width(text: str, size: float = SMALL, weight: int = 400) -> float:
    """About how wide a text is [pt]; a little more than the face needs."""
    narrow = sum(c in "iIl.,:;'|!\u202f\u00a0 " for c in text)
    wide = sum(c in "mwMW%→" for c in text)
    ems = 0.555 * (len(text) - narrow - wide) + 0.3 * narrow + 0.85 * wide
    return size * ems * (1.05 if weight > 500 else 1.0)


def thin(x: Array, y: Array, tolerance: float = 0.04) -> tuple[Array, Array]:
    """Fewer points of a polyline, none further than ``tolerance`` from the one drawn [pt]."""
    count = x.size
    if count < 3:
        return x, y
    points = x + 1j * y
    spots: list[complex] = points.tolist()
    keep = np.zeros(count, dtype=bool)
    keep[0] = keep[-1] = True
    stack = [(0, count - 1)]
    while stack:
        a, b = stack.pop()
        if b - a < 2:
            continue
        start = spots[a]
        worst, off = _farthest(points[a + 1 : b] - start, spots[b] - start, tolerance)
        if off > tolerance:
            middle = a + 1 + worst
            keep[middle] = True
            stack += [(a, middle), (middle, b)]
    return x[keep], y[keep]


def _farthest(points: NDArray[np.complex128], end: complex, tolerance: float) -> tuple[int, float]:
    """A point farther than ``tolerance`` from the chord 0 to ``end``, or the farthest of all."""
    length = abs(end)
    if length == 0:
        off = abs(points)
    else:
        turned = points * (end.conjugate() * (1.0 / length))
        off = abs(turned.imag)
        worst = int(off.argmax())
        if off[worst] > tolerance:
            return worst, off[worst]
        along = turned.real
        if along[along.argmin()] >= 0 and along[along.argmax()] <= length:
            return worst, off[worst]
        off = abs(turned - np.clip(along, 0.0, length))  # the end beyond which it is is nearest
    worst = int(off.argmax())
    return worst, off[worst]


def _points(x: ArrayLike, y: ArrayLike) -> tuple[str, ...]:
    """Points of a line as printed, thinned to what can be seen."""
    return _printed(np.asarray(x, float).tobytes(), np.asarray(y, float).tobytes())


@lru_cache(maxsize=128)
def _printed(x: bytes, y: bytes) -> tuple[str, ...]:
    """The same of arrays as bytes; while one line is dragged, others of a drawing stay."""
    xs, ys = thin(np.frombuffer(x), np.frombuffer(y))
    places = zip(xs.tolist(), ys.tolist(), strict=True)
    return tuple([f"{coordinate(a)} {coordinate(b)}" for a, b in places])


def _spans(tokens: Sequence[Token], size: float) -> str:
    """Tokens of a formula as spans of an SVG text."""
    out = []
    low, back = 0.22 * size, 0.0
    for token in tokens:
        move = f' dy="{number(-back)}"' if back else ""
        back = 0.0
        if token.kind == "sub":
            inner = escape("".join(t.text for t in token.inner))
            small = f' dy="{number(low)}" font-size="{number(0.74 * size)}"'
            out.append(f"<tspan{small}>{inner}</tspan>")
            back = low
        elif token.kind == "group":
            out.append(f"<tspan{move}>(</tspan>{_spans(token.inner, size)})")
        elif token.kind == "symbol":
            face = "" if token.text.isascii() else f' font-family="{LETTERS}"'
            out.append(f'<tspan{move}{face} font-style="italic">{escape(token.text)}</tspan>')
        else:
            out.append(f"<tspan{move}>{escape(token.text)}</tspan>")
    return "".join(out)


class Canvas:
    """An SVG being drawn. Colours are tokens of :mod:`colours`; patterns are ``hatch:name``."""

    def __init__(self, width: float, height: float, key: str) -> None:
        self.width = width
        self.height = height
        self.key = key
        """Prefix of the pattern names, so that several figures can stand in one page."""
        self._parts: list[str] = []
        self._used: set[str] = set()

    def _paint(self, colour: str) -> str:
        if colour == "none":
            return "none"
        if colour.startswith("hatch:"):
            name = colour.partition(":")[2]
            self._used.add(name)
            return f"url(#{self.key}-{name})"
        return LIGHT[colour]

    def _stroke(self, colour: str, width: float, dash: str = "") -> str:
        text = f' stroke="{self._paint(colour)}" stroke-width="{number(width)}"'
        return text + (f' stroke-dasharray="{dash}"' if dash else "")

    def polyline(
        self, x: ArrayLike, y: ArrayLike, colour: str = "ink", width: float = 1.15, dash: str = ""
    ) -> None:
        """An open line through points, thinned to what can be seen."""
        self._parts.append(
            f'<path d="M{" ".join(_points(x, y))}" fill="none" stroke-linejoin="round"'
            f"{self._stroke(colour, width, dash)}/>"
        )

    def area(
        self,
        x: ArrayLike,
        top: ArrayLike,
        base: ArrayLike,
        fill: str,
        edge: str = "none",
        opacity: float = 1.0,
    ) -> None:
        """The area between two lines over the same x."""
        xs = np.asarray(x, float)
        ends = xs[:: max(1, xs.size - 1)]
        upper, lower = (
            _points(xs, y) if np.ndim(y) else _points(ends, np.full(ends.shape, y))
            for y in (top, base)
        )
        track = " ".join([*upper, *lower[::-1]])
        see = f' fill-opacity="{number(opacity)}"' if opacity < 1 else ""
        line = self._stroke(edge, 0.45) if edge != "none" else ""
        self._parts.append(f'<path d="M{track}Z" fill="{self._paint(fill)}"{see}{line}/>')

    def path(
        self,
        d: str,
        colour: str = "ink",
        width: float = 0.6,
        fill: str = "none",
        dash: str = "",
        turn: str = "",
    ) -> None:
        """A path given in SVG path letters."""
        caps = ' stroke-linejoin="round" stroke-linecap="round"' if not dash else ""
        move = f' transform="{turn}"' if turn else ""
        line = self._stroke(colour, width, dash)
        self._parts.append(f'<path d="{d}" fill="{self._paint(fill)}"{line}{caps}{move}/>')

    def line(
        self,
        start: Point,
        end: Point,
        colour: str = "hair",
        width: float = 0.5,
        dash: str = "",
    ) -> None:
        """A straight line."""
        self._parts.append(
            f'<path d="M{number(start[0])} {number(start[1])}L{number(end[0])} {number(end[1])}"'
            f' fill="none"{self._stroke(colour, width, dash)}/>'
        )

    def rect(
        self,
        corner: Point,
        size: Point,
        fill: str = "none",
        edge: str = "none",
        width: float = 0.6,
        opacity: float = 1.0,
    ) -> None:
        """A rectangle from its top left corner."""
        see = f' fill-opacity="{number(opacity)}"' if opacity < 1 else ""
        line = self._stroke(edge, width) if edge != "none" else ""
        self._parts.append(
            f'<rect x="{number(corner[0])}" y="{number(corner[1])}" width="{number(size[0])}"'
            f' height="{number(size[1])}" fill="{self._paint(fill)}"{see}{line}/>'
        )

    def circle(
        self,
        centre: Point,
        radius: float,
        fill: str = "none",
        edge: str = "ink",
        width: float = 0.6,
        dash: str = "",
    ) -> None:
        """A circle."""
        self._parts.append(
            f'<circle cx="{number(centre[0])}" cy="{number(centre[1])}" r="{number(radius)}"'
            f' fill="{self._paint(fill)}"{self._stroke(edge, width, dash)}/>'
        )

    def text(
        self,
        at: Point,
        text: str,
        anchor: str = "start",
        colour: str = "ink",
        weight: int = 400,
        size: float = SMALL,
    ) -> None:
        """A line of text; ``at`` is on its base line. The text is data and is escaped."""
        place = f'x="{number(at[0])}" y="{number(at[1])}"'
        side = f' text-anchor="{anchor}"' if anchor != "start" else ""
        bold = f' font-weight="{weight}"' if weight != 400 else ""
        self._parts.append(
            f'<text {place}{side} font-size="{number(size)}"{bold}'
            f' fill="{self._paint(colour)}">{escape(text, quote=True)}</text>'
        )

    def symbol(
        self, at: Point, text: str, anchor: str = "middle", size: float = SMALL, colour: str = "ink"
    ) -> None:
        """A formula on one line, letters slanted, indices below; ``at`` is on its base line."""
        place = f'x="{number(at[0])}" y="{number(at[1])}"'
        side = f' text-anchor="{anchor}"' if anchor != "start" else ""
        self._parts.append(
            f'<text {place}{side} font-size="{number(size)}" fill="{self._paint(colour)}">'
            f"{_spans(read(text), size)}</text>"
        )

    def group(self, parts: Iterable[str], turn: str) -> None:
        """Finished parts under one transform."""
        self._parts.append(f'<g transform="{turn}">{"".join(parts)}</g>')

    def taken(self, mark: int) -> Sequence[str]:
        """Take back the parts drawn since ``mark`` (see :meth:`mark`), to group them."""
        parts = self._parts[mark:]
        del self._parts[mark:]
        return parts

    def mark(self) -> int:
        """How many parts are drawn."""
        return len(self._parts)

    def _defs(self) -> str:
        out = []
        for name in sorted(self._used):
            cell, turn, drawing, token = _PATTERNS[name]
            rotate = f' patternTransform="rotate({turn})"' if turn else ""
            out.append(
                f'<pattern id="{self.key}-{name}" width="{number(cell)}" height="{number(cell)}"'
                f' patternUnits="userSpaceOnUse"{rotate}>{drawing.format(c=LIGHT[token])}</pattern>'
            )
        return f"<defs>{''.join(out)}</defs>" if out else ""

    def svg(self) -> str:
        """The drawing as a document of its own."""
        size = f"{number(self.width)} {number(self.height)}"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}"'
            f' width="{number(self.width)}" height="{number(self.height)}"'
            f' font-family="{FACE}">{self._defs()}{"".join(self._parts)}</svg>'
        )
