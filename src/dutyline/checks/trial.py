"""One axis against any number of combinations: the arrays and shared results that checks read.

Results that depend on fewer parts than a whole combination are worked out once per distinct
choice of those parts and handed to every combination by index.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis, Site
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.tables import tables
from dutyline.checks.reserves import required_reserve
from dutyline.checks.shelves import BoundaryShelf
from dutyline.checks.sides import Choice, DriveSide, MotorSide, gather
from dutyline.core.grouping import distinct
from dutyline.demand.output import OutputDemand

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Kind = TypeVar("Kind", bound=np.generic)


@dataclass(frozen=True)
class Trial:
    """One axis and some combinations of one product line."""

    axis: Axis
    out: OutputDemand
    line: ProductLine
    choice: Choice
    boundaries: BoundaryShelf = field(repr=False)
    screening: bool = False
    """Only the verdict is wanted: lines that cannot change it may be left out, and numbers be
    bounds where these decide the state."""
    kept: dict[str, Any] = field(default_factory=dict, repr=False, compare=False)
    """Results that several checks share."""

    @property
    def site(self) -> Site:
        """The site; a trial is only made for axes that state one."""
        if self.axis.site is None:
            raise ValueError("a trial needs [site]")
        return self.axis.site

    @property
    def size(self) -> int:
        """Number of combinations."""
        return self.choice.size

    def take(self, index: Index) -> Trial:
        """Some of the combinations, in the given order."""
        return replace(self, choice=self.choice.take(index), kept={})

    def motor(self, name: str) -> Array:
        """A field of the motors."""
        return gather(tables(self.line).motors, name, self.choice.motor)

    @property
    def winding_time(self) -> Array:
        """[s] time constant of the winding: stated, or from its heat capacity and resistance."""
        stated = self.motor("tau_winding")
        follows = self.motor("cth_winding") * self.motor("rth_winding_housing")
        return np.where(np.isnan(stated), follows, stated)

    def gearhead(self, name: str, none: float = np.nan) -> Array:
        """A field of the gearheads, ``none`` where there is no gearhead."""
        return gather(tables(self.line).gearheads, name, self.choice.gearhead, none)

    def drive(self, name: str) -> Array:
        """A field of the drives."""
        return gather(tables(self.line).drives, name, self.choice.drive)

    def brake(self, name: str) -> Array:
        """A field of the brakes, nan where there is none."""
        return gather(tables(self.line).brakes, name, self.choice.brake)

    def resistor(self, name: str) -> Array:
        """A field of the resistors, nan where there is none."""
        return gather(tables(self.line).resistors, name, self.choice.resistor)

    @cached_property
    def _motor_split(self) -> tuple[Index, Index]:
        return distinct(self.choice.motor, self.choice.gearhead, self.choice.brake)

    @property
    def first_of_motor_side(self) -> Index:
        """One combination for each motor side."""
        return self._motor_split[0]

    @cached_property
    def motor_side(self) -> MotorSide:
        """Distinct motor, gearhead and brake."""
        first, _ = self._motor_split
        choice = self.choice.take(first)
        return MotorSide(self.out, self.line, choice, self.boundaries, self.screening)

    @cached_property
    def of_motor_side(self) -> Trial:
        """One combination for each distinct motor, gearhead and brake."""
        return self.take(self._motor_split[0])

    def at_motor(self, value: NDArray[Kind]) -> NDArray[Kind]:
        """A motor-side result, one element per combination."""
        return value[self._motor_split[1]]

    def decided(
        self, check: str, low: Array, high: Array, limit: Array, exact: Callable[[Trial], Array]
    ) -> Array:
        """The demand of a check, or a bound of it where that decides the state.

        ``low`` and ``high`` bound the demand; ``exact`` gives it for a trial of those combinations
        that the bounds leave open.
        """
        wanted = (1 - required_reserve(check, self.axis)) * limit
        meets, fails = high <= wanted, low > limit
        short = (low > wanted) & (high <= limit)
        result = np.where(meets, high, low)
        open_ = np.nonzero(~(meets | fails | short))[0]
        if open_.size:
            result[open_] = exact(self.take(open_))
        return result

    @cached_property
    def _drive_split(self) -> tuple[Index, Index]:
        return distinct(self._motor_split[1], self.choice.drive)

    @cached_property
    def drive_side(self) -> DriveSide:
        """Distinct motor side and drive."""
        first, _ = self._drive_split
        return DriveSide(
            self.motor_side, self._motor_split[1][first], self.choice.drive[first], self.site
        )

    def at_drive(self, value: NDArray[Kind]) -> NDArray[Kind]:
        """A drive-side result, one element per combination."""
        return value[self._drive_split[1]]

    def instants(self, time: Array) -> list[str]:
        """Names of the phases at instants."""
        return [self.out.phase_at(float(t)) for t in time]
