"""Phases and samples of the cycle: peaks and means worked out from the samples."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from dutyline.checks.records import Verdict
from dutyline.demand.trace import SAMPLES, MotorTrace
from dutyline.grids.write import Cell, Look
from dutyline.report.sections.demand import held, phase_name
from dutyline.report.sections.rms import quadrature
from dutyline.report.workbook.sheets import Sheet, worked

MOST_SAMPLES = 24_000
"""Of a cycle of more, the figures stand as numbers and the samples are left out."""
_PHASES = (
    "Phase", "Does", "Time, s", "Distance", "Law", "Top speed", "Top acceleration", "Held by",
    "Largest sampled torque, N·m", "Integral of torque², (N·m)²·s", "Share of it",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class CycleSheets:
    """The sheets, and where the rms torque stands."""

    sheets: tuple[Sheet, ...]
    rms: str = ""
    mean_speed: str = ""
    demands: Mapping[str, tuple[str, float]] = field(default_factory=dict)
    """By check and part: place of a demand and its value in SI."""


def cycle_sheets(verdict: Verdict) -> CycleSheets:
    """Phases, and the samples from which their figures come."""
    look = Look((24, 10, 12, 12, 18, 12, 14, 10, 16, 18, 10), shares=frozenset({10}))
    sheet = Sheet("Cycle", _PHASES, look)
    trace, cycle = verdict.trace, verdict.axis.cycle
    live = isinstance(trace, MotorTrace) and trace.time.size <= MOST_SAMPLES
    last = len(cycle.phases) + 1
    weights = _weights(trace) if isinstance(trace, MotorTrace) else np.empty(0)
    whole = float(weights @ trace.torque**2) if isinstance(trace, MotorTrace) else 0.0
    for k, phase in enumerate(cycle.phases):
        figures: list[Cell] = []
        if isinstance(trace, MotorTrace):
            figures = _figures(trace, weights, k, whole, (sheet.next, last), live)
        sheet.add(phase_name(k + 1, phase), phase.do, phase.duration, phase.distance, phase.law,
                  phase.top_speed, phase.top_acceleration, held(phase), *figures)  # fmt: skip
    length = "m" if verdict.axis.linear else "rad"
    sheet.add()
    sheet.add(f"Distances in {length}, speeds in {length}/s, accelerations in {length}/s².")
    n = sheet.add("Time of one cycle, s", None, worked(f"=SUM(C2:C{last})", cycle.duration))
    if not isinstance(trace, MotorTrace):
        return CycleSheets((sheet,))
    if not live:
        sheet.add("Rms motor torque, N·m", None, trace.rms_torque)
        sheet.add(f"The samples are left out: there are {trace.time.size} of them.")
        return CycleSheets((sheet,))
    rms = sheet.add("Rms motor torque, N·m", None,
                    worked(f"=SQRT(SUM(J2:J{last})/C{n})", trace.rms_torque))  # fmt: skip
    bottom = trace.time.size + 1
    mean = float(weights @ np.abs(trace.speed)) / cycle.duration
    speed = f"Samples!$M$2:$M${bottom}"
    at = sheet.add(
        "Mean motor speed, rad/s", None,
        worked(f"=SUMPRODUCT(Samples!$B$2:$B${bottom},{speed})/C{n}", mean),
    )  # fmt: skip
    sheets = (sheet, _samples(verdict, trace, weights))
    place = sheet.there(f"C{rms}")
    demands = {"continuous-use motor": (place, trace.rms_torque)}
    return CycleSheets(sheets, place, sheet.there(f"C{at}"), demands)


def _weights(trace: MotorTrace) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Share of time of every sample, by which sums over samples are integrals over pieces."""
    time = trace.time.reshape(-1, SAMPLES)
    half = (time[:, -1:] - time[:, :1]) / 2
    return np.ravel(half * quadrature())


def _figures(
    trace: MotorTrace,
    weights: np.ndarray[tuple[int], np.dtype[np.float64]],
    k: int,
    whole: float,
    rows: tuple[int, int],
    live: bool,
) -> list[Cell]:
    """Peak, integral of the square and its share for one phase."""
    here = np.flatnonzero(trace.phase == k)
    if not here.size:
        return [0.0, 0.0, None]
    top = float(np.abs(trace.torque[here]).max())
    square = float(weights[here] @ trace.torque[here] ** 2)
    share = square / whole if whole > 0 else 0.0
    if not live or np.any(np.diff(here) != 1):
        return [top, square, share]
    first, last = int(here[0]) + 2, int(here[-1]) + 2
    torque = f"Samples!$K${first}:$K${last}"
    row, bottom = rows
    share_cell = worked(f"=J{row}/SUM(J$2:J${bottom})", share) if whole > 0 else None
    return [
        worked(f"=MAX(MAX({torque}),-MIN({torque}))", top),
        worked(f"=SUMPRODUCT(Samples!$B${first}:$B${last},{torque},{torque})", square),
        share_cell,
    ]


def _samples(
    verdict: Verdict, trace: MotorTrace, weights: np.ndarray[tuple[int], np.dtype[np.float64]]
) -> Sheet:
    travel = "m" if verdict.axis.linear else "rad"
    causes = [f"{cause}, N·m" for cause in trace.causes]
    head = ("Time, s", "Weight, s", "Phase", f"Position, {travel}", "Motor speed, rad/s", *causes,
            "Motor torque, N·m", "Shaft power, W", "Speed without sign, rad/s")  # fmt: skip
    sheet = Sheet("Samples", head, Look((12, 14, 7, 14, 14, 14, 14, 14, 14, 14, 14, 14, 14)))
    parts = list(trace.causes.values())
    for k in range(trace.time.size):
        n = k + 2
        sheet.add(
            float(trace.time[k]), float(weights[k]), int(trace.phase[k]) + 1,
            float(trace.position[k]), float(trace.speed[k]), *(float(c[k]) for c in parts),
            worked(f"=SUM(F{n}:J{n})", float(trace.torque[k])),
            worked(f"=K{n}*E{n}", float(trace.power[k])),
            worked(f"=MAX(E{n},-E{n})", abs(float(trace.speed[k]))),
        )  # fmt: skip
    return sheet
