"""Line drawings of the stages of a train, each in a box of 168 by 84 units."""

from __future__ import annotations

from dutyline.report.figures.strokes import (
    Stroke,
    box,
    cross,
    hatch,
    n,
    ring,
    toothed,
    wheel,
)

STAGES: dict[str, list[Stroke]] = {
    "reduction": [
        ("body", toothed(54, 46, 16, 12, 6, 0)),
        ("body", toothed(102, 46, 32, 24, 6, 187.5)),
        ("dash", ring(54, 46, 16) + ring(102, 46, 32)),
        ("solid", ring(54, 46, 3.4)),
        ("ink", cross(102, 46)),
    ],
    "right-angle": [
        ("chain", "M14 52H84M84 52V2"),
        ("body", "M58 34V70L76 62V42Z"),
        ("thin", "M58 46l18 2M58 58l18 -2M58 40l18 5M58 64l18 -5"),
        ("body", "M58 26H110L96 40H72Z"),
        ("thin", "M84 26v14M72 26l4 14M96 26l-4 14"),
        ("sunk", box(30, 47, 28, 10) + box(79, 6, 10, 20)),
    ],
    "belt-reduction": [
        ("ink", "M50.8 33.7L111.1 16.7M50.8 58.3L111.1 75.3"),
        *wheel(54, 46, 13),
        *wheel(120, 46, 31),
        ("dash", ring(54, 46, 10.5) + ring(120, 46, 28)),
        ("solid", ring(54, 46, 3.4)),
    ],
    "worm": [
        ("body", toothed(84, 30, 25, 18, 6)),
        ("dash", ring(84, 30, 25)),
        ("ink", cross(84, 30)),
        ("body", box(50, 55, 68, 18)),
        ("thin", "".join(f"M{n(53 + 11 * k)} 73l7 -18" for k in range(6))),
        ("sunk", box(32, 60, 18, 8) + box(118, 60, 18, 8)),
    ],
    "coupling": [
        ("sunk", box(28, 40, 34, 12) + box(106, 40, 34, 12)),
        ("body", box(50, 24, 26, 44) + box(92, 24, 26, 44)),
        ("sunk", box(76, 32, 16, 28)),
        ("thin", hatch(76, 32, 16, 28, 5)),
        ("dash", "M50 40h26M50 52h26M92 40h26M92 52h26"),
        ("solid", ring(63, 30, 2) + ring(105, 30, 2)),
    ],
    "shaft": [
        ("body", box(20, 38, 128, 16)),
        ("dash", "M20 43h128M20 49h128"),
        ("sunk", box(48, 26, 12, 40) + box(104, 26, 12, 40)),
        ("thin", "M48 26l12 12M60 26l-12 12M48 54l12 12M60 54l-12 12"),
        ("thin", "M104 26l12 12M116 26l-12 12M104 54l12 12M116 54l-12 12"),
    ],
}
"""Strokes of every stage kind; the motor side stands on the left."""
