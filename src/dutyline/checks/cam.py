"""Checks of a cam: whether the follower stays on it, and its pressure angle."""

from __future__ import annotations

import numpy as np

from dutyline.checks.mechanics import nothing, same
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity
from dutyline.demand.follower import contact
from dutyline.physics.linkages import pressure_angle
from dutyline.train.bent_parameters import CamParams
from dutyline.train.courses import CourseRatio

LIFTING_MARGIN = 1.2
"""Force that presses the follower on over the one that would lift it off (common practice)."""
USUAL_PRESSURE = float(np.radians(30.0))
"""[rad] largest pressure angle of a follower in a guide (common practice)."""
PLACES = 3601
"""Places of a turn at which the pressure angle is looked at: 1e-6 of it is missed at most."""


def follower(trial: Trial) -> Outcome:
    """What lifts the follower off the cam, with its margin, against what presses it on."""
    own = trial.axis.mechanism
    if not isinstance(own, CamParams) or not (own.spring_force or own.spring_stiffness):
        return nothing(trial)
    found = contact(trial.axis, trial.out.pieces, LIFTING_MARGIN)
    pressing = max(found.pressing, 0.0)
    return Outcome(
        demand=same(trial, LIFTING_MARGIN * found.lifting + max(-found.pressing, 0.0)),
        limit=same(trial, pressing),
        at=same(trial, found.time),
        text=(lambda _: "the follower lifts off") if pressing < found.lifting else None,
    )


def pressure(trial: Trial) -> Outcome:
    """Largest pressure angle of the cam against the usual one."""
    own = trial.axis.mechanism
    if not isinstance(own, CamParams):
        return nothing(trial)
    ratio = trial.axis.train.chain.stages[0].ratio
    angle, place = float("nan"), 0.0
    if own.base_diameter is not None and isinstance(ratio, CourseRatio):
        turn = np.linspace(0.0, 2 * np.pi, PLACES)
        course = ratio.course(turn)
        every = np.abs(
            pressure_angle(course.value, course.slope, own.base_diameter / 2, own.offset)
        )
        angle, place = float(every.max()), float(turn[int(every.argmax())])
    return Outcome(
        demand=same(trial, angle),
        limit=same(trial, USUAL_PRESSURE),
        missing=("base diameter of the cam, mm",),
        text=lambda _: "" if np.isnan(angle) else f"at {quantity(np.degrees(place), 'deg')}",
    )
