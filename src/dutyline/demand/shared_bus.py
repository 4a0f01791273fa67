"""Several axes on one dc bus: what returns from one while another draws."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.demand.bus_trace import BusTrace
from dutyline.physics.bus import BusCycle, settled_cycle

Array = NDArray[np.float64]

FINEST = 2000
"""Steps of a cycle at least."""


@dataclass(frozen=True, slots=True)
class SharedBus:
    """One settled cycle of axes that share a bus, each with its own capacitors on it."""

    time: Array
    """(n + 1,) [s]"""
    power: Array
    """(axes, n) [W] mean drawn by each axis in each step; negative where it returns"""
    alone: tuple[float, ...]
    """[J] to the resistor per cycle, by axis, each alone with its own capacitors"""
    together: float
    """[J] to the resistor per cycle on the shared bus"""
    resistor_peak: float
    """[W]"""
    resistor_pulse: float
    """[J] largest energy without a pause"""
    supply_peak: float
    """[W] largest sum that is drawn"""
    supply_time: float
    """[s] when"""
    capacity: float
    """[J] of all capacitors together"""

    @property
    def saved(self) -> float:
        """[J] per cycle that no resistor has to take."""
        return sum(self.alone) - self.together


def shared_bus(
    traces: Sequence[BusTrace],
    capacities: Sequence[float],
    cycle: float,
    starts: Sequence[float] | None = None,
) -> SharedBus:
    """Axes with one cycle time on one bus.

    Parameters
    ----------
    traces : sequence of BusTrace
        Of one cycle each.
    capacities : sequence of float [J]
        What the capacitors of each take up before the resistor is switched on.
    cycle : float [s]
        Of all of them.
    starts : sequence of float [s], optional
        When each begins; all at once without it, which is rarely the worst.
    """
    begins = [0.0] * len(traces) if starts is None else [float(s) % cycle for s in starts]
    grid = _grid(traces, begins, cycle)
    drawn = np.stack([_drawn(t, s, grid, cycle) for t, s in zip(traces, begins, strict=True)])
    step = np.diff(grid)
    alone = [settled_cycle(-d, step, np.asarray(c)) for d, c in zip(drawn, capacities, strict=True)]
    whole = float(np.sum(capacities))
    both: BusCycle = settled_cycle(-drawn.sum(axis=0), step, np.asarray(whole))
    peak, at = _peak(traces, begins, grid, cycle)
    return SharedBus(
        time=grid,
        power=drawn / step,
        alone=tuple(float(one.overflow_total) for one in alone),
        together=float(both.overflow_total),
        resistor_peak=float(both.overflow_peak),
        resistor_pulse=float(both.pulse),
        supply_peak=peak,
        supply_time=at,
        capacity=whole,
    )


def _grid(traces: Sequence[BusTrace], begins: Sequence[float], cycle: float) -> Array:
    """Ends of the steps: every sample of every axis, and as many again evenly."""
    knots = [(t.time + s) % cycle for t, s in zip(traces, begins, strict=True)]
    every = np.concatenate([*knots, np.linspace(0.0, cycle, FINEST + 1)])
    every = np.unique(np.clip(every, 0.0, cycle))
    apart = np.append(True, np.diff(every) > 1e-9 * cycle)
    kept: Array = every[apart]
    kept[-1] = cycle
    return kept


def _drawn(trace: BusTrace, begin: float, grid: Array, cycle: float) -> Array:
    """Energy that an axis draws in each step [J]."""
    share = np.diff(trace.time) * (trace.drawn[1:] + trace.drawn[:-1]) / 2
    summed = np.concatenate([[0.0], np.cumsum(share)])
    turns, within = np.divmod(grid - begin, cycle)
    drawn: Array = np.diff(turns * summed[-1] + np.interp(within, trace.time, summed))
    return drawn


def _peak(
    traces: Sequence[BusTrace], begins: Sequence[float], grid: Array, cycle: float
) -> tuple[float, float]:
    """Largest sum of powers on either side of the grid, and when."""
    aside = 1e-8 * cycle
    best, at = -np.inf, 0.0
    for shift in (-aside, aside):
        total = np.zeros(grid.size)
        for trace, begin in zip(traces, begins, strict=True):
            total += np.interp((grid + shift - begin) % cycle, trace.time, trace.drawn)
        k = int(total.argmax())
        if total[k] > best:
            best, at = float(total[k]), float(grid[k])
    return best, at
