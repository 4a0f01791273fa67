"""Check of what moves by friction: wheels, drums, feed rolls, friction wheels, goods on a belt."""

from __future__ import annotations

import numpy as np

from dutyline.checks.mechanics import Share, nothing, same, worst_of
from dutyline.checks.records import Outcome, Severity
from dutyline.checks.trial import Trial
from dutyline.core import series
from dutyline.physics.friction_drives import grip
from dutyline.train.bent_parameters import FeedRollsParams
from dutyline.train.parameters import ConveyorParams, RackParams, ReductionParams, TractionParams


def traction(trial: Trial) -> Outcome:
    """Force needed in the cycle against what friction transmits, at the worst contact."""
    shares = [*_wheel(trial), *_rolls(trial), *_stages(trial), *_goods(trial)]
    if not shares:
        return nothing(trial)
    missing = "normal force and friction of the contact, diameter of a friction wheel"
    own = trial.axis.mechanism
    unasked = isinstance(own, FeedRollsParams) and own.traction_friction is None
    alone: Severity | None = "note" if unasked and len(shares) == 1 else None
    return worst_of(trial, shares, missing, severity=alone)


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


def _rolls(trial: Trial) -> list[Share]:
    """Pull of the web on feed rolls, without what only turns the nips, against all nips."""
    own = trial.axis.mechanism
    if not isinstance(own, FeedRollsParams):
        return []
    use, friction = trial.out.stages[0], trial.axis.train.chain.load.base.friction
    inner = series.coefficients(use.effort - friction * np.sign(use.speed))
    row, place = series.roots(series.slope(inner))
    crest = np.abs(series.at(inner[row], place[:, None])).max(initial=0.0)
    ends = np.abs(use.ends - friction * np.sign(use.end_speed))
    held = float("nan")
    if own.traction_friction is not None:
        held = float(grip(own.traction_friction, own.nip_force)) * own.count
    force = same(trial, max(float(ends.max()), float(crest)))
    return [Share(force, held, "feed rolls", "N", float(use.end_time[int(np.argmax(ends))]))]


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
