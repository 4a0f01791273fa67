"""Line drawings of the mechanisms, each in a box of 168 by 84 units.

The same strokes stand small in the train of a report and large, with dimensions, in the sketch of
the mechanism. Proportions are those of a real machine, so that the dimensions can be read off.
"""

from __future__ import annotations

from math import cos, pi, sin

from dutyline.report.figures.strokes import (
    Stroke,
    bar,
    box,
    coil,
    cross,
    ground,
    hatch,
    n,
    pivot,
    polygon,
    rack_teeth,
    ring,
    round_about,
    toothed,
    wheel,
)

CRANK = (42.0, 46.0, 22.0, 62.0)
"""Axis, radius and angle of the crank of a slider-crank [deg]."""
PIN = round_about(*CRANK)
ROD, LINE = 84.0, 58.0
"""Length of the rod, and the height of the line of the slider."""
SLIDER = (PIN[0] + (ROD**2 - (LINE - PIN[1]) ** 2) ** 0.5, LINE)
YOKE = round_about(52.0, 46.0, 24.0, 40.0)
KNEE = (82.0, 36.0)
"""Knee of the toggle; its pins lie on the line at y = 66."""
BARS = ((40.0, 64.0), round_about(40.0, 64.0, 22.0, 70.0), (112.0, 14.0), (128.0, 64.0))
"""Axis of the crank, crank pin, pin of the rocker, pivot of the rocker."""


def _screw(ball: bool) -> list[Stroke]:
    """A screw with bearings and a nut; balls in the nut, or a flat thread."""
    pitch = 8.0 if ball else 12.0
    slant = 4.0 if ball else 6.0
    count = int((118 - slant) / pitch)
    threads = "".join(f"M{n(25 + k * pitch)} 53l{n(slant)} -14" for k in range(count))
    flat = "".join(f"M{n(25 + k * pitch + 4)} 53l{n(slant)} -14" for k in range(count))
    balls = "".join(ring(78 + 8 * k, 34, 2.3) + ring(78 + 8 * k, 58, 2.3) for k in range(4))
    return [
        ("body", box(22, 39, 124, 14)),
        ("thin", threads if ball else threads + flat),
        ("sunk", box(10, 30, 12, 32) + box(146, 34, 10, 24)),
        ("thin", "M10 30l12 32M22 30l-12 32M146 34l10 24M156 34l-10 24"),
        ("body", box(66, 24, 6, 44) + box(72, 28, 36, 36)),
        ("thin", balls) if ball else ("thin", "M72 39h36M72 53h36"),
    ]


def _cam() -> str:
    """A disc cam about (84, 56): base circle of 15, a lobe of 10 towards the lower right."""
    points = []
    for k in range(120):
        turn = 2 * pi * k / 120
        lift = 5 * (1 + cos(pi * min(abs(turn - pi), 1.9) / 1.9))
        far, angle = 15 + lift, turn - pi + 0.7
        points.append((84 + far * cos(angle), 56 + far * sin(angle)))
    return polygon(points)


MECHANISMS: dict[str, list[Stroke]] = {
    "ball-screw": _screw(ball=True),
    "lead-screw": _screw(ball=False),
    "rack": [
        ("body", toothed(84, 32, 23, 14, 7)),
        ("dash", ring(84, 32, 23)),
        ("ink", cross(84, 32, 4)),
        ("body", rack_teeth(24.25, 59.4, 12, 10.32, 7) + "V73H24.25Z"),
        ("thin", "M24.25 66h123.8"),
    ],
    "belt": [
        ("ink", "M42 28H126M42 64H126"),
        ("body", ring(42, 46, 18) + ring(126, 46, 18)),
        ("dash", ring(42, 46, 15) + ring(126, 46, 15)),
        ("solid", ring(42, 46, 4)),
        ("ink", cross(126, 46)),
        ("sunk", box(68, 19, 30, 14)),
        ("ink", "M68 28h30"),
    ],
    "conveyor": [
        ("body", "M36 36h96a14 14 0 0 1 0 28h-96a14 14 0 0 1 0 -28Z"),
        ("body", ring(36, 50, 11.5) + ring(132, 50, 11.5)),
        ("solid", ring(132, 50, 4)),
        ("ink", cross(36, 50)),
        ("thin", "M52 40h64" + hatch(52, 40, 64, 4, 4)),
        ("sunk", box(46, 20, 24, 16) + box(96, 20, 24, 16)),
        ("thin", hatch(46, 20, 24, 16, 7) + hatch(96, 20, 24, 16, 7)),
        ("ink", "M122 10V33"),
    ],
    "rotary-table": [
        ("body", box(28, 34, 112, 9)),
        ("sunk", box(64, 43, 40, 13)),
        ("thin", "M64 43l10 13M74 43l-10 13M94 43l10 13M104 43l-10 13"),
        ("ink", "M77 56v12M91 56v12"),
        *ground(52, 68, 64),
        ("body", box(36, 18, 18, 16) + box(114, 18, 18, 16)),
        ("thin", hatch(36, 18, 18, 16, 6) + hatch(114, 18, 18, 16, 6)),
        ("chain", "M84 8v72"),
    ],
    "hoist": [
        *wheel(58, 24, 18),
        ("dash", ring(58, 24, 15)),
        ("ink", "M76 24V46M98 8V46M90 8h18"),
        ("thin", "M91 8l4-5M97 8l4-5M103 8l4-5"),
        ("body", ring(87, 46, 11)),
        ("ink", "M87 46v14" + cross(87, 46)),
        ("body", box(72, 60, 30, 20)),
        ("thin", hatch(72, 60, 30, 20, 8)),
    ],
    "winder": [
        ("dash", ring(58, 46, 37)),
        ("body", ring(58, 46, 27)),
        ("thin", ring(58, 46, 22) + ring(58, 46, 17)),
        ("sunk", ring(58, 46, 11)),
        ("ink", cross(58, 46)),
        ("ink", "M58 19H132"),
        ("body", ring(132, 27, 8)),
        ("ink", "M140 27v45"),
    ],
    "feed-rolls": [
        *wheel(84, 27, 18.5),
        *wheel(84, 65, 18.5),
        ("ink", "M24 46h120"),
        ("solid", ring(84, 65, 4)),
    ],
    "slider-crank": [
        ("dash", ring(*CRANK[:3])),
        ("thin", f"M{n(SLIDER[0] - 32)} 71h60" + hatch(SLIDER[0] - 32, 71, 60, 5, 6)),
        ("body", box(SLIDER[0] - 16, LINE - 12, 32, 24)),
        ("body", bar(PIN, SLIDER, 3.2)),
        ("sunk", bar(CRANK[:2], PIN, 4.2)),
        ("body", ring(*CRANK[:2], 3) + ring(*PIN, 2.6) + ring(*SLIDER, 2.6)),
    ],
    "scotch-yoke": [
        ("dash", ring(52, 46, 24)),
        ("body", f"M{n(YOKE[0] - 7.5)} 14h15v64h-15Z"),
        ("thin", f"M{n(YOKE[0] - 4.2)} 19h8.4v54h-8.4Z"),
        ("sunk", box(YOKE[0] + 7.5, 41, 62, 10)),
        ("thin", "M118 37v18M126 37v18M118 37h8M118 55h8"),
        ("sunk", bar((52, 46), YOKE, 4)),
        ("body", ring(52, 46, 3) + ring(*YOKE, 4)),
    ],
    "toggle": [
        ("chain", "M14 66H140"),
        ("thin", "M112 78h46" + hatch(112, 78, 46, 5, 6)),
        ("body", box(122, 54, 28, 24)),
        *pivot(26, 66, 3.6),
        ("body", bar((26, 66), KNEE, 3.4)),
        ("body", bar(KNEE, (136, 66), 3.4)),
        ("body", ring(26, 66, 2.6) + ring(136, 66, 2.6)),
        ("sunk", box(KNEE[0] - 4, 4, 8, 22)),
        ("thin", f"M{n(KNEE[0] - 4)} 10l8-3m-8 8l8-3m-8 8l8-3m-8 8l8-3"),
        ("body", box(KNEE[0] - 9, 24, 18, 7) + ring(*KNEE, 3.4)),
    ],
    "four-bar": [
        ("dash", ring(*BARS[0], 22)),
        *pivot(*BARS[0], 3.4),
        *pivot(*BARS[3], 3.4),
        ("chain", "M40 64H128"),
        ("body", bar(BARS[1], BARS[2], 3.2) + bar(BARS[3], BARS[2], 3.2)),
        ("sunk", bar(BARS[0], BARS[1], 4)),
        ("body", "".join(ring(*pin, 2.6) for pin in BARS)),
    ],
    "cam": [
        ("body", _cam()),
        ("dash", ring(84, 56, 20.5)),
        ("ink", cross(84, 56)),
        ("thin", hatch(68, -2, 32, 5, 6)),
        ("ink", "M68 3h32" + coil(84, 3, 15, 4, 6)),
        ("body", box(81, 20, 6, 15) + box(75, 17, 18, 4)),
        ("body", ring(84, 35.5, 5.5)),
        ("solid", ring(84, 35.5, 1.2)),
    ],
    "swing-arm": [
        *pivot(40, 62, 4),
        ("body", bar((40, 62), (122, 26), 5)),
        ("sunk", ring(122, 26, 14)),
        ("thin", hatch(113, 17, 18, 18, 6)),
        ("body", ring(40, 62, 3.6)),
        ("dash", "M48 62H140"),
    ],
    "rotary-load": [
        ("body", ring(52, 46, 30)),
        ("ink", "M52 46c-5-17 2-26 11-26s7 15-11 26c17-5 26 2 26 11s-15 7-26-11"),
        ("ink", "M52 46c5 17-2 26-11 26s-7-15 11-26c-17 5-26-2-26-11s15-7 26 11"),
        ("body", ring(52, 46, 5)),
        ("thin", "M106 18V74H160"),
        ("ink", "M106 62Q134 60 156 24"),
    ],
    "direct-linear": [
        ("body", box(42, 20, 84, 24)),
        ("thin", "M56 20v24M70 20v24M84 20v24M98 20v24M112 20v24"),
        ("sunk", "".join(box(16 + 23 * k, 50, 19, 11) for k in range(6))),
        ("thin", "".join(f"M{n(18 + 46 * k)} 61l9-11" for k in range(3))),
        *ground(12, 64, 146),
    ],
    "direct-rotary": [
        ("body", ring(84, 46, 32)),
        ("sunk", ring(84, 46, 22)),
        ("body", ring(84, 46, 15)),
        ("thin", "".join(
            f"M{n(84 + 22 * cos(a))} {n(46 + 22 * sin(a))}L{n(84 + 31 * cos(a))} "
            f"{n(46 + 31 * sin(a))}" for a in (k * pi / 6 for k in range(12))
        )),
        ("ink", cross(84, 46)),
    ],
    "ratio-table": [
        ("body", box(40, 10, 88, 62)),
        ("thin", "M40 30.7h88M40 51.3h88M69.3 10v62M98.7 10v62"),
        ("ink", "M40 66c24 0 40 -10 48 -28s22 -22 40 -22"),
        ("solid", "".join(ring(x, y, 2) for x, y in (
            (40, 66), (62, 61.6), (79, 51.6), (88, 38), (100, 24), (128, 16)))),
    ],
}  # fmt: skip
"""Strokes of every mechanism kind; direct drives by their travel."""
