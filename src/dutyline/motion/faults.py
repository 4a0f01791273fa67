"""What is wrong with a stated motion, phase by phase."""

from __future__ import annotations

from collections.abc import Iterable

from dutyline.core.errors import DutylineError


class MotionFault(DutylineError):
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


class MotionFaults(DutylineError):
    """All faults of one cycle."""

    def __init__(self, faults: Iterable[MotionFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n\n".join(fault.text() for fault in self.faults))


def said(value: float, quantity: str, *, linear: bool) -> str:
    """A number with its SI unit; ``quantity`` is ``by``, ``time``, ``speed``, ``accel``, ``jerk``."""
    base = "m" if linear else "rad"
    units = {
        "by": base,
        "time": "s",
        "speed": f"{base}/s",
        "accel": f"{base}/s^2",
        "jerk": f"{base}/s^3",
    }
    return f"{value:.6g} {units[quantity]}"
