"""Checks of the linear guide: static safety and life of the worst carriage."""

from __future__ import annotations

import numpy as np

from dutyline.checks.lacking import MOST_TORQUE, ROTOR
from dutyline.checks.mechanics import (
    effort_in_stop,
    in_ramp,
    life_wanted,
    nothing,
    same,
    slide_in_stop,
)
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.demand.carriages import CarriageLoads, carriage_loads
from dutyline.physics.rolling_life import BALL, ROLLER, guide_life, guide_rating, static_factor

STATIC_SAFETY = 3.0
"""Static rating over the largest load of a carriage, stop included (common practice, 2 to 4)."""
FIFTY = 5e4
"""[m] of the shorter of the two usual rating distances"""
GEOMETRY = (
    "two or four carriages with their spacing, place of the mass and of the drive; base diameter "
    "of a cam; no guide is judged behind a table, and behind a toggle none in a stop"
)


def _loads(trial: Trial) -> CarriageLoads | None:
    guide = trial.axis.equipment.guide
    if guide is None:
        return None
    if "carriages" not in trial.kept:
        trial.kept["carriages"] = carriage_loads(trial.out, guide)
    found: CarriageLoads | None = trial.kept["carriages"]
    return found


def static(trial: Trial) -> Outcome:
    """Static safety wanted against static rating over the largest load of a carriage."""
    guide, loads = trial.axis.equipment.guide, _loads(trial)
    if guide is None or guide.static_rating is None:
        return nothing(trial)
    limit = np.full(trial.size, np.nan)
    if loads is not None:
        by_normal, by_pull, by_side, by_couple = loads.lever
        stop = np.full(trial.size, by_normal * float(loads.normal.max()))
        stages = trial.axis.train.chain.stages
        if stages and stages[0].ratio.constant is None and not in_ramp(trial):
            push = slide_in_stop(trial)
            stop = stop + by_pull * push.along + by_side * push.force + by_couple * push.couple
        else:
            stop = stop + by_pull * effort_in_stop(trial)
        limit = static_factor(guide.static_rating, np.maximum(stop, loads.largest))
    return Outcome(
        demand=same(trial, STATIC_SAFETY),
        limit=limit,
        needs=("brake.torque_static", *MOST_TORQUE, *ROTOR),
        missing=(GEOMETRY,),
    )


def life(trial: Trial) -> Outcome:
    """Working time wanted against the rating life of the worst carriage."""
    guide, loads = trial.axis.equipment.guide, _loads(trial)
    if guide is None or guide.dynamic_rating is None or guide.kind == "slide":
        return nothing(trial)
    limit = float("nan")
    if loads is not None and guide.rating_travel is not None:
        exponent = ROLLER if guide.kind == "roller" else BALL
        short = guide.rating_travel <= FIFTY * 1.001
        rating = guide_rating(guide.dynamic_rating, exponent) if short else guide.dynamic_rating
        speed = float(loads.travelled.sum()) / trial.out.cycle_time
        way = float(guide_life(rating, loads.mean(exponent), exponent))
        limit = way / speed if speed > 0 else float("inf")
    return Outcome(
        demand=same(trial, life_wanted(trial)),
        limit=same(trial, limit),
        missing=(f"{GEOMETRY}; travel of the rating, 50 or 100 km",),
    )
