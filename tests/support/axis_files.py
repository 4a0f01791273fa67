"""Axis files for the tests of their reader."""

from __future__ import annotations

LIFT = """\
schema = 1

[axis]
title = "Lift"

[load]
mass = "40 kg"
payloads = { carton = "12 kg" }
incline = "90 deg"
friction = 0.01
drag = "15 N"

[mechanism]
kind = "ball-screw"
lead = "10 mm"
diameter = "20 mm"
length = "600 mm"
efficiency = 0.92

[[stage]]
kind = "coupling"
inertia = "0.3 kg*cm^2"

[[phase]]
name = "up"
do = "move"
by = "300 mm"
time = "0.6 s"
carry = ["carton"]

[[phase]]
do = "dwell"
time = "0.4 s"

[[phase]]
name = "down"
do = "move"
by = "-300 mm"
time = "0.6 s"

[[phase]]
do = "dwell"
time = "0.4 s"

[site]
mains = "230 V"
phases = 3
"""

TABLE = """\
schema = 1

[axis]
title = "Dial"

[load]
inertia = "6 kg*m^2"
mass = "60 kg"

[mechanism]
kind = "rotary-table"

[[stage]]
kind = "reduction"
ratio = "24/7"

[[phase]]
do = "move"
by = "30 deg"
time = "0.25 s"

[[phase]]
do = "dwell"

[duty]
rate = "60 /min"
"""


def edited(text: str, *changes: tuple[str, str]) -> str:
    """The text with every first string replaced by its second one, once each."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def line_of(text: str, piece: str) -> int:
    """Line on which a piece of the text stands, from 1."""
    return text[: text.index(piece)].count("\n") + 1
