"""Power that an axis draws from the mains over the cycle, for current, heat and energy."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.core.series import total
from dutyline.demand.currents import Windings
from dutyline.demand.losses import Losses, drawn_power
from dutyline.demand.motor import Index, Shafts, chunks
from dutyline.demand.output import OutputDemand

Array = NDArray[np.float64]

WINDOW = 30.0
"""[s] over which conductors and fuses average the heat (common practice: 10 to 30 s)."""


@dataclass(frozen=True, slots=True)
class MainsUse:
    """One element per combination."""

    mean: Array
    """[W] mean power at the bus, returned power counted negative"""
    rms: Array
    """[W] root mean square of what is drawn, over the worst window of :data:`WINDOW`"""
    peak: Array
    """[W] largest power drawn"""
    peak_time: Array
    """[s]"""
    current: Array
    """[A rms] mean magnitude of the motor current"""


def mains_use(out: OutputDemand, shafts: Shafts, windings: Windings, losses: Losses) -> MainsUse:
    """Power at the bus over one cycle, cut at every change of its sign.

    What the capacitor gives back is not taken off the power drawn: it is at most one filling.
    """
    count = shafts.ratio.size
    use = MainsUse(*np.full((len(MainsUse.__dataclass_fields__), count), np.nan))
    known = np.isfinite(shafts.vector).all(axis=1) & np.isfinite(windings.torque_constant)
    rows = np.nonzero(known)[0]
    for part in chunks(rows.size, 4 * out.start.size):
        _portion(out, shafts, windings, losses, rows[part], use)
    return use


def _portion(
    out: OutputDemand,
    shafts: Shafts,
    windings: Windings,
    losses: Losses,
    rows: Index,
    use: MainsUse,
) -> None:
    some, winding, lost = shafts.take(rows), windings.take(rows), losses.take(rows)
    cut, drawn = drawn_power(out, some, winding, lost)
    positive = np.maximum(drawn, 0.0)
    flat = positive.reshape(rows.size, -1)
    best = flat.argmax(axis=1)
    here = np.arange(rows.size)
    use.mean[rows] = total(cut.integral(drawn)) / out.cycle_time
    use.peak[rows] = flat[here, best]
    use.peak_time[rows] = cut.time.reshape(rows.size, -1)[here, best]
    use.current[rows] = total(cut.integral(winding.current(cut.torque))) / out.cycle_time
    square = cut.integral(positive**2)
    use.rms[rows] = np.sqrt(_worst_window(square, cut.duration, out.cycle_time))


def _worst_window(square: Array, duration: Array, cycle: float) -> Array:
    """Largest mean of a squared power over windows that begin or end where a strip does."""
    if cycle <= WINDOW:
        found: Array = square.sum(axis=1) / cycle
        return found
    result = np.zeros(square.shape[0])
    for k in range(square.shape[0]):
        edge = np.concatenate([[0.0], np.cumsum(duration[k])])
        heat = np.concatenate([[0.0], np.cumsum(square[k])])
        twice_edge = np.concatenate([edge, edge[1:] + edge[-1]])
        twice_heat = np.concatenate([heat, heat[1:] + heat[-1]])
        starts = np.concatenate([edge, np.maximum(twice_edge - WINDOW, 0.0)])
        starts = starts[starts + WINDOW <= twice_edge[-1]]
        inside = np.interp(starts + WINDOW, twice_edge, twice_heat) - np.interp(
            starts, twice_edge, twice_heat
        )
        result[k] = inside.max() / WINDOW
    return result
