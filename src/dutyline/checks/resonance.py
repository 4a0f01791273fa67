"""Check of the first resonance of the real train against the bandwidth wanted."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.loops import allowed_bandwidth, loops, wanted_bandwidth
from dutyline.checks.records import Outcome, no_line
from dutyline.checks.rigidity import free_frequency, stiffness_data
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity

Array = NDArray[np.float64]


def first(trial: Trial) -> Outcome:
    """Bandwidth of the velocity loop that is wanted against what the train lets it have."""
    wanted = wanted_bandwidth(trial)
    if wanted is None or trial.screening:
        return no_line(trial.size)
    locked, free = loops(trial).locked, free_frequency(trial)
    half_rate = trial.drive("velocity_loop") / 2

    def text(k: int) -> str:
        if not np.isfinite(locked[k]):
            return ""
        swing = f"the load swings at {quantity(float(locked[k]), 'Hz')} behind a motor at rest"
        if not np.isfinite(free[k]):
            return swing
        both = f"{swing}, motor and load at {quantity(float(free[k]), 'Hz')} against each other"
        if not free[k] > half_rate[k]:
            return both
        return f"{both}: above half the rate of the velocity loop, a torque filter has to stop it"

    return Outcome(
        demand=np.full(trial.size, wanted),
        limit=allowed_bandwidth(trial),
        needs=("gearhead.stiffness", "motor.inertia", "gearhead.inertia_in"),
        missing=(stiffness_data(trial),),
        text=text,
    )


def figures(trial: Trial) -> dict[str, Array]:
    """Frequencies of the train [Hz]; gains that drive and train allow [rad/s, 1/s]."""
    own = loops(trial)
    return {
        "locked_frequency": own.locked,
        "resonance": free_frequency(trial),
        "velocity_bandwidth": own.bandwidth,
        "position_gain": own.position_gain,
    }
