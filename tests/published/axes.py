"""Whole cycles of hand-built trains, evaluated by the product."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from dutyline.axis.model import Axis
from dutyline.core import series
from dutyline.demand.output import OutputDemand, output_demand
from dutyline.motion.cycle import build_cycle
from dutyline.motion.specs import PhaseSpec
from dutyline.train.records import Chain, Train


def demand(run: Chain, phases: Sequence[PhaseSpec], *, endless: bool = False) -> OutputDemand:
    """Demand at the shaft behind the last stage of a chain."""
    linear = run.load.linear
    cycle = build_cycle(list(phases), linear=linear, endless=endless)
    return output_demand(Axis("published case", Train(run), cycle, linear))


def torque_at(found: OutputDemand, time: float) -> float:
    """Torque at the instant of the cycle nearest to a time inside a piece."""
    near = int(np.argmin(np.abs(found.nodes.time - time)))
    return float(found.nodes.torque[near])


def phase_peak(found: OutputDemand, phase: int) -> float:
    """Torque of the largest magnitude in one phase, with its sign."""
    rows = found.phase == phase
    values = series.at(
        series.coefficients(found.torque)[rows][:, None, :], np.linspace(-1.0, 1.0, 20001)[None, :]
    )
    flat = np.ravel(values)
    return float(flat[np.argmax(np.abs(flat))])


def phase_rms(found: OutputDemand, phase: int) -> float:
    """Root mean square of the torque over one phase."""
    rows = found.phase == phase
    square = (found.weight[rows] * found.torque[rows] ** 2).sum()
    return float(np.sqrt(square / found.duration[rows].sum()))
