"""Pieces of line drawings as path letters, and the styles in which they are drawn."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, radians, sin

Stroke = tuple[str, str]
"""Style of :data:`STYLES`, path letters."""

STYLES = {
    # name: (stroke colour, width, fill, dash)
    "body": ("ink", 1.6, "sheet", ""),
    "sunk": ("ink", 1.4, "sunk", ""),
    "ink": ("ink", 1.5, "none", ""),
    "thin": ("edge", 1.1, "none", ""),
    "dash": ("edge", 1.1, "none", "3 2"),
    "solid": ("ink", 0.5, "ink", ""),
    "chain": ("edge", 1.2, "none", "14 4 2.5 4"),
}


def n(value: float) -> str:
    """A coordinate with two decimals at most."""
    return f"{round(value, 2) + 0.0:g}"


def ring(x: float, y: float, r: float) -> str:
    """A circle as path letters."""
    return f"M{n(x - r)} {n(y)}a{n(r)} {n(r)} 0 1 0 {n(2 * r)} 0a{n(r)} {n(r)} 0 1 0 {n(-2 * r)} 0Z"


def box(x: float, y: float, w: float, h: float) -> str:
    """A rectangle as path letters."""
    return f"M{n(x)} {n(y)}h{n(w)}v{n(h)}h{n(-w)}Z"


def hatch(x: float, y: float, w: float, h: float, step: float = 10.0) -> str:
    """Slanting lines across a rectangle as path letters."""
    out = []
    reach = 0.0
    while reach < w + h:
        a = (x + min(reach, w), y + h - max(0.0, reach - w))
        b = (x + max(0.0, reach - h), y + h - min(reach, h))
        out.append(f"M{n(b[0])} {n(b[1])}L{n(a[0])} {n(a[1])}")
        reach += step
    return "".join(out[1:])


def rack_teeth(x: float, y: float, count: int, pitch: float, depth: float) -> str:
    """A row of teeth on a level line as path letters."""
    flank, top = 0.19 * pitch, 0.2 * pitch
    gap = pitch - top - 2 * flank
    one = f"l{n(flank)} {n(-depth)}h{n(top)}l{n(flank)} {n(depth)}h{n(gap)}"
    return f"M{n(x)} {n(y)}" + one * count


def polygon(points: Sequence[tuple[float, float]]) -> str:
    """A closed line through points as path letters."""
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points) + "Z"


def toothed(x: float, y: float, r: float, count: int, depth: float, turn: float = 90.0) -> str:
    """A wheel with straight-sided teeth about its pitch circle.

    ``turn`` is the direction of one tooth, clockwise from the right [deg]; it points down.
    """
    points = []
    step = 2 * pi / count
    for k in range(count):
        for share, height in ((-0.31, -0.55), (-0.11, 0.45), (0.11, 0.45), (0.31, -0.55)):
            angle, far = radians(turn) + (k + share) * step, r + height * depth
            points.append((x + far * cos(angle), y + far * sin(angle)))
    return polygon(points)


def wheel(x: float, y: float, r: float) -> list[Stroke]:
    """A disc with a cross at its axis."""
    return [("body", ring(x, y, r)), ("ink", cross(x, y))]


def cross(x: float, y: float, size: float = 3.0) -> str:
    """The mark of an axis as path letters."""
    return f"M{n(x)} {n(y - size)}v{n(2 * size)}M{n(x - size)} {n(y)}h{n(2 * size)}"


def ground(x: float, y: float, w: float, depth: float = 6.0) -> list[Stroke]:
    """A level line of the frame, hatched below."""
    return [("thin", hatch(x, y, w, depth, 6.0)), ("ink", f"M{n(x)} {n(y)}h{n(w)}")]


def pivot(x: float, y: float, r: float = 4.0) -> list[Stroke]:
    """A pin held by the frame below it."""
    foot = f"M{n(x)} {n(y)}l{n(-1.7 * r)} {n(2.6 * r)}h{n(3.4 * r)}Z"
    return [
        ("body", foot),
        *ground(x - 2.6 * r, y + 2.6 * r, 5.2 * r, 5.0),
        ("body", ring(x, y, r)),
    ]


def bar(a: tuple[float, float], b: tuple[float, float], half: float = 3.4) -> str:
    """A link with round ends between two pins as path letters."""
    length = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
    u, v = (b[0] - a[0]) / length * half, (b[1] - a[1]) / length * half
    return (
        f"M{n(a[0] - v)} {n(a[1] + u)}L{n(b[0] - v)} {n(b[1] + u)}"
        f"A{n(half)} {n(half)} 0 0 0 {n(b[0] + v)} {n(b[1] - u)}"
        f"L{n(a[0] + v)} {n(a[1] - u)}A{n(half)} {n(half)} 0 0 0 {n(a[0] - v)} {n(a[1] + u)}Z"
    )


def round_about(x: float, y: float, r: float, angle: float) -> tuple[float, float]:
    """The point of a circle at an angle in degrees, counted upward from the level."""
    return x + r * cos(radians(angle)), y - r * sin(radians(angle))


def coil(x: float, y: float, length: float, turns: int = 4, half: float = 5.0) -> str:
    """A spring that stands upright, downward from a point, as path letters."""
    step = length / (turns + 1)
    zig = "".join(
        f"L{n(x + (half if k % 2 else -half))} {n(y + step * (k + 1))}" for k in range(turns)
    )
    return (
        f"M{n(x)} {n(y)}V{n(y + step / 2)}{zig}L{n(x)} {n(y + length - step / 2)}V{n(y + length)}"
    )
