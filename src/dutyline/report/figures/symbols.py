"""Line drawings of the parts of a train, each in a box of 168 by 84 units, shaft at y = 46.

A symbol is a list of strokes: (style, path letters). Styles are those of :data:`STYLES`.
"""

from __future__ import annotations

Stroke = tuple[str, str]

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


def ring(x: float, y: float, r: float) -> str:
    """A circle as path letters."""
    return f"M{x - r:g} {y:g}a{r:g} {r:g} 0 1 0 {2 * r:g} 0a{r:g} {r:g} 0 1 0 {-2 * r:g} 0Z"


def box(x: float, y: float, w: float, h: float) -> str:
    """A rectangle as path letters."""
    return f"M{x:g} {y:g}h{w:g}v{h:g}h{-w:g}Z"


def hatch(x: float, y: float, w: float, h: float, step: float = 10.0) -> str:
    """Slanting lines across a rectangle as path letters."""
    out = []
    reach = 0.0
    while reach < w + h:
        a = (x + min(reach, w), y + h - max(0.0, reach - w))
        b = (x + max(0.0, reach - h), y + h - min(reach, h))
        out.append(f"M{b[0]:g} {b[1]:g}L{a[0]:g} {a[1]:g}")
        reach += step
    return "".join(out[1:])


def teeth(x: float, y: float, count: int, pitch: float, depth: float) -> str:
    """A row of teeth on a level line as path letters."""
    quarter = pitch / 4
    one = f"l{quarter:g} {-depth:g}h{quarter:g}l{quarter:g} {depth:g}h{quarter:g}"
    return f"M{x:g} {y:g}" + one * count


def _screw(step: float, slant: float) -> list[Stroke]:
    """A screw with bearings and a nut under a carriage."""
    turns = "".join(
        f"M{24 + k * step:g} 53l{slant:g} -14" for k in range(int((120 - slant) / step))
    )
    return [
        ("body", box(22, 39, 124, 14)),
        ("thin", turns),
        ("sunk", box(10, 30, 12, 32) + box(146, 30, 12, 32)),
        ("body", box(68, 28, 34, 36)),
        ("ink", "M76 34v24M94 34v24"),
    ]


def _wheel(x: float, y: float, r: float) -> list[Stroke]:
    return [
        ("body", ring(x, y, r)),
        ("ink", f"M{x:g} {y - 3:g}v6M{x - 3:g} {y:g}h6"),
    ]


SYMBOLS: dict[str, list[Stroke]] = {
    "load": [
        ("thin", "M30 70h108"),
        ("thin", hatch(30, 70, 108, 7, 9)),
        ("body", box(58, 28, 52, 34)),
        ("thin", hatch(58, 28, 52, 34)),
        ("body", ring(68, 66, 4) + ring(100, 66, 4)),
        ("ink", "M64 16h40m-8-5 9 5-9 5"),
    ],
    "load-upright": [
        ("thin", "M58 6v74M110 6v74"),
        ("body", box(62, 28, 44, 36)),
        ("thin", hatch(62, 28, 44, 36)),
        ("ink", "M36 64V28m-5 8 5-9 5 9"),
        ("ink", "M132 28v24m-4-7 4 8 4-8"),
    ],
    "load-rotary": [
        ("body", ring(84, 46, 24)),
        ("thin", hatch(68, 30, 32, 32)),
        ("ink", "M84 43v6M81 46h6"),
        ("ink", "M112 26a34 34 0 0 1 4 34m5-6-5 8-8-5"),
    ],
    "ball-screw": _screw(7, 4),
    "lead-screw": _screw(12, 7),
    "rack": [
        ("body", ring(84, 34, 19)),
        ("dash", ring(84, 34, 14)),
        ("ink", "M84 31v6M81 34h6"),
        ("body", teeth(26, 62, 8, 14.4, 7) + "V72H26Z"),
    ],
    "belt": [
        ("ink", "M46 30H122M46 62H122"),
        *_wheel(46, 46, 16),
        *_wheel(122, 46, 16),
        ("dash", ring(46, 46, 12)),
        ("sunk", box(72, 22, 26, 12)),
    ],
    "conveyor": [
        ("body", "M36 40h96a13 13 0 0 1 0 26h-96a13 13 0 0 1 0-26Z"),
        ("ink", ring(36, 53, 8) + ring(132, 53, 8)),
        ("sunk", box(48, 24, 22, 16) + box(86, 28, 20, 12)),
        ("thin", ring(66, 53, 3) + ring(84, 53, 3) + ring(102, 53, 3)),
    ],
    "rotary-table": [
        ("body", box(32, 36, 104, 9)),
        ("sunk", box(66, 45, 36, 14)),
        ("ink", "M54 72h60M74 59v13M94 59v13"),
        ("body", box(40, 20, 18, 16) + box(110, 20, 18, 16)),
        ("thin", "M70 26q14-9 28 0m-1-7 2 7-7 1"),
    ],
    "hoist": [
        *_wheel(70, 28, 19),
        ("dash", ring(70, 28, 14)),
        ("ink", "M89 28v24"),
        ("body", box(74, 52, 30, 24)),
        ("thin", hatch(74, 52, 30, 24)),
    ],
    "winder": [
        ("body", ring(64, 44, 28)),
        ("thin", ring(64, 44, 22) + ring(64, 44, 16)),
        ("ink", ring(64, 44, 7)),
        ("ink", "M64 16H150"),
        ("body", ring(126, 24, 8)),
    ],
    "feed-rolls": [
        *_wheel(84, 27, 15),
        *_wheel(84, 65, 15),
        ("ink", "M24 46h120m-9-5 9 5-9 5"),
    ],
    "slider-crank": [
        ("dash", ring(46, 46, 20)),
        ("ink", "M46 46L58 30L122 46"),
        ("body", ring(46, 46, 4) + ring(58, 30, 3.5)),
        ("body", box(110, 36, 30, 20)),
        ("thin", "M98 58h56M98 34h56"),
    ],
    "scotch-yoke": [
        ("dash", ring(62, 46, 22)),
        ("ink", "M62 46L78 32"),
        ("body", box(73, 18, 11, 56)),
        ("body", ring(78, 32, 4) + ring(62, 46, 4)),
        ("sunk", box(84, 42, 56, 8)),
    ],
    "toggle": [
        ("ink", "M30 66L78 40L134 66"),
        ("body", ring(30, 66, 5) + ring(78, 40, 5)),
        ("body", box(122, 56, 26, 20)),
        ("ink", "M78 18v16m-4-6 4 7 4-7"),
        ("thin", "M18 78h132"),
    ],
    "four-bar": [
        ("ink", "M44 64L54 38L112 26L126 64"),
        ("dash", "M44 64H126"),
        ("body", ring(44, 64, 4.5) + ring(54, 38, 4) + ring(112, 26, 4) + ring(126, 64, 4.5)),
    ],
    "cam": [
        ("body", "M84 76c-20 0-28-14-22-28s14-22 24-22 30 12 28 28-16 22-30 22Z"),
        ("ink", ring(84, 56, 4)),
        ("body", ring(86, 20, 6)),
        ("ink", "M80 14V2M92 14V2"),
    ],
    "swing-arm": [
        ("body", "M50 60L122 22l5 9L55 69Z"),
        ("body", ring(52, 64, 9)),
        ("ink", ring(52, 64, 3)),
        ("body", ring(128, 24, 13)),
        ("thin", hatch(120, 16, 16, 16, 8)),
        ("thin", "M92 70a46 46 0 0 0 8-22m-6 5 6-7 6 6"),
    ],
    "rotary-load": [
        ("body", ring(84, 46, 28)),
        ("ink", "M84 46c-4-16 2-24 10-24s6 14-10 24c16-4 24 2 24 10s-14 6-24-10"),
        ("ink", "M84 46c4 16-2 24-10 24s-6-14 10-24c-16 4-24-2-24-10s14-6 24 10"),
        ("body", ring(84, 46, 5)),
    ],
    "direct-linear": [
        ("body", box(46, 26, 76, 22)),
        ("thin", "M60 26v22M74 26v22M88 26v22M102 26v22"),
        ("sunk", "".join(box(22 + 20 * k, 54, 16, 12) for k in range(6))),
        ("ink", "M18 70h132"),
    ],
    "direct-rotary": [
        ("body", ring(84, 46, 28)),
        ("thin", ring(84, 46, 21)),
        ("body", ring(84, 46, 13)),
        ("ink", "M84 43v6M81 46h6"),
    ],
    "ratio-table": [
        ("body", box(48, 16, 72, 60)),
        ("thin", "M48 36h72M48 56h72M72 16v60M96 16v60"),
        ("ink", "M52 70c24 0 20-46 64-48"),
    ],
    "reduction": [
        *_wheel(66, 46, 15),
        *_wheel(106, 46, 25),
        ("dash", ring(66, 46, 12) + ring(106, 46, 21)),
    ],
    "right-angle": [
        ("body", "M52 22l24 12v24l-24 12Z"),
        ("body", "M78 30l34 0 12-16h-58Z"),
        ("ink", "M95 14V4"),
    ],
    "belt-reduction": [
        ("ink", "M58 34L112 22M58 58L112 70"),
        *_wheel(58, 46, 12),
        *_wheel(112, 46, 24),
    ],
    "worm": [
        *_wheel(84, 34, 20),
        ("dash", ring(84, 34, 16)),
        ("body", box(54, 54, 60, 16)),
        ("thin", "M60 70l6-16M72 70l6-16M84 70l6-16M96 70l6-16"),
    ],
    "coupling": [
        ("body", box(56, 26, 22, 40)),
        ("body", box(90, 26, 22, 40)),
        ("sunk", box(78, 34, 12, 24)),
        ("ink", "M36 42h20M36 50h20M112 42h20M112 50h20"),
    ],
    "shaft": [
        ("body", box(26, 40, 116, 12)),
        ("thin", "M40 40v12M128 40v12"),
        ("sunk", box(52, 30, 14, 32) + box(102, 30, 14, 32)),
    ],
    "gearhead": [
        ("body", box(48, 18, 72, 56)),
        ("sunk", box(30, 38, 18, 16)),
        ("thin", ring(84, 46, 23)),
        ("ink", ring(84, 46, 7.6)),
        ("thin", ring(84, 31, 7) + ring(71, 54, 7) + ring(97, 54, 7)),
    ],
    "motor": [
        ("sunk", box(20, 41, 18, 10)),
        ("body", box(38, 16, 9, 60)),
        ("body", box(47, 21, 84, 50)),
        ("thin", "M58 21v50M70 21v50M82 21v50M94 21v50M106 21v50M118 21v50"),
        ("body", box(131, 27, 16, 38)),
    ],
    "brake": [
        ("body", box(62, 20, 10, 52)),
        ("body", box(78, 20, 10, 52)),
        ("thin", hatch(78, 20, 10, 52)),
        ("ink", "M88 30l5-4 4 8 4-8 4 8 4-8 4 4h8M88 62l5-4 4 8 4-8 4 8 4-8 4 4h8"),
        ("ink", "M121 18v56"),
        ("thin", "M121 26l8-8M121 38l8-8M121 50l8-8M121 62l8-8M121 74l8-8"),
    ],
    "drive": [
        ("body", box(44, 12, 80, 64)),
        ("thin", "M44 76 124 12"),
        ("ink", "M54 32q6-11 12 0t12 0"),
        ("ink", "M92 58h22M92 65h6m3 0h6m3 0h4"),
    ],
    "resistor": [
        ("ink", "M20 46h24M108 46h24"),
        ("body", box(44, 35, 64, 22)),
        ("thin", "M58 26q4-6 0-12M76 26q4-6 0-12M94 26q4-6 0-12"),
    ],
}
"""Drawing of every mechanism kind, stage kind and product part."""
