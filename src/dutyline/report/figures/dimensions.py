"""Dimensions on the drawings of mechanisms and stages, with the symbols of their fields.

Places are those of the drawings. A label is a symbol as it stands in the field table, or one of
:data:`STATES`, which are no fields but states of motion.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from dutyline.report.figures.mechanisms import BARS, CRANK, KNEE, PIN, SLIDER, YOKE

Point = tuple[float, float]

STATES = ("x", "q", "s", "n", "T", "m g")
"""Travel of the load and of the input, speed and torque of the shaft, weight."""


@dataclass(frozen=True, slots=True)
class Span:
    """A dimension line between two points, the label beside its middle."""

    a: Point
    b: Point
    label: str
    shift: Point = (0.0, 0.0)
    """Of the label, from its usual place."""
    lines: tuple[tuple[Point, Point], ...] = ()
    """Extension lines."""


@dataclass(frozen=True, slots=True)
class Leader:
    """A line from a label to what it means."""

    at: Point
    """The label."""
    to: Point
    label: str
    anchor: str = "start"


@dataclass(frozen=True, slots=True)
class Arc:
    """An angle from one direction to another, counted upward from the level [deg]."""

    centre: Point
    radius: float
    start: float
    end: float
    label: str
    shift: Point = (0.0, 0.0)
    both: bool = False
    """Arrow heads at both ends; else at the end alone: a turn."""


@dataclass(frozen=True, slots=True)
class Arrow:
    """A motion or a force."""

    a: Point
    b: Point
    label: str
    at: Point
    """The label."""
    anchor: str = "start"


@dataclass(frozen=True, slots=True)
class Word:
    """A label that stands alone."""

    at: Point
    label: str
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class Way:
    """A length along a bent line, arrow heads level at both ends."""

    letters: str
    a: Point
    b: Point
    label: str
    at: Point
    """The label."""


Note: TypeAlias = Span | Leader | Arc | Arrow | Word | Way


def _middle(a: Point, b: Point, along: float = 0.5) -> Point:
    return a[0] + (b[0] - a[0]) * along, a[1] + (b[1] - a[1]) * along


def _level(y: float, a: float, b: float, label: str, source: float, **more: Point) -> Span:
    """A level dimension with extension lines that come from a height."""
    over = 3.0 if y > source else -3.0
    lines = tuple(((x, source), (x, y + over)) for x in (a, b))
    return Span((a, y), (b, y), label, more.get("shift", (0.0, 0.0)), lines)


def _upright(x: float, a: float, b: float, label: str, source: float, **more: Point) -> Span:
    """An upright dimension with extension lines that come from the side."""
    over = 3.0 if x > source else -3.0
    lines = tuple(((source, y), (x + over, y)) for y in (a, b))
    return Span((x, a), (x, b), label, more.get("shift", (0.0, 0.0)), lines)


DIMENSIONS: dict[str, tuple[Note, ...]] = {
    "ball-screw": (
        Arrow((74, 12), (104, 12), "x", (108, 12)),
        _level(78, 22, 146, "l", 64),
        _level(26, 114, 122, "P_h", 39),
        Leader((50, 16), (50, 39), "d", "middle"),
        Leader((40, 68), (40, 51), "d_r", "middle"),
        Arc((-2, 46), 13, 120, 250, "n", (-4, 0)),
    ),
    "lead-screw": (
        Arrow((74, 12), (104, 12), "x", (108, 12)),
        _level(78, 22, 146, "l", 64),
        _level(26, 121, 133, "P", 39),
        Leader((50, 16), (50, 39), "d", "middle"),
        Leader((40, 68), (40, 50), "d_2", "middle"),
        Leader((4, 16), (10, 30), "d_c", "middle"),
        Arc((-2, 46), 13, 120, 250, "n", (-4, 0)),
    ),
    "rack": (
        _upright(42, 9, 55, "d", 80),
        Leader((122, 10), (104.5, 20), "z, m_n"),
        Arc((84, 32), 31, 30, -15, "n", (4, 0)),
        Arrow((120, 36), (150, 36), "x", (154, 36)),
    ),
    "belt": (
        Span((42, 12), (68, 12), "l_1", (0, 0), (((42, 26), (42, 9)), ((68, 18), (68, 9)))),
        Arrow((76, 6), (94, 6), "x", (97, 6)),
        Way("M98 16H126A30 30 0 0 1 126 76H42", (98, 16), (42, 76), "l_2", (162, 46)),
        _upright(2, 31, 61, "d", 42),
        Leader((96, 90), (90, 64), "p, m'"),
        Leader((62, 90), (72, 64), "F_p", "middle"),
        Arc((42, 46), 24, 215, 150, "n", (-5, 0)),
    ),
    "conveyor": (
        Arrow((74, 8), (104, 8), "x", (108, 8)),
        _upright(164, 38.5, 61.5, "D", 132),
        Leader((118, 80), (110, 63), "t"),
        Leader((70, 80), (78, 36), "m_b", "middle"),
        Leader((94, 80), (88, 64), "m_r", "middle"),
        Leader((34, 14), (50, 26), "m", "end"),
        Leader((136, 20), (114, 28), "m_h"),
        Arrow((-16, 28), (14, 28), "v_0", (-18, 28), "end"),
    ),
    "rotary-table": (
        Arc((84, 31), 22, 130, 50, "x", (20, 6)),
        Span((64, 62), (104, 62), "d_m", (28, 5), (((64, 56), (64, 65)), ((104, 56), (104, 65)))),
        Span((84, -2), (123, -2), "r", (0, 0), (((123, 16), (123, -5)), ((84, 6), (84, -5)))),
        Leader((150, 26), (132, 26), "m"),
        Leader((12, 28), (32, 38), "J", "end"),
        Leader((116, 84), (84, 78), "gamma"),
    ),
    "hoist": (
        _upright(14, 9, 39, "D", 55),
        Leader((118, 24), (98, 24), "l, m'"),
        Leader((118, 70), (102, 70), "m"),
        Arrow((58, 78), (58, 56), "x", (54, 68), "end"),
        Arc((58, 24), 24, 150, 205, "n", (-4, 3)),
    ),
    "winder": (
        Span((12, 9), (12, 83), "d_f", (-2, 0), (((58, 9), (9, 9)), ((58, 83), (9, 83)))),
        Leader((98, 66), (79.5, 62.5), "d_0, d"),
        Leader((98, 80), (66, 54), "d_c"),
        Leader((108, 40), (98, 19), "h, w, rho", "middle"),
        Arrow((120, 10), (96, 10), "x", (124, 10)),
        Arrow((140, 76), (140, 94), "F_0", (145, 88)),
        Arc((58, 46), 32, 215, 258, "n", (-6, 5)),
    ),
    "feed-rolls": (
        Arrow((144, 46), (166, 46), "F_2", (170, 46)),
        Arrow((24, 46), (2, 46), "F_1", (-2, 46), "end"),
        Arrow((120, 38), (140, 38), "x", (143, 38)),
        Arrow((84, -10), (84, 8), "N", (89, -4)),
        _upright(44, 46.5, 83.5, "d", 84),
        Leader((112, 62), (92, 46.5), "mu, f"),
        Arc((84, 65), 24, 350, 300, "n", (5, 2)),
    ),
    "slider-crank": (
        Span(CRANK[:2], PIN, "r", (-9, -1)),
        Span((PIN[0] + 4.5, PIN[1] - 9), (SLIDER[0] + 4.5, SLIDER[1] - 9), "l", (3, -4),
             ((PIN, (PIN[0] + 5.6, PIN[1] - 11.3)), (SLIDER, (SLIDER[0] + 5.6, SLIDER[1] - 11.3)))),
        Arc(CRANK[:2], 12, 0, 62, "q", (7, -1)),
        Span((20, 46), (20, 58), "e", (-7, 0),
             (((42, 46), (17, 46)), ((SLIDER[0], 58), (17, 58)))),
        Arrow((SLIDER[0] - 12, 86), (SLIDER[0] + 20, 86), "x", (SLIDER[0] + 24, 86)),
        Leader((SLIDER[0] + 26, 46), (SLIDER[0] + 14, 52), "m"),
        Leader((76, 78), _middle(PIN, SLIDER, 0.4), "m_r, c, J_r", "middle"),
    ),
    "scotch-yoke": (
        Span((52, 46), YOKE, "r", (-4, -6)),
        Arc((52, 46), 13, 0, 40, ""),
        Leader((94, 24), (64.2, 41.5), "q"),
        Arrow((104, 66), (136, 66), "x", (140, 66)),
        Leader((142, 28), (120, 42), "m"),
    ),
    "toggle": (
        Span((23.2, 60), (KNEE[0] - 3.0, KNEE[1] - 6.2), "l", (-4, -3)),
        Span((KNEE[0] + 3.4, KNEE[1] - 6), (138.6, 60), "l", (4, -3)),
        Arc((26, 66), 34, 0, 28, "beta_0", (12, 0), True),
        Arrow((110, 28), (110, 8), "s", (114, 18)),
        Arrow((126, 92), (150, 92), "x", (154, 92)),
        Leader((58, 8), (78, 10), "P_h, d, l_s", "end"),
        Leader((160, 58), (148, 62), "m"),
    ),
    "four-bar": (
        Span(BARS[0], BARS[1], "r", (-9, 0)),
        Span((BARS[1][0] - 3.4, BARS[1][1] - 9), (BARS[2][0] - 3.4, BARS[2][1] - 9), "b", (-3, -4),
             ((BARS[1], (BARS[1][0] - 4.2, BARS[1][1] - 11.2)),
              (BARS[2], (BARS[2][0] - 4.2, BARS[2][1] - 11.2)))),
        Span((BARS[2][0] + 10, BARS[2][1] - 3), (BARS[3][0] + 10, BARS[3][1] - 3), "c", (5, 0),
             ((BARS[2], (BARS[2][0] + 12, BARS[2][1] - 3.6)),
              (BARS[3], (BARS[3][0] + 12, BARS[3][1] - 3.6)))),
        _level(90, BARS[0][0], BARS[3][0], "d", 78),
        Arc(BARS[0], 13, 0, 70, "q", (7, 2)),
        Leader((84, 54), _middle(BARS[1], BARS[2], 0.45), "m_b, c_b, J_b", "middle"),
        Arc(BARS[3], 25, 150, 118, "x", (-4, -3)),
        Leader((154, 52), (126, 57), "J"),
    ),
    "cam": (
        Arrow((108, 34), (108, 14), "x", (112, 24)),
        _upright(52, 35.5, 76.5, "d_b", 84, shift=(-3, 0)),
        Span((95.5, 65.7), (103.1, 72.1), ""),
        Leader((124, 62), (99.3, 68.9), "h"),
        Leader((112, 4), (90, 9), "F_s, c_s"),
        Leader((66, 28), (81, 29), "m", "end"),
        Arc((84, 56), 33, 330, 290, "q", (6, 4)),
    ),
    "swing-arm": (
        Span((36.4, 53.8), (118.4, 17.8), "l", (-3, -4),
             (((40, 62), (35.6, 52)), ((122, 26), (117.6, 16)))),
        Arc((40, 62), 46, 0, 24, "x", (6, 0)),
        Leader((146, 12), (130, 20), "m"),
        Arrow((122, 44), (122, 60), "m g", (126, 54)),
        Leader((76, 84), (44, 63), "d_m, mu", "start"),
    ),
    "rotary-load": (
        Arc((52, 46), 36, 150, 200, "n", (-5, 0)),
        Word((102, 20), "T", "end"),
        Word((164, 76), "n", "start"),
        Leader((96, 66), (106, 62), "T_0", "end"),
        Leader((128, 28), (140, 47), "c_1, c_2", "middle"),
    ),
    "direct-linear": (
        Arrow((66, 8), (102, 8), "x", (106, 8)),
        Arrow((34, 30), (34, 47), "F_m", (29, 38), "end"),
        Leader((142, 20), (126, 28), "m"),
    ),
    "direct-rotary": (
        Arc((84, 46), 40, 40, -5, "x", (6, 0)),
        Leader((36, 20), (72, 40), "J", "end"),
    ),
    "ratio-table": (
        Word((132, 80), "q", "end"),
        Word((34, 14), "x", "end"),
        Leader((58, 24), (88, 38), "x(q)", "end"),
    ),
    "reduction": (
        _upright(22, 30, 62, "d_1", 54),
        _upright(150, 14, 78, "d_2", 102),
        Leader((44, 14), (52, 30), "z_1, J", "end"),
        Leader((82, 6), (92, 18), "z_2, J_out", "end"),
    ),
    "right-angle": (
        Leader((40, 78), (60, 68), "z_1, J", "end"),
        Leader((118, 44), (104, 34), "z_2, J_out"),
        Arc((8, 52), 12, 120, 240, "n", (-4, 0)),
    ),
    "belt-reduction": (
        _level(92, 54, 120, "a", 50),
        _upright(20, 35.5, 56.5, "d_1", 54),
        _upright(166, 18, 74, "d_2", 120),
        Leader((52, 10), (72, 27), "F_p, m'", "middle"),
        Leader((22, 74), (48, 55), "z_1", "middle"),
        Leader((150, 4), (134, 17), "z_2", "middle"),
    ),
    "worm": (
        Leader((136, 88), (96, 68), "gamma, mu"),
        Arc((26, 64), 12, 120, 240, "n", (-4, 0)),
        Leader((126, 14), (108, 20), "J_out"),
        Leader((40, 88), (54, 72), "J", "end"),
    ),
    "coupling": (
        _upright(152, 40, 52, "d", 140),
        Leader((36, 18), (52, 28), "J", "end"),
        Leader((128, 18), (106, 30), "F_N, mu"),
        Leader((84, 78), (84, 58), "k", "middle"),
    ),
    "shaft": (
        _level(84, 20, 148, "l", 54),
        _upright(162, 38, 54, "d", 148),
        Leader((84, 16), (84, 45), "d_i", "middle"),
    ),
}  # fmt: skip
"""Dimensions by kind."""


def symbols_on(kind: str) -> tuple[str, ...]:
    """Symbols that stand on a drawing, each once."""
    found = [symbol for note in DIMENSIONS[kind] for symbol in note.label.split(", ") if symbol]
    return tuple(dict.fromkeys(found))
