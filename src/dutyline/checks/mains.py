"""Checks of the way to the mains: current, protective device, conductors, voltage drop, energy."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import BUS
from dutyline.checks.mains_power import (
    cabinet,
    line_current,
    mains_power,
    power_factor,
)
from dutyline.checks.records import Outcome, Severity, no_line
from dutyline.checks.trial import Trial
from dutyline.core.numbers import fixed, quantity
from dutyline.physics.supply import (
    conductor_current,
    inrush_current,
    inrush_energy,
    voltage_drop,
    yearly_energy,
)

Array = NDArray[np.float64]

DROP = 0.05
"""Of the mains voltage along the feeding cable (common practice)."""
LAID = "B2"
"""Way of laying where none is stated: the one that carries least."""
POWER = (*BUS, "motor.winding_limit", "motor.iron_loss_rated", "brake.coil_power")
"""What a line over the power from the mains needs of the parts."""


def _when(condition: bool) -> Severity:
    return "must" if condition else "note"


def _skipped(trial: Trial, severity: Severity) -> bool:
    """While only the verdict is wanted a note is left out."""
    return trial.screening and severity != "must"


def _current(trial: Trial) -> Array:
    return line_current(trial, mains_power(trial).drawn) * cabinet(trial).axes


def _told(trial: Trial) -> Callable[[int], str]:
    """What was taken as usual, and the largest current."""
    own = cabinet(trial)
    factor = (
        "" if own.power_factor else f"power factor {fixed(power_factor(trial), 2)} taken as usual"
    )
    axes = "" if own.axes == 1 else f"{own.axes} axes alike, all at once"
    peak = line_current(trial, mains_power(trial).peak) * own.axes

    def text(k: int) -> str:
        most = "" if np.isnan(peak[k]) else f"peak {quantity(float(peak[k]), 'A')}"
        return ", ".join(part for part in (most, axes, factor) if part)

    return text


def current(trial: Trial) -> Outcome:
    """Current at the lowest mains over the worst half minute against the protective device."""
    own, severity = trial.axis.equipment.cabinet, _when(cabinet(trial).fuse is not None)
    if own is None or _skipped(trial, severity):
        return no_line(trial.size)
    return Outcome(
        demand=_current(trial),
        limit=np.full(trial.size, np.inf if own.fuse is None else own.fuse),
        needs=POWER,
        severity=severity,
        text=_told(trial),
    )


def _carried(trial: Trial) -> float:
    """Current that the feeding conductor carries [A]; nan where it is not stated."""
    own = cabinet(trial)
    if own.conductor is None:
        return float("nan")
    return conductor_current(own.conductor, own.method or LAID, trial.site.ambient)


def _laid(trial: Trial) -> str:
    return "" if cabinet(trial).method else f"laid as {LAID}, the way that carries least"


def device(trial: Trial) -> Outcome:
    """Rating of the protective device against what the conductor behind it carries."""
    own = cabinet(trial)
    severity = _when(own.conductor is not None)
    if own.fuse is None or _skipped(trial, severity):
        return no_line(trial.size)
    return Outcome(
        demand=np.full(trial.size, own.fuse),
        limit=np.full(trial.size, _carried(trial)),
        missing=("section of the feeding conductor, mm2, at least the smallest of the table",),
        severity=severity,
        text=lambda _: _laid(trial),
    )


def conductor(trial: Trial) -> Outcome:
    """Current at the lowest mains against what the feeding conductor carries."""
    if cabinet(trial).conductor is None:
        return no_line(trial.size)
    return Outcome(
        demand=_current(trial),
        limit=np.full(trial.size, _carried(trial)),
        needs=POWER,
        missing=("section of the feeding conductor, at least the smallest known",),
        text=lambda _: _laid(trial),
    )


def motor_cable(trial: Trial) -> Outcome:
    """Rated current of the drive against what the stated cable to the motor carries."""
    cable = trial.axis.equipment.cable
    if cable is None or cable.section is None:
        return no_line(trial.size)
    carried = conductor_current(cable.section, LAID, trial.site.ambient)
    return Outcome(
        demand=trial.drive("current_rated"),
        limit=np.full(trial.size, carried),
        needs=("drive.current_rated",),
        missing=("section of the cable, at least 0.75 mm2",),
        text=lambda _: f"laid as {LAID}, the way that carries least",
    )


def drop(trial: Trial) -> Outcome:
    """Voltage lost along the feeding cable at the rms current against a share of the mains."""
    own = cabinet(trial)
    if own.feed_length is None or trial.screening:
        return no_line(trial.size)
    legs = 3 if trial.site.phases == 3 else 1
    section = np.nan if own.conductor is None else own.conductor
    lost = voltage_drop(_current(trial), own.feed_length, section, legs)
    return Outcome(
        demand=lost,
        limit=np.full(trial.size, DROP * trial.site.mains),
        needs=POWER,
        missing=("section of the feeding conductor in mm2",),
    )


def inrush(trial: Trial) -> Outcome:
    """Let-through energy of switching on against that of the protective device.

    All axes of the cabinet at once; the currents add up, so their energy goes with the square.
    """
    own = cabinet(trial)
    if trial.site.phases == "dc" or trial.screening or not (own.fuse or own.let_through):
        return no_line(trial.size)
    crest = np.sqrt(2.0) * trial.site.mains * (1 + trial.site.mains_high)
    charging = np.sqrt(2.0) * trial.drive("mains_max") / trial.drive("inrush_peak")
    known = np.isfinite(charging)
    peak = np.full(trial.size, np.nan)
    peak[known] = inrush_current(crest / np.sqrt(2.0), charging[known])
    single = inrush_energy(peak, crest, trial.drive("bus_capacitance"))
    device = np.inf if own.let_through is None else own.let_through

    def text(k: int) -> str:
        if np.isnan(peak[k]):
            return ""
        said = f"{quantity(own.axes * float(peak[k]), 'A')} at the first instant"
        return said if own.axes == 1 else f"{said}, {own.axes} axes switched on at once"

    return Outcome(
        demand=own.axes**2 * single,
        limit=np.full(trial.size, device),
        needs=("drive.inrush_peak", "drive.mains_max", "drive.bus_capacitance"),
        severity="note" if own.let_through is None else "caution",
        text=text,
    )


def bus_supply(trial: Trial) -> Outcome:
    """Largest power drawn on a shared bus against the peak power of its supply."""
    own = cabinet(trial)
    if not own.shared_bus:
        return no_line(trial.size)
    power = mains_power(trial)
    limit = np.nan if own.bus_supply is None else own.bus_supply

    def text(_: int) -> str:
        others = f"{own.axes} axes alike" if own.axes > 1 else ""
        more = f"{quantity(own.other_power, 'W')} of others" if own.other_power else ""
        both = " and ".join(part for part in (others, more) if part)
        return f"{both}, all at once" if both else ""

    return Outcome(
        demand=power.drawn_peak * own.axes + own.other_power,
        limit=np.full(trial.size, limit),
        needs=BUS,
        missing=("peak power of the supply of the shared bus ([cabinet] bus_supply) in W",),
        at=power.peak_time,
        text=text,
    )


def energy(trial: Trial) -> Outcome:
    """Energy bought in a year; there is no limit to it, the number is for the reader."""
    stated = any(i.path.startswith("duty.") and i.line is not None for i in trial.axis.inputs)
    if not stated or trial.screening:
        return no_line(trial.size)
    return Outcome(
        demand=bought(trial),
        limit=np.full(trial.size, np.inf),
        needs=(*POWER, "drive.idle_power"),
    )


def bought(trial: Trial) -> Array:
    """Energy from the mains in a year [J]."""
    duty = trial.axis.duty
    working = duty.hours * duty.days
    return yearly_energy(mains_power(trial).mean, working, trial.drive("idle_power"))


def figures(trial: Trial) -> dict[str, Array]:
    """Mean and peak power, current at the lowest mains, heat of the drive, energy of a year; SI."""
    power = mains_power(trial)
    return {
        "mean_power": power.mean,
        "peak_power": power.peak,
        "rms_current": line_current(trial, power.drawn),
        "drive_heat": power.drive_heat,
        "yearly_energy": bought(trial),
    }
