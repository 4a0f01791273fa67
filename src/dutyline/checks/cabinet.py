"""Check of the heat in the cabinet."""

from __future__ import annotations

from dutyline.checks.lacking import CURRENT
from dutyline.checks.mains_power import mains_power
from dutyline.checks.records import Outcome, no_line
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity
from dutyline.physics.supply import WALL


def heat(trial: Trial) -> Outcome:
    """Temperature inside against the drive's ambient; air around the cabinet as at the motor."""
    own = trial.axis.equipment.cabinet
    if own is None or (own.surface is None and own.fan == 0) or trial.screening:
        return no_line(trial.size)
    lost = mains_power(trial).drive_heat * own.axes + own.other_loss
    carried = WALL * (own.surface or 0.0) + own.fan
    rise = lost / carried

    def text(k: int) -> str:
        return f"{quantity(float(lost[k]), 'W')} raise the air inside by {quantity(rise[k], 'K')}"

    return Outcome(
        demand=trial.site.ambient + rise,
        limit=trial.drive("ambient_max"),
        needs=("drive.loss_fixed", "drive.loss_per_ampere", "drive.top_ambient", *CURRENT),
        text=text,
    )
