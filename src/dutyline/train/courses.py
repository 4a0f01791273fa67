"""Ratios and bodies of mechanisms whose load follows a course over the input: cranks, cams, tables.

A course gives the place of something over the input with two derivatives. Masses on it count by
``J(q) q'' + J'(q) q'^2 / 2``; the half of ``J'`` is the product of both derivatives.
(Lagrange's equation for one degree of freedom, derived here.)
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from dutyline.core.errors import RangeError
from dutyline.physics.linkages import Course
from dutyline.train.records import MemberState

Array = NDArray[np.float64]
Path = Callable[[Array], Course]
"""Course over absolute places of the input."""
GRID = 721
"""Places between two dead points from which an inversion starts."""
ROUNDING = 1e-15
"""Places are known to this share; a ratio of less is that of a dead point."""
MOST_TURNS = 3_000
"""Turns in one piece of motion of which the joints are told; more are too many pieces anyhow."""
EDGE = 1e-9
"""Share of its travel by which a load may seem beyond the last place."""
NEWTON = 60
"""Steps of an inversion at most."""


@dataclass(frozen=True, slots=True)
class CourseRatio:
    """Ratio of a load that follows a course; both travels count from the start of the cycle."""

    course: Path
    start: float = 0.0
    """Place of the input at travel 0 [m or rad]."""
    sign: float = 1.0
    """-1 where + at the input is - at the load."""
    joints: tuple[float, ...] = ()
    """Absolute places of the input where a derivative of the course jumps, rising."""
    period: float = 0.0
    """After which the joints come again [m or rad]; 0 where they do not."""
    branch: tuple[float, float] | None = None
    """Absolute places of the input between which the load does not turn back."""

    @property
    def constant(self) -> float | None:
        """None: it depends on the place."""
        return None

    def at(self, position_in: Array) -> tuple[Array, Array]:
        """Ratio and its derivative by the input position."""
        place = self.start + position_in
        found = self.course(place)
        noise = ROUNDING * (1 + np.abs(place)) * np.abs(found.bend)
        slope = np.where(np.abs(found.slope) <= noise, 0.0, found.slope)
        return self.sign * slope, self.sign * found.bend

    def output_of(self, position_in: Array) -> Array:
        """Travel of the load."""
        here = self.course(self.start + position_in).value
        zero = self.course(np.array(self.start)).value
        result: Array = self.sign * (here - zero)
        return result

    def input_of(self, position_out: Array) -> Array:
        """Travel of the input on the branch around the start, by Newton's steps.

        Raises
        ------
        RangeError
            The load is beyond the branch.
        """
        low, high = self.branch if self.branch is not None else (self.start, self.start)
        grid = np.linspace(low, high, GRID)
        places = self.output_of(grid - self.start)
        order = np.argsort(places)
        aside = EDGE * float(np.ptp(places))
        if np.any(position_out < places.min() - aside) or np.any(
            position_out > places.max() + aside
        ):
            raise RangeError("the load goes beyond a dead point or the end of the mechanism.")
        q = np.interp(position_out, places[order], grid[order])
        for _ in range(NEWTON):
            error = self.output_of(q - self.start) - position_out
            slope, _ = self.at(q - self.start)
            with np.errstate(divide="ignore", invalid="ignore"):
                step = np.where(slope != 0, error / slope, 0.0)
            fresh = np.clip(q - step, low, high)
            done = np.abs(fresh - q) <= 4e-16 * np.maximum(np.abs(fresh), 1e-3)
            q = fresh
            if bool(np.all(done)):
                break
        result: Array = q - self.start
        return result

    def kinks(self, low: float, high: float) -> Sequence[float]:
        """Travels of the input where a derivative jumps."""
        places = np.array(self.joints) - self.start
        if not self.period or not places.size:
            return [float(x) for x in places if low < x < high]
        first = floor((low - places.max()) / self.period)
        last = min(ceil((high - places.min()) / self.period), first + MOST_TURNS)
        every = (places + n * self.period for n in range(first, last + 1))
        return [float(x) for some in every for x in some if low < x < high]


Place = tuple[Course, Course, Course]
"""Courses of a body: along + travel, left of it [m], and its angle [rad]."""


@dataclass(frozen=True, slots=True)
class Link:
    """A body that neither turns with the shaft nor moves with the load: a rod, a coupler."""

    mass: float
    """[kg]"""
    inertia: float
    """[kg*m^2] about its centre of mass"""
    centre: Callable[[Array], Place]
    """Over absolute places of the input."""
    start: float = 0.0
    """[rad]"""
    up: tuple[float, float] = (0.0, 0.0)
    """Gravity times the share of both directions that points upwards [m/s^2]."""

    def at(self, position: Array) -> MemberState:
        """Its inertia, half the derivative of that, and its weight."""
        x, y, p = self.centre(self.start + position)
        inertia = self.mass * (x.slope**2 + y.slope**2) + self.inertia * p.slope**2
        slope = self.mass * (x.slope * x.bend + y.slope * y.bend) + self.inertia * p.slope * p.bend
        weight = self.mass * (self.up[0] * x.slope + self.up[1] * y.slope)
        none = np.zeros_like(inertia)
        return MemberState(inertia, slope, weight, none, none)

    def height(self, position: Array) -> Array:
        """Potential of its weight [J]."""
        x, y, _ = self.centre(self.start + position)
        return self.mass * (self.up[0] * x.value + self.up[1] * y.value)

    def gained(self, position: Array, speed: Array) -> Array:
        """Nothing: its kinetic energy comes from the shaft."""
        return np.zeros_like(speed)

    def drift(self, position: Array, speed: Array) -> Array:
        """None."""
        return np.zeros_like(speed)
