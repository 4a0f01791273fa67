"""A mechanism or stage drawn large, with the symbols of its dimensions."""

from __future__ import annotations

from math import atan2, cos, hypot, radians, sin

from dutyline.report.figures.canvas import Canvas, number
from dutyline.report.figures.dimensions import (
    DIMENSIONS,
    Arc,
    Arrow,
    Leader,
    Note,
    Point,
    Span,
    Way,
    Word,
)
from dutyline.report.figures.strokes import STYLES, Stroke, round_about
from dutyline.report.figures.symbols import SYMBOLS

SCALE = 1.15
LEFT, WIDE = -34.0, 236.0
"""The window on the drawing across, in its own units."""
_EDGE = 9.0
"""Room above and below the outermost point."""
_MOVE = f"translate({number(-LEFT * SCALE)} 0) scale({SCALE})"
WEIGHT = 0.62
"""Width of a stroke over that of the small drawing."""
_THIN, _TEXT = 0.5, 8.0
_HEAD = 3.0


def sketch(kind: str, key: str = "sketch") -> str:
    """The drawing as SVG of its own.

    Parameters
    ----------
    kind : str
        A mechanism or stage kind; direct drives are ``direct-linear`` and ``direct-rotary``.
    key : str
        Prefix of the names inside, so that several drawings can stand on one page.
    """
    low, high = _reach(DIMENSIONS[kind])
    canvas = Canvas(WIDE * SCALE, (high - low) * SCALE, key)
    mark = canvas.mark()
    _strokes(canvas, SYMBOLS[kind])
    for note in DIMENSIONS[kind]:
        _note(canvas, note)
    canvas.group(canvas.taken(mark), f"translate(0 {number(-low * SCALE)})")
    return canvas.svg()


def _reach(notes: tuple[Note, ...]) -> tuple[float, float]:
    """Highest and lowest line of a drawing with its notes, with some room."""
    heights = [4.0, 80.0]
    for note in notes:
        for name in ("a", "b", "at", "to"):
            point = getattr(note, name, None)
            heights += [point[1]] if point is not None else []
        if isinstance(note, Arc):
            heights.append(_arc_label(note)[1])
    return min(heights) - _EDGE, max(heights) + _EDGE


def _strokes(canvas: Canvas, strokes: list[Stroke]) -> None:
    mark = canvas.mark()
    for style, letters in strokes:
        colour, width, fill, dash = STYLES[style]
        canvas.path(letters, colour, width * WEIGHT, fill, dash)
    canvas.group(canvas.taken(mark), _MOVE)


def _at(point: Point) -> Point:
    """A point of the drawing on the canvas."""
    return (point[0] - LEFT) * SCALE, point[1] * SCALE


def _head(canvas: Canvas, tip: Point, angle: float, size: float = _HEAD) -> None:
    """A slender arrow head; the angle is its direction on the canvas [rad]."""
    back = [
        (tip[0] - size * cos(angle + turn), tip[1] - size * sin(angle + turn))
        for turn in (0.3, -0.3)
    ]
    letters = "L".join(f"{number(x)} {number(y)}" for x, y in (tip, *back))
    canvas.path(f"M{letters}Z", "ink", 0.2, "ink")


def _label(canvas: Canvas, at: Point, label: str, anchor: str = "middle") -> None:
    canvas.symbol((at[0], at[1] + 0.34 * _TEXT), label, anchor, _TEXT)


def _note(canvas: Canvas, note: Note) -> None:
    match note:
        case Span():
            _span(canvas, note)
        case Leader():
            at, to = _at(note.at), _at(note.to)
            near = {"start": (-2.0, 0.0), "end": (2.0, 0.0), "middle": (0.0, 0.0)}[note.anchor]
            start = (at[0] + near[0], at[1] + (_clear(at, to) if note.anchor == "middle" else 0.0))
            canvas.line(start, to, "soft", _THIN)
            canvas.circle(to, 0.9, "ink", "ink", 0.1)
            _label(canvas, at, note.label, note.anchor)
        case Arc():
            _arc(canvas, note)
        case Arrow():
            a, b = _at(note.a), _at(note.b)
            canvas.line(a, b, "ink", 1.0)
            _head(canvas, b, atan2(b[1] - a[1], b[0] - a[0]), 5.0)
            _label(canvas, _at(note.at), note.label, note.anchor)
        case Way():
            mark = canvas.mark()
            canvas.path(note.letters, "soft", _THIN / SCALE)
            canvas.group(canvas.taken(mark), _MOVE)
            for tip in (note.a, note.b):
                _head(canvas, _at(tip), radians(180))
            _label(canvas, _at(note.at), note.label, "start")
        case Word():
            _label(canvas, _at(note.at), note.label, note.anchor)


def _clear(at: Point, to: Point) -> float:
    """How far above or below a label its leader begins."""
    return 5.5 if to[1] > at[1] else -5.5


def _span(canvas: Canvas, note: Span) -> None:
    for a, b in note.lines:
        canvas.line(_at(a), _at(b), "edge", 0.4)
    a, b = _at(note.a), _at(note.b)
    length = hypot(b[0] - a[0], b[1] - a[1])
    angle = atan2(b[1] - a[1], b[0] - a[0])
    if length < 3.4 * _HEAD:  # heads from outside
        reach = 3.0 * _HEAD
        u, v = cos(angle), sin(angle)
        canvas.line((a[0] - reach * u, a[1] - reach * v), a, "soft", _THIN)
        canvas.line(b, (b[0] + reach * u, b[1] + reach * v), "soft", _THIN)
        _head(canvas, a, angle)
        _head(canvas, b, angle + radians(180))
    else:
        canvas.line(a, b, "soft", _THIN)
        _head(canvas, a, angle + radians(180))
        _head(canvas, b, angle)
    upright = abs(b[0] - a[0]) < abs(b[1] - a[1]) and abs(b[0] - a[0]) < 1e-6
    place = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    shift = (note.shift[0] * SCALE, note.shift[1] * SCALE)
    if upright:
        left = note.lines and note.lines[0][0][0] > note.lines[0][1][0]
        side = -4.0 if left else 4.0
        _label(canvas, (place[0] + side + shift[0], place[1] + shift[1]), note.label,
               "end" if left else "start")  # fmt: skip
    else:
        _label(canvas, (place[0] + shift[0], place[1] - 5.5 + shift[1]), note.label)


def _arc(canvas: Canvas, note: Arc) -> None:
    start = round_about(*note.centre, note.radius, note.start)
    end = round_about(*note.centre, note.radius, note.end)
    a, b, r = _at(start), _at(end), note.radius * SCALE
    large = 1 if abs(note.end - note.start) > 180 else 0
    up = note.end > note.start
    letters = (
        f"M{number(a[0])} {number(a[1])}A{number(r)} {number(r)} 0 {large} {0 if up else 1} "
        f"{number(b[0])} {number(b[1])}"
    )
    canvas.path(letters, "soft" if note.both else "ink", _THIN if note.both else 0.9)
    lean = 0.5 * _HEAD / r  # a head is a chord, not a tangent
    turn = radians(-90 if up else 90)
    size = _HEAD if note.both else 4.4
    _head(canvas, b, -radians(note.end) + turn + (lean if up else -lean), size)
    if note.both:
        _head(canvas, a, -radians(note.start) - turn - (lean if up else -lean), size)
    _label(canvas, _at(_arc_label(note)), note.label)


def _arc_label(note: Arc) -> Point:
    middle = round_about(*note.centre, note.radius, (note.start + note.end) / 2)
    return middle[0] + note.shift[0], middle[1] + note.shift[1]
