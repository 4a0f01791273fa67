"""Motion and demand: the cycle as a plot and as a table, the peak by hand, the rms by phases."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.records import Verdict
from dutyline.core.numbers import Scale, group, quantity, scale_for, significant, stated
from dutyline.core.reader import in_si
from dutyline.demand.trace import MotorTrace
from dutyline.motion.pieces import Phase
from dutyline.report.figures.cycle import cycle as draw_cycle
from dutyline.report.figures.data import Block as Rail
from dutyline.report.figures.data import Cause, CycleData, Readout
from dutyline.report.hand import hand_steps, symbols_note
from dutyline.report.peak import PeakPoint
from dutyline.report.tree import (
    Block,
    Column,
    Figure,
    HandStep,
    Math,
    Paragraph,
    Row,
    Run,
    Section,
    Table,
    cell,
    strong,
    words,
)
from dutyline.report.words import instant, listed

Array = NDArray[np.float64]

_CAUSES = (
    ("gravity", "gravity"),
    ("process", "process"),
    ("inertia", "inertia"),
    ("friction", "friction"),
    ("loss", "losses"),
)
RPM = scale_for("rad/s").size


def torque_scale() -> Scale:
    """The unit of torque in which the reader's plots and tables are drawn."""
    return scale_for("N*m")


def cycle_data(verdict: Verdict, trace: MotorTrace) -> CycleData:
    """The trace in the units of the plot."""
    cycle, motor = verdict.axis.cycle, verdict.demand.get("motor", {})
    near = _at_peak(trace)
    unit = torque_scale()
    torque = trace.torque / unit.size
    size = max(float(np.abs(torque).max()), 1e-12)
    there = [
        Cause(name, label, trace.causes[name] / unit.size)
        for name, label in _CAUSES
        if float(np.abs(trace.causes[name]).max()) > 2e-3 * size * unit.size
    ]
    speed, peak_speed = trace.speed / RPM, motor.get("peak_speed")
    mean = motor.get("mean_speed")
    speed_lines = []
    if peak_speed is not None:
        speed_lines.append(f"top {group(peak_speed / RPM)}")
    if mean is not None:
        speed_lines.append(f"mean {group(mean / RPM)}")
    torque_lines = [f"rms {significant(trace.rms_torque / unit.size)}"]
    limit = next((ln.limit for ln in verdict.ledger if ln.check == "continuous-use"), None)
    if limit is not None:
        torque_lines.append(f"continuous {significant(limit / unit.size)}")
    returned = trace.regenerated > 1e-3 * max(trace.motoring, 1e-12)
    return CycleData(
        trace.time,
        speed,
        torque,
        tuple(there),
        trace.power,
        tuple(
            Rail(phase_name(n, p), p.start, p.duration, p.do != "dwell")
            for n, p in enumerate(cycle.phases, start=1)
        ),
        trace.peak_time,
        f"at {instant(trace.peak_time)}",
        Readout(group(float(speed[near])), tuple(speed_lines)),
        Readout(significant(float(torque[near])), tuple(torque_lines)),
        Readout(group(float(trace.power[near])), (f"used {quantity(trace.motoring, 'J')}",)),
        tuple(_cause_value(float(c.torque[near]), size) for c in there),
        quantity(trace.regenerated, "J") if returned else "",
        torque_title=f"Motor torque by cause, {unit.text}",
    )


def _cause_value(value: float, size: float) -> str:
    digits = max(0, 2 - int(np.floor(np.log10(size))))
    return group(value, min(digits, 4))


def _at_peak(trace: MotorTrace) -> int:
    """Sample at the peak: nearest in time, of two the one with the larger torque."""
    distance = np.abs(trace.time - trace.peak_time)
    near = np.flatnonzero(distance <= distance.min() + 1e-9)
    return int(near[int(np.argmax(np.abs(trace.torque[near])))])


def phase_name(number: int, phase: Phase) -> str:
    """Number and name of a phase; the number alone where nobody named it."""
    return phase.name if phase.name == str(number) else f"{number} {phase.name}"


def cycle_figure(verdict: Verdict, trace: MotorTrace) -> Figure:
    """Speed, torque by cause and power with a description in numbers."""
    data = cycle_data(verdict, trace)
    caption = (
        "Motor speed, motor torque by cause, and shaft power. The upright line stands at the "
        f"peak, {instant(trace.peak_time)}."
    )
    if data.returned:
        caption += " Where the power is hatched, the axis gives energy back."
    return Figure(draw_cycle(data), cycle_alt(verdict, trace, data), words(caption))


def cycle_alt(verdict: Verdict, trace: MotorTrace, data: CycleData) -> str:
    """The plots over one cycle in words."""
    near = _at_peak(trace)
    causes = ", ".join(
        f"{c.label} {v}" for c, v in zip(data.causes, data.cause_values, strict=True)
    )
    top = float(np.abs(data.speed).max())
    alt = (
        f"Three plots over one cycle of {quantity(verdict.axis.cycle.duration, 's')}. "
        f"Motor speed reaches {group(top)} r/min. Motor torque by cause peaks with "
        f"{quantity(float(trace.torque[near]), 'N*m')} at {instant(trace.peak_time)}: {causes}. "
    )
    return alt + (
        f"{data.returned} come back per cycle."
        if data.returned
        else "Hardly any energy comes back."
    )


def held(phase: Phase) -> str:
    """What holds the axis in a phase."""
    if phase.do != "dwell":
        return "moving"
    return {"brake": "brake", "off": "nothing"}.get(phase.hold, "motor")


def phase_table(verdict: Verdict, trace: MotorTrace | None) -> Table:
    """Every phase with its motion and peak torque."""
    axis = verdict.axis
    unit = "m" if axis.linear else "rad"
    rows = []
    for n, phase in enumerate(axis.cycle.phases, start=1):
        peak = ""
        if trace is not None:
            here = np.abs(trace.torque[trace.phase == n - 1])
            peak = quantity(float(here.max(initial=0.0)), "N*m")
        stands = phase.distance == 0 and phase.top_speed == 0
        rows.append(
            Row(
                (
                    cell(strong(phase_name(n, phase))),
                    cell(quantity(phase.duration, "s")),
                    cell("stands" if stands else quantity(phase.distance, unit)),
                    cell(phase.law),
                    cell("" if stands else quantity(phase.top_speed, f"{unit}/s")),
                    cell("" if stands else quantity(phase.top_acceleration, f"{unit}/s^2")),
                    cell(peak),
                    cell(held(phase)),
                )
            )
        )
    columns = (
        Column(words("Phase"), 32),
        Column(words("Time"), 14, "right"),
        Column(words("Distance"), 18, "right"),
        Column(words("Law")),
        Column(words("Top speed"), 17, "right"),
        Column(words("Top accel."), 18, "right"),
        Column(words("Peak torque"), 18, "right"),
        Column(words("Held by"), 14),
    )
    return Table(columns, tuple(rows), pad=0.85, gutter=2.0)


def _completed(phases: tuple[Phase, ...]) -> list[Block]:
    """How moves were completed from what the file says of them."""
    notes: dict[str, list[str]] = {}
    for n, phase in enumerate(phases, start=1):
        if phase.note:
            notes.setdefault(phase.note, []).append(str(n))
    if not notes:
        return []
    said = [f"phase {listed(numbers)}: {note}" for note, numbers in notes.items()]
    return [Paragraph(words(f"Completed from what is stated: {'; '.join(said)}."), "small")]


def motion(verdict: Verdict) -> Section:
    """The cycle as a plot and the phases as a table."""
    cycle, trace = verdict.axis.cycle, verdict.trace
    blocks: list[Block] = []
    if isinstance(trace, MotorTrace):
        blocks.append(cycle_figure(verdict, trace))
    blocks.append(phase_table(verdict, trace if isinstance(trace, MotorTrace) else None))
    blocks += _completed(cycle.phases)
    rate = stated(60 / cycle.duration, 3)
    remark = words(f"one cycle of {quantity(cycle.duration, 's')}, {rate} per minute")
    return Section("motion", "Motion and demand", tuple(blocks), remark, room=125.0)


def by_hand(verdict: Verdict, point: PeakPoint | None) -> Section | None:
    """The peak torque worked step by step."""
    given = verdict.extra.get("peak_by_hand")
    steps: tuple[HandStep, ...] = tuple(given) if given else ()
    note = ""
    if not steps and point is not None:
        with in_si().served():
            steps = hand_steps(point, verdict.axis)
            note = symbols_note(point, verdict.axis)
    if not steps:
        return None
    rows = []
    for step in steps:
        last = step is steps[-1]
        rows.append(
            Row(
                (
                    cell(strong(step.label) if last else step.label),
                    cell(Math(step.formula)),
                    cell(step.inserted),
                    cell(strong(step.result)),
                    cell(Run(step.unit, "soft")),
                )
            )
        )
    columns = (
        Column(words("Step"), 54),
        Column(words("Formula"), 40),
        Column(words("Numbers inserted")),
        Column(words("Result"), 14, "right"),
        Column(words(), 11),
    )
    blocks: list[Block] = [Table(columns, tuple(rows), pad=0.84, gutter=2.4)]
    if note:
        blocks.append(Paragraph(_symbols(note), "small"))
    trace = verdict.trace
    where = "" if trace is None else f"at {instant(trace.peak_time)}, "
    remark = words(f"{where}SI units; repeat it with a pocket calculator")
    return Section("hand", "The peak torque by hand", tuple(blocks), remark)


def _symbols(note: str) -> tuple[Run | Math, ...]:
    """Symbols inside a note set as formulas."""
    out: list[Run | Math] = []
    for word in note.split(" "):
        bare = word.rstrip(",;.")
        symbol = bare in ("m", "i") or ("_" in bare and bare.isascii())
        out.append(Math(bare) if symbol else Run(bare))
        out.append(Run(word[len(bare) :] + " "))
    return tuple(r for r in out if not (isinstance(r, Run) and r.text == ""))
