"""What the plots of an audit show: families on their power laws, curves with their points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from dutyline.audit.family_data import FITTED
from dutyline.audit.look import Look
from dutyline.audit.power_law import LEAST_SIZES, law
from dutyline.audit.records import Array, Audit, Index
from dutyline.audit.registry import RULES
from dutyline.catalogue.parts import Curve, ProductLine

POWER_RATE = "power_rate"
_BANDS = {rule.id: rule.bands for rule in RULES}


@dataclass(frozen=True, slots=True)
class FamilyPlot:
    """One quantity of one series over rated power by rated speed."""

    name: str
    """``inertia``, ``mass``, ``torque_peak`` or ``power_rate``"""
    series: str
    names: tuple[str, ...]
    """Of the motors, one per point"""
    size: Array
    """[N*m] rated power over rated speed"""
    value: Array
    """SI"""
    doubted: tuple[bool, ...]
    """Whether a finding concerns the point."""
    slope: float
    start: float
    """Law of the family, ``ln value = start + slope ln size``."""
    band: tuple[float, float]
    """Departures from the law that pass, natural logarithms."""

    def law(self, size: Array, off: float = 0.0) -> Array:
        """Value of the law at sizes, ``off`` from it in natural logarithms."""
        return np.asarray(np.exp(self.start + off + self.slope * np.log(size)), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class CurvePlot:
    """The curves of one motor."""

    motor: str
    curves: tuple[Curve, ...]
    doubted: tuple[tuple[int, float, float], ...]
    """Curve, speed and torque of the points in doubt."""


def family_plots(result: Audit) -> list[FamilyPlot]:
    """Plots of every series with enough sizes."""
    line = result.line
    assert isinstance(line, ProductLine)
    look = Look(line)
    torque, inertia = look.column("motors", "torque_rated"), look.column("motors", "inertia")
    columns = {name: look.column("motors", name) for name in FITTED}
    columns[POWER_RATE] = torque**2 / inertia
    size = look.column("motors", "power_rated") / look.column("motors", "speed_rated")
    found = []
    for sizes in look.series:
        for name, value in columns.items():
            usable = (value > 0) & (size > 0)
            stated = [g[usable[g]] for g in sizes]
            stated = [g for g in stated if g.size]
            if len(stated) >= LEAST_SIZES:
                found.append(_family(result, line, name, stated, size, value))
    return found


def _family(
    result: Audit, line: ProductLine, name: str, sizes: list[Index], size: Array, value: Array
) -> FamilyPlot:
    rows = np.concatenate(sizes)
    slope, start = law(
        np.array([np.log(size[g]).mean() for g in sizes]),
        np.array([np.log(value[g]).mean() for g in sizes]),
    )
    rate = name == POWER_RATE
    rule = "power-rate-continuity" if rate else "family-log-log-outlier"
    fields = {"torque_rated_nm", "inertia_kgcm2"} if rate else {_COLUMN[name]}
    doubted = {f.part for f in result.findings if f.column in fields and f.file == "motors.csv"}
    names = tuple(line.motors[int(k)].name for k in rows)
    return FamilyPlot(
        name=name,
        series=line.motors[int(rows[0])].series,
        names=names,
        size=size[rows],
        value=value[rows],
        doubted=tuple(n in doubted for n in names),
        slope=slope,
        start=start,
        band=_BANDS[rule]["ratio" if rate else name],
    )


_COLUMN = {"inertia": "inertia_kgcm2", "mass": "mass_kg", "torque_peak": "torque_peak_nm"}


def curve_plots(result: Audit) -> list[CurvePlot]:
    """The curves of every motor that has some; those with a doubtful point first."""
    line = result.line
    assert isinstance(line, ProductLine)
    own: dict[str, list[Curve]] = {}
    for curve in line.curves:
        own.setdefault(curve.motor, []).append(curve)
    plots = [CurvePlot(m, tuple(curves), _points(result, curves)) for m, curves in own.items()]
    return sorted(plots, key=lambda plot: not plot.doubted)


def _points(result: Audit, curves: list[Curve]) -> tuple[tuple[int, float, float], ...]:
    found = [f for f in result.findings if f.file == "curves.csv"]
    points = []
    for k, curve in enumerate(curves):
        for finding in found:
            if finding.point == (curve.motor, curve.mains, curve.phases, curve.kind):
                values = curve.torque if finding.column == "torque_nm" else curve.speed
                place = values.index(finding.value) if finding.value in values else -1
                if place >= 0:
                    points.append((k, curve.speed[place], curve.torque[place]))
    return tuple(points)
