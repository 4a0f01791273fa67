"""Energy at the drive's bus over the cycle: what returns, what is stored, what is left."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.core.series import total
from dutyline.demand.currents import Windings
from dutyline.demand.motor import Index, Shafts, chunks, strips
from dutyline.demand.output import OutputDemand
from dutyline.physics.bus import bus_power, settled_cycle

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BusSide:
    """Losses and store between the motor shaft and the bus, one element per combination."""

    resistance: Array
    """[ohm] of one phase, cold"""
    iron_loss: Array
    """[W] at rated speed"""
    speed_rated: Array
    """[rad/s]"""
    iron_exponent: Array
    """[1]"""
    loss_fixed: Array
    """[W] of the drive while enabled"""
    loss_per_ampere: Array
    """[W/A]"""
    capacity: Array
    """[J] what the capacitor takes between the highest idle and the switching voltage"""

    def take(self, index: Index) -> BusSide:
        """The same for some of the combinations."""
        return BusSide(*(getattr(self, name)[index] for name in self.__dataclass_fields__))


@dataclass(frozen=True, slots=True)
class BusUse:
    """One element per combination; energies in J per settled cycle, powers in W."""

    motoring: Array
    """Mechanical energy into the axis at the motor shaft"""
    regenerated: Array
    """Mechanical energy returned at the motor shaft, a magnitude"""
    surplus: Array
    """Energy that arrives at the bus and exceeds the losses, summed over the cycle"""
    largest_store: Array
    """Largest energy the capacitor would have to take with no resistor"""
    resistor: Array
    """Energy to the resistor"""
    peak_power: Array
    """Largest power to the resistor"""
    peak_time: Array
    """[s]"""
    pulse: Array
    """Largest energy to the resistor without a pause"""


def bus_use(out: OutputDemand, shafts: Shafts, windings: Windings, side: BusSide) -> BusUse:
    """Energies of one cycle at the bus, exact at every change of sign.

    nan where a datum is missing; iron loss not stated is taken as none, which returns the most.
    Capacitor below its idle voltage is refilled by the mains at once; above the switching voltage
    the resistor takes everything. Without a resistor the store is followed as if it had no limit
    at the top.
    """
    count = shafts.ratio.size
    use = BusUse(*(np.full(count, np.nan) for _ in range(8)))
    known = np.isfinite(shafts.vector).all(axis=1)
    rows = np.nonzero(known & np.isfinite(windings.torque_constant))[0]
    for part in chunks(rows.size, 4 * out.start.size):
        _portion(out, shafts, windings, side, rows[part], use)
    for column in (use.peak_power, use.pulse):
        column[np.isnan(use.resistor)] = np.nan
    return use


def _portion(
    out: OutputDemand,
    shafts: Shafts,
    windings: Windings,
    side: BusSide,
    rows: Index,
    use: BusUse,
) -> None:
    some, winding, bus = shafts.take(rows), windings.take(rows), side.take(rows)

    def power(torque: Array, speed: Array, owner: Index) -> Array:
        own, at = winding.take(owner), bus.take(owner)
        shape = (-1,) + (1,) * (torque.ndim - 1)
        current = own.current(torque)
        share = np.abs(speed) / at.speed_rated.reshape(shape)
        iron = at.iron_loss.reshape(shape) * share ** at.iron_exponent.reshape(shape)
        drive = at.loss_fixed.reshape(shape) + at.loss_per_ampere.reshape(shape) * current
        return bus_power(torque * speed, current, at.resistance.reshape(shape), iron, drive)

    levels = np.stack([np.zeros(rows.size), winding.linear_torque], axis=1)
    cut = strips(out, some, levels, power)
    drawn = power(cut.torque, cut.speed, np.arange(rows.size))
    shaft = cut.integral(cut.torque * cut.speed)
    gain = -cut.integral(drawn)
    settled = settled_cycle(gain, cut.duration, bus.capacity)
    endless = settled_cycle(gain, cut.duration, np.full(rows.size, 1e30))
    burnt = settled.overflow
    power_peak, peak_time = _peaks(-drawn, cut.time, burnt > 0)
    use.motoring[rows] = total(np.maximum(shaft, 0))
    use.regenerated[rows] = total(np.maximum(-shaft, 0))
    use.surplus[rows] = total(np.maximum(gain, 0))
    use.largest_store[rows] = np.where(total(gain) > 0, np.inf, endless.stored.max(axis=1))
    use.resistor[rows] = total(burnt)
    use.peak_power[rows], use.peak_time[rows] = power_peak, peak_time
    use.pulse[rows] = settled.pulse


def _peaks(surplus: Array, time: Array, burning: NDArray[np.bool_]) -> tuple[Array, Array]:
    """Largest power while the resistor burns, ends and turning points of every strip, and when."""
    count = surplus.shape[0]
    shown = np.where(burning[:, :, None], np.maximum(surplus, 0.0), 0.0).reshape(count, -1)
    best = shown.argmax(axis=1)
    here = np.arange(count)
    peak, at = shown[here, best], time.reshape(count, -1)[here, best]
    owner, strip = np.nonzero(burning & (time[:, :, -1] > time[:, :, 0]))
    coefficient = series.coefficients(surplus[owner, strip, 1:-1])
    row, place = series.roots(series.slope(coefficient))
    crest = series.at(coefficient[row], place[:, None])[:, 0]
    first, last = time[owner[row], strip[row], 0], time[owner[row], strip[row], -1]
    for c, value, when in zip(
        owner[row], crest, first + (place + 1) / 2 * (last - first), strict=True
    ):
        if value > peak[c]:
            peak[c], at[c] = value, when
    return peak, at
