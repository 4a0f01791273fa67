"""The load after each motion of the cycle that ends at rest, marched through time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.gearhead import torque_limit
from dutyline.checks.lacking import MOST_TORQUE, lacking
from dutyline.checks.loops import NEEDS, control_of, encoder_at_load, loops
from dutyline.checks.records import Verdict
from dutyline.checks.rigidity import reach_of, rubbing, stiffness_data, whole_play, whole_stiffness
from dutyline.checks.tolerance import tolerance
from dutyline.checks.trial import Trial
from dutyline.checks.verdict import trials_for
from dutyline.demand.instants import instants
from dutyline.demand.standstills import Standstill, standstills
from dutyline.physics.control import CURRENT_LAG, INTEGRAL_SHARE, tracking_error
from dutyline.physics.two_mass import Loop, TwoMass, course, settled
from dutyline.studies.records import Gains, Settling, SettlingRun

Array = NDArray[np.float64]

LEAST_TAIL, MOST_TAIL = 0.6, 3.0
"""[s] looked at after the end of a motion, at least and at most; never beyond the next motion."""
DECAYS = 12.0
"""Time constants of the position loop that are looked at before and after the end."""
MOST_RUNS = 12
"""Standstills simulated, those that leave most behind first."""
PLACES = 33
"""Places on each piece at which the weight is taken."""
_DATA = (*NEEDS, "gearhead.backlash", *MOST_TORQUE)


def settle(verdict: Verdict) -> Settling:
    """Simulate every standstill of every case of a verdict's axis for its combination."""
    assert verdict.line is not None
    trials = trials_for(verdict.axis, verdict.line, verdict.combination)
    axis = verdict.axis
    missing = tuple(dict.fromkeys(word for trial in trials for word in _missing(trial)))
    gains = None if missing else _gains(trials)
    runs: tuple[SettlingRun, ...] = ()
    left_out = 0
    if gains is not None:
        runs, left_out = _runs(trials, gains)
    return Settling(
        combination=verdict.combination,
        linear=axis.linear,
        tolerance=tolerance(axis),
        tolerance_stated=axis.require.position is not None,
        allowed=axis.require.settle,
        gains=gains,
        runs=runs,
        missing=missing,
        left_out=left_out,
    )


def _missing(trial: Trial) -> tuple[str, ...]:
    """What the simulation lacks, in words."""
    found = lacking(trial, _DATA, 0)
    known = np.isfinite(loops(trial).bandwidth[0]) and not np.isnan(whole_stiffness(trial)[0])
    if known or found:
        return found
    return (stiffness_data(trial),)


def _gains(trials: Sequence[Trial]) -> Gains:
    """One set for all cases: for the largest inertia and the lowest bandwidth."""
    slowest = min(trials, key=lambda trial: float(loops(trial).bandwidth[0]))
    own = loops(slowest)
    bandwidth = float(own.bandwidth[0])
    inertia = max(float(loops(trial).inertia[0]) for trial in trials)
    limits = (slowest.motor("torque_peak"), slowest.at_drive(slowest.drive_side.peak_cap),
              torque_limit(slowest))  # fmt: skip
    return Gains(
        velocity_bandwidth=bandwidth,
        velocity_gain=bandwidth * inertia,
        integral_time=INTEGRAL_SHARE / bandwidth,
        position_gain=float(own.position_gain[0]),
        feed_forward=control_of(slowest).feed_forward,
        sample=1.0 / float(slowest.drive("velocity_loop")[0]),
        current_lag=CURRENT_LAG,
        torque_limit=float(np.nanmin([limit[0] for limit in limits])),
        bound=own.bound(0),
    )


@dataclass(frozen=True, slots=True)
class _Task:
    """One standstill in one case."""

    trial: Trial
    end: Standstill

    def left(self, gain: float) -> float:
        """[m or rad] that the loop leaves at the end, roughly; to sort by"""
        error = tracking_error(self.end.deceleration, self.end.deceleration_time, gain)
        return float(error)


def _runs(trials: Sequence[Trial], gains: Gains) -> tuple[tuple[SettlingRun, ...], int]:
    """Runs in the order of cases and time, and how many were left out."""
    tasks = [_Task(trial, end) for trial in trials for end in standstills(trial.axis.cycle)]
    tasks.sort(key=lambda task: -task.left(gains.position_gain))
    known: set[object] = set()
    found: list[tuple[int, SettlingRun]] = []
    left_out = 0
    for task in tasks:
        motion = _Motion.of(task.trial, task.end, gains)
        if motion.mark in known:
            continue
        if len(found) == MOST_RUNS:
            left_out += 1
            continue
        known.add(motion.mark)
        case = next(k for k, trial in enumerate(trials) if trial is task.trial)
        found.append((case, _run(task, motion, gains)))
    found.sort(key=lambda pair: (pair[0], pair[1].end))
    return tuple(run for _, run in found), left_out


@dataclass(frozen=True, slots=True)
class _Motion:
    """The reference of one run at the samples, at the motor shaft."""

    time: Array
    """[s] from the end of the motion"""
    place: Array
    speed: Array
    acceleration: Array
    weight: Array
    """[N*m]"""
    inertia: float
    """[kg*m^2] of the load"""
    per_motor: float
    """[m or rad] of the load per radian of the motor"""
    tail: float

    @property
    def mark(self) -> object:
        """Equal for motions that are equal."""
        rows = (self.place, self.weight)
        inner = b"".join(np.round(row, 9).astype(np.float32).tobytes() for row in rows)
        return inner, round(self.inertia, 12), round(self.tail, 9)

    @classmethod
    def of(cls, trial: Trial, end: Standstill, gains: Gains) -> _Motion:
        """Sampled from the exact pieces, from the standstill before or a few decays back."""
        ratio = float(trial.at_motor(trial.motor_side.shafts.ratio)[0])
        per_motor = reach_of(trial) / ratio
        length = sum(piece.duration for piece in end.moving)
        decay = DECAYS / gains.position_gain
        lead = min(length, max(decay, LEAST_TAIL))
        allowed = trial.axis.require.settle or 0.0
        tail = min(end.rest, max(LEAST_TAIL, min(max(decay, 3 * allowed), MOST_TAIL)))
        sample = gains.sample
        last = int(tail / sample * (1 + 1e-12)) + 1
        time = np.arange(-round(lead / sample), last, dtype=np.float64) * sample
        states = _sampled(end, np.minimum(time, 0.0) + length)
        states[1:, time >= 0] = 0.0
        place, speed, change = states / per_motor
        weight, inertia = _carried(trial, end, np.minimum(time, 0.0) + length)
        return cls(time, place, speed, change, weight / ratio, inertia / ratio**2, per_motor, tail)


def _sampled(end: Standstill, since: Array) -> Array:
    """(3, n) place less the last one, speed and acceleration at times since the motion began."""
    found = np.empty((3, since.size))
    last = end.moving[-1]
    final = float(last.position(last.duration))
    first = 0.0
    for piece in end.moving:
        on = since >= first - 1e-12
        tau = np.clip(since[on] - first, 0.0, piece.duration)
        for order in range(3):
            found[order, on] = piece.derivative(order, tau)
        first += piece.duration
    found[0] -= final
    return found


def _carried(trial: Trial, end: Standstill, since: Array) -> tuple[Array, float]:
    """Weight at the output shaft, + against the + travel of the load, and inertia at the end."""
    z = np.linspace(-1.0, 1.0, PLACES)
    state, _ = instants(list(end.moving), trial.axis.train, trial.axis.cycle, z)
    moments, first = [], 0.0
    for piece in end.moving:
        moments.append(first + (z + 1) / 2 * piece.duration)
        first += piece.duration
    sense = float(np.sign(trial.out.travel_per_radian or 1.0))
    static = np.interp(since, np.concatenate(moments), state.effort.static)
    return sense * static, float(state.effort.inertia[-1])


def _run(task: _Task, motion: _Motion, gains: Gains) -> SettlingRun:
    trial, end = task.trial, task.end
    plant = _plant(trial, motion)
    loop = Loop(
        velocity_gain=gains.velocity_gain,
        integral_time=gains.integral_time,
        position_gain=gains.position_gain,
        sample=gains.sample,
        current_lag=gains.current_lag,
        torque_limit=gains.torque_limit,
        feed_forward=gains.feed_forward,
        at_load=encoder_at_load(trial),
    )
    found = course(plant, loop, motion.place, motion.speed, motion.acceleration, motion.weight)
    error = (motion.place - found.load - found.rest) * motion.per_motor
    return SettlingRun(
        case=trial.axis.case,
        phase=trial.axis.cycle.phases[end.phase].name,
        end=end.time,
        settle=settled(motion.time, error, tolerance(trial.axis), 0.0),
        looked=motion.tail,
        cut=end.rest <= motion.tail * (1 + 1e-9),
        limited=found.limited * gains.sample,
        time=motion.time,
        error=error,
    )


def _plant(trial: Trial, motion: _Motion) -> TwoMass:
    """The real train as motor and load, everything at the motor shaft."""
    shafts = trial.motor_side.shafts
    efficiency = float(trial.at_motor(shafts.efficiency)[0])
    for stage in trial.axis.train.chain.stages:
        efficiency *= stage.efficiency
    return TwoMass(
        inertia_motor=float(trial.at_motor(shafts.inertia)[0]),
        inertia_load=motion.inertia,
        stiffness=float(whole_stiffness(trial)[0]) * motion.per_motor**2,
        damping_ratio=control_of(trial).damping,
        gap=float(whole_play(trial)[0]) / motion.per_motor,
        friction=rubbing(trial) * motion.per_motor,
        friction_share=1.0 - efficiency,
    )
