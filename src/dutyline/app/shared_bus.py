"""Verdicts of several axes joined on one dc bus."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.app.verify import verify
from dutyline.checks.courses import BusCourse
from dutyline.checks.records import Verdict
from dutyline.core.arguments import expect
from dutyline.core.errors import RangeError
from dutyline.demand.shared_bus import SharedBus
from dutyline.demand.shared_bus import shared_bus as joined
from dutyline.physics.bus import capacitor_energy

_SAME = 1e-6
"""Share by which cycle times and idle voltages may differ."""


def shared_bus(verdicts: Sequence[Verdict], starts: Sequence[float] | None = None) -> SharedBus:
    """What several axes ask of one resistor and one supply when they share a dc bus.

    Parameters
    ----------
    verdicts : sequence of Verdict
        One for each axis, all with one cycle time and one mains; the figures are those of the
        file itself where it has several cases.
    starts : sequence of float [s], optional
        When each axis begins its cycle. Where nothing in the machine fixes them, try several and
        take the worst.

    Returns
    -------
    SharedBus
        Energy to the resistors apart and together, peaks, and the power of every axis over time.

    Raises
    ------
    RangeError
        No verdict, other cycle times or mains, or data of a drive or motor are missing.

    Notes
    -----
    All capacitors count together, up to the lowest voltage at which one of the drives would
    switch its resistor on.
    """
    if not verdicts:
        raise RangeError("verdicts is empty; give one for each axis on the bus")
    for verdict in verdicts:
        expect(verdict, Verdict, "verdicts", "Take each from verify or select.")
    if starts is not None and len(starts) != len(verdicts):
        raise RangeError(f"got {len(starts)} starts for {len(verdicts)} axes; give one for each")
    shown = [_course(verdict) for verdict in verdicts]
    cycles = [float(course.trace.time[-1]) for course in shown]
    _alike("cycle time", cycles, "s")
    _alike("highest idle voltage", [course.idle for course in shown], "V")
    switching = min(course.switching for course in shown)
    capacities = [
        float(capacitor_energy(course.capacitance, switching, course.idle)) for course in shown
    ]
    return joined([course.trace for course in shown], capacities, cycles[0], starts)


def _course(verdict: Verdict) -> BusCourse:
    """The bus of one axis; a candidate of a shortlist is traced first."""
    if verdict.trace is None:
        verdict = verify(verdict.axis, verdict.combination, verdict.line)
    own = verdict.cases[0] if verdict.cases else verdict
    found = own.extra.get("bus")
    if not isinstance(found, BusCourse):
        raise RangeError(
            f"{verdict.axis.title}: the power at its bus is not known; data of motor or drive are "
            "missing, and the ledger says which"
        )
    return found


def _alike(name: str, values: Sequence[float], unit: str) -> None:
    for value in values:
        if abs(value - values[0]) > _SAME * abs(values[0]):
            raise RangeError(
                f"the {name} is {values[0]:g} {unit} of one axis and {value:g} {unit} of another; "
                "on one bus they must be the same"
            )
