"""What a reader has to know about a cam: its pressure angle, and how the follower is guided."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

import numpy as np

from dutyline.axis.stated import Stated, Tree
from dutyline.core.numbers import bare
from dutyline.physics.linkages import pressure_angle
from dutyline.train.courses import CourseRatio
from dutyline.train.records import Train

USUAL_PRESSURE = 30.0
"""[deg] largest pressure angle of a follower in a guide; common practice."""
LOOKED_AT = 721


def cam_remarks(tree: Tree, train: Train) -> Iterator[str]:
    """Sentences on a cam; none for other mechanisms."""
    mechanism = tree.one("mechanism")
    if mechanism is None or mechanism.kind != "cam":
        return
    ratio = train.chain.stages[0].ratio
    assert isinstance(ratio, CourseRatio)
    yield from _pressure(mechanism, ratio)
    if not (mechanism.number("spring_force") or mechanism.number("spring_stiffness")):
        yield "No spring is stated: the follower is taken to be guided on both sides."


def _pressure(mechanism: Stated, ratio: CourseRatio) -> Iterator[str]:
    base, offset = mechanism.number("base_diameter"), mechanism.number("offset") or 0.0
    if base is None:
        yield "The pressure angle of the cam is not checked: base_diameter is not stated."
        return
    turn = np.linspace(0.0, 2 * np.pi, LOOKED_AT)
    found = ratio.course(turn)
    angle = np.degrees(np.abs(pressure_angle(found.value, found.slope, base / 2, offset)))
    k = int(np.argmax(angle))
    verb = "over" if angle[k] > USUAL_PRESSURE else "within"
    yield (
        f"The largest pressure angle of the cam is {bare(angle[k], 3)}° at "
        f"{degrees(turn[k]):.0f}°, {verb} the usual {USUAL_PRESSURE:.0f}°."
    )
