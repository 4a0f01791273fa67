"""Energy at the drive's bus over the cycle: what returns, what is stored, what is left."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.core.series import total
from dutyline.demand.currents import Windings
from dutyline.demand.losses import Losses, drawn_power
from dutyline.demand.motor import Index, Shafts, Strips, chunks
from dutyline.demand.output import OutputDemand
from dutyline.physics.bus import BusCycle, settled_cycle, single_pass
from dutyline.physics.stops import largest_draw

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BusSide(Losses):
    """Losses, the winding cold, and the store of the bus."""

    capacity: Array
    """[J] what the capacitor takes between the highest idle and the switching voltage"""


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
    at the top. An emergency ramp passes once: before a resistor the capacitor is full when it
    begins, else at its idle voltage.
    """
    count = shafts.ratio.size
    use = BusUse(*np.full((8, count), np.nan))
    known = np.isfinite(shafts.vector).all(axis=1)
    rows = np.nonzero(known & np.isfinite(windings.torque_constant))[0]
    for part in chunks(rows.size, 4 * out.start.size):
        _portion(out, shafts, windings, side, rows[part], use)
    for column in (use.peak_power, use.pulse):
        column[np.isnan(use.resistor)] = np.nan
    return use


def dark_draw(
    out: OutputDemand, shafts: Shafts, windings: Windings, losses: Losses, reaction: float
) -> Array:
    """Largest energy that the bus gives while a ramp is kept without mains [J].

    Wherever on the ramp the mains goes: of the reaction before it the larger of what it draws and
    what it would draw if nothing came back from the shaft is added.
    """
    found = np.full(shafts.ratio.size, np.nan)
    known = np.isfinite(shafts.vector).all(axis=1) & np.isfinite(windings.torque_constant)
    rows = np.nonzero(known)[0]
    for part in chunks(rows.size, 4 * out.start.size):
        some = rows[part]
        cut, drawn = drawn_power(out, shafts.take(some), windings.take(some), losses.take(some))
        waits = cut.time.mean(axis=2) < reaction
        gains = np.where(waits, 0.0, -cut.integral(drawn))
        alone = cut.integral(drawn - np.minimum(cut.torque * cut.speed, 0.0))
        found[some] = largest_draw(gains) + total(np.where(waits, alone, 0.0))
    return found


def _portion(
    out: OutputDemand,
    shafts: Shafts,
    windings: Windings,
    side: BusSide,
    rows: Index,
    use: BusUse,
) -> None:
    some, winding, bus = shafts.take(rows), windings.take(rows), side.take(rows)
    cut, drawn = drawn_power(out, some, winding, bus)
    shaft = cut.integral(cut.torque * cut.speed)
    gain = -cut.integral(drawn)
    settled = _course(out, gain, cut.duration, bus.capacity)
    burnt = settled.overflow
    power_peak, peak_time = _peaks(-drawn, cut, settled, bus.capacity)
    use.motoring[rows] = total(np.maximum(shaft, 0))
    use.regenerated[rows] = total(np.maximum(-shaft, 0))
    use.surplus[rows] = total(np.maximum(gain, 0))
    use.largest_store[rows] = settled.most
    use.resistor[rows] = total(burnt)
    use.peak_power[rows], use.peak_time[rows] = power_peak, peak_time
    use.pulse[rows] = settled.pulse


def _course(out: OutputDemand, gain: Array, duration: Array, capacity: Array) -> BusCycle:
    """The bus over the settled cycle, or over an emergency ramp, which passes once."""
    if out.axis.judged:
        return single_pass(gain, duration, capacity, capacity)
    return settled_cycle(gain, duration, capacity)


def _peaks(surplus: Array, cut: Strips, settled: BusCycle, capacity: Array) -> tuple[Array, Array]:
    """Largest power from the instant on at which the capacitor is full, and when.

    Both ends and the turning points of every stretch of a strip in which the resistor burns.
    """
    peak, at = np.zeros(capacity.size), np.zeros(capacity.size)
    owner, strip = np.nonzero((settled.overflow > 0) & (cut.duration > 0))
    flow, half = surplus[owner, strip], cut.duration[owner, strip] / 2
    coefficient = series.coefficients(flow[:, 1:-1])
    full = filled_place(coefficient, (capacity[owner] - settled.stored[owner, strip]) / half)
    begun = np.where(full > -1, series.at(coefficient, full[:, None])[:, 0], flow[:, 0])
    row, place = series.roots(series.slope(coefficient))
    row, place = row[place > full[row]], place[place > full[row]]
    crest = series.at(coefficient[row], place[:, None])[:, 0]
    power = np.concatenate([begun, flow[:, -1], crest])
    spot = np.concatenate([full, np.ones(owner.size), place])
    number = np.concatenate([np.arange(owner.size), np.arange(owner.size), row])
    order = np.lexsort((power, owner[number]))
    best = order[np.append(np.diff(owner[number[order]]) != 0, True)[: order.size]]
    whose = number[best]
    peak[owner[whose]] = np.maximum(power[best], 0.0)
    at[owner[whose]] = cut.time[owner[whose], strip[whose], 0] + (spot[best] + 1) * half[whose]
    return peak, at


def filled_place(coefficient: Array, missing: Array) -> Array:
    """Places on -1..1 at which the integral from -1 has brought what is missing; -1 for none."""
    place = np.full(missing.size, -1.0)
    some = np.nonzero(missing > 0)[0]
    brought = series.integral(coefficient[some])
    brought[:, 0] -= missing[some]
    ones = np.ones(some.size)
    place[some] = series.refined(brought, -ones, ones)
    return place
