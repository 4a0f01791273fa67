"""Check of the inertia ratio, judged by what the train and its loops make of it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.checks.estimate import estimate
from dutyline.checks.loops import resonance_allows
from dutyline.checks.records import Outcome
from dutyline.checks.reserves import required_reserve
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

USUAL, QUICK, STIFF = 10.0, 5.0, 30.0
"""Largest ratio by habit, where settling in less than :data:`SHORT` is wanted, and where the train
is stiff enough for the bandwidth wanted (common practice)."""
SHORT = 0.050
"""[s]"""


def ratio(trial: Trial) -> Outcome:
    """Reflected load inertia over rotor, brake and gearhead input, against the usual band.

    The band stands for a resonance that nobody knows: it is wider where the first resonance allows
    the bandwidth wanted, and no more than a note where the settling time is met with a stated
    stiffness.
    """
    side = trial.motor_side
    found = trial.at_motor(side.inertia_ratio)
    rotor = trial.motor("inertia")
    shaft = trial.at_motor(side.shafts.inertia)
    own = shaft - trial.gearhead("inertia_in", 0.0)
    other = (found * shaft + trial.gearhead("inertia_in", 0.0)) / own
    settle = trial.axis.require.settle
    usual = QUICK if settle is not None and settle < SHORT else USUAL
    stiff, settled = (np.zeros(trial.size, dtype=bool),) * 2
    if not trial.screening:
        stiff, settled = resonance_allows(trial), _settles(trial)

    def text(k: int) -> str:
        said = []
        if np.isfinite(rotor[k]) and abs(other[k] - found[k]) > 0.1 * found[k]:
            said.append(f"{quantity(float(other[k]), '1')} with the gearhead input counted as load")
        if stiff[k]:
            said.append("the first resonance allows the bandwidth wanted")
        if settled[k]:
            said.append("the load settles in time by the stated stiffness")
        return "; ".join(said)

    return Outcome(
        demand=found,
        limit=np.where(stiff, STIFF, usual),
        applies=trial.axis.train.kind != "direct" or not trial.axis.linear,
        needs=("motor.inertia", "gearhead.inertia_in"),
        severity=np.where(settled, "note", "caution"),
        text=text,
    )


def _settles(trial: Trial) -> Flags:
    """Where the settling time wanted is met by the estimate, on a stiffness that is stated."""
    settle = trial.axis.require.settle
    found = None if settle is None or guessed(trial.axis) else estimate(trial)
    if settle is None or found is None:
        return np.zeros(trial.size, dtype=bool)
    met: Flags = found.time <= (1 - required_reserve("settling", trial.axis)) * settle
    return met


def guessed(axis: Axis) -> bool:
    """Whether a stiffness of the train is no more than an assumption."""
    return any(path.endswith(".stiffness") for path in axis.assumed(("mechanism", "stage")))
