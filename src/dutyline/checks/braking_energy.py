"""Checks of what becomes of the energy that returns to the drive."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]


def _external(trial: Trial) -> Flags:
    return trial.choice.resistor >= 0


def _internal(trial: Trial) -> Flags:
    return ~_external(trial) & (trial.drive("internal_resistor_power") > 0)


def _either(trial: Trial) -> Flags:
    return _external(trial) | _internal(trial)


def _rating(trial: Trial, outside: str, inside: str) -> Array:
    return np.where(_external(trial), trial.resistor(outside), trial.drive(inside))


def _resistance(trial: Trial) -> Array:
    """[ohm]; of a built-in resistor the drive's lowest resistance is taken."""
    return _rating(trial, "resistance", "resistor_min")


def _assumed(trial: Trial) -> Flags:
    return _internal(trial)


def capacitor(trial: Trial) -> Outcome:
    """Largest surplus against what the capacitor takes, where there is no resistor at all."""
    bus = trial.drive_side.bus
    return Outcome(
        demand=trial.at_drive(bus.largest_store),
        limit=trial.at_drive(trial.drive_side.capacity),
        applies=~_either(trial),
        missing=("bus capacitance and switching voltage of the drive, uF and V",),
        at=trial.at_drive(bus.peak_time),
    )


def mean_power(trial: Trial) -> Outcome:
    """Mean power to the resistor against its rating."""
    energy = trial.at_drive(trial.drive_side.bus.resistor)
    return Outcome(
        demand=energy / trial.out.cycle_time,
        limit=_rating(trial, "power_mean", "internal_resistor_power"),
        applies=_either(trial),
        missing=("mean power of the resistor, W",),
    )


def peak_power(trial: Trial) -> Outcome:
    """Largest power against what the switching voltage drives through the resistance."""
    bus = trial.drive_side.bus
    inside = _assumed(trial)

    def text(k: int) -> str:
        return "resistance of the built-in resistor assumed" if inside[k] else ""

    return Outcome(
        demand=trial.at_drive(bus.peak_power),
        limit=trial.drive("chopper_on") ** 2 / _resistance(trial),
        applies=_either(trial),
        missing=("switching voltage of the drive and resistance, V and ohm",),
        at=trial.at_drive(bus.peak_time),
        text=text,
    )


def pulse(trial: Trial) -> Outcome:
    """Largest energy without a pause against the pulse energy of the resistor."""
    bus = trial.drive_side.bus
    return Outcome(
        demand=trial.at_drive(bus.pulse),
        limit=_rating(trial, "pulse_energy", "internal_resistor_pulse"),
        applies=_either(trial),
        missing=("pulse energy of the resistor, J",),
        at=trial.at_drive(bus.peak_time),
    )


def lowest_resistance(trial: Trial) -> Outcome:
    """Smallest resistance the drive's switch bears against the one fitted."""
    return Outcome(
        demand=trial.drive("resistor_min"),
        limit=trial.resistor("resistance"),
        applies=_external(trial),
        missing=("lowest resistance of the drive, ohm",),
    )
