"""Overload protection over the cycle: accumulated, and the worst single burst."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.demand.bursts import worst_bursts
from dutyline.demand.currents import Windings
from dutyline.demand.motor import Index, Shafts, Strips, chunks, part_range, peak_torque, strips
from dutyline.demand.output import OutputDemand
from dutyline.physics.overload import (
    Curve,
    allowed_time,
    damage_rate,
    settled_damage,
    trip_cycle,
)

Array = NDArray[np.float64]

PARTS = 4
"""Equal parts of a piece on which the load is bounded before it is cut."""
GROWS = 1e-6
"""Share of what comes and goes in a cycle by which a damage must grow to be said to grow."""


@dataclass(frozen=True, slots=True)
class OverloadUse:
    """One element per combination."""

    largest: Array
    """[1] damage at its largest in the settled cycle; infinite when it grows until it trips"""
    net: Array
    """[1] change per cycle"""
    trip_cycle: Array
    """[1] cycle in which it trips, from 1; nan where it never does"""
    time: Array
    """[s] where it is largest"""
    single: Array
    """[1] longest burst over the time allowed, at the worst level"""
    single_time: Array
    """[s] end of that burst"""
    factor: Array
    """[1] largest load factor"""


@dataclass(frozen=True, slots=True)
class _Asked:
    """One overload curve and the combinations that it is held against."""

    out: OutputDemand
    shafts: Shafts
    windings: Windings
    reference: Array
    """[A rms] current of load factor 1"""
    curve: Curve
    recovery: float
    """[s]"""
    enough: float
    """A use known to be less than this may be a bound."""


def overload_use(
    out: OutputDemand,
    shafts: Shafts,
    windings: Windings,
    reference: Array,
    curve: Curve,
    recovery: float,
    enough: float = 0.0,
    reach: Array | None = None,
    peak: tuple[Array, Array] | None = None,
) -> OverloadUse:
    """Use of one overload curve by many combinations.

    Parameters
    ----------
    reference : (c,) ndarray [A rms]
        Current of load factor 1.
    curve : pairs (load factor, seconds)
    recovery : float [s]
        Time in which the unloaded state takes a full charge away.
    enough : float
        A use known to be less than this may be given by an upper bound.
    reach : (c, K) ndarray, optional [N*m]
        As from :func:`dutyline.demand.motor.piece_reach`, for such bounds.
    peak : two (c,) ndarrays, optional [N*m, s]
        As from :func:`dutyline.demand.motor.peak_torque`, where they are known already.
    """
    asked = _Asked(out, shafts, windings, reference, curve, recovery, enough)
    highest, at = peak_torque(out, shafts) if peak is None else peak
    with np.errstate(divide="ignore", invalid="ignore"):  # a drive that may carry nothing
        factor = windings.current(highest) / reference
    count = factor.size
    largest, net, time, single, single_time = (np.zeros(count) for _ in range(5))
    trip = np.full(count, np.nan)
    use = OverloadUse(largest, net, trip, time, single, single_time, factor)
    time[:], single_time[:] = at, at
    for column in (largest, net, single):
        column[~np.isfinite(factor)] = np.nan
        column[np.isinf(factor)] = np.inf
    heavy = np.nonzero((factor > 1) & np.isfinite(factor))[0]
    if reach is not None and heavy.size:
        piece = windings.take(heavy).current(reach[heavy]) / reference[heavy, None]
        largest[heavy], single[heavy] = _piece_bounds(out.duration, piece, curve, recovery)
        heavy = heavy[np.maximum(largest[heavy], single[heavy]) >= enough]
        heavy = _undecided(asked, heavy, use)
    for part in chunks(heavy.size, out.start.size):
        _heavy(asked, heavy[part], use)
    return use


def _piece_bounds(
    duration: Array, factor: Array, curve: Curve, recovery: float
) -> tuple[Array, Array]:
    """Damage and burst use that load factors not above ``factor`` (c, K) cannot exceed.

    Where a cycle takes away more than it adds, the damage returns to zero in every cycle and
    never exceeds what one cycle adds; elsewhere the bound is infinite.
    """
    over = factor > 1
    added = np.where(over, 1 / allowed_time(np.maximum(factor, 1 + 1e-9), curve), 0.0)
    added = (added * duration).sum(axis=1)
    taken = (np.where(over, 0.0, 1 - factor**2) * duration).sum(axis=1) / recovery
    length = np.broadcast_to(duration, factor.shape)
    return np.where(added < taken, added, np.inf), _burst_bound(length, factor, curve)


def _undecided(asked: _Asked, rows: Index, use: OverloadUse) -> Index:
    """Combinations that bounds on parts of the pieces do not decide either; writes what they do.

    Where the damage grows from cycle to cycle even with the least load on every part, it is
    infinite; the longest burst is then given by its bound if that is small enough.
    """
    out, curve, recovery = asked.out, asked.curve, asked.recovery
    kept = [rows[:0]]
    duration = np.repeat(out.duration / PARTS, PARTS)
    for part in chunks(rows.size, duration.size):
        some = rows[part]
        base, winding = asked.reference[some, None], asked.windings.take(some)
        low, high = (
            winding.current(v) / base for v in part_range(out, asked.shafts.take(some), PARTS)
        )
        most, burst = _piece_bounds(duration, high, curve, recovery)
        change = damage_rate(low, curve, recovery) * duration
        grows = change.sum(axis=1) > GROWS * np.abs(change).sum(axis=1)
        use.largest[some], use.single[some] = np.where(grows, np.inf, most), burst
        kept.append(some[~((grows | (most < asked.enough)) & (burst < asked.enough))])
    return np.concatenate(kept)


def _heavy(asked: _Asked, rows: Index, use: OverloadUse) -> None:
    """Damage and bursts of some combinations by the cut pieces, written into ``use``."""
    curve, winding, base = asked.curve, asked.windings.take(rows), asked.reference[rows]
    knots = np.array([1.0, *(x for x, _ in curve)])
    levels = winding.torque(base[:, None] * knots)
    levels = np.concatenate([levels, winding.linear_torque[:, None]], axis=1)
    cut = strips(asked.out, asked.shafts.take(rows), levels, turns=True)
    factor = winding.current(cut.torque) / base[:, None, None]
    change = cut.integral(damage_rate(factor, curve, asked.recovery))
    settled = settled_damage(change)
    use.largest[rows], use.net[rows] = settled.largest, settled.net
    use.trip_cycle[rows] = trip_cycle(settled)
    last = cut.time[:, :, -1]
    use.time[rows] = last[np.arange(rows.size), settled.segment]
    bound = _burst_bound(cut.duration, factor.max(axis=2), curve)
    use.single[rows] = bound
    near = np.nonzero(bound >= asked.enough)[0]
    if near.size == 0:
        return

    def rate(torque: Array, owner: Index) -> Array:
        own = near[owner]
        load = winding.take(own).current(torque) / base[own]
        rising: Array = 1 / allowed_time(load, curve)
        return rising

    some = Strips(*(getattr(cut, name)[near] for name in Strips.__dataclass_fields__))
    single, ended = worst_bursts(some, levels[near, 0], levels[near, 1:], rate)
    use.single[rows[near]], use.single_time[rows[near]] = single, ended


def _burst_bound(duration: Array, factor: Array, curve: Curve) -> Array:
    """Length of each stretch above 1 over the time allowed at its largest factor; the worst.

    No level inside a stretch can use more than that.
    """
    rate = 1 / allowed_time(np.maximum(factor, 1 + 1e-9), curve)
    rate = np.where(duration > 0, rate, 0.0)
    on = (factor > 1) | (duration == 0)
    run, top, worst = (np.zeros(duration.shape[0]) for _ in range(3))
    for k in [*range(duration.shape[1])] * 2:
        run = np.where(on[:, k], run + duration[:, k], 0.0)
        top = np.where(on[:, k], np.maximum(top, rate[:, k]), 0.0)
        worst = np.maximum(worst, run * top)
    endless = np.all(on, axis=1)
    return np.where(endless, np.inf, worst)
