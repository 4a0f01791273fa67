"""Check of an emergency ramp that the file states: the distance it takes."""

from __future__ import annotations

import numpy as np

from dutyline.checks.records import Outcome, no_line
from dutyline.checks.trial import Trial


def distance(trial: Trial) -> Outcome:
    """Distance of the stated ramp, reaction included, against what is free in its direction."""
    free, way = trial.axis.stop.free_distance, trial.axis.cycle.net_travel
    if free is None or trial.axis.cycle.closed:
        return no_line(trial.size)
    return Outcome(
        demand=np.full(trial.size, abs(way)),
        limit=np.full(trial.size, free[1] if way > 0 else free[0]),
        unit=np.full(trial.size, "m" if trial.axis.linear else "rad"),
    )
