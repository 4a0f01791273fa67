"""Weight and inertia over the places that a stop can reach, at the output shaft.

Ropes get heavier as they pay out, arms and cranks pull harder or less further on. Tables in equal
steps hold what the recursion gives at rest; between their places they are straight, which is exact
for ropes and springs and holds arms and cranks to 1e-5.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.core.errors import RangeError
from dutyline.motion.pieces import Cycle
from dutyline.train.courses import CourseRatio
from dutyline.train.records import Burden, Chain, Train
from dutyline.train.recursion import Motion, chain_effort, travel_per_turn

Array = NDArray[np.float64]
Index = NDArray[np.intp]

NODES = 2048
"""Places of a table in one turn, or in the reach of what never comes again."""
TURN = 2 * np.pi
ALIKE = 1e-9
"""Share of the largest value within which weight and inertia come again."""
HALVINGS = 50
"""Steps in which the end of a mechanism is found."""


@dataclass(frozen=True, slots=True)
class Ways:
    """``m`` sets of payloads, ``p`` places of the output shaft."""

    first: float
    """[rad] of the first place"""
    step: float
    """[rad]"""
    weight: Array
    """(m, p) [N*m] what has to be held at rest, positive against + turning"""
    height: Array
    """(m, p) [J] integral of the weight over the places"""
    inertia: Array
    """(m, p) [kg*m^2] without losses"""
    travel: Array
    """(m, p) [m or rad] stated travel, the same in every row"""
    endless: bool
    """True where the last place is the first one again"""
    straight: bool
    """True where everything goes on as between the last two places, else as at the last"""
    rate: float | None
    """[m or rad] travel per radian of the shaft; None where that depends on the place"""
    even: bool
    """True where inertia is the same everywhere and weight grows alike everywhere"""

    def _cell(self, place: Array) -> tuple[Index, Array, Array]:
        count = self.weight.shape[1] - 1
        u = (place - self.first) / self.step
        if not np.isfinite(u).all():
            u = np.where(np.isfinite(u), u, 0.0)
        turns = np.zeros(1)
        if self.endless:
            turns = np.floor(u / count)
            u -= turns * count
        cell = np.clip(u, 0.0, count - 1).astype(np.intp)
        share = u - cell
        return cell, share if self.straight else np.clip(share, 0.0, 1.0), turns

    def at(self, row: Index, place: Array) -> tuple[Array, Array, Array]:
        """Weight, inertia and its change per radian at places."""
        cell, share, _ = self._cell(place)
        return self._pulled(row, cell, share)[:3]

    def height_at(self, row: Index, place: Array) -> Array:
        """Potential of the weight at places [J]."""
        cell, share, turns = self._cell(place)
        flat = row * self.weight.shape[1] + cell
        weight = self.weight.take(flat)
        more = self.weight.take(flat + 1) - weight
        return self._risen(row, place, (cell, share, turns), (weight, more))

    def all_at(self, row: Index, place: Array) -> tuple[Array, Array, Array, Array]:
        """Weight, inertia, its change per radian and potential at places."""
        cell, share, turns = self._cell(place)
        weight, inertia, change, start, more = self._pulled(row, cell, share)
        return weight, inertia, change, self._risen(row, place, (cell, share, turns), (start, more))

    def _pulled(
        self, row: Index, cell: Index, share: Array
    ) -> tuple[Array, Array, Array, Array, Array]:
        """Weight, inertia and its change, then the weight at the first place and to the next."""
        flat = row * self.weight.shape[1] + cell
        start = self.weight.take(flat)
        more = self.weight.take(flat + 1) - start
        weight = start + share * more
        if self.even:
            inertia = self.inertia[:, 0].take(row)
            return weight, inertia, np.zeros(1), start, more
        inertia = self.inertia.take(flat)
        heavier = self.inertia.take(flat + 1) - inertia
        return weight, inertia + share * heavier, heavier / self.step, start, more

    def _risen(
        self,
        row: Index,
        place: Array,
        cells: tuple[Index, Array, Array],
        weights: tuple[Array, Array],
    ) -> Array:
        (cell, share, turns), (weight, more) = cells, weights
        count = self.weight.shape[1]
        found: Array = self.height.take(row * count + cell)
        found += self.step * (share * weight + share**2 * more / 2)
        if self.endless:
            found += turns * (self.height[:, -1] - self.height[:, 0]).take(row)
        beyond = place - self.first - (cell + turns * (count - 1) + share) * self.step
        beyond[~np.isfinite(beyond)] = 0.0
        found += beyond * (weight + share * more)
        return found

    def travel_at(self, row: Index, place: Array) -> Array:
        """Stated travel at places [m or rad]."""
        cell, share, turns = self._cell(place)
        flat = row * self.travel.shape[1] + cell
        value = self.travel.take(flat)
        rise = (self.travel[:, -1] - self.travel[:, 0]).take(row)
        found: Array = value + share * (self.travel.take(flat + 1) - value) + turns * rise
        return found


def ways_of(train: Train, cycle: Cycle, low: float, high: float) -> Ways | None:
    """Tables around the places of a cycle; None where weight and inertia are the same everywhere.

    Parameters
    ----------
    train : Train
    cycle : Cycle
        Whose phases name the payloads; row ``k`` of the tables is phase ``k``.
    low, high : float [rad]
        Places of the output shaft between which the cycle keeps.
    """
    if train.kind == "winder" or not placed(train):
        return None
    burdens = [train.chain.load.total(phase.carry) for phase in cycle.phases]
    turn = TURN / abs(_gear(train))
    start = np.linspace(low, low + turn, 17)
    endless = _alike(train, burdens, start, start + turn)
    if endless:
        places = np.linspace(low, low + turn, NODES + 1)
    else:
        first, last = _reach(train, burdens[0], low, high, max(high - low, turn))
        places = np.linspace(first, last, 2 * NODES + 1)
    step = float(places[1] - places[0])
    found = [_at(train, burden, places) for burden in burdens]
    weight, inertia, travel = (np.stack([f[k] for f in found]) for k in range(3))
    grown = np.cumsum((weight[:, 1:] + weight[:, :-1]) / 2 * step, axis=1)
    height = np.concatenate([np.zeros((len(burdens), 1)), grown], axis=1)
    constant = not train.chain.stages or train.chain.stages[0].ratio.constant is not None
    bend = np.abs(np.diff(weight, 2, axis=1)).max() + np.abs(np.ptp(inertia, axis=1)).max()
    even = bool(bend <= ALIKE * (np.abs(weight).max() + np.abs(inertia).max()))
    rate = travel_per_turn(train)
    return Ways(
        float(places[0]), step, weight, height, inertia, travel, endless, constant, rate, even
    )


def placed(train: Train) -> bool:
    """Whether weight or inertia depends on the place anywhere in the train."""
    return any(_placed(chain) for chain in _chains(train.chain))


def _chains(chain: Chain) -> list[Chain]:
    inner = [c for stage in chain.stages for other in stage.joined for c in _chains(other)]
    return [chain, *inner]


def _placed(chain: Chain) -> bool:
    burdens = [chain.load.base, *chain.load.payloads.values()]
    turning = any(b.gravity_rise or b.gravity_cos or b.gravity_sin for b in burdens)
    bent = any(s.ratio.constant is None or s.members is not None for s in chain.stages)
    return turning or bent


def _gear(train: Train) -> float:
    """Radians after which a course or an arm comes again, per radian of the output shaft."""
    gear = 1.0
    for number, stage in enumerate(train.chain.stages):
        constant = stage.ratio.constant
        if constant is not None and (number > 0 or not train.chain.load.linear):
            gear *= constant
    return gear


def _at(train: Train, burden: Burden, place: Array) -> tuple[Array, Array, Array]:
    """Weight and inertia at rest, and the stated travel, at places of the shaft."""
    zero = np.zeros_like(place)
    motions = [Motion(place, zero, zero, zero + 1.0)]
    for stage in reversed(train.chain.stages):
        motions.append(motions[-1].down(stage))
    motions.reverse()
    driven = motions[1] if len(motions) > 1 else None
    effort = chain_effort(train.chain, burden, motions[0], zero, driven).effort
    stated = motions[1] if train.input_stated and driven is not None else motions[0]
    return effort.static, effort.inertia, stated.position


def _alike(train: Train, burdens: list[Burden], one: Array, other: Array) -> bool:
    try:
        pairs = [(_at(train, b, one), _at(train, b, other)) for b in burdens]
    except RangeError:
        return False
    for here, there in pairs:
        for a, b in zip(here[:2], there[:2], strict=True):
            if np.any(np.abs(a - b) > ALIKE * max(float(np.abs(a).max()), 1e-300)):
                return False
    return True


def _reach(
    train: Train, burden: Burden, low: float, high: float, more: float
) -> tuple[float, float]:
    """How far places go on either side, as far as mechanism and table of the ratio do."""
    first, last = low - more, high + more
    ratio = train.chain.stages[0].ratio if train.chain.stages else None
    if isinstance(ratio, CourseRatio) and ratio.joints and not ratio.period:
        gear = _gear(train)
        ends = sorted((joint - ratio.start) / gear for joint in (ratio.joints[0], ratio.joints[-1]))
        first, last = max(first, min(ends[0], low)), min(last, max(ends[1], high))
    return _end(train, burden, low, first), _end(train, burden, high, last)


def _end(train: Train, burden: Burden, inside: float, outside: float) -> float:
    def there(place: float) -> bool:
        try:
            _at(train, burden, np.array([place]))
        except RangeError:
            return False
        return True

    if there(outside):
        return outside
    for _ in range(HALVINGS):
        middle = (inside + outside) / 2
        if there(middle):
            inside = middle
        else:
            outside = middle
    return inside
