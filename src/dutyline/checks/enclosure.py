"""Check of the motor's housing against dust and water at the site."""

from __future__ import annotations

import numpy as np

from dutyline.catalogue.protection import covers, digits
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial


def protection(trial: Trial) -> Outcome:
    """Degree of protection of the motor against the one that the site needs."""
    asked = trial.site.protection
    if asked is None:
        empty = np.full(trial.size, np.nan)
        return Outcome(empty, empty, applies=False)
    needed = digits(asked)
    bad = np.full(len(trial.line.motors), np.nan)
    for k, motor in enumerate(trial.line.motors):
        given = digits(motor.protection)
        if needed is not None and given is not None:
            bad[k] = 0.0 if covers(given, needed) else 1.0
    demand = bad[trial.choice.motor]
    return Outcome(
        demand=demand,
        limit=1.0 - demand,
        needs=("motor.protection",) if needed is not None else (),
        missing=() if needed is not None else ("protection class as IP and two digits: IP65",),
        text=lambda k: f"{trial.line.motors[trial.choice.motor[k]].protection}, {asked} needed",
    )
