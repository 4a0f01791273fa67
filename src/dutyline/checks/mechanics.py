"""What the customer's own mechanics carry, an emergency stop included, for the checks of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.records import Outcome, Severity, no_line
from dutyline.checks.stop_torques import largest_torque, stopped
from dutyline.checks.trial import Trial
from dutyline.demand.side_forces import StopPush, push_in_stop
from dutyline.demand.stopping import load_effort_in_stop

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Share:
    """Demand and limit of one of several parts that one check judges."""

    demand: Array
    limit: Array | float
    name: str
    unit: str
    at: float | None = None


def nothing(trial: Trial) -> Outcome:
    """No line at all."""
    return no_line(trial.size)


def same(trial: Trial, value: float) -> Array:
    """One number for every combination."""
    return np.full(trial.size, value)


def life_wanted(trial: Trial) -> float:
    """Working time [s]."""
    duty = trial.axis.duty
    return trial.axis.require.life or duty.hours * duty.days * duty.years


def in_ramp(trial: Trial) -> bool:
    """Whether an emergency ramp is judged, which asks for no more than itself."""
    return bool(trial.axis.judged)


def effort_in_stop(trial: Trial) -> Array:
    """Largest effort through the mechanism in an emergency stop, per combination [N or N*m].

    Brake at its strongest or drive, whichever stops harder; nan where that is not known. A ramp
    stated for the drive is judged by itself.
    """
    if "effort in stop" not in trial.kept:
        trial.kept["effort in stop"] = _effort(trial)
    found: Array = trial.kept["effort in stop"]
    return found


def _effort(trial: Trial) -> Array:
    reach = trial.out.travel_per_radian
    if in_ramp(trial) or trial.out.stops.size == 0:
        return np.zeros(trial.size)
    if reach is None:
        return np.full(trial.size, np.nan)
    shafts = trial.motor_side.shafts
    ratio, own = (trial.at_motor(v) for v in (shafts.ratio, shafts.inertia))
    torque = largest_torque(trial)
    pull = stopped(trial, torque).pull
    found = load_effort_in_stop(trial.out.stops, ratio, own, torque, reach, pull)
    return np.where(np.isnan(found).any(axis=1), np.nan, found.max(axis=1))


def slide_in_stop(trial: Trial) -> StopPush:
    """Bounds of what the slide of a crank feels in an emergency stop; nan where not known."""
    shafts = trial.motor_side.shafts
    ratio, own = (trial.at_motor(v) for v in (shafts.ratio, shafts.inertia))
    open_ = np.full(trial.size, np.nan)
    return push_in_stop(trial.out, ratio, own, largest_torque(trial)) or StopPush(*[open_] * 3)


def peak_effort(trial: Trial) -> Array:
    """Largest effort through the mechanism, cycle and emergency stop [N or N*m]."""
    peak = trial.out.stages[0].peak
    stop: Array = np.maximum(effort_in_stop(trial), peak)
    return stop


def stage_peak(trial: Trial, number: int) -> Array:
    """Largest output torque of a stage, cycle and emergency stop [N*m].

    In the stop the whole torque of the output shaft counts, as if nothing of it slowed the parts
    between.
    """
    peak = trial.out.stages[number].peak
    states = trial.out.stops
    if in_ramp(trial) or states.size == 0:
        return same(trial, peak)
    out = stopped(trial, largest_torque(trial)).shaft
    change = 1.0
    for stage in trial.axis.train.chain.stages[number:]:
        change *= abs(stage.ratio.constant or np.nan)
    worst = np.where(np.isnan(out).any(axis=1), np.nan, out.max(axis=1)) / change
    found: Array = np.maximum(worst, peak)
    return found


def worst_of(
    trial: Trial,
    shares: Sequence[Share],
    missing: str,
    severity: Severity | None = None,
    text: Callable[[str], str] = str,
) -> Outcome:
    """The outcome of the part with the largest share; an open one goes before all that are met."""
    demand = np.stack([np.broadcast_to(s.demand, (trial.size,)) for s in shares])
    limit = np.stack([np.broadcast_to(np.asarray(s.limit, float), (trial.size,)) for s in shares])
    with np.errstate(divide="ignore", invalid="ignore"):
        used = np.where(limit > 0, demand / limit, np.where(demand > 0, np.inf, 0.0))
    used = np.where(np.isnan(demand) | np.isnan(limit), 1.0 + 1e-12, used)
    row = used.argmax(axis=0)
    every = np.arange(trial.size)
    units = np.array([s.unit for s in shares])
    times = np.array([np.nan if s.at is None else s.at for s in shares])
    return Outcome(
        demand=demand[row, every],
        limit=limit[row, every],
        missing=(missing,),
        severity=severity,
        unit=units[row],
        at=None if np.isnan(times).any() else times[row],
        text=lambda k: text(shares[row[k]].name),
    )
