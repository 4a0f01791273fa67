"""The train in order of power flow, as line drawings on one centre line."""

from __future__ import annotations

from dutyline.report.figures.canvas import Canvas, text_width
from dutyline.report.figures.data import Part, TrainData
from dutyline.report.figures.strokes import STYLES
from dutyline.report.figures.symbols import SYMBOLS

_WIDTH, _NAME = 493.2, 8.2
_HEIGHT = 35.3


def _draw(canvas: Canvas, kind: str, left: float, scale: float) -> None:
    mark = canvas.mark()
    for style, letters in SYMBOLS[kind]:
        colour, width, fill, dash = STYLES[style]
        canvas.path(letters, colour, width, fill, dash)
    parts = canvas.taken(mark)
    canvas.group(parts, f"translate({left:.2f} 0) scale({scale:.4f})")


def wrap(name: str, room: float) -> list[str]:
    """A name in lines that fit, broken at spaces, then behind hyphens, never cut."""
    pieces = name.replace("-", "-\u200b").replace(" ", " \u200b").split("\u200b")
    lines = [""]
    for piece in pieces:
        if lines[-1] and text_width((lines[-1] + piece).strip(), _NAME, 600) > room:
            lines.append("")
        lines[-1] += piece
    return [line.strip() for line in lines]


def _runs(parts: tuple[Part, ...]) -> tuple[int, int]:
    """First and last cell on the shaft; drive and resistor hang on a wire of their own."""
    shaft = [k for k, p in enumerate(parts) if p.kind not in ("drive", "resistor")]
    return shaft[0], shaft[-1]


def train(data: TrainData, key: str = "train") -> str:
    """The sketch as SVG, the full width of the page; names stand under the parts."""
    count = len(data.parts)
    cell = _WIDTH / max(count, 6)
    start = (_WIDTH - cell * count) / 2
    scale = min(cell / 168.0, 70.46 / 168.0)
    names = [wrap(p.name, cell - 3) for p in data.parts]
    rows = max(len(n) for n in names)
    canvas = Canvas(_WIDTH, _HEIGHT + 2.5 + 9.6 * rows, key)
    y = 46.0 * scale
    first, last = _runs(data.parts)
    middles = [start + cell * (k + 0.5) for k in range(count)]
    canvas.line((middles[first], y), (middles[last], y), "edge", 0.5, "8 2.3 1.4 2.3")
    if last + 1 < count:
        canvas.line((middles[last + 1], y), (middles[-1], y), "edge", 0.5)
    for part, middle, lines in zip(data.parts, middles, names, strict=True):
        _draw(canvas, part.kind, middle - 84.0 * scale, scale)
        for row, line in enumerate(lines):
            base = _HEIGHT + 7.5 + 9.6 * row
            canvas.text((middle, base), line, "middle", weight=600, size=_NAME)
    return canvas.svg()
