"""Check of the first resonance of the real train against the bandwidth wanted."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.records import Outcome
from dutyline.checks.rigidity import locked_frequency, stiffness_data
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity
from dutyline.physics.control import RESONANCE_SHARE

Array = NDArray[np.float64]

DAMPED_SHARE = 0.5
"""Velocity bandwidth over the locked frequency with a notch filter (common practice)."""


def first(trial: Trial) -> Outcome:
    """Bandwidth of the velocity loop that is wanted against what the train lets it have."""
    control = trial.axis.equipment.control
    wanted = trial.axis.require.bandwidth
    if wanted is None and control is not None:
        wanted = control.velocity_gain
    if wanted is None or trial.screening:
        empty = np.full(trial.size, np.nan)
        return Outcome(empty, empty, applies=False)
    share = DAMPED_SHARE if control is not None and control.notch else RESONANCE_SHARE
    locked = locked_frequency(trial)

    def text(k: int) -> str:
        if not np.isfinite(locked[k]):
            return ""
        return f"the load swings at {quantity(float(locked[k]), 'Hz')} behind a motor at rest"

    return Outcome(
        demand=np.full(trial.size, wanted),
        limit=share * 2 * np.pi * locked,
        needs=("gearhead.stiffness", "motor.inertia", "gearhead.inertia_in"),
        missing=(stiffness_data(trial),),
        text=text,
    )


def figures(trial: Trial) -> dict[str, Array]:
    """Locked frequency of the train [Hz]."""
    return {"locked_frequency": locked_frequency(trial)}
