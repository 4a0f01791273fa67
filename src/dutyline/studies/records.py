"""The result of a settling simulation."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.records import Combination

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Gains:
    """Settings of the loops with which the motion is simulated, one set for all cases."""

    velocity_bandwidth: float
    """[rad/s]"""
    velocity_gain: float
    """[N*m*s/rad] torque per error of speed, at the motor"""
    integral_time: float
    """[s] of the velocity loop"""
    position_gain: float
    """[1/s]"""
    feed_forward: float
    """[1] share of the speed"""
    sample: float
    """[s] between two runs of the controller"""
    current_lag: float
    """[s] of the torque behind its command"""
    torque_limit: float
    """[N*m] at the motor"""
    bound: str
    """What the bandwidth lies at, in words."""


@dataclass(frozen=True, slots=True)
class SettlingRun:
    """One standstill of the cycle: the error of the load about the end of the motion."""

    case: str
    phase: str
    """Name of the phase in which the motion ends."""
    end: float
    """[s] of the cycle at which the motion ends"""
    settle: float
    """[s] from there until the load stays within the tolerance; infinite where it does not"""
    looked: float
    """[s] after the end that were simulated"""
    cut: bool
    """True where the next motion begins then"""
    limited: float
    """[s] in which the torque limit held the command"""
    time: Array = field(repr=False, compare=False)
    """(n,) [s] from the end of the motion, negative before"""
    error: Array = field(repr=False, compare=False)
    """(n,) [m or rad] reference minus load; the sag under a standing weight is no error"""


@dataclass(frozen=True, slots=True)
class Settling:
    """What the simulation of a combination found."""

    combination: Combination
    linear: bool
    tolerance: float
    """[m or rad] half width of the window"""
    tolerance_stated: bool
    allowed: float | None
    """[s] as the file asks for; None where it does not"""
    gains: Gains | None
    """None where a datum is missing"""
    runs: tuple[SettlingRun, ...]
    """Equal motions once; none where nothing comes to rest or a datum is missing."""
    missing: tuple[str, ...] = ()
    """Data without which nothing is simulated, in words."""
    left_out: int = 0
    """Further standstills that leave less behind and were not simulated."""

    @property
    def worst(self) -> SettlingRun | None:
        """The run that settles last."""
        return max(self.runs, key=lambda run: run.settle, default=None)

    @property
    def settle(self) -> float | None:
        """[s] of the slowest run; infinite where one does not settle, None without any run"""
        worst = self.worst
        return None if worst is None else worst.settle

    @property
    def never(self) -> bool:
        """True where some run stays outside as long as it is looked at."""
        return any(run.settle == inf for run in self.runs)
