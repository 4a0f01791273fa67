"""What the plots draw as tables: one CSV file each, with the unit in every head."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.courses import BusCourse, HeatCourse
from dutyline.checks.fitted import Chosen, chosen
from dutyline.checks.records import Verdict
from dutyline.demand.trace import MotorTrace
from dutyline.grids.guards import guarded
from dutyline.report.figures.data import WarmData
from dutyline.report.sections.courses import bus_data, warm_data
from dutyline.report.sections.plots import gear_data, overload_data, plane_data
from dutyline.report.sections.reach import ratio_data

Array = NDArray[np.float64]
Column = Array | list[str]


@dataclass(frozen=True, slots=True)
class PlotTable:
    """One table of numbers behind a plot."""

    name: str
    """Of the file, without ending."""
    columns: dict[str, Column]
    """Head with unit to values; equally long."""

    def text(self) -> str:
        """As CSV: comma between cells, point in numbers, nine digits."""
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(self.columns)
        for row in zip(*self.columns.values(), strict=True):
            writer.writerow([guarded(v) if isinstance(v, str) else f"{float(v):.9g}" for v in row])
        return out.getvalue()


def plot_tables(verdict: Verdict) -> tuple[PlotTable, ...]:
    """The tables behind the plots of a verdict; none for plots that it does not have."""
    shown = verdict.cases[0] if verdict.cases else verdict
    trace = shown.trace
    if not isinstance(trace, MotorTrace):
        return ()
    return tuple(_tables(shown, trace, chosen(verdict)))


def _tables(verdict: Verdict, trace: MotorTrace, parts: Chosen) -> Iterator[PlotTable]:
    yield _cycle(verdict, trace)
    yield from _plane(verdict, trace)
    overload = overload_data(verdict, trace, parts)
    if overload is not None:
        yield _stacked(
            "overload", "curve", "current over reference", "time s",
            {
                "drive allows": (overload.factor, overload.allowed),
                "this cycle": (overload.cycle_factor, overload.cycle_time),
            },
        )  # fmt: skip
    gear = gear_data(verdict, trace, parts)
    if gear is not None:
        columns: dict[str, Column] = {"output torque N*m": gear.torque, "time s": gear.weight}
        yield PlotTable("gearhead-torque", columns)
    heat, bus = verdict.extra.get("heat"), verdict.extra.get("bus")
    warm = warm_data(heat) if isinstance(heat, HeatCourse) else None
    if warm is not None:
        yield from _warm(warm)
    drawn = bus_data(bus) if isinstance(bus, BusCourse) else None
    if drawn is not None:
        yield PlotTable("bus", {
            "time s": drawn.time, "voltage V": drawn.voltage, "power drawn W": drawn.power,
            "power in the resistor W": drawn.burnt,
        })  # fmt: skip
    band = ratio_data(verdict)
    if band is not None:
        curves = {curve.label: (curve.ratio, curve.used) for curve in band.curves}
        yield _stacked("ratio", "check", "gearhead ratio", "used share", curves)


def _cycle(verdict: Verdict, trace: MotorTrace) -> PlotTable:
    travel = "m" if verdict.axis.linear else "rad"
    phases = verdict.axis.cycle.phases
    causes: dict[str, Column] = {f"{c} N*m": torque for c, torque in trace.causes.items()}
    return PlotTable("cycle", {
        "time s": trace.time,
        "phase": [str(phases[k].name) for k in trace.phase],
        f"position {travel}": trace.position,
        "motor speed rad/s": trace.speed,
        "motor torque N*m": trace.torque,
        **causes,
        "shaft power W": trace.power,
        "output speed rad/s": trace.output_speed,
        "output acceleration rad/s^2": trace.output_acceleration,
        "output torque N*m": trace.output_torque,
    })  # fmt: skip


def _plane(verdict: Verdict, trace: MotorTrace) -> Iterator[PlotTable]:
    plane = plane_data(verdict, trace)
    limits = {"intermittent": plane.peak, "continuous": plane.continuous, "low mains": plane.low}
    curves = {name: (b.speed, b.torque) for name, b in limits.items() if b is not None}
    curves = {"this cycle": (plane.speed, plane.torque), **curves}
    if plane.effective is not None:
        speed, torque = plane.effective
        curves["effective point"] = (np.array([speed]), np.array([torque]))
    yield _stacked("torque-over-speed", "curve", "motor speed r/min", "motor torque N*m", curves)


def _warm(data: WarmData) -> Iterator[PlotTable]:
    unit = data.up_title.rpartition(" ")[2]
    yield PlotTable("temperature-from-cold", {
        f"time {unit}": data.up_time, "winding lowest degC": data.up_low,
        "winding highest degC": data.up_high, "housing degC": data.up_housing,
    })  # fmt: skip
    if data.time.size:
        yield PlotTable("temperature-settled", {
            "time s": data.time, "winding degC": data.winding, "housing degC": data.housing,
        })  # fmt: skip


def _stacked(
    name: str, curve: str, across: str, upright: str, curves: dict[str, tuple[Array, Array]]
) -> PlotTable:
    """Several curves below each other, each row with the name of its curve."""
    names = [label for label, (x, _) in curves.items() for _ in range(x.size)]
    xs = np.concatenate([x for x, _ in curves.values()])
    ys = np.concatenate([y for _, y in curves.values()])
    return PlotTable(name, {curve: names, across: xs, upright: ys})
