"""Estimate of the time to settle after the moves of a cycle, shared by the checks that need it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.loops import control_of, count_at_load, encoder_at_load, loops
from dutyline.checks.rigidity import friction, whole_stiffness
from dutyline.checks.tolerance import tolerance
from dutyline.checks.trial import Trial
from dutyline.demand.standstills import standstills
from dutyline.physics.control import friction_twist, settling_time, tracking_error

Array = NDArray[np.float64]

LEAST_COUNTS = 2.0
"""Counts of the encoder in half a window below which no loop keeps it (common practice)."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """One element per combination; nan where a datum is missing."""

    time: Array
    """[s] of the slowest standstill; infinite where the load is held out of the window"""
    at: Array
    """[s] of the cycle at which the move before it ends"""
    held: NDArray[np.bool_]
    """True where the springs wind up under friction by more than the window"""
    coarse: NDArray[np.bool_]
    """True where half the window is less than what the encoder tells apart"""


def estimate(trial: Trial) -> Estimate | None:
    """The estimate, worked out once per trial; None where no motion of the cycle ends at rest."""
    if "settling" not in trial.kept:
        trial.kept["settling"] = _estimate(trial)
    found: Estimate | None = trial.kept["settling"]
    return found


def _estimate(trial: Trial) -> Estimate | None:
    ends = standstills(trial.axis.cycle)
    if not ends:
        return None
    own, window = loops(trial), tolerance(trial.axis)
    fed = control_of(trial).feed_forward
    slowest, at = np.full(trial.size, -np.inf), np.zeros(trial.size)
    for end in ends:
        decel, length = end.deceleration, end.deceleration_time
        left = tracking_error(decel, length, own.position_gain, fed)
        left = np.minimum(left, end.distance)
        time = settling_time(left, window, own.position_gain, own.bandwidth)
        later = ~(time <= slowest)
        slowest, at = np.where(later, time, slowest), np.where(later, end.time, at)
    held, coarse = np.zeros((2, trial.size), dtype=bool)
    if not encoder_at_load(trial):
        held = friction_twist(friction(trial), whole_stiffness(trial)) > window
        coarse = window < LEAST_COUNTS * count_at_load(trial)
    time = np.where((held | coarse) & np.isfinite(slowest), np.inf, slowest)
    return Estimate(time, at, held, coarse)
