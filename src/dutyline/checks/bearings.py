"""Check of the bearings of a shaft of the machine itself."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.checks.mechanics import life_wanted, nothing, same
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.demand.output import OutputDemand
from dutyline.demand.shaft_loads import seat_loads, seat_of
from dutyline.physics.duty import power_mean
from dutyline.physics.rolling_life import BALL, ROLLER, life_revolutions, life_time
from dutyline.physics.slender import overhung_reactions
from dutyline.train.parameters import BeltReductionParams, CouplingParams, ShaftParams

Array = NDArray[np.float64]

ENDS = ("front bearing", "rear bearing")


def life(trial: Trial) -> Outcome:
    """Working time wanted against the rating life of the worse bearing of a shaft."""
    shafts = [
        (number, stage)
        for number, stage in enumerate(trial.axis.stages)
        if isinstance(stage, ShaftParams) and stage.bearing_ratings is not None
    ]
    if not shafts:
        return nothing(trial)
    lives: list[tuple[float, str]] = []
    for number, stage in shafts:
        missing = _gaps(trial.axis, number, stage)
        if missing:
            empty = same(trial, np.nan)
            return Outcome(empty, empty, missing=missing)
        name = stage.name or "shaft"
        found = _lives(trial.out, number, stage)
        lives += [(value, f"{name}, {end}") for value, end in zip(found, ENDS, strict=True)]
    least, name = min(lives)
    return Outcome(
        demand=same(trial, life_wanted(trial)), limit=same(trial, least), text=lambda _: name
    )


def _gaps(axis: Axis, number: int, stage: ShaftParams) -> tuple[str, ...]:
    """What is not said about a shaft and what presses on it."""
    seat = seat_of(axis, number - 1)
    missing: list[str] = []
    if stage.overhang is None:
        missing.append("distance of the force from the front bearing, mm")
    if stage.bearing_span is None:
        missing.append("distance of the bearings, mm")
    if seat is None or seat.turning is not None:
        return (*missing, "belt, teeth or rope on the load side of the shaft")
    behind = axis.stages[number + 1] if number + 1 < len(axis.stages) else None
    if isinstance(behind, BeltReductionParams) or not (
        behind is None or isinstance(behind, CouplingParams | ShaftParams)
    ):
        missing.append("a coupling on the motor side of the shaft: other forces are not told")
    return (*missing, *seat.missing)


def _lives(out: OutputDemand, number: int, stage: ShaftParams) -> tuple[float, float]:
    """Rating lives of front and rear bearing [s]."""
    seat = seat_of(out.axis, number - 1)
    ratings, overhang, span = stage.bearing_ratings, stage.overhang, stage.bearing_span
    if seat is None or ratings is None or overhang is None or span is None:
        raise AssertionError("judged only where all of it is stated")
    loads = seat_loads(out, seat)
    if np.any(loads.over.axial > 0):
        return float("nan"), float("nan")
    use = out.stages[seat.stage]
    turned = (use.weight * np.abs(use.speed)).ravel()
    mean_speed = float(turned.sum()) / out.cycle_time
    exponent = ROLLER if stage.bearing_kind == "roller" else BALL
    reactions = overhung_reactions(loads.over.radial.ravel(), overhang, span)
    front, rear = (
        float(
            life_time(
                life_revolutions(rating, power_mean(force, turned, exponent), exponent), mean_speed
            )
        )
        for rating, force in zip(ratings, reactions, strict=True)
    )
    return front, rear
