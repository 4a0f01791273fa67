"""Checks of the gearhead. Torques are at its output: rotor and gearhead input do not load it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import PEAK_CAP
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.core.numbers import fixed, percent, quantity
from dutyline.demand.points import MOVING
from dutyline.physics.gears import cycle_factor, life, mean_loss

Array = NDArray[np.float64]

LIFE_EXPONENT = 10 / 3
"""Roller and line contact (ISO 281, from memory)."""
COUNTED = 0.5
"""A ramp counts as a peak above this share of the acceleration torque."""
SLOW = 0.3
"""Share of the rated output speed below which the equivalent torque is only a caution."""
BUSY = 0.6
"""Share of the cycle in motion above which pauses do not cool: the mean over motion counts."""


def _geared(trial: Trial) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    return trial.choice.gearhead >= 0


def peak(trial: Trial) -> Outcome:
    """Largest output torque against the acceleration torque, lowered for many peaks per hour.

    What the brake of the motor holds at rest goes through the gearhead as well.
    """
    out = trial.out
    held = out.braked_torque > out.peak_torque
    allowed = trial.gearhead("torque_acceleration")
    ramps = trial.out.ramps()
    count = (ramps[None, :] > COUNTED * allowed[:, None]).sum(axis=1)
    per_hour = count * 3600.0 / trial.out.cycle_time
    factor = cycle_factor(per_hour)

    def text(k: int) -> str:
        if held:
            return "at rest, held by the brake"
        return f"{quantity(float(per_hour[k]), '1')} peaks per hour, factor {fixed(factor[k], 2)}"

    return Outcome(
        demand=np.full(trial.size, max(out.peak_torque, out.braked_torque)),
        limit=factor * allowed,
        applies=_geared(trial),
        needs=("gearhead.torque_acceleration",),
        at=None if held else np.full(trial.size, out.peak_time),
        text=text,
    )


def equivalent(trial: Trial) -> Outcome:
    """Torque of equal wear against the rated torque."""
    rated_speed = trial.gearhead("speed_rated_out")
    slow = trial.out.mean_speed < SLOW * rated_speed
    return Outcome(
        demand=np.full(trial.size, trial.out.equivalent_torque(LIFE_EXPONENT)),
        limit=trial.gearhead("torque_rated"),
        applies=_geared(trial),
        needs=("gearhead.torque_rated",),
        severity=np.where(slow, "caution", "must"),
    )


def rated_life(trial: Trial) -> Outcome:
    """Life wanted against the life that torque and speed leave."""
    duty = trial.axis.duty
    wanted = trial.axis.require.life or duty.hours * duty.days * duty.years
    names = ("torque_rated", "speed_rated_out", "life")
    torque, speed, rated = (trial.gearhead(n) for n in names)
    limit = np.full(trial.size, np.nan)
    known = np.isfinite(torque) & np.isfinite(speed) & np.isfinite(rated)
    equal = trial.out.equivalent_torque(LIFE_EXPONENT)
    limit[known] = life(
        equal, trial.out.mean_speed, torque[known], speed[known], rated[known], LIFE_EXPONENT
    )
    return Outcome(
        demand=np.full(trial.size, wanted),
        limit=limit,
        applies=_geared(trial),
        needs=("gearhead.torque_rated", "gearhead.speed_rated_out", "gearhead.life"),
    )


def mean_speed(trial: Trial) -> Outcome:
    """Mean input speed against the permitted one; pauses count only while they are long enough."""
    out = trial.out
    moving = float(out.duration[out.hold == MOVING].sum() / out.cycle_time)
    mean = out.mean_speed / moving if moving > BUSY else out.mean_speed
    return Outcome(
        demand=mean * trial.gearhead("ratio"),
        limit=trial.gearhead("speed_in_mean"),
        applies=_geared(trial),
        needs=("gearhead.speed_in_mean",),
        text=(lambda _: "mean over motion, pauses left out") if moving > BUSY else None,
    )


def max_speed(trial: Trial) -> Outcome:
    """Largest input speed against the permitted one."""
    ends = trial.out.ends
    return Outcome(
        demand=trial.out.peak_speed * trial.gearhead("ratio"),
        limit=trial.gearhead("speed_in_max"),
        applies=_geared(trial),
        needs=("gearhead.speed_in_max",),
        at=np.full(trial.size, ends.time[np.argmax(np.abs(ends.speed))]),
    )


WARM = 50.0
"""[K] rise of the housing that lubricant and seals bear (common practice)."""


def thermal(trial: Trial) -> Outcome:
    """Rise of the housing by the mean loss, teeth and no-load torque, against what it bears.

    Only a note with the loss in it where the thermal resistance is not stated.
    """
    shafts, out = trial.motor_side.shafts, trial.out
    loss = np.full(trial.size, np.nan)
    if not trial.screening:
        known = np.isfinite(shafts.efficiency) & np.isfinite(shafts.drag)
        found = np.full(known.size, np.nan)
        duty = (out.torque.ravel(), out.speed.ravel(), out.weight.ravel())
        sides = (shafts.ratio[known], shafts.efficiency[known], shafts.drag[known])
        found[known] = mean_loss(*duty, *sides)
        loss = trial.at_motor(found)
    resistance = trial.gearhead("thermal_resistance")

    def text(k: int) -> str:
        return "" if np.isnan(loss[k]) else f"mean loss {quantity(float(loss[k]), 'W')}"

    return Outcome(
        demand=loss * resistance,
        limit=np.full(trial.size, WARM),
        applies=_geared(trial),
        needs=(
            "gearhead.thermal_resistance",
            "gearhead.efficiency",
            "gearhead.no_load_torque",
            "gearhead.mesh",
        ),
        severity=np.where(np.isnan(resistance), "note", "caution"),
        text=text,
    )


def torque_limit(trial: Trial) -> Array:
    """Motor torque that puts the acceleration torque through the gearhead [N*m].

    The drag on the input side takes its part first. nan without a gearhead.
    """
    shafts = trial.motor_side.shafts
    mesh, drag = trial.at_motor(shafts.efficiency), trial.at_motor(shafts.drag)
    limit: Array = trial.gearhead("torque_acceleration") / (trial.gearhead("ratio") * mesh) + drag
    return np.where(_geared(trial), limit, np.nan)


def share_of_rated(torque: float, rated: float) -> str:
    """A torque limit in whole percent of the rated torque, rounded down.

    >>> share_of_rated(1.239, 1.0)
    '123\u202f%'
    """
    return percent(np.floor(100 * torque / rated) / 100)


def torque_limit_set(trial: Trial) -> Outcome:
    """What the motor could put through the gearhead if the drive does not limit it."""
    shafts = trial.motor_side.shafts
    motor = np.minimum(trial.motor("torque_peak"), trial.at_drive(trial.drive_side.peak_cap))
    mesh, drag = trial.at_motor(shafts.efficiency), trial.at_motor(shafts.drag)
    ratio = trial.gearhead("ratio")
    allowed = trial.gearhead("torque_acceleration")
    needed, rated = torque_limit(trial), trial.motor("torque_rated")

    def text(k: int) -> str:
        reach = (motor[k] - drag[k]) * ratio[k] * mesh[k]
        if not reach > allowed[k]:
            return ""
        said = f"set the torque limit of the drive to {quantity(float(needed[k]), 'N*m')}"
        if np.isnan(rated[k]):
            return said
        return f"{said} at the motor, {share_of_rated(needed[k], rated[k])} of its rated torque"

    return Outcome(
        demand=(motor - drag) * ratio * mesh,
        limit=allowed,
        applies=_geared(trial),
        needs=(
            "motor.torque_peak",
            "gearhead.torque_acceleration",
            "gearhead.efficiency",
            "gearhead.no_load_torque",
            "gearhead.mesh",
            *PEAK_CAP,
        ),
        text=text,
    )
