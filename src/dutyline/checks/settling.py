"""Check of the time that the load takes to settle after a move, by the estimate."""

from __future__ import annotations

import numpy as np

from dutyline.checks.estimate import LEAST_COUNTS, estimate
from dutyline.checks.loops import NEEDS, gains_text
from dutyline.checks.records import Outcome, no_line
from dutyline.checks.rigidity import stiffness_data
from dutyline.checks.tolerance import wanted
from dutyline.checks.trial import Trial


def settling(trial: Trial) -> Outcome:
    """Estimate for the slowest standstill of the cycle against the time allowed.

    Told without a limit where no time is stated. Infinite where friction holds the load out of
    the window, or the encoder does not see it.
    """
    allowed = trial.axis.require.settle
    passed_over = trial.screening and allowed is None
    found = estimate(trial) if wanted(trial.axis) and not passed_over else None
    if found is None:
        return no_line(trial.size)

    def text(k: int) -> str:
        if found.held[k]:
            return "friction holds the load out of the window"
        if found.coarse[k]:
            return f"half the window is less than {LEAST_COUNTS:g} counts of the encoder"
        gains = gains_text(trial, k)
        return f"estimate; {gains}" if gains else ""

    return Outcome(
        demand=found.time,
        limit=np.full(trial.size, np.inf if allowed is None else allowed),
        needs=NEEDS,
        missing=(stiffness_data(trial),),
        severity="note" if allowed is None else "must",
        at=found.at,
        text=text,
    )
