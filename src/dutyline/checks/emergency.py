"""Checks of what the gearhead feels in an emergency stop, and how often it may."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import MOST_TORQUE, ROTOR
from dutyline.checks.mechanics import in_ramp
from dutyline.checks.records import Outcome
from dutyline.checks.stop_torques import drive_torque, ramped, stopped, stopped_by_brake
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity
from dutyline.physics.gear_loads import jam_torque

Array = NDArray[np.float64]


def gear_by_brake(trial: Trial) -> Outcome:
    """Output torque while the brake at its strongest stops the axis."""
    torque, at = _by_brake(trial)
    return Outcome(
        demand=torque,
        limit=trial.gearhead("torque_emergency"),
        applies=(trial.choice.gearhead >= 0) & (trial.choice.brake >= 0) & _able(trial),
        needs=("gearhead.torque_emergency", "brake.torque_static", *ROTOR),
        at=at,
    )


def gear(trial: Trial) -> Outcome:
    """Output torque of the worse of brake and drive, or the number of stops, against its limit.

    Stops within the acceleration torque are peaks like others and are not counted. A ramp that the
    file states takes the place of the drive's peak torque.
    """
    torque, at, worse = _worse(trial)
    ordinary = trial.gearhead("torque_acceleration")
    count = trial.axis.duty.stops * trial.axis.duty.years
    limit, most = trial.gearhead("torque_emergency"), trial.gearhead("emergency_count")
    with np.errstate(divide="ignore", invalid="ignore"):
        often = (count / most > torque / limit) & ~(torque <= ordinary)
    uncounted = torque <= ordinary
    open_ = np.isnan(torque) | np.isnan(limit) | (np.isnan(most) & ~uncounted)
    jam = _jam(trial)

    def text(k: int) -> str:
        if often[k]:
            return "emergency stops over the years, each with the emergency torque allowed"
        by = "brake" if worse[k] else "drive"
        stop = "in an emergency ramp" if in_ramp(trial) else f"by the {by}"
        if not uncounted[k]:
            stop += f", {quantity(count, '1')} of {quantity(float(most[k]), '1')} stops"
        return stop if np.isnan(jam[k]) else f"{stop}; a jam would bring {quantity(jam[k], 'N*m')}"

    return Outcome(
        demand=np.where(open_, np.nan, np.where(often, count, torque)),
        limit=np.where(often, most, limit),
        applies=(trial.choice.gearhead >= 0) & _able(trial) & ~np.isneginf(torque),
        needs=(
            "gearhead.torque_emergency",
            "gearhead.emergency_count",
            "gearhead.torque_acceleration",
            "brake.torque_static",
            *MOST_TORQUE,
            *ROTOR,
        ),
        at=at,
        unit=np.where(often & ~open_, "1", "N*m"),
        text=text,
    )


def _worse(trial: Trial) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Output torque of the worse of drive and brake, its instant, and where it is the brake.

    In an emergency ramp it is the torque of the ramp. Where the file states a ramp, the drive stops
    by that alone; without a brake nothing is left then, and the torque is minus infinity.
    """
    if in_ramp(trial):
        torque = np.full(trial.size, trial.out.peak_torque)
        return torque, np.full(trial.size, trial.out.peak_time), np.zeros(trial.size, dtype=bool)
    if ramped(trial):
        torque, at = np.full(trial.size, -np.inf), np.zeros(trial.size)
    else:
        torque, at = _through(trial, drive_torque(trial))
    braked = trial.choice.brake >= 0
    by_brake, brake_at = _by_brake(trial)
    worse = braked & ((by_brake > torque) | np.isneginf(torque))
    at = np.where(worse, brake_at, at)
    torque = np.where(braked, np.maximum(torque, by_brake), torque)
    return torque, at, worse


def _able(trial: Trial) -> bool:
    return in_ramp(trial) or trial.out.stops.size > 0


def _through(trial: Trial, torque: Array) -> tuple[Array, Array]:
    """Largest output torque while a torque at the motor stops the axis [N*m], and its instant."""
    if trial.out.stops.size == 0:
        return np.full(trial.size, np.nan), np.zeros(trial.size)
    return _worst(trial, stopped(trial, torque).shaft)


def _by_brake(trial: Trial) -> tuple[Array, Array]:
    """The same by the brake at its strongest."""
    if trial.out.stops.size == 0:
        return np.full(trial.size, np.nan), np.zeros(trial.size)
    return _worst(trial, stopped_by_brake(trial).shaft)


def _worst(trial: Trial, torque: Array) -> tuple[Array, Array]:
    column = np.where(np.isnan(torque), np.inf, torque).argmax(axis=1)
    return torque[np.arange(trial.size), column], trial.out.stops.time[column]


def _jam(trial: Trial) -> Array:
    """Output torque when the load stops dead at top speed [N*m]; for the reader only."""
    if trial.screening:
        return np.full(trial.size, np.nan)
    shafts = trial.motor_side.shafts
    ratio, own = trial.at_motor(shafts.ratio), trial.at_motor(shafts.inertia)
    spring = trial.gearhead("stiffness")
    return jam_torque(trial.out.peak_speed, ratio, own, spring, drive_torque(trial))
