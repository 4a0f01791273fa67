"""Line drawings of the parts of a train, each in a box of 168 by 84 units, shaft at y = 46.

A symbol is a list of strokes: (style, path letters). Styles are those of
:data:`dutyline.report.figures.strokes.STYLES`.
"""

from __future__ import annotations

from dutyline.report.figures.mechanisms import MECHANISMS
from dutyline.report.figures.stages import STAGES
from dutyline.report.figures.strokes import Stroke, box, hatch, ring

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
    **MECHANISMS,
    **STAGES,
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
