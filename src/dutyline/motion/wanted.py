"""What is stated of a ramped move, counted in its own direction."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from dutyline.motion.faults import listed
from dutyline.motion.ramps import Limits

AGREEMENT = 1e-6
"""Relative difference up to which stated data agree [1]."""
JERK_SHARE = 0.1
"""Jerk time over ramp time where none is stated [1]; common practice, no source."""
THIRD = (0.0, 1 / 3)

Length = tuple[float, float]
"""Ramp length: seconds plus a share of the time of the move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is stated of a ramped move, counted in its own direction; None: left out."""

    distance: float | None
    time: float | None
    speed: float | None
    accel: float | None
    decel: float | None
    jerk: float | None
    first: Length | None
    last: Length | None
    jerk_share: float | None
    before: float
    after: float
    smooth: bool
    """True for the s-curve."""
    linear: bool
    given: frozenset[str]
    """Which of ``accel`` and ``decel`` are stated; the other equals it."""
    fit: str | None = None

    @property
    def from_rest(self) -> bool:
        """True when the move starts and ends at rest."""
        return self.before == self.after == 0.0

    @property
    def shape(self) -> float:
        """Jerk share of ramps that nothing else decides."""
        if not self.smooth:
            return 0.0
        return JERK_SHARE if self.jerk_share is None else self.jerk_share

    @property
    def lengths(self) -> tuple[Length, Length]:
        """Ramp lengths, thirds where none are stated."""
        return self.first or THIRD, self.last or THIRD

    @property
    def bounded(self) -> bool:
        """True when acceleration or jerk is stated."""
        return not (self.accel is None and self.jerk is None)

    def limits(self) -> Limits:
        """Acceleration and jerk as limits of every ramp."""
        accel, decel, jerk = self.accel or inf, self.decel or inf, self.jerk or inf
        if not self.smooth:
            return Limits(accel, decel)
        if self.jerk is not None and self.jerk_share is None:
            return Limits(accel, decel, jerk)
        return Limits(accel, decel, jerk, self.shape)

    def told(self, *quantities: str) -> list[tuple[str, float]]:
        """Those of the quantities that are stated, with their values."""
        values = {
            "by": self.distance,
            "time": self.time,
            "speed": self.speed,
            "accel": self.accel if "accel" in self.given else None,
            "decel": self.decel if "decel" in self.given else None,
            "jerk": self.jerk if self.smooth else None,
        }
        return [(q, value) for q in quantities if (value := values[q]) is not None]

    def says(self, *quantities: str) -> str:
        """``by 0.3 m, time 0.6 s and accel 5 m/s^2``, of those that are stated."""
        return listed(self.told(*quantities), linear=self.linear)
