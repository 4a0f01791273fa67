"""The five marks of a check: shape first, colour second; always followed by their word."""

from __future__ import annotations

from dutyline.report.figures.canvas import Canvas, Point, number

MARKS = ("meets", "short", "caution", "fails", "open")


def draw_mark(canvas: Canvas, state: str, centre: Point, size: float) -> None:
    """Draw one mark about a point: disc, half-filled triangle, diamond, crossed square, ring."""
    x, y, h = centre[0], centre[1], size / 2

    def at(*offsets: float) -> str:
        pairs = zip(offsets[::2], offsets[1::2], strict=True)
        return "M" + "L".join(f"{number(x + a * h)} {number(y + b * h)}" for a, b in pairs)

    if state == "meets":
        canvas.circle(centre, 0.72 * h, "meets", "meets", 0.1)
    elif state == "short":
        canvas.path(at(0, -0.92, 1, 0.92, -1, 0.92) + "Z", "short", 0.8, "sheet")
        canvas.path(at(0, -0.92, 0, 0.92, -1, 0.92) + "Z", "short", 0.1, "short")
    elif state == "caution":
        canvas.path(at(0, -1, 1, 0, 0, 1, -1, 0) + "Z", "caution", 0.95, "sheet")
    elif state == "fails":
        canvas.rect((x - 0.92 * h, y - 0.92 * h), (1.84 * h, 1.84 * h), "fails")
        canvas.path(at(-0.44, -0.44, 0.44, 0.44) + at(0.44, -0.44, -0.44, 0.44), "sheet", 1.0)
    else:
        canvas.circle(centre, 0.84 * h, "none", "open", 0.85, "1.45 1.15")


def mark(state: str, size: float = 7.0) -> str:
    """One mark as SVG of its own."""
    canvas = Canvas(size + 1, size + 1, "mark")
    draw_mark(canvas, state, ((size + 1) / 2, (size + 1) / 2), size)
    return canvas.svg()
