"""Power and current that each combination draws from the mains, for the checks that need them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.equipment import Cabinet
from dutyline.catalogue.tables import tables
from dutyline.checks.sides import gather
from dutyline.checks.trial import Trial
from dutyline.demand.losses import Losses
from dutyline.demand.mains import MainsUse, mains_use
from dutyline.physics.supply import mains_current
from dutyline.physics.torque_speed import hot_resistance

Array = NDArray[np.float64]

POWER_FACTOR: dict[int | str, float] = {1: 0.55, 3: 0.65, "dc": 1.0}
"""Power over apparent power of a rectifier with capacitor and no choke, lower end (from memory)."""


@dataclass(frozen=True, slots=True)
class MainsPower:
    """One element per combination."""

    mean: Array
    """[W] from the mains: shaft, losses, what the resistor burns, brake coil"""
    drawn: Array
    """[W] root mean square of what is drawn, over the worst half minute"""
    peak: Array
    """[W] from the mains, brake coil included"""
    drawn_peak: Array
    """[W] from the bus"""
    peak_time: Array
    """[s]"""
    drive_heat: Array
    """[W] of the drive, a resistor built into it included"""


def cabinet(trial: Trial) -> Cabinet:
    """The cabinet as stated, or its defaults."""
    return trial.axis.equipment.cabinet or Cabinet()


def mains_power(trial: Trial) -> MainsPower:
    """Worked out once per trial."""
    if "mains" not in trial.kept:
        trial.kept["mains"] = _power(trial)
    found: MainsPower = trial.kept["mains"]
    return found


def hot_losses(trial: Trial) -> Losses:
    """Between motor shaft and bus, the winding at its limit; one element per drive side."""
    side = trial.drive_side
    motors = tables(trial.line).motors
    motor = side.motor_side.choice.motor[side.of_motor_side]

    def own(name: str) -> Array:
        return gather(motors, name, motor)

    exponent = own("iron_exponent")
    return Losses(
        resistance=hot_resistance(own("resistance") / 2, own("winding_limit")),
        iron_loss=own("iron_loss_rated"),
        speed_rated=own("speed_rated"),
        iron_exponent=np.where(np.isnan(exponent), 1.5, exponent),
        loss_fixed=side.field("loss_fixed"),
        loss_per_ampere=side.field("loss_per_ampere"),
    )


def _power(trial: Trial) -> MainsPower:
    side = trial.drive_side
    use = mains_use(trial.out, side.shafts, side.windings, hot_losses(trial))
    mean, rms, peak, time, current = (
        trial.at_drive(getattr(use, name)) for name in MainsUse.__dataclass_fields__
    )
    burnt = trial.at_drive(side.bus.resistor) / trial.out.cycle_time
    coil = np.where(trial.choice.brake >= 0, trial.brake("coil_power"), 0.0)
    inside = (trial.choice.resistor < 0) & (trial.drive("internal_resistor_power") > 0)
    heat = trial.drive("loss_fixed") + trial.drive("loss_per_ampere") * current
    return MainsPower(
        mean=mean + burnt + coil,
        drawn=rms + coil,
        peak=peak + coil,
        drawn_peak=peak,
        peak_time=time,
        drive_heat=heat + np.where(inside, burnt, 0.0),
    )


def power_factor(trial: Trial) -> float:
    """Stated, or the usual one of a rectifier without a choke [1]."""
    stated = cabinet(trial).power_factor
    return POWER_FACTOR[trial.site.phases] if stated is None else stated


def line_current(trial: Trial, power: Array) -> Array:
    """Current at the lowest mains that this power of one axis draws [A rms]."""
    site = trial.site
    legs = 3 if site.phases == 3 else 1
    low = site.mains * (1 + site.mains_low)
    return mains_current(power, low, legs, power_factor(trial))
