"""Checks of toothed belts and chains, on the axis and as a stage, and of the pinion of a rack."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import MOST_TORQUE, ROTOR
from dutyline.checks.mechanics import (
    Share,
    nothing,
    peak_effort,
    same,
    stage_peak,
    worst_of,
)
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.physics.friction_drives import teeth_in_mesh, wrap_angle
from dutyline.train.parameters import BeltParams, BeltReductionParams, RackParams
from dutyline.train.wheels import wheel_diameter

Array = NDArray[np.float64]

TORQUES = "torque of brake and motor, N·m"


@dataclass(frozen=True, slots=True)
class Belt:
    """One belt or chain."""

    name: str
    force: Array
    """(c,) [N] largest it carries, stop included"""
    slack_share: float
    """[1] pretension needed over the force carried: 1 on an axis, 1/2 between two pulleys"""
    tight_share: float
    """[1] of the force carried that adds to the pretension"""
    pretension: float | None
    force_limit: float | None
    tooth_limit: float | None
    mesh: float
    """teeth in mesh; nan where unknown"""
    chain: bool


def _belts(trial: Trial) -> Iterator[Belt]:
    own = trial.axis.mechanism
    if isinstance(own, BeltParams):
        teeth = own.teeth
        if teeth is None and own.diameter is not None and own.pitch is not None:
            teeth = np.pi * own.diameter / own.pitch
        mesh = np.nan if teeth is None else float(teeth_in_mesh(teeth, np.pi))
        yield Belt("belt", peak_effort(trial), 1.0, 1.0, own.pretension, own.force_limit,
                   own.tooth_limit, mesh, own.element == "chain")  # fmt: skip
    first = len(trial.axis.train.chain.stages) - len(trial.axis.stages)
    for number, stage in enumerate(trial.axis.stages):
        if isinstance(stage, BeltReductionParams):
            yield _reduction(trial, stage, first + number)


def _reduction(trial: Trial, stage: BeltReductionParams, number: int) -> Belt:
    wheels = stage.diameters
    if wheels is None and stage.teeth is not None and stage.pitch is not None:
        first, second = (wheel_diameter(z, stage.pitch) for z in stage.teeth)
        wheels = first, second
    radius = np.nan if wheels is None else wheels[1] / 2
    mesh = np.nan
    if wheels is not None and stage.teeth is not None and stage.centre_distance is not None:
        wrap = wrap_angle(min(wheels), max(wheels), stage.centre_distance)
        mesh = float(teeth_in_mesh(min(stage.teeth), wrap))
    force = stage_peak(trial, number) / radius
    name = stage.name or "belt reduction"
    return Belt(name, force, 0.5, 0.5, stage.pretension, stage.force_limit, stage.tooth_limit,
                mesh, stage.element == "chain")  # fmt: skip


def force(trial: Trial) -> Outcome:
    """Tight tension against the force that belt or chain bears."""
    shares = []
    for belt in _belts(trial):
        if belt.force_limit is None:
            continue
        held = belt.pretension
        if held is None:
            held = 0.0 if belt.chain else np.nan
        tight = held + (1.0 if belt.chain else belt.tight_share) * belt.force
        shares.append(Share(tight, belt.force_limit, belt.name, "N"))
    if not shares:
        return nothing(trial)
    return worst_of(trial, shares, f"pretension of the belt, N; {TORQUES}", text=_named(shares))


def teeth(trial: Trial) -> Outcome:
    """Force of one tooth in mesh against what it bears."""
    shares = [
        Share(belt.force / belt.mesh, belt.tooth_limit, belt.name, "N")
        for belt in _belts(trial)
        if belt.tooth_limit is not None and not belt.chain
    ]
    if not shares:
        return nothing(trial)
    missing = f"teeth and pitch of the pulley, centre distance of a reduction; {TORQUES}"
    return worst_of(trial, shares, missing, text=_named(shares))


def slack(trial: Trial) -> Outcome:
    """Pretension needed so that no branch goes slack against the one that is set."""
    shares = [
        Share(belt.slack_share * belt.force, belt.pretension, belt.name, "N")
        for belt in _belts(trial)
        if belt.pretension is not None and not belt.chain
    ]
    if not shares:
        return nothing(trial)
    return worst_of(trial, shares, TORQUES, text=_named(shares))


def _named(shares: list[Share]) -> Callable[[str], str]:
    """Which belt it is, where there are several."""
    return str if len(shares) > 1 else (lambda _: "")


def pinion(trial: Trial) -> Outcome:
    """Tangential force at the pinion, stop included, against its limit."""
    rack = trial.axis.mechanism
    if not isinstance(rack, RackParams) or rack.force_limit is None:
        return nothing(trial)
    return Outcome(
        demand=peak_effort(trial),
        limit=same(trial, rack.force_limit),
        needs=("brake.torque_static", *MOST_TORQUE, *ROTOR),
        missing=(TORQUES,),
    )
