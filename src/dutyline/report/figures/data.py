"""What the figures draw, as plain arrays in the units that are printed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Boundary:
    """A limit line of the torque-speed plane, over rising speed."""

    speed: Array
    torque: Array


@dataclass(frozen=True, slots=True)
class PlaneData:
    """Torque over speed with the limits of the motor and the trace of the cycle."""

    speed: Array
    """Magnitude of the motor speed over the cycle."""
    torque: Array
    """Motor torque; positive when it drives in the direction of motion."""
    forward: NDArray[np.bool_]
    """True where the load moves in + travel or stands."""
    peak: Boundary | None
    continuous: Boundary | None
    low: Boundary | None
    """Peak boundary on low mains."""
    peak_label: str
    """``intermittent, 230 V``"""
    continuous_label: str
    low_label: str
    effective: tuple[float, float] | None
    """Effective speed and rms torque."""
    worst: tuple[float, float] | None
    """Speed and torque at the peak."""
    worst_label: str = ""
    forward_label: str = "forward"
    backward_label: str = "backward"
    speed_title: str = "Motor speed, r/min"
    torque_title: str = "Motor torque, N·m"


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause of torque over the cycle."""

    name: str
    """``gravity``, ``inertia``, ``friction``, ``process`` or ``loss``: chooses the pattern."""
    label: str
    torque: Array


@dataclass(frozen=True, slots=True)
class Block:
    """One phase on the rail under the cycle plot."""

    name: str
    start: float
    duration: float
    moving: bool


@dataclass(frozen=True, slots=True)
class Readout:
    """What stands beside one panel: the value at the peak and further lines."""

    value: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CycleData:
    """Speed, torque by cause and power over one cycle."""

    time: Array
    speed: Array
    torque: Array
    causes: tuple[Cause, ...]
    power: Array
    blocks: tuple[Block, ...]
    peak_time: float | None
    peak_label: str
    speed_read: Readout
    torque_read: Readout
    power_read: Readout
    cause_values: tuple[str, ...]
    """Value of every cause at the peak, as printed."""
    returned: str
    """Energy given back, as printed; empty when there is none."""
    speed_title: str = "Motor speed, r/min"
    torque_title: str = "Motor torque by cause, N·m"
    power_title: str = "Shaft power, W"


@dataclass(frozen=True, slots=True)
class OverloadData:
    """How long the drive allows a load, and how long the cycle asks for it."""

    factor: Array
    """Load over the reference current, rising."""
    allowed: Array
    """[s]"""
    cycle_factor: Array
    cycle_time: Array
    """[s] longest time in one go at or above each factor"""
    reserve: float
    """Share of the allowed time kept in reserve."""
    across_title: str
    """``Current over 3.22 A``"""
    corner_label: str = ""
    """``1.78-fold, 100 ms``, or that the cycle stays below the reference"""


@dataclass(frozen=True, slots=True)
class Post:
    """A limit on the gear histogram."""

    value: float
    label: str
    strong: bool = True


@dataclass(frozen=True, slots=True)
class GearData:
    """How long the gearhead output carries how much torque."""

    torque: Array
    """Magnitude of the output torque at the samples."""
    weight: Array
    """[s] time that each sample stands for."""
    posts: tuple[Post, ...]
    marks: tuple[Post, ...]
    """Demands drawn as marks: equivalent torque, peak, stop."""
    events: str = ""
    """``3 600 peaks per hour, factor 0.89``"""
    title: str = "Share of the time under load, %"
    across_title: str = "Gearhead output torque, N·m"


@dataclass(frozen=True, slots=True)
class Part:
    """One cell of the train sketch."""

    kind: str
    """Mechanism kind, stage kind, or ``load``, ``load-upright``, ``motor``, ``gearhead``,
    ``brake``, ``drive``, ``resistor``."""
    name: str
    """Printed under it."""


@dataclass(frozen=True, slots=True)
class TrainData:
    """The train from the load to the mains."""

    parts: tuple[Part, ...]
    upright: bool
    """True when the load moves along gravity."""


@dataclass(frozen=True, slots=True)
class DutyMark:
    """One check on the duty line."""

    used: float
    """Used share of the limit."""
    state: str
    """``meets``, ``short``, ``fails``, ``caution``"""
    label: str = ""
    """Printed above the mark; only for checks that need a decision."""


@dataclass(frozen=True, slots=True)
class DutyData:
    """All checks on one line from 0 to the limit."""

    marks: tuple[DutyMark, ...]
    unmade: int
    """How many checks could not be made."""
    reserve: float = 0.10
    """The usual reserve, hatched before the limit."""
    ghosts: tuple[float, ...] = ()
    """Used shares where marks stood before, dashed."""


@dataclass(frozen=True, slots=True)
class WarmData:
    """Temperatures of a motor from cold, and over one settled cycle."""

    up_time: Array
    """In the unit of the title."""
    up_low: Array
    """[degC] lowest of the winding in the cycle about that time"""
    up_high: Array
    """[degC] highest; equal to the lowest where every cycle is drawn"""
    up_housing: Array
    """[degC]"""
    time: Array
    """[s] over one settled cycle; empty where none is settled"""
    winding: Array
    """[degC]"""
    housing: Array
    """[degC]"""
    limit: float
    """[degC]; nan where it is not stated"""
    limit_label: str
    up_title: str
    """``From cold, min``"""
    title: str = "Temperature, °C"
    time_title: str = "One cycle, s"


@dataclass(frozen=True, slots=True)
class BusData:
    """Voltage and power at the bus over one settled cycle."""

    time: Array
    voltage: Array
    """[V]"""
    power: Array
    """[W] drawn; negative where it returns"""
    burnt: Array
    """[W] in the resistor"""
    idle: float
    switching: float
    trip: float
    """nan where it is not stated"""
    switching_label: str
    returned: str
    """Energy that returns to the bus, as printed."""
    burnt_label: str
    """Energy in the resistor, as printed; empty when there is none."""
    voltage_title: str = "Bus voltage, V"
    power_title: str = "Power at the bus, W"
    time_title: str = "Time, s"


@dataclass(frozen=True, slots=True)
class RatioCurve:
    """Used share of one check over the gearhead ratio."""

    label: str
    ratio: Array
    used: Array
    style: str = "plain"
    """``plain``, ``dash``, ``dot``, ``chain`` or ``thin``"""


@dataclass(frozen=True, slots=True)
class RatioData:
    """Used shares over the gearhead ratio, all else equal."""

    curves: tuple[RatioCurve, ...]
    chosen: float | None
    offered: tuple[float, ...]
    band: tuple[float, float] | None
    """Ratios between which all checks are met with reserve."""


@dataclass(frozen=True, slots=True)
class SettleCurve:
    """Error of the load about the end of one motion."""

    label: str
    time: Array
    """[ms] from the end of the motion"""
    error: Array


@dataclass(frozen=True, slots=True)
class SettleData:
    """How the load settles, with the window it has to stay in."""

    curves: tuple[SettleCurve, ...]
    """The slowest first."""
    tolerance: float
    """Half width of the window, in the unit of the error."""
    allowed: float | None
    """[ms]"""
    settled: float | None
    """[ms] of the slowest; None where it does not settle"""
    error_title: str
    """``Error of the load, mm``"""
    time_title: str = "Time from the end of the motion, ms"


@dataclass(frozen=True, slots=True)
class FamilyData:
    """One quantity of a family over the size of its members."""

    names: tuple[str, ...]
    size: Array
    value: Array
    doubted: tuple[bool, ...]
    law: Array
    """(2,) value of the power law at both ends of the range drawn"""
    low: Array
    """(2,) lower edge of what passes, there"""
    high: Array
    size_title: str
    value_title: str


@dataclass(frozen=True, slots=True)
class TorqueCurve:
    """One tabulated curve of a motor."""

    label: str
    speed: Array
    torque: Array


@dataclass(frozen=True, slots=True)
class CurvesData:
    """The curves of one motor."""

    curves: tuple[TorqueCurve, ...]
    doubted: tuple[tuple[float, float, str], ...]
    """Speed, torque and label of the points in doubt."""
    speed_title: str = "Motor speed, r/min"
    torque_title: str = "Motor torque, N·m"
