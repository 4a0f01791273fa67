"""What is wrong with a stated motion, phase by phase."""

from __future__ import annotations

from collections.abc import Iterable

from dutyline.core.errors import DutylineError
from dutyline.core.numbers import bare, scale_for
from dutyline.core.reader import reader


class MotionFault(DutylineError):  # noqa: N818 - a fault of the input, collected
    """One thing wrong with the stated motion."""

    def __init__(
        self, read: str, remedy: str = "", *, field: str = "", phase_index: int | None = None
    ) -> None:
        self.read = read
        """What was read and what is needed, one sentence."""
        self.remedy = remedy
        """What would help, one sentence; may be empty."""
        self.field = field
        """Field of the phase, ``time``; empty when no single field is at fault."""
        self.phase_index = phase_index
        """Position in the list of phases from 0; None when the cycle as a whole is at fault."""
        super().__init__(self.text())

    def text(self) -> str:
        """The fault as printed: one line, then the remedy indented by two."""
        where = "" if self.phase_index is None else f"phase {self.phase_index + 1}: "
        head = where + (f"{self.field}: " if self.field else "") + self.read
        return f"{head}\n  {self.remedy}" if self.remedy else head


class MotionFaults(DutylineError):  # noqa: N818 - see MotionFault
    """All faults of one cycle."""

    def __init__(self, faults: Iterable[MotionFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n\n".join(fault.text() for fault in self.faults))


_TIMES = ("time", "accel_time", "decel_time")
_RATES = {
    **dict.fromkeys(_TIMES, ""),
    "by": "",
    "speed": "/s",
    "accel": "/s^2",
    "decel": "/s^2",
    "jerk": "/s^3",
}
"""What stands behind the unit of travel."""


def said(value: float, quantity: str, *, linear: bool) -> str:
    """A number with the unit of its field, SI or inches; fields without one are shares."""
    if quantity not in _RATES:
        return bare(value)
    if quantity in _TIMES:
        return f"{bare(value)} s"
    unit = ("m" if linear else "rad") + _RATES[quantity]
    size = scale_for(unit).size if linear and reader().units == "inch" else 1.0
    return f"{bare(value / size)} {unit.replace('m', 'in') if size != 1.0 else unit}"


def listed(data: Iterable[tuple[str, float]], *, linear: bool) -> str:
    """``by 0.3 m, time 0.6 s and accel 5 m/s^2``"""
    told = [f"{name} {said(value, name, linear=linear)}" for name, value in data]
    return " and ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)


def contradiction(
    basis: Iterable[tuple[str, float]], quantity: str, stated: float, found: float, *, linear: bool
) -> MotionFault:
    """The fault that ``quantity`` is stated otherwise than ``basis`` makes it."""
    data = [*((name, value) for name, value in basis if name != quantity), (quantity, stated)]
    right = said(found, quantity, linear=linear)
    return MotionFault(
        f"{listed(data, linear=linear)} contradict each other: {quantity} would be {right}.",
        "Leave one of them out, or state fit, which makes speed, accel and jerk limits "
        f"({quantity} = {right} agrees).",
        field=quantity,
    )
