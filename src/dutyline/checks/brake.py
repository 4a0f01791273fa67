"""Checks of the holding brake and of gravity axes."""

from __future__ import annotations

import numpy as np

from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.physics.brakes import drop as fall_in_gap
from dutyline.physics.brakes import hold_ratio

KEPT = 0.8
"""Share of the rated brake torque that is counted: heat, wear, tolerance (common practice)."""
ALONE, NEAR_PEOPLE = 1.5, 2.0
"""Hold ratio wanted, and where people can be near or beneath (common practice)."""


def hold(trial: Trial) -> Outcome:
    """Hold ratio wanted against counted brake torque over the torque that it holds.

    That is the weight at any place, and where a phase at rest is held by the brake its force too.
    """
    wanted = NEAR_PEOPLE if trial.site.people_near else ALONE
    torque = trial.brake("torque_static")
    out = trial.out
    weight = out.held_torque / trial.at_motor(trial.motor_side.shafts.ratio)
    limit = np.full(trial.size, np.nan)
    known = np.isfinite(torque) & (weight > 0)
    said = ["with the balance gone"] if out.balance_lost else []
    pushed = out.brake_holds and out.held_torque > abs(out.static_torque) * (1 + 1e-9)
    said += ["against the force of a phase held by the brake"] if pushed else []
    limit[known] = hold_ratio(torque[known], weight[known], KEPT)
    return Outcome(
        demand=np.full(trial.size, wanted),
        limit=limit,
        applies=(trial.choice.brake >= 0) & (out.gravity_acts | out.brake_holds),
        needs=("brake.torque_static",),
        text=(lambda _: ", ".join(said)) if said else None,
    )


def drop(trial: Trial) -> Outcome:
    """How far the load falls between motor off and brake closed, against what is allowed."""
    stop, out = trial.axis.stop, trial.out
    ratio = trial.at_motor(trial.motor_side.shafts.ratio)
    own = trial.at_motor(trial.motor_side.shafts.inertia)
    gap = np.full(trial.size, np.nan if stop.gap is None else stop.gap)
    engage = trial.brake("engage_time")
    gap = np.where(np.isnan(gap), engage + stop.reaction, gap)
    inertia = own + out.static_inertia / ratio**2
    reach = abs(out.travel_per_radian or np.nan) / ratio
    angle = np.full(trial.size, np.nan)
    known = np.isfinite(gap) & np.isfinite(inertia)
    weight = abs(out.static_torque) / ratio
    angle[known] = fall_in_gap(weight[known], inertia[known], gap[known])
    play = trial.brake("backlash")
    return Outcome(
        demand=(angle + play) * reach,
        limit=np.full(trial.size, np.nan if stop.drop is None else stop.drop),
        applies=(trial.choice.brake >= 0) & out.gravity_acts & (stop.drop is not None),
        needs=("brake.engage_time", "brake.backlash", "motor.inertia", "gearhead.inertia_in"),
        unit=np.full(trial.size, "m" if trial.axis.linear else "rad"),
    )


def fitted(trial: Trial) -> Outcome:
    """A gravity axis needs a brake, and so does a phase that leaves a load to it."""
    out = trial.out
    without = trial.choice.brake < 0
    names = trial.line.brakes

    def text(k: int) -> str:
        return "no brake" if without[k] else names[trial.choice.brake[k]].name

    return Outcome(
        demand=np.where(without, 1.0, 0.0),
        limit=np.where(without, 0.0, 1.0),
        applies=out.gravity_acts or out.brake_holds,
        severity="caution" if trial.axis.require.brake is False and not out.brake_holds else None,
        text=text,
    )


def gravity_caution(trial: Trial) -> Outcome:
    """Gravity acts: a risk assessment is for people, not for arithmetic."""
    nothing = np.full(trial.size, np.nan)
    return Outcome(
        demand=nothing,
        limit=nothing,
        applies=trial.out.gravity_acts,
        missing=("risk assessment of work beneath the load, by a competent person",),
    )
