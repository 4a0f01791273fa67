"""Check of what moves by friction: driven wheels, drums, friction wheels, goods on a belt."""

from __future__ import annotations

import numpy as np

from dutyline.checks.mechanics import Share, nothing, same, worst_of
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.physics.friction_drives import grip
from dutyline.train.parameters import ConveyorParams, RackParams, ReductionParams, TractionParams


def traction(trial: Trial) -> Outcome:
    """Force needed in the cycle against what friction transmits, at the worst contact."""
    shares = [*_wheel(trial), *_stages(trial), *_goods(trial)]
    if not shares:
        return nothing(trial)
    missing = "normal force and friction of the contact, diameter of a friction wheel"
    return worst_of(trial, shares, missing)


def _held(contact: TractionParams) -> float:
    if contact.friction is None or contact.normal_force is None:
        return float("nan")
    return float(grip(contact.friction, contact.normal_force))


def _wheel(trial: Trial) -> list[Share]:
    own = trial.axis.mechanism
    if not isinstance(own, RackParams | ConveyorParams) or own.traction is None:
        return []
    use = trial.out.stages[0]
    name = "driven wheel" if isinstance(own, RackParams) else "drum"
    return [Share(same(trial, use.peak), _held(own.traction), name, "N", use.peak_time)]


def _stages(trial: Trial) -> list[Share]:
    first = len(trial.axis.train.chain.stages) - len(trial.axis.stages)
    found = []
    for number, stage in enumerate(trial.axis.stages, first):
        if not isinstance(stage, ReductionParams) or stage.traction is None:
            continue
        use = trial.out.stages[number]
        radius = np.nan if stage.diameters is None else stage.diameters[1] / 2
        force = same(trial, use.peak / radius)
        name = stage.name or "friction wheel"
        found.append(Share(force, _held(stage.traction), name, "N", use.peak_time))
    return found


def _goods(trial: Trial) -> list[Share]:
    """Acceleration and slope that goods lying on a belt have to follow, per friction."""
    own, out = trial.axis.mechanism, trial.out
    if not isinstance(own, ConveyorParams) or own.goods_friction is None:
        return []
    base, gravity = trial.axis.train.chain.load.base, trial.axis.gravity
    slope = base.gravity / (base.mass * gravity) if base.mass else 0.0
    reach = out.travel_per_radian or 1.0
    either = np.concatenate([out.nodes.acceleration, out.ends.acceleration]) * reach
    needed = np.abs(either + gravity * slope)
    at_ends = np.abs(out.ends.acceleration * reach + gravity * slope)
    limit = own.goods_friction * gravity * np.sqrt(1 - min(slope**2, 1.0))
    at = float(out.ends.time[int(np.argmax(at_ends))])
    return [Share(same(trial, float(needed.max())), float(limit), "goods", "m/s^2", at)]
