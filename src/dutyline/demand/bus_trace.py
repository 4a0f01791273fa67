"""Power, store and resistor at the bus over the settled cycle, sampled for plots."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.demand.bus import BusSide, filled_place
from dutyline.demand.currents import Windings
from dutyline.demand.losses import drawn_power
from dutyline.demand.motor import Shafts
from dutyline.demand.output import OutputDemand
from dutyline.physics.bus import settled_cycle

Array = NDArray[np.float64]

SAMPLES = 16
"""Samples on a strip, both ends among them; as many again where it fills the store."""


@dataclass(frozen=True, slots=True)
class BusTrace:
    """Samples in order of time; a jump has two samples at one time."""

    time: Array
    """[s]"""
    drawn: Array
    """[W] from the bus; negative where it returns"""
    stored: Array
    """[J] above the idle bus"""
    burnt: Array
    """[W] in the resistor"""


def bus_trace(
    out: OutputDemand, shafts: Shafts, windings: Windings, side: BusSide
) -> BusTrace | None:
    """Samples for the first combination; None where a datum is missing."""
    first = np.zeros(1, dtype=np.intp)
    some, winding, bus = shafts.take(first), windings.take(first), side.take(first)
    known = np.isfinite(some.vector).all() and np.isfinite(winding.torque_constant).all()
    if not known or not np.isfinite(bus.capacity).all():
        return None
    cut, drawn = drawn_power(out, some, winding, bus)
    gain = -cut.integral(drawn)
    if not np.isfinite(gain).all():
        return None
    settled = settled_cycle(gain, cut.duration, bus.capacity)
    capacity = float(bus.capacity[0])
    strips = np.nonzero(cut.duration[0] > 0)[0]
    half = cut.duration[0, strips] / 2
    begun = settled.stored[0, strips]
    flow = series.coefficients(-drawn[0, strips][:, 1:-1])
    brought = series.integral(flow)
    over = settled.overflow[0, strips] > 0
    full = np.ones(strips.size)
    full[over] = filled_place(flow[over], (capacity - begun[over]) / half[over])
    low, high = np.full(strips.size, -1.0), np.full(strips.size, 1.0)
    parts = [(low, full, False), (full, high, True)]
    rows: list[tuple[Array, Array, Array, Array]] = []
    share = np.linspace(0.0, 1.0, SAMPLES)
    for start, end, burns in parts:
        z = start[:, None] + (end - start)[:, None] * share
        power = series.at(flow, z)
        level = begun[:, None] + series.at(brought, z) * half[:, None]
        stored = np.full_like(level, capacity) if burns else np.clip(level, 0.0, capacity)
        time = cut.time[0, strips, 0][:, None] + (z + 1) * half[:, None]
        rows.append((time, -power, stored, power if burns else np.zeros_like(power)))
    used = np.stack([full > -1.0, full < 1.0])
    order = [(k, part) for k in range(strips.size) for part in (0, 1) if used[part, k]]
    time, drawn_, stored, burnt = (
        np.concatenate([rows[part][column][k] for k, part in order]) for column in range(4)
    )
    return BusTrace(time, drawn_, stored, burnt)
