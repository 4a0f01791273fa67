"""Checks of the drive: currents and its overload curve."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.demand.motor import chunks, strips
from dutyline.demand.overload import overload_use
from dutyline.physics.overload import DEFAULT_CURVE

Array = NDArray[np.float64]

RECOVERY = 10.0
"""[s] recovery of a drive's current model (own choice)."""
NEAR_PEAK = 0.9
"""Share of the peak current from which the drive's peak time counts; below, the curve judges."""


def continuous_current(trial: Trial) -> Outcome:
    """Rms current against the rated current after derating."""
    return Outcome(
        demand=trial.at_motor(trial.motor_side.rms_current),
        limit=trial.at_drive(trial.drive_side.current_rated),
        missing=("rated current of the drive, A rms",),
    )


def peak_current(trial: Trial) -> Outcome:
    """Largest current against the peak current, and the time near it against the peak time."""
    side = trial.drive_side
    peak = side.shared(trial.motor_side.peak_current)
    limit = side.field("current_peak")
    allowed = side.field("peak_time")
    longest = _time_near_peak(trial, peak, limit)
    with np.errstate(invalid="ignore", divide="ignore"):
        by_time = longest / allowed > peak / limit
    demand = np.where(by_time, longest, peak)
    return Outcome(
        demand=trial.at_drive(demand),
        limit=trial.at_drive(np.where(by_time, allowed, limit)),
        missing=("peak current of the drive, A rms",),
        at=trial.at_motor(trial.motor_side.peak[1]),
        unit=trial.at_drive(np.where(by_time, "s", "A")),
    )


def _time_near_peak(trial: Trial, peak: Array, limit: Array) -> Array:
    """Longest time without a pause above the stated share of the drive's peak current [s]."""
    side = trial.drive_side
    result = np.zeros(peak.size)
    near = np.nonzero(peak > NEAR_PEAK * limit)[0]
    for part in chunks(near.size, trial.out.start.size):
        rows = near[part]
        windings = side.windings.take(rows)
        level = windings.torque(NEAR_PEAK * limit[rows])
        cut = strips(trial.out, side.shafts.take(rows), level[:, None])
        middle = np.abs(cut.torque[:, :, cut.torque.shape[2] // 2])
        result[rows] = _longest(middle >= level[:, None], cut.duration)
    return result


def _longest(on: NDArray[np.bool_], duration: Array) -> Array:
    run = np.zeros(on.shape[0])
    best = np.zeros(on.shape[0])
    for k in [*range(on.shape[1])] * 2:
        idle = duration[:, k] == 0
        run = np.where(on[:, k] | idle, run + duration[:, k], 0.0)
        best = np.maximum(best, run)
    endless = np.all(on | (duration == 0), axis=1)
    return np.where(endless, np.inf, best)


def overload_accumulated(trial: Trial) -> Outcome:
    """Damage on the drive's overload curve in the settled cycle."""
    return _overload(trial, single=False)


def overload_single(trial: Trial) -> Outcome:
    """Longest burst against the time the drive's curve allows, at the worst level."""
    return _overload(trial, single=True)


def _overload(trial: Trial, *, single: bool) -> Outcome:
    side = trial.drive_side
    reference = np.minimum(side.windings.current_stall, side.current_rated)
    count = reference.size
    result, time = np.full(count, np.nan), np.zeros(count)
    assumed = np.zeros(count, dtype=bool)
    for drive in np.unique(side.drive):
        if drive < 0:
            continue
        rows = np.nonzero((side.drive == drive) & np.isfinite(reference))[0]
        curve = trial.line.drives[drive].overload_curve
        assumed[rows] = not curve
        use = overload_use(
            trial.out,
            side.shafts.take(rows),
            side.windings.take(rows),
            reference[rows],
            curve or DEFAULT_CURVE,
            RECOVERY,
        )
        result[rows] = use.single if single else use.largest
        time[rows] = use.single_time if single else use.time
    taken = trial.at_drive(assumed)

    def text(k: int) -> str:
        return "usual curve assumed: 1.25 for 10 s, 3 for 0.5 s" if taken[k] else ""

    return Outcome(
        demand=trial.at_drive(result),
        limit=np.ones(trial.size),
        missing=("rated current of the drive, A rms",),
        at=trial.at_drive(time),
        text=text,
    )
