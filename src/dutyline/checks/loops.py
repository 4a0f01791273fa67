"""Gains of the loops that drive, encoder and train allow, shared by the checks that need them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.equipment import Control
from dutyline.checks.reserves import required_reserve
from dutyline.checks.rigidity import locked_frequency, reach_of
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity
from dutyline.physics.control import (
    BOLD_POSITION_SHARE,
    DAMPED_SHARE,
    POSITION_SHARE,
    RESONANCE_SHARE,
    loop_lag,
    quiet_bandwidth,
    speed_quantum,
    velocity_bandwidth,
)

Array = NDArray[np.float64]
Index = NDArray[np.intp]

NEEDS = (
    "drive.velocity_loop",
    "motor.torque_rated",
    "motor.encoder_bits",
    "motor.inertia",
    "gearhead.inertia_in",
    "gearhead.stiffness",
)
"""Data of the parts that stand in :func:`loops`."""
STATED, LAGS, SWING, NOISE = range(4)


@dataclass(frozen=True, slots=True)
class Loops:
    """Gains of velocity and position loop, one element per combination; nan: a datum is missing."""

    bounds: Array
    """(4, c) [rad/s] bandwidth of the velocity loop as stated (infinite where it is not), by lags,
    by the swing of the load, by the noise of the encoder"""
    bandwidth: Array
    """[rad/s] of the velocity loop, the least of the bounds"""
    position_gain: Array
    """[1/s]"""
    capped: NDArray[np.bool_]
    """True where a larger position gain is stated, which would ring"""
    inertia: Array
    """[kg*m^2] of motor and load at the motor, at its largest"""
    locked: Array
    """[Hz] the load against a motor at rest"""

    def bound(self, k: int) -> str:
        """Which bound the bandwidth of combination ``k`` lies at, in words."""
        least = int(np.argmin(self.bounds[:, k]))
        swing = f"the load that swings at {quantity(float(self.locked[k]), 'Hz')}"
        words = ("the gain stated", "the lags of drive and current loop", swing,
                 "the noise of the encoder")  # fmt: skip
        return words[least]


def control_of(trial: Trial) -> Control:
    """``[control]``, or its defaults."""
    return trial.axis.equipment.control or Control()


def resonance_share(control: Control) -> float:
    """Bandwidth of the velocity loop over the locked frequency that is allowed."""
    return DAMPED_SHARE if control.notch else RESONANCE_SHARE


def loops(trial: Trial) -> Loops:
    """The gains, worked out once per trial."""
    if "loops" not in trial.kept:
        trial.kept["loops"] = _loops(trial)
    found: Loops = trial.kept["loops"]
    return found


def _loops(trial: Trial) -> Loops:
    control = control_of(trial)
    rate = trial.drive("velocity_loop")
    locked = locked_frequency(trial)
    share = resonance_share(control)
    by_lags, by_swing = velocity_bandwidth(loop_lag(rate), locked, share)
    side = trial.motor_side
    inertia = trial.at_motor(side.shafts.inertia * (1 + side.inertia_ratio))
    counts = 2.0 ** trial.motor("encoder_bits")
    quantum = speed_quantum(counts, 1 / rate)
    by_noise = quiet_bandwidth(trial.motor("torque_rated"), inertia, quantum)
    stated = np.inf if control.velocity_gain is None else control.velocity_gain
    bounds = np.stack([np.full(trial.size, stated), by_lags, by_swing, by_noise])
    bandwidth = bounds.min(axis=0)
    if control.position_gain is None:
        gain, capped = POSITION_SHARE * bandwidth, np.zeros(trial.size, dtype=bool)
    else:
        most = BOLD_POSITION_SHARE * bandwidth
        gain, capped = np.minimum(control.position_gain, most), control.position_gain > most
    return Loops(bounds, bandwidth, gain, capped, inertia, locked)


def gains_text(trial: Trial, k: int) -> str:
    """Bandwidth, what binds it, and position gain of combination ``k`` in words."""
    own = loops(trial)
    if not np.isfinite(own.bandwidth[k]):
        return ""
    speed = quantity(float(own.bandwidth[k]) / (2 * np.pi), "Hz")
    gain = quantity(float(own.position_gain[k]), "1/s")
    cut = ", less than stated: it would ring" if own.capped[k] else ""
    return f"velocity loop {speed}, bound by {own.bound(k)}; position gain {gain}{cut}"


def wanted_bandwidth(trial: Trial) -> float | None:
    """[rad/s] of the velocity loop: asked for, or its stated gain; None where neither is."""
    asked = trial.axis.require.bandwidth
    return control_of(trial).velocity_gain if asked is None else asked


def allowed_bandwidth(trial: Trial) -> Array:
    """[rad/s] that the swing of the load leaves the velocity loop; nan where it is not known."""
    bound: Array = loops(trial).bounds[SWING]
    return bound


def resonance_allows(trial: Trial) -> NDArray[np.bool_]:
    """Where a bandwidth is wanted and the first resonance leaves it."""
    asked = wanted_bandwidth(trial)
    if asked is None:
        return np.zeros(trial.size, dtype=bool)
    reserve = required_reserve("first-resonance", trial.axis)
    found: NDArray[np.bool_] = asked <= (1 - reserve) * allowed_bandwidth(trial)
    return found


def encoder_at_load(trial: Trial) -> bool:
    """Whether the position is measured at the load."""
    own = trial.axis.equipment.accuracy
    return own is not None and own.encoder_at == "load"


def count_at_load(trial: Trial) -> Array:
    """One count of the motor's encoder at the load [m or rad]."""
    ratio = trial.at_motor(trial.motor_side.shafts.ratio)
    step: Array = reach_of(trial) / ratio * 2 * np.pi / 2.0 ** trial.motor("encoder_bits")
    return step
