"""Checks of the drive: currents and its overload curve."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import CURRENT, RATED
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.demand.motor import chunks, strips

Array = NDArray[np.float64]

NEAR_PEAK = 0.9
"""Share of the peak current from which the drive's peak time counts; below, the curve judges."""


def continuous_current(trial: Trial) -> Outcome:
    """Rms current against the rated current after derating."""
    limit = trial.at_drive(trial.drive_side.current_rated)
    if trial.screening:
        low, high = (trial.at_motor(v) for v in trial.motor_side.current_bounds)
        demand = trial.decided("drive-continuous-current", low, high, limit, _rms_current)
    else:
        demand = _rms_current(trial)
    return Outcome(
        demand=demand,
        limit=limit,
        needs=(*RATED, *CURRENT),
    )


def _rms_current(trial: Trial) -> Array:
    return trial.at_motor(trial.motor_side.rms_current)


def peak_current(trial: Trial) -> Outcome:
    """Largest current against the peak current, and the time near it against the peak time."""
    side = trial.drive_side
    peak = side.shared(trial.motor_side.peak_current)
    limit = side.field("current_peak")
    allowed = side.field("peak_time")
    longest = _time_near_peak(trial, peak, limit, allowed)
    with np.errstate(invalid="ignore", divide="ignore"):
        by_time = longest / allowed > peak / limit
    open_ = (longest > 0) & np.isnan(allowed) & (peak <= limit)
    demand = np.where(open_, np.nan, np.where(by_time, longest, peak))
    return Outcome(
        demand=trial.at_drive(demand),
        limit=trial.at_drive(np.where(by_time, allowed, limit)),
        needs=("drive.current_peak", "drive.peak_time", *CURRENT),
        at=trial.at_motor(trial.motor_side.peak[1]),
        unit=trial.at_drive(np.where(by_time, "s", "A")),
    )


def _time_near_peak(trial: Trial, peak: Array, limit: Array, allowed: Array) -> Array:
    """Longest time without a pause above the stated share of the drive's peak current [s].

    Zero where it cannot weigh more than the current itself: the whole cycle is short enough.
    """
    side = trial.drive_side
    result = np.zeros(peak.size)
    least = NEAR_PEAK * limit
    asked = peak > least
    if trial.screening:  # what the current alone decides needs no time
        asked &= peak <= limit * (1 + 1e-9)
    near = np.nonzero(asked)[0]
    level = side.windings.take(near).torque(least[near])
    above = side.motor_side.reach[side.of_motor_side[near]] >= level[:, None]
    most = np.where(above.all(axis=1), np.inf, (above * trial.out.duration).sum(axis=1))
    near = near[~(most <= NEAR_PEAK * allowed[near])]
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
    use, assumed = trial.drive_side.overload
    taken = trial.at_drive(assumed)

    def text(k: int) -> str:
        return "usual curve assumed: 1.25 for 10 s, 3 for 0.5 s" if taken[k] else ""

    return Outcome(
        demand=trial.at_drive(use.single if single else use.largest),
        limit=np.ones(trial.size),
        needs=("drive.overload_curve", *RATED, *CURRENT),
        at=trial.at_drive(use.single_time if single else use.time),
        text=text,
    )
