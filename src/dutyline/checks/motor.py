"""Checks of the motor: its boundaries, standstill, inertia and its own overload curve."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.boundaries import Boundary
from dutyline.catalogue.motor_constants import voltage_limit
from dutyline.checks.lacking import CURRENT, PEAK_CAP, RATED, SHAFT
from dutyline.checks.records import Outcome, Severity
from dutyline.checks.reserves import required_reserve
from dutyline.checks.trial import Trial
from dutyline.core.grouping import distinct_values
from dutyline.core.numbers import quantity
from dutyline.demand.limits import Boundaries, WorstPoint, continuous_bounds
from dutyline.demand.nearest import share
from dutyline.demand.overload import OverloadUse, overload_use
from dutyline.physics.overload import DEFAULT_RECOVERY

Array = NDArray[np.float64]
Index = NDArray[np.intp]

STILL = 1 / np.sqrt(2)
"""Share of the stall torque that may be held at true standstill: one phase carries the crest."""


def peak_torque(trial: Trial) -> Outcome:
    """Torque against the intermittent boundary at the instant where the share is largest."""
    outcome = _capped(trial, trial.motor_side.peak_point, "motor.peak_boundary")
    return outcome if trial.screening else replace(outcome, text=_field_weakening(trial))


def _field_weakening(trial: Trial) -> Callable[[int], str]:
    """What a current against the field would give, where it is the voltage that lacks."""
    point = trial.motor_side.peak_point
    torque, limit, speed = (trial.at_motor(v) for v in (point.torque, point.limit, point.speed))
    wanted = 1 - required_reserve("peak-torque", trial.axis)

    def text(k: int) -> str:
        at = abs(float(speed[k]))
        motor = trial.line.motors[trial.choice.motor[k]]
        if not abs(torque[k]) > wanted * limit[k] or at > (motor.speed_max or 0.0):
            return ""
        found = voltage_limit(motor, trial.site.mains, trial.site.phases)
        if isinstance(found, str) or at <= found.corner(found.current_peak):
            return ""
        more = found.weakened(at)
        if not more > 1.02 * limit[k]:
            return ""
        said = f"field weakening would give {quantity(more, 'N*m')} at that speed, if the drive can"
        emf = np.sqrt(2.0) * (motor.voltage_constant or 0.0) * at
        if emf > trial.drive("overvoltage_trip")[k]:
            said += f"; without control the emf then reaches {quantity(emf, 'V')}"
        return said

    return text


def speed_on_low_mains(trial: Trial) -> Outcome:
    """The same against the boundary at the lowest mains; the end of that curve counts too."""
    point = trial.motor_side.low_point
    outcome = _capped(trial, point, "motor.low_boundary")
    severity: Severity = "must" if trial.site.weak_mains else "caution"
    top = trial.at_motor(trial.motor_side.top_speed)
    end = _of_each(trial.boundaries.low, trial.choice.motor, lambda b: float(b.speed[-1]))
    over = top > end * (1 + 1e-12)
    return Outcome(
        demand=np.where(over, top, outcome.demand),
        limit=np.where(over, end, outcome.limit),
        needs=outcome.needs,
        severity=severity,
        at=np.where(over, _top_time(trial), trial.at_motor(point.time)),
        at_speed=np.where(over, top, trial.at_motor(point.speed)),
        unit=np.where(over, "rad/s", "N*m"),
    )


def _capped(trial: Trial, point: WorstPoint, boundary: str) -> Outcome:
    """The worse of the motor's boundary and the torque at the drive's peak current."""
    torque, limit = trial.at_motor(point.torque), trial.at_motor(point.limit)
    at, speed = trial.at_motor(point.time), trial.at_motor(point.speed)
    peak, peak_at = (trial.at_motor(v) for v in trial.motor_side.peak)
    cap = trial.at_drive(trial.drive_side.peak_cap)
    lower = np.minimum(limit, cap)
    tighter = share(peak, cap) > share(torque, lower)
    return Outcome(
        demand=np.where(tighter, peak, torque),
        limit=np.where(tighter & ~np.isnan(lower), cap, lower),
        needs=(boundary, *PEAK_CAP, *SHAFT),
        at=np.where(tighter, peak_at, at),
        at_speed=np.where(tighter, np.nan, speed),
    )


def continuous_use(trial: Trial) -> Outcome:
    """Rms torque, by current, against what the speeds of the cycle allow for ever."""
    factor = _current_factor(trial)
    severity = None
    long = trial.out.cycle_time > trial.winding_time
    if long.any():
        severity = np.where(long, "note", "must")
    demand, limit = _screened_use(trial, factor) if trial.screening else _use(trial)
    return Outcome(
        demand=demand,
        limit=limit * factor,
        needs=("motor.continuous_boundary", "motor.winding_time", *RATED, *CURRENT),
        severity=severity,
    )


def _use(trial: Trial) -> tuple[Array, Array]:
    side = trial.motor_side
    effective = side.rms_current * side.windings.torque_constant
    return trial.at_motor(effective), trial.at_motor(side.continuous)


def _screened_use(trial: Trial, factor: Array) -> tuple[Array, Array]:
    """Demand and limit, or bounds of both where these decide the state."""
    side = trial.motor_side
    wanted = 1 - required_reserve("continuous-use", trial.axis)
    constant = side.windings.torque_constant
    least, most = (trial.at_motor(c * constant) for c in side.current_bounds)
    bounds = continuous_bounds(trial.out, side.shafts, trial.boundaries.continuous, side.braked)
    low, high = (trial.at_motor(b) for b in bounds)
    meets, fails = most <= wanted * low * factor, least > high * factor
    short = (least > wanted * high * factor) & (most <= low * factor)
    demand, limit = np.where(fails, least, most), np.where(fails, high, low)
    open_ = np.nonzero(~(meets | fails | short))[0]
    if open_.size:
        demand[open_], limit[open_] = _use(trial.take(open_))
    return demand, limit


def continuous_use_plain(trial: Trial) -> Outcome:
    """Rms torque against the continuous torque at the mean speed, for comparison."""
    return Outcome(
        demand=trial.at_motor(trial.motor_side.rms_torque),
        limit=trial.at_motor(trial.motor_side.continuous_plain) * _current_factor(trial),
        needs=("motor.continuous_boundary", *RATED, "motor.torque_constant", "motor.stall", *SHAFT),
    )


def _current_factor(trial: Trial) -> Array:
    """Less than 1 where the drive's rated current does not reach the motor's stall current."""
    stall = trial.at_motor(trial.motor_side.windings.current_stall)
    rated = trial.at_drive(trial.drive_side.current_rated)
    return np.minimum(rated / stall, 1.0)


def standstill_torque(trial: Trial) -> Outcome:
    """Torque held at standstill against the share of the stall torque that one phase may carry."""
    held, at = (trial.at_motor(v) for v in trial.motor_side.hold)
    usual = np.nan_to_num(trial.at_motor(trial.motor_side.rms_torque))
    index = trial.at_motor(trial.motor_side.braked)
    limit = _of_each(trial.boundaries.continuous, index, lambda b: float(b.torque[0]))
    return Outcome(
        demand=held,
        limit=STILL * limit,
        applies=~(held <= 1e-9 * np.maximum(usual, 1e-12)),
        needs=("motor.continuous_boundary", *SHAFT),
        at=at,
        at_speed=np.zeros(trial.size),
    )


def top_speed(trial: Trial) -> Outcome:
    """Largest motor speed against the end of the motor's curve."""
    limit = _of_each(trial.boundaries.peak, trial.choice.motor, lambda b: float(b.speed[-1]))
    top = trial.at_motor(trial.motor_side.top_speed)
    return Outcome(
        demand=top,
        limit=limit,
        needs=("motor.peak_boundary",),
        at=np.full(trial.size, _top_time(trial)),
        at_speed=top,
    )


def _of_each(shelf: Boundaries, index: Index, read: Callable[[Boundary], float]) -> Array:
    """A number read off the boundary of each combination; nan where there is none."""
    table = np.full(int(index.max(initial=0)) + 1, np.nan)
    for which in distinct_values(index):
        boundary = shelf[int(which)]
        if boundary is not None:
            table[which] = read(boundary)
    return table[index]


def _top_time(trial: Trial) -> float:
    ends = trial.out.ends
    return float(ends.time[np.argmax(np.abs(ends.speed))])


def overload_accumulated(trial: Trial) -> Outcome:
    """Damage on the motor's own overload curve in the settled cycle."""
    return _motor_overload(trial, single=False)


def overload_single(trial: Trial) -> Outcome:
    """Longest burst against the time the motor's own curve allows, at the worst level."""
    return _motor_overload(trial, single=True)


def _motor_overload(trial: Trial, *, single: bool) -> Outcome:
    if "motor overload" not in trial.kept:
        trial.kept["motor overload"] = _own_overload(trial)
    use, stated = trial.kept["motor overload"]
    return Outcome(
        demand=trial.at_motor(use.single if single else use.largest),
        limit=np.ones(trial.size),
        applies=trial.at_motor(stated),
        needs=CURRENT,
        at=trial.at_motor(use.single_time if single else use.time),
    )


def _own_overload(trial: Trial) -> tuple[OverloadUse, NDArray[np.bool_]]:
    """Use of the motors' own overload curves by the motor sides, and where a curve is stated."""
    side = trial.motor_side
    count = side.choice.size
    use = OverloadUse(*(np.full(count, np.nan) for _ in OverloadUse.__dataclass_fields__))
    stated = np.zeros(count, dtype=bool)
    for motor in distinct_values(side.choice.motor):
        curve = trial.line.motors[motor].overload_curve
        if not curve:
            continue
        rows = np.nonzero(side.choice.motor == motor)[0]
        stated[rows] = True
        shafts, windings = side.shafts.take(rows), side.windings.take(rows)
        found = overload_use(
            side.out, shafts, windings, windings.current_stall, curve, DEFAULT_RECOVERY
        )
        for name in OverloadUse.__dataclass_fields__:
            getattr(use, name)[rows] = getattr(found, name)
    return use, stated
