"""Stops followed through places at which weight or inertia differ.

Until the brake grips the equation of motion ``J a + J' w^2 / 2 = pull`` is marched by the classical
fourth-order method; from there the energy ``J w^2 / 2`` falls by what brake and weight take over
the way, and the axis rests where nothing is left of it. (Derived here.)
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from dutyline.demand.stopping import StopStates
from dutyline.demand.ways import Ways

Array = NDArray[np.float64]
Index = NDArray[np.intp]

MARCH = 12
"""Steps until the brake grips."""
SCAN = 24
"""Places between which the end of a stop is looked for."""
CLOSER = 16
"""Steps in which it is found: chords, the value of the end that stays halved (Illinois rule)."""
PLACES = 16
"""Places looked at while the axis is braked, besides its beginning."""
FURTHER = 4.0
"""A weight that never comes again is followed over so many times the way of a constant one; a rope
or a spring ends a stop within twice that or never."""
PORTION = 20_000
"""Stops followed at a time."""
REMEMBERED = 1_000_000
"""Stops kept, so that none is followed twice."""


@dataclass(frozen=True, slots=True)
class Followed:
    """``c`` motor sides, ``n`` states."""

    speed: Array
    """(c, n) [rad/s] of the shaft when braking begins"""
    delayed: Array
    """(c, n) [m or rad] travel until then, counted from the turn of a load that turns round"""
    distance: Array
    """(c, n) [m or rad] travel to rest, counted likewise"""
    rise: Array
    """(c, n) [m or rad] travel up to where a load turned round before braking began, else 0"""
    braked: Array
    """(c, n) [rad] of the shaft while braked; infinite where the axis does not come to rest"""
    time: Array
    """(c, n) [s] from the beginning to rest"""
    through: Array
    """(c, n) [N*m] largest torque through the shaft while braked"""
    pull: Array
    """(c, n) [N*m] largest pull along the motion while braked"""


def follow(
    states: StopStates,
    ratio: Array,
    own: Array,
    torque: Array,
    delay: Array,
    *,
    driven: bool = False,
) -> Followed:
    """Stops from every state, as far as they really go.

    Parameters
    ----------
    states : StopStates
        With :attr:`StopStates.ways`.
    ratio : (c,) ndarray
        Motor speed over output speed.
    own : (c,) ndarray [kg*m^2]
        Rotor, brake and gearhead input.
    torque : (c, 1) or (c, n) ndarray [N*m]
        Braking torque at the motor.
    delay : (c,) ndarray [s]
        Until it acts.
    driven : bool
        Whether the drive keeps the speed until then; otherwise nothing does.

    Returns
    -------
    Followed
        nan where a datum is missing.
    """
    ways = states.ways
    if ways is None:
        raise ValueError("nothing to follow")
    count, size = ratio.size, states.size
    columns = (
        ratio[:, None],
        own[:, None],
        delay[:, None],
        np.broadcast_to(torque, (count, torque.shape[1])),
    )
    keys = [bytes([driven]) + row.tobytes() for row in np.concatenate(columns, axis=1)]
    found = {key: states.followed[key] for key in keys if key in states.followed}
    fresh = {key: k for k, key in reversed(list(enumerate(keys))) if key not in found}
    if fresh:
        some = np.array(list(fresh.values()), dtype=np.intp)
        worked = _follow(states, ways, (ratio[some], own[some], torque[some], delay[some]), driven)
        found.update(zip(fresh, worked.swapaxes(0, 1), strict=True))
        if (len(states.followed) + len(fresh)) * size > REMEMBERED:
            states.followed.clear()
        if len(fresh) * size <= REMEMBERED:
            states.followed.update((key, found[key]) for key in fresh)
    return Followed(*np.stack([found[key] for key in keys], axis=1))


def _follow(
    states: StopStates,
    ways: Ways,
    stoppers: tuple[Array, Array, Array, Array],
    driven: bool,
) -> Array:
    """The fields of :class:`Followed` as one (8, c, n) array."""
    ratio, own, torque, delay = stoppers
    rows = max(1, PORTION // max(states.size, 1))
    parts = []
    for first in range(0, ratio.size, rows):
        some = slice(first, first + rows)
        gear = ratio[some, None]
        path = _Path(states, ways, own[some, None] * gear**2)
        hold = np.broadcast_to(torque[some] * gear, (gear.size, states.size))
        wait = np.broadcast_to(delay[some, None], (gear.size, states.size))
        with np.errstate(over="ignore", invalid="ignore"):  # beyond all numbers there is no rest
            stop = _stop(path, hold, wait, driven)
        parts.append(np.stack([getattr(stop, f.name) for f in fields(Followed)]))
    return np.concatenate(parts, axis=1)


class _Path:
    """The way from every state; ``s`` counts from it in the direction of its motion."""

    def __init__(self, states: StopStates, ways: Ways, own: Array) -> None:
        self.states, self.ways = states, ways
        self.own = own
        """(c, 1) [kg*m^2] of the motor side at the shaft"""
        here, _, _ = ways.at(states.way, states.place)
        self.extra = states.pull + states.sense * here
        """(n,) [N*m] what pulls besides the weight"""
        self.height = ways.height_at(states.way, states.place)
        self.forward = np.where(states.forward, 1.0, -1.0)
        self.travelled = 0.0 if ways.rate else ways.travel_at(states.way, states.place)

    def pull(self, s: Array) -> tuple[Array, Array, Array]:
        """Pull along +s, inertia and half its change per radian of s."""
        sense = self.states.sense
        weight, inertia, change = self.ways.at(self.states.way, self.states.place + sense * s)
        return self.extra - sense * weight, inertia, sense * change / 2

    def pull_and_work(self, s: Array) -> tuple[Array, Array, Array, Array]:
        """What :meth:`pull` gives, and :meth:`work`."""
        sense = self.states.sense
        weight, inertia, change, high = self.ways.all_at(
            self.states.way, self.states.place + sense * s
        )
        work = self.extra * s - (high - self.height)
        return self.extra - sense * weight, inertia, sense * change / 2, work

    def work(self, s: Array) -> Array:
        """What the pull along +s does from the state to a place [J]."""
        high = self.ways.height_at(self.states.way, self.states.place + self.states.sense * s)
        found: Array = self.extra * s - (high - self.height)
        return found

    def travel(self, s: Array) -> Array:
        """Travel from the state, positive in the direction of its motion [m or rad]."""
        if self.ways.rate:
            return abs(self.ways.rate) * s
        place = self.states.place + self.states.sense * s
        found: Array = self.forward * (self.ways.travel_at(self.states.way, place) - self.travelled)
        return found


def _stop(path: _Path, hold: Array, wait: Array, driven: bool) -> Followed:
    states = path.states
    s = np.zeros_like(hold)
    w = np.broadcast_to(states.speed, s.shape).copy()
    ahead = s
    if driven:
        s = s + w * wait
        ahead = np.maximum(path.travel(s), 0.0)
    elif wait.any():
        for _ in range(MARCH):
            s, w = _step(path, s, w, wait / MARCH)
            ahead = np.maximum(ahead, path.travel(s))
        s, w = (np.where(np.isnan(wait), np.nan, v) for v in (s, w))
    back = w < 0
    way = np.where(back, -1.0, 1.0)
    _, inertia, _ = path.pull(s)
    energy = (inertia + path.own) * w**2 / 2
    braked = _rest(path, s, way, energy, hold)
    speed, time, through, pull, crest = _braked(path, s, way, energy, hold, braked)
    ahead = np.maximum(ahead, crest)
    gone, end = path.travel(s), path.travel(s + way * np.where(np.isfinite(braked), braked, 0.0))
    end = np.where(np.isinf(braked), np.inf * way, end)
    rise = np.where(back, ahead, 0.0)
    distance = np.where(back, ahead - end, np.maximum(ahead, end))
    delayed = np.where(back, ahead - gone, gone)
    unknown = np.isnan(hold) | np.isnan(wait) | np.isnan(path.own)
    results = (speed, delayed, distance, rise, braked, time + wait, through, pull)
    endless = ~(np.isfinite(s) & np.isfinite(w) & np.isfinite(energy))
    worst = (np.where(endless, np.inf, v) for v in results)
    return Followed(*(np.where(unknown, np.nan, v) for v in worst))


def _step(path: _Path, s: Array, w: Array, dt: Array) -> tuple[Array, Array]:
    """One step of the classical fourth-order method."""

    def slope(s: Array, w: Array) -> Array:
        pull, inertia, half = path.pull(s)
        found: Array = (pull - half * w**2) / (inertia + path.own)
        return found

    a1 = slope(s, w)
    w2 = w + dt / 2 * a1
    a2 = slope(s + dt / 2 * w, w2)
    w3 = w + dt / 2 * a2
    a3 = slope(s + dt / 2 * w2, w3)
    w4 = w + dt * a3
    a4 = slope(s + dt * w3, w4)
    return s + dt / 6 * (w + 2 * w2 + 2 * w3 + w4), w + dt / 6 * (a1 + 2 * a2 + 2 * a3 + a4)


def _rest(path: _Path, s: Array, way: Array, energy: Array, hold: Array) -> Array:
    """Angle of the shaft from gripping to rest; infinite where there is no rest."""
    begun = energy - path.work(s)

    def left(u: Array) -> Array:
        return begun + path.work(s + way * u) - hold * u

    bound = _furthest(path, s, way, energy, hold)
    reach = np.where(np.isfinite(bound), bound, 0.0)
    low, high = np.zeros_like(reach), np.full_like(reach, np.inf)
    over, under = energy, np.zeros_like(reach)
    for k in range(1, SCAN + 1):
        u = reach * (k / SCAN)
        now = left(u)
        gone = np.isinf(high) & (now <= 0) & np.isfinite(bound)
        high = np.where(gone, u, high)
        under = np.where(gone, now, under)
        open_ = np.isinf(high)
        low = np.where(open_, u, low)
        over = np.where(open_, now, over)
        if not open_.any():
            break
    found = np.isfinite(high)
    high = np.where(found, high, 0.0)
    low = np.where(found, low, 0.0)
    for _ in range(CLOSER):
        with np.errstate(divide="ignore", invalid="ignore"):
            chord = low + (high - low) * np.where(over > under, over / (over - under), 1.0)
        chord = np.clip(chord, low, high)
        now = left(chord)
        past = now <= 0
        under = np.where(past, now, under / 2)
        over = np.where(past, over / 2, now)
        low, high = np.where(past, low, chord), np.where(past, chord, high)
    return np.where(found, high, np.inf)


def _furthest(path: _Path, s: Array, way: Array, energy: Array, hold: Array) -> Array:
    """Angle within which a stop ends, or ends never [rad]."""
    ways, states = path.ways, path.states
    if ways.endless:
        height = ways.height[states.way]
        turn = ways.step * (ways.weight.shape[1] - 1)
        falling = np.abs(height[:, -1] - height[:, 0]) / turn
        net = hold - way * path.extra - falling
        reach, factor = energy + height.max(axis=1) - height.min(axis=1), 1.0 + 1e-9
    else:
        net, reach, factor = hold - way * path.pull(s)[0], energy, FURTHER
    with np.errstate(divide="ignore", invalid="ignore"):
        found: Array = np.where(net > 0, factor * reach / net, np.inf)
    return found


def _braked(
    path: _Path, s: Array, way: Array, energy: Array, hold: Array, braked: Array
) -> tuple[Array, Array, Array, Array, Array]:
    """Speed at its beginning, time, and the largest torque at the shaft, pull and travel."""
    ends = np.isfinite(braked)
    whole = np.where(ends, braked, 0.0)
    begun = energy - path.work(s)
    time = np.zeros_like(s)
    before, gone = np.zeros_like(s), np.zeros_like(s)
    through, most, ahead = (np.full_like(s, -np.inf) for _ in range(3))
    first = before
    for k in range(PLACES + 1):
        u = whole * (1.0 - (1.0 - k / PLACES) ** 2)
        at = s + way * u
        pull, inertia, half, work = path.pull_and_work(at)
        pull, half = way * pull, way * half
        all_ = inertia + path.own
        left = np.maximum(begun + work - hold * u, 0.0)
        w = np.sqrt(2 * left / all_) if k < PLACES else np.zeros_like(s)
        share = inertia / all_
        carried = share * hold + (1.0 - share) * (pull - half * w**2)
        through, most = np.maximum(through, np.abs(carried)), np.maximum(most, pull)
        ahead = np.maximum(ahead, path.travel(at))
        if k == 0:
            first = w
        else:
            with np.errstate(divide="ignore", invalid="ignore"):
                passed = np.where(u > gone, 2 * (u - gone) / (w + before), 0.0)
            time = time + passed
        before, gone = w, u
    return first, np.where(ends, time, np.inf), through, most, ahead
