"""Motor side and drive side of many combinations: shared results that checks read.

Results that depend on fewer parts than a whole combination are worked out once per distinct
choice of those parts and handed to every combination by index.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Site
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.tables import PartTable, tables
from dutyline.checks.reserves import required_reserve
from dutyline.checks.shelves import BoundaryShelf
from dutyline.core.grouping import distinct_values
from dutyline.demand.bus import BusSide, BusUse, bus_use
from dutyline.demand.currents import Windings, rms_current
from dutyline.demand.limits import WorstPoint, continuous_limit, limit_at_mean_speed, worst_point
from dutyline.demand.motor import (
    Shafts,
    end_torques,
    peak_torque,
    piece_reach,
    returned_bounds,
    rms_torque,
)
from dutyline.demand.output import OutputDemand
from dutyline.demand.overload import OverloadUse, overload_use
from dutyline.demand.points import MOVING
from dutyline.physics.bus import capacitor_energy
from dutyline.physics.continuous_torque import IRON_EXPONENT
from dutyline.physics.gears import mesh_efficiency
from dutyline.physics.overload import DEFAULT_CURVE, DEFAULT_RECOVERY, Curve
from dutyline.physics.torque_speed import bus_idle

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Kind = TypeVar("Kind", bound=np.generic)

AMBIENT_USUAL, ALTITUDE_USUAL = 40.0, 1000.0
"""[degC, m] up to which a drive that states no limit is not asked for one (usual service
conditions of IEC 61800-2, from memory)."""
CAPACITANCE_KEPT = 0.8
"""Share of the stated bus capacitance that is counted (tolerance and ageing; common practice)."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Index arrays of parts, one element per combination; -1 where there is none."""

    motor: Index
    gearhead: Index
    drive: Index
    brake: Index
    resistor: Index

    def take(self, index: Index) -> Choice:
        """The same for some of the combinations."""
        return Choice(*(getattr(self, name)[index] for name in self.__dataclass_fields__))

    @property
    def size(self) -> int:
        """Number of combinations."""
        return int(self.motor.size)


def gather(table: PartTable, name: str, index: Index, none: float = np.nan) -> Array:
    """As :meth:`PartTable.at`, by default with no number."""
    return table.at(name, index, none)


@dataclass(frozen=True)
class MotorSide:
    """Distinct choices of motor, gearhead and brake on one axis."""

    out: OutputDemand
    line: ProductLine
    choice: Choice
    boundaries: BoundaryShelf
    screening: bool = False
    """As in :class:`Trial`."""

    @cached_property
    def shafts(self) -> Shafts:
        """Ratio, inertia, efficiency and drag at the motor shaft."""
        own = tables(self.line)
        motor, gear = self.choice.motor, self.choice.gearhead
        rotor = gather(own.motors, "inertia", motor)
        braked = gather(own.motors, "inertia_with_brake", motor)
        added = rotor + gather(own.brakes, "inertia", self.choice.brake)
        fitted = self.choice.brake >= 0
        rotor = np.where(fitted, np.where(np.isnan(braked), added, braked), rotor)
        geared = gear >= 0
        ratio = gather(own.gearheads, "ratio", gear, 1.0)
        drag = gather(own.gearheads, "no_load_torque", gear, 0.0)
        rated = gather(own.gearheads, "torque_rated", gear, 1.0)
        efficiency = gather(own.gearheads, "efficiency", gear, 1.0)
        rated = np.where(drag == 0, np.inf, rated)
        mesh = np.where(geared, mesh_efficiency(efficiency, ratio, drag, rated), 1.0)
        inertia = rotor + gather(own.gearheads, "inertia_in", gear, 0.0)
        return Shafts(ratio, inertia, mesh, drag)

    @cached_property
    def windings(self) -> Windings:
        """Torque constant and saturation of the motors."""
        motors = tables(self.line).motors
        names = ("torque_constant", "current_stall", "current_peak", "saturation_peak",
                 "torque_stall", "torque_peak")  # fmt: skip
        constant, stall, peak, bent, still, most = (
            gather(motors, n, self.choice.motor) for n in names
        )
        stall = np.where(np.isnan(stall), still / constant, stall)
        bent = np.where(np.isnan(bent), np.minimum(most / (constant * peak), 1.0), bent)
        peak = np.where(np.isnan(peak), most / (constant * bent), peak)
        return Windings(constant, stall, peak, bent)

    @cached_property
    def rms_torque(self) -> Array:
        """[N*m]"""
        return rms_torque(self.out, self.shafts)

    @cached_property
    def rms_current(self) -> Array:
        """[A rms]"""
        known = self.rms_torque, self.peak[0]
        return rms_current(self.out, self.shafts, self.windings, known)

    @cached_property
    def current_bounds(self) -> tuple[Array, Array]:
        """[A rms] between which the rms current lies: unsaturated, and saturated as at the peak"""
        low = self.rms_torque / self.windings.torque_constant
        straight = self.peak[0] <= self.windings.linear_torque
        with np.errstate(divide="ignore", invalid="ignore"):  # an axis that asks for no torque
            per_torque = self.peak_current / self.peak[0]
        high = np.where(straight, low, self.rms_torque * per_torque)
        open_ = ~straight & ~self.windings.saturation_known
        return np.where(open_, np.nan, low), np.where(open_, np.nan, high)

    @cached_property
    def peak(self) -> tuple[Array, Array]:
        """Peak torque [N*m] and its instant [s]."""
        return peak_torque(self.out, self.shafts)

    @cached_property
    def reach(self) -> Array:
        """(c, K) torque not exceeded on each piece [N*m]"""
        return piece_reach(self.out, self.shafts)

    @cached_property
    def returned(self) -> tuple[Array, Array]:
        """Energy [J] and power [W] that the return of one cycle does not exceed."""
        return returned_bounds(self.out, self.shafts, self.reach)

    @cached_property
    def peak_current(self) -> Array:
        """[A rms]"""
        return self.windings.current(self.peak[0])

    @property
    def top_speed(self) -> Array:
        """[rad/s]"""
        return self.shafts.ratio * self.out.peak_speed

    @cached_property
    def hold(self) -> tuple[Array, Array]:
        """Largest torque held by the motor at standstill [N*m] and its instant [s]."""
        still = self.out.ends.hold != MOVING
        if not still.any():
            return np.zeros(self.choice.size), np.zeros(self.choice.size)
        torque = np.abs(end_torques(self.out, self.shafts)[:, still])
        best = torque.argmax(axis=1)
        return torque[np.arange(best.size), best], self.out.ends.time[still][best]

    @cached_property
    def peak_point(self) -> WorstPoint:
        """Nearest approach to the intermittent boundary at nominal mains."""
        reserve = required_reserve("peak-torque", self.out.axis) if self.screening else None
        return worst_point(self.out, self.shafts, self.boundaries.peak, self.choice.motor, reserve)

    @cached_property
    def low_point(self) -> WorstPoint:
        """Nearest approach to the intermittent boundary at low mains."""
        return worst_point(self.out, self.shafts, self.boundaries.low, self.choice.motor)

    @cached_property
    def braked(self) -> Index:
        """Index of each choice into the shelves of continuous boundaries."""
        return self.choice.motor * 2 + (self.choice.brake >= 0)

    @cached_property
    def continuous(self) -> Array:
        """Continuous torque allowed over the speeds of the cycle [N*m]."""
        return continuous_limit(self.out, self.shafts, self.boundaries.continuous, self.braked)

    @cached_property
    def continuous_plain(self) -> Array:
        """Continuous torque at the mean speed [N*m]."""
        return limit_at_mean_speed(self.out, self.shafts, self.boundaries.continuous, self.braked)

    @cached_property
    def inertia_ratio(self) -> Array:
        """Largest reflected inertia over rotor, brake and gearhead input."""
        return self.out.inertia_max / self.shafts.ratio**2 / self.shafts.inertia


@dataclass(frozen=True)
class DriveSide:
    """Distinct choices of motor side and drive."""

    motor_side: MotorSide
    of_motor_side: Index
    """Index into the motor side."""
    drive: Index
    site: Site

    def shared(self, value: Array) -> Array:
        """A motor-side result handed to every choice here."""
        return value[self.of_motor_side]

    def field(self, name: str) -> Array:
        """A field of the drives."""
        return gather(tables(self.motor_side.line).drives, name, self.drive)

    @cached_property
    def shafts(self) -> Shafts:
        """As on the motor side."""
        return self.motor_side.shafts.take(self.of_motor_side)

    @cached_property
    def windings(self) -> Windings:
        """As on the motor side."""
        return self.motor_side.windings.take(self.of_motor_side)

    @cached_property
    def derating(self) -> Array:
        """Factor on the drive's rated current at the site's ambient and altitude."""
        heat = self._left(self.site.ambient, AMBIENT_USUAL, "ambient_max", "derate_per_kelvin")
        air = self._left(self.site.altitude, ALTITUDE_USUAL, "altitude_max", "derate_per_metre")
        return heat * air

    def _left(self, here: float, usual: float, limit: str, rate: str) -> Array:
        """Factor on the current at a place beyond a limit; nan where limit or rate is missing."""
        most = self.field(limit)
        over = np.where(np.isnan(most) & (here <= usual), 0.0, np.maximum(here - most, 0.0))
        return np.where(over == 0, 1.0, np.maximum(1 - over * self.field(rate), 0.0))

    @cached_property
    def current_rated(self) -> Array:
        """[A rms] rated current after derating."""
        return self.field("current_rated") * self.derating

    @cached_property
    def peak_cap(self) -> Array:
        """[N*m] motor torque at the drive's peak current; infinite where the motor's is lower."""
        peak = self.field("current_peak")
        ample = peak >= self.windings.current_peak
        return np.where(ample, np.inf, self.windings.torque(peak))

    @cached_property
    def overload(self) -> tuple[OverloadUse, NDArray[np.bool_]]:
        """Use of the drives' overload curves, and where the usual curve had to be assumed."""
        reference = np.minimum(self.windings.current_stall, self.current_rated)
        count = reference.size
        use = OverloadUse(*(np.full(count, np.nan) for _ in OverloadUse.__dataclass_fields__))
        assumed = np.zeros(count, dtype=bool)
        out, screening = self.motor_side.out, self.motor_side.screening
        reach = self.shared(self.motor_side.reach) if screening else None
        peak, peak_time = (self.shared(v) for v in self.motor_side.peak)
        ids = ("overload-single", "overload-accumulated")
        enough = min(1 - required_reserve(name, out.axis) for name in ids) if screening else 0.0
        alike: dict[Curve, list[int]] = {}
        for drive in distinct_values(self.drive).tolist():
            curve = self.motor_side.line.drives[drive].overload_curve if drive >= 0 else ()
            alike.setdefault(curve, []).append(drive)
        for curve, drives in alike.items():
            among = (self.drive[:, None] == drives).any(axis=1)
            rows = np.nonzero(among & np.isfinite(reference))[0]
            assumed[rows] = not curve
            shafts, windings = self.shafts.take(rows), self.windings.take(rows)
            found = overload_use(
                out,
                shafts,
                windings,
                reference[rows],
                curve or DEFAULT_CURVE,
                DEFAULT_RECOVERY,
                enough,
                None if reach is None else reach[rows],
                (peak[rows], peak_time[rows]),
            )
            for name in OverloadUse.__dataclass_fields__:
                getattr(use, name)[rows] = getattr(found, name)
        return use, assumed

    @cached_property
    def bus(self) -> BusUse:
        """Energies at the bus over the cycle."""
        return bus_use(self.motor_side.out, self.shafts, self.windings, self.bus_side)

    @cached_property
    def bus_side(self) -> BusSide:
        """Losses, the winding cold, and the store of the bus."""
        own = tables(self.motor_side.line).motors
        motor = self.motor_side.choice.motor[self.of_motor_side]
        iron, exponent = (gather(own, n, motor) for n in ("iron_loss_rated", "iron_exponent"))
        return BusSide(
            resistance=gather(own, "resistance", motor) / 2,
            iron_loss=np.where(np.isnan(iron), 0.0, iron),
            speed_rated=gather(own, "speed_rated", motor),
            iron_exponent=np.where(np.isnan(exponent), IRON_EXPONENT, exponent),
            loss_fixed=self.field("loss_fixed"),
            loss_per_ampere=self.field("loss_per_ampere"),
            capacity=self.capacity,
        )

    @property
    def idle_voltage(self) -> float:
        """[V] highest at which the bus idles."""
        return float(bus_idle(self.site.mains * (1 + self.site.mains_high), self.site.phases))

    @cached_property
    def capacitance(self) -> Array:
        """[F] that may be counted on."""
        return CAPACITANCE_KEPT * self.field("bus_capacitance")

    @cached_property
    def capacity(self) -> Array:
        """[J] what the capacitor takes from the highest idle voltage to the switching voltage."""
        idle, kept = self.idle_voltage, self.capacitance
        limit = self.field("chopper_on")
        result = np.full(kept.size, np.nan)
        known = np.isfinite(kept) & np.isfinite(limit)
        result[known] = capacitor_energy(kept[known], limit[known], idle)
        return result
