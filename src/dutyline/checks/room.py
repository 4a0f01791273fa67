"""Checks of the room and mass that the file allows the motor."""

from __future__ import annotations

import numpy as np

from dutyline.checks.records import Outcome, no_line
from dutyline.checks.trial import Trial


def mass(trial: Trial) -> Outcome:
    """Mass of the motor, its brake included, against the mass allowed."""
    allowed = trial.axis.require.mass
    if allowed is None:
        return no_line(trial.size)
    plain, braked = trial.motor("mass"), trial.motor("mass_with_brake")
    braked = np.where(np.isnan(braked), plain + trial.brake("mass"), braked)
    return Outcome(
        demand=np.where(trial.choice.brake >= 0, braked, plain),
        limit=np.full(trial.size, allowed),
        needs=("motor.mass",),
    )


def envelope(trial: Trial) -> Outcome:
    """Flange of the motor against the narrow side of its room; the length is not in the data."""
    room = trial.axis.require.envelope
    if room is None:
        return no_line(trial.size)
    flange, narrow = trial.motor("flange"), min(room)
    wide = flange > narrow
    return Outcome(
        demand=np.where(wide, flange, np.nan),
        limit=np.full(trial.size, narrow),
        missing=("length of the motor, mm; its flange fits",),
    )
