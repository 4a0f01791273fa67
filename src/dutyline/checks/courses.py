"""Courses over time that are not lines of the ledger: for plots of one combination."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.trial import Trial
from dutyline.checks.winding import Heating, ambient_of, heating
from dutyline.demand.bus_trace import BusTrace, bus_trace

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BusCourse:
    """The bus over one settled cycle."""

    trace: BusTrace
    voltage: Array
    """[V] at the samples, from the highest idle voltage up"""
    idle: float
    """[V] highest idle voltage"""
    switching: float
    """[V] at which the resistor is switched on"""
    trip: float
    """[V] at which the drive switches off; nan where it is not stated"""
    capacitance: float
    """[F] that may be counted on"""
    resistor: bool
    """Whether there is one, fitted or built in"""


@dataclass(frozen=True, slots=True)
class HeatCourse:
    """Losses of one cycle, from which any course of temperatures follows."""

    heating: Heating
    """Of one motor side, without leading axes"""
    ambient: float
    """[degC]"""
    limit: float
    """[degC] of the winding; nan where it is not stated"""
    time_to_warm: float
    """[s]"""
    cycle_time: float
    """[s]"""


def bus_course(trial: Trial, k: int) -> BusCourse | None:
    """The bus of one combination; None where a datum is missing."""
    one = trial.take(np.array([k], dtype=np.intp))
    side = one.drive_side
    switching, capacitance = float(side.field("chopper_on")[0]), float(side.capacitance[0])
    trace = bus_trace(one.out, side.shafts, side.windings, side.bus_side)
    if trace is None:
        return None
    idle = side.idle_voltage
    return BusCourse(
        trace=trace,
        voltage=np.sqrt(idle**2 + 2.0 * trace.stored / capacitance),
        idle=idle,
        switching=switching,
        trip=float(side.field("overvoltage_trip")[0]),
        capacitance=capacitance,
        resistor=bool(one.choice.resistor[0] >= 0 or one.drive("internal_resistor_power")[0] > 0),
    )


def heat_course(trial: Trial, k: int, time_to_warm: float | None) -> HeatCourse | None:
    """The losses in the motor of one combination; None where a datum is missing."""
    row = int(trial.at_motor(np.arange(trial.motor_side.choice.size))[k])
    found = heating(trial).one(row)
    if found is None or not np.isfinite(found.copper).all() or not np.isfinite(found.iron).all():
        return None
    return HeatCourse(
        heating=found,
        ambient=ambient_of(trial),
        limit=float(trial.motor("winding_limit")[k]),
        time_to_warm=float("inf") if time_to_warm is None else time_to_warm,
        cycle_time=trial.out.cycle_time,
    )
