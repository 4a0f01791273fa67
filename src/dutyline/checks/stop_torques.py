"""Torques that brake and drive can stop an axis with, for the checks that need them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.tables import tables
from dutyline.checks.sides import gather
from dutyline.checks.trial import Trial
from dutyline.demand.following import follow
from dutyline.demand.stopping import StopStates
from dutyline.physics.gear_loads import emergency_torque

Array = NDArray[np.float64]

KEPT = 0.8
"""Share of the rated brake torque that is counted on: heat, wear, tolerance (common practice)."""
STRONGEST = 1.5
"""Largest brake torque over the rated one, for what the mechanics feel: the upper end of the usual
spread of -20 to +50 % (common practice)."""
QUENCHED_SLOWLY = 5.0
"""Engage time with a diode across the coil over that with a varistor, upper end of 3 to 5 (common
practice)."""


def side_brake(trial: Trial, name: str) -> Array:
    """A field of the brakes on the motor side, nan where there is none."""
    side = trial.motor_side
    return gather(tables(side.line).brakes, name, side.choice.brake)


def brake_delay(trial: Trial) -> Array:
    """From the loss of power until the brake grips, on the motor side [s]."""
    slow = QUENCHED_SLOWLY if trial.axis.stop.coil == "diode" else 1.0
    return slow * side_brake(trial, "engage_time") + trial.axis.stop.reaction


def drive_torque(trial: Trial) -> Array:
    """Torque with which the drive brakes, one element per combination [N*m].

    The motor's peak or what the drive's current gives; where it would overload the gearhead it
    counts as limited to what the gearhead bears.
    """
    most = np.minimum(trial.motor("torque_peak"), trial.at_drive(trial.drive_side.peak_cap))
    geared = trial.choice.gearhead >= 0
    borne = trial.gearhead("torque_acceleration") / trial.gearhead("ratio", 1.0)
    return np.where(geared, np.minimum(most, borne), most)


@dataclass(frozen=True, slots=True)
class Stopped:
    """What a stop asks of the parts between motor and load, ``c`` combinations, ``n`` states."""

    shaft: Array
    """(c, n) [N*m] largest magnitude at the output shaft"""
    pull: Array
    """(c, n) [N*m] largest pull along the motion at the output shaft"""


def stopped(trial: Trial, torque: Array) -> Stopped:
    """Torque and pull while a torque (c,) at the motor stops the axis at once, from each state."""
    shafts = trial.motor_side.shafts
    ratio, own = (trial.at_motor(v) for v in (shafts.ratio, shafts.inertia))
    return _stopped(trial.out.stops, ratio, own, torque)


def stopped_by_brake(trial: Trial) -> Stopped:
    """The same by the brake at its strongest, worked out once per trial on the motor side."""
    if "strongest stop" not in trial.kept:
        shafts = trial.motor_side.shafts
        torque = STRONGEST * side_brake(trial, "torque_static")
        found = _stopped(trial.out.stops, shafts.ratio, shafts.inertia, torque)
        kept = Stopped(trial.at_motor(found.shaft), trial.at_motor(found.pull))
        trial.kept["strongest stop"] = kept
    strongest: Stopped = trial.kept["strongest stop"]
    return strongest


def _stopped(states: StopStates, ratio: Array, own: Array, torque: Array) -> Stopped:
    if states.ways is not None:
        far = follow(states, ratio, own, torque[:, None], np.zeros(ratio.size))
        return Stopped(far.through, far.pull)
    shaft = emergency_torque(
        torque[:, None], ratio[:, None], states.inertia, own[:, None], states.pull
    )
    return Stopped(shaft, np.broadcast_to(states.pull, shaft.shape))


def ramped(trial: Trial) -> bool:
    """Whether a stop phase states how the drive stops the axis, wherever it is."""
    return any(stop.means == "drive" and stop.start == "worst" for stop in trial.axis.stops)


def largest_torque(trial: Trial) -> Array:
    """The larger of the brake at its strongest and the drive, one per combination [N*m].

    The drive counts with all it can where no stop phase states its ramp, which is judged apart.
    """
    braked = trial.choice.brake >= 0
    brake = STRONGEST * trial.brake("torque_static")
    if ramped(trial):
        return np.where(braked, brake, 0.0)
    drive = drive_torque(trial)
    return np.where(braked, np.maximum(drive, brake), drive)
