"""The duty trace of one combination for plots and tables, sampled from the exact pieces."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.demand.cuts import hold_directions
from dutyline.demand.instants import instants
from dutyline.demand.motor import Shafts
from dutyline.demand.output import OutputDemand
from dutyline.demand.points import CREDIT, IDEAL, WORST, credited, released
from dutyline.motion.rows import rows_of
from dutyline.train.recursion import CAUSES, FRICTION, INERTIA, LOSS, ShaftState

Array = NDArray[np.float64]

SAMPLES = 24
"""Samples on every smooth piece, both ends among them."""


@dataclass(frozen=True, slots=True)
class MotorTrace:
    """Samples in order of time; a jump has two samples at one time."""

    time: Array
    """[s]"""
    speed: Array
    """[rad/s] motor"""
    torque: Array
    """[N*m] motor"""
    causes: dict[str, Array]
    """[N*m] at the motor by cause: inertia, gravity, friction, process, loss; they add up"""
    power: Array
    """[W] at the motor shaft"""
    output_speed: Array
    """[rad/s]"""
    output_acceleration: Array
    """[rad/s^2]"""
    output_torque: Array
    """[N*m]"""
    position: Array
    """[m or rad] stated travel"""
    phase: NDArray[np.intp]
    """index into the phases of the cycle"""
    peak_time: float
    """[s]"""
    peak_torque: float
    """[N*m] signed"""
    peak_speed: float
    """[rad/s] signed, at the peak torque"""
    rms_torque: float
    """[N*m]"""
    effective_speed: float
    """[rad/s] speed at which the continuous boundary equals its mean over the cycle"""
    regenerated: float
    """[J] per cycle at the motor shaft"""
    motoring: float
    """[J] per cycle at the motor shaft"""


@dataclass(frozen=True, slots=True)
class LoadTrace:
    """What of a trace is the same for every combination, ``n`` samples."""

    state: ShaftState
    """Motion and effort at the output shaft, as :func:`dutyline.demand.instants.instants` gives"""
    time: Array
    """(n,) [s]"""
    position: Array
    """(n,) [m or rad]"""
    hold: NDArray[np.int8]
    """(n,)"""
    driving: NDArray[np.bool_]
    """(n,)"""
    direction: Array
    """(n,)"""
    phase: NDArray[np.intp]
    """(n,)"""


def load_trace(out: OutputDemand) -> LoadTrace:
    """Samples of a cycle at the output shaft."""
    pieces = list(out.pieces)
    z = -np.cos(np.pi * np.arange(SAMPLES) / (SAMPLES - 1))
    load_facing = hold_directions(pieces, out.axis.train, out.axis.cycle)
    state, _ = instants(pieces, out.axis.train, out.axis.cycle, z, load_facing)
    state = credited(released(state, out.hold, SAMPLES), out.hold, SAMPLES, load_facing)
    hold = np.repeat(out.hold, SAMPLES)
    rows = rows_of(out.pieces)
    return LoadTrace(
        state=state,
        time=(rows.start[:, None] + rows.local(z)).ravel(),
        position=rows.derivative(0, rows.local(z)).ravel(),
        hold=hold,
        driving=np.repeat(out.driving, SAMPLES) | (hold == WORST),
        direction=np.repeat(out.direction, SAMPLES),
        phase=np.repeat(out.phase, SAMPLES),
    )


def sample(
    load: LoadTrace,
    shafts: Shafts,
    *,
    peak_time: float,
    rms_torque: float,
    effective_speed: float,
    energies: tuple[float, float],
) -> MotorTrace:
    """Samples for the first combination of ``shafts``."""
    state, hold, time = load.state, load.hold, load.time
    causes = state.effort.causes
    i, own = float(shafts.ratio[0]), float(shafts.inertia[0])
    mesh, drag = float(shafts.efficiency[0]), float(shafts.drag[0])
    total = state.effort.total
    gain = np.where(hold == IDEAL, 1.0, np.where(load.driving, 1 / mesh, mesh))
    helped = hold == CREDIT
    at_motor = causes / i
    at_motor[LOSS] += total / i * (gain - 1)
    at_motor[INERTIA] += own * i * state.motion.acceleration
    at_motor[FRICTION] += drag * load.direction * np.where(helped, -1.0, 1.0)
    at_motor[:, helped & (at_motor.sum(axis=0) * total <= 0)] = 0.0
    torque = at_motor.sum(axis=0)
    speed = i * state.motion.speed
    near = int(
        np.argmin(
            np.abs(time - peak_time) - 1e-9 * np.abs(torque) / np.abs(torque).max(initial=1e-300)
        )
    )
    return MotorTrace(
        time=time,
        speed=speed,
        torque=torque,
        causes=dict(zip(CAUSES, at_motor, strict=True)),
        power=torque * speed,
        output_speed=state.motion.speed,
        output_acceleration=state.motion.acceleration,
        output_torque=total,
        position=load.position,
        phase=load.phase,
        peak_time=peak_time,
        peak_torque=float(torque[near]),
        peak_speed=float(speed[near]),
        rms_torque=rms_torque,
        effective_speed=effective_speed,
        motoring=energies[0],
        regenerated=energies[1],
    )
