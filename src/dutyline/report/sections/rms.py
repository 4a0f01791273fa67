"""How much every stretch of the cycle adds to the rms torque."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.records import Verdict
from dutyline.core.numbers import decimals, group, percent, quantity, significant
from dutyline.demand.trace import SAMPLES, MotorTrace
from dutyline.motion.pieces import Phase
from dutyline.report.sections.demand import RPM, phase_name, torque_scale
from dutyline.report.tree import (
    Column,
    Inline,
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

Array = NDArray[np.float64]

_MOST_PHASES = 12
_KEPT_PHASES = 8


def _blocks(trace: MotorTrace, values: Array) -> Array:
    """(K, samples) an array of the trace by smooth pieces."""
    return values.reshape(-1, SAMPLES)


def quadrature(count: int = SAMPLES) -> Array:
    """Weights on (-1, 1) for samples at the cosines of equal angles, exact to degree count - 1.

    Clenshaw and Curtis (1960), from memory.
    """
    n = count - 1
    angle = np.pi * np.arange(count) / n
    k = np.arange(1, n // 2 + 1)
    factor = np.where(2 * k == n, 1.0, 2.0) / (4 * k**2 - 1)
    series = 1.0 - (factor[None, :] * np.cos(2 * np.outer(angle, k))).sum(axis=1)
    weights: Array = 2.0 / n * series
    weights[[0, -1]] /= 2
    return weights


class Stretch:
    """A part of a phase in which the motor does one thing."""

    def __init__(self, phase: int, word: str) -> None:
        self.phase, self.word = phase, word
        self.time = self.square = self.angle = 0.0
        self.low, self.high = np.inf, -np.inf

    def add(self, time: float, square: float, angle: float, torque: Array) -> None:
        """Take one more smooth piece in."""
        self.time += time
        self.square += square
        self.angle += angle
        self.low = min(self.low, float(torque.min()))
        self.high = max(self.high, float(torque.max()))


def stretches(trace: MotorTrace, phases: tuple[Phase, ...]) -> list[Stretch]:
    """Neighbouring pieces joined while phase and doing stay the same; integrals are exact."""
    weights = quadrature()
    time, speed, torque = (_blocks(trace, v) for v in (trace.time, trace.speed, trace.torque))
    phase = trace.phase.reshape(-1, SAMPLES)[:, 0]
    top = float(np.abs(speed).max()) or 1.0
    out: list[Stretch] = []
    for k in range(time.shape[0]):
        half = float(time[k, -1] - time[k, 0]) / 2
        word = _doing(speed[k], top, phases[int(phase[k])])
        if not out or out[-1].phase != int(phase[k]) or out[-1].word != word:
            out.append(Stretch(int(phase[k]), word))
        out[-1].add(
            2 * half,
            half * float(weights @ torque[k] ** 2),
            half * float(weights @ speed[k]),
            torque[k],
        )
    return out


def _doing(speed: Array, top: float, phase: Phase) -> str:
    size = np.abs(speed)
    if float(size.max()) < 1e-9 * top:
        return {"brake": "stands, brake holds", "off": "stands, nothing holds"}.get(
            phase.hold, "stands, motor holds"
        )
    change = float(size[-1] - size[0])
    if abs(change) < 1e-6 * top:
        return "run" if float(np.ptp(size)) < 1e-6 * top else "move"
    return "accelerate" if change > 0 else "brake"


def rms_by_phases(verdict: Verdict) -> Section | None:
    """How much every stretch of the cycle adds to the rms torque."""
    trace = verdict.trace
    if not isinstance(trace, MotorTrace):
        return None
    parts = stretches(trace, verdict.axis.cycle.phases)
    whole = sum(p.square for p in parts)
    if whole <= 0:
        return None
    shown = parts
    if len(parts) > _MOST_PHASES * 2:
        largest = sorted(parts, key=lambda p: -p.square)[: _KEPT_PHASES * 2]
        shown = [p for p in parts if p in largest]
    rows, before, unit = [], -1, torque_scale()
    places = decimals(max(max(abs(p.low), abs(p.high)) for p in parts) / unit.size)
    for part in shown:
        phase = verdict.axis.cycle.phases[part.phase]
        name = "" if part.phase == before else phase_name(part.phase + 1, phase)
        before = part.phase
        low, high = (group(v / unit.size, places) for v in (part.low, part.high))
        rows.append(
            Row(
                (
                    cell(strong(name)),
                    cell(part.word),
                    cell(group(part.time, 2)),
                    cell(high if low == high else f"{low} to {high}"),
                    cell(group(part.angle / part.time / RPM)),
                    cell(significant(part.square / unit.size**2)),
                    cell(percent(part.square / whole)),
                )
            )
        )
    if len(shown) < len(parts):
        rest = whole - sum(p.square for p in shown)
        said = cell("", Run(f"{len(parts) - len(shown)} shorter stretches together"), span=5)
        rows.append(
            Row((said, cell(significant(rest / unit.size**2)), cell(percent(rest / whole))))
        )
    cycle = verdict.axis.cycle.duration
    rows.append(
        Row(
            (
                cell(),
                cell("One cycle"),
                cell(group(cycle, 2)),
                cell(),
                cell(),
                cell(significant(whole / unit.size**2, 4)),
                cell(percent(1.0)),
            ),
            sum=True,
        )
    )
    columns = (
        Column(words("Phase"), 29),
        Column(words("Piece"), 28),
        Column(words("Time, s"), 11, "right"),
        Column(words(f"Motor torque, {unit.text}"), 25, "right"),
        Column(words("Mean speed, r/min"), 25, "right"),
        Column(words(Math("integral T^2 dt"), f", ({unit.text})²·s"), None, "right"),
        Column(words("Share"), 10, "right"),
    )
    table = Table(columns, tuple(rows), pad=0.78)
    remark = words("integrals over smooth pieces, not over time steps")
    sentence = _rms_sentence(verdict, whole, cycle)
    return Section("rms", "The rms torque by phases", (table, sentence), remark)


def _rms_sentence(verdict: Verdict, whole: float, cycle: float) -> Paragraph:
    unit = torque_scale()
    whole = whole / unit.size**2
    rms = significant(float(np.sqrt(whole / cycle)))
    formula = (
        f"T_rms = sqrt((integral T^2 dt) / t) = sqrt({significant(whole, 4)} / "
        f"{significant(cycle, 4)}) = {rms}"
    )
    said: list[Inline] = [Math(formula), Run(f"\u00a0{unit.text}.")]
    use = next((ln for ln in verdict.ledger if ln.check == "continuous-use"), None)
    if use is not None and use.used is not None and use.demand and use.limit:
        said.append(
            Run(
                f" Continuous use compares {quantity(use.demand, 'N*m')}, rms current times "
                f"torque constant, with {quantity(use.limit, 'N*m')} that the motor may give "
                f"without pause at the speeds of this cycle: {percent(use.used)}."
            )
        )
    return Paragraph(tuple(said), "table")
