"""What a reader has to know about a cam: pressure angle, and whether the follower stays on it."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

import numpy as np

from dutyline.axis.stated import Stated, Tree
from dutyline.core.numbers import bare
from dutyline.motion.pieces import Cycle
from dutyline.physics.linkages import pressure_angle
from dutyline.train.courses import CourseRatio
from dutyline.train.records import Train

USUAL_PRESSURE = 30.0
"""[deg] largest pressure angle of a follower in a guide; common practice."""
ON_THE_CAM = 1.2
"""Force that presses the follower on over the one that would lift it off; common practice."""
LOOKED_AT = 721


def cam_remarks(tree: Tree, train: Train, cycle: Cycle) -> Iterator[str]:
    """Sentences on a cam; none for other mechanisms."""
    mechanism = tree.one("mechanism")
    if mechanism is None or mechanism.kind != "cam":
        return
    ratio = train.chain.stages[0].ratio
    assert isinstance(ratio, CourseRatio)
    yield from _pressure(mechanism, ratio)
    yield from _contact(mechanism, train, cycle)


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


def _contact(mechanism: Stated, train: Train, cycle: Cycle) -> Iterator[str]:
    """Whether spring and weight keep the follower on the cam at the speed of the cycle."""
    if not (mechanism.number("spring_force") or mechanism.number("spring_stiffness")):
        yield "No spring is stated: the follower is taken to be guided on both sides."
        return
    ratio, worst = train.chain.stages[0].ratio, np.inf
    for piece in cycle.pieces:
        tau = np.linspace(0.0, piece.duration, LOOKED_AT)
        place, speed, acceleration = (piece.derivative(order, tau) for order in range(3))
        slope, bend = ratio.at(place)
        burden = train.chain.load.total(cycle.phases[piece.phase].carry)
        lifting = burden.inertia * (slope * acceleration + bend * speed**2)
        pressing = burden.gravity + burden.gravity_rise * ratio.output_of(place)
        away = lifting < 0
        if np.any(away):
            worst = min(worst, float((pressing[away] / -lifting[away]).min()))
    if worst >= ON_THE_CAM:
        times = bare(worst, 3)
        yield f"Spring and weight press the follower on with {times} times what lifts it off."
        return
    short = "lifts off" if worst < 1 else "is pressed on too little"
    yield (
        f"The follower {short}: spring and weight are {bare(worst, 3)} times the force of "
        f"inertia that lifts it, {bare(ON_THE_CAM)} times is usual."
    )
