"""Loads on the carriages of a linear guide over the cycle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.equipment import Guide
from dutyline.core import series
from dutyline.core.values import Value
from dutyline.demand.instants import instants
from dutyline.demand.loading import burden_of
from dutyline.demand.output import OutputDemand
from dutyline.demand.side_forces import Sideways, sideways

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class CarriageLoads:
    """``q`` carriages; ``m`` instants: the Gauss points of all pieces, then their ends."""

    load: Array
    """(q, m) [N] magnitude, normal and sideways added"""
    travelled: Array
    """(m,) [m] of the cycle that each instant stands for; zero at the ends"""
    normal: Array
    """(m,) [N] on all carriages together"""
    lever: tuple[float, float, float, float]
    """Load of one carriage, at worst, per normal force [1], per force along the travel [1], per
    force across it [1] and per couple about its middle [1/m]"""

    points: int
    """Gauss points of each piece"""

    @property
    def largest(self) -> float:
        """[N] crests between the instants included"""
        inside = self.travelled.size - 2 * self.travelled.size // (self.points + 2)
        inner = self.load[:, :inside].reshape(-1, self.points)
        coefficient = series.coefficients(inner)
        row, place = series.roots(series.slope(coefficient))
        crest = series.at(coefficient[row], place[:, None]).max(initial=0.0)
        return max(float(self.load.max()), float(crest))

    def mean(self, exponent: float) -> float:
        """Mean load of the worst carriage [N], weighted with the way (ISO 14728-1)."""
        way = float(self.travelled.sum())
        if way == 0:
            return self.largest
        worn = (self.load**exponent * self.travelled).sum(axis=1) / way
        return float(worn.max() ** (1 / exponent))


def carriage_loads(out: OutputDemand, guide: Guide) -> CarriageLoads | None:
    """Loads of two carriages in a row or four in a rectangle; None where data are missing.

    The weight and what a process asks for act at the centre of mass, the drive at its line. A
    rigid slide shares its moments over the spacing (statics). What a crank presses sideways counts
    as if it came in the worse of both directions across the travel.
    """
    if guide.carriages not in (2, 4) or guide.spacing is None:
        return None
    if guide.mass_at is None or guide.drive_at is None:
        return None
    x, y, z = guide.mass_at
    if guide.carriages == 2 and y != 0.0:
        return None
    found = _instants(out)
    if found is None:
        return None
    along, across = guide.spacing
    normal, pull, travelled, side = found
    count = guide.carriages
    pitch, yaw = z - guide.drive_at[1], y - guide.drive_at[0]
    half = along * count / 2  # two carriages share at each end of the rectangle
    aside = max(abs(v) for v in guide.drive_at)
    if count == 2 and aside > 0 and side.force.any():
        return None
    by_side = 1 / count + (aside / (2 * across) if count == 4 else 0.0)
    pressed = by_side * side.force + side.couple / half
    roll = normal * y / (2 * across) if count == 4 else np.zeros_like(normal)
    rows = []
    for front in (1.0, -1.0):
        for left in (1.0, -1.0) if count == 4 else (0.0,):
            upright = normal / count + front * (normal * x - pull * pitch) / half + left * roll
            rows.append(np.abs(upright) + np.abs(pull * yaw) / half + pressed)
    by_normal = 1 / count + abs(x) / half + (abs(y) / (2 * across) if count == 4 else 0.0)
    by_pull = (abs(pitch) + abs(yaw)) / half
    levers = (by_normal, by_pull, by_side, 1 / half)
    return CarriageLoads(np.stack(rows), travelled, normal, levers, out.speed.shape[1])


def _instants(out: OutputDemand) -> tuple[Array, Array, Array, Sideways] | None:
    """Normal force, force along the travel against the drive, way and side force of instants."""
    axis, pieces = out.axis, list(out.pieces)
    z, w = series.gauss(out.speed.shape[1])
    half = np.array([p.duration for p in pieces]) / 2
    forces, pulls, ways = [], [], []
    sides: list[Sideways] = []
    for places, weights in ((z, w), (np.array([-1.0, 1.0]), np.zeros(2))):
        count = places.size
        phases = np.repeat(np.array([p.phase for p in pieces], dtype=np.intp), count)
        state, process = instants(pieces, axis.train, axis.cycle, places)
        motion, side = state.load, sideways(axis, state)
        if side is None:
            return None
        sides.append(side)
        burden = burden_of(axis.train, axis.cycle, phases)
        mass, weight = np.asarray(burden.mass), np.asarray(burden.gravity)
        across = np.sqrt(np.maximum((mass * axis.gravity) ** 2 - weight**2, 0.0))
        forces.append(across + _pressed(out))
        pulls.append(mass * motion.acceleration + weight + process)
        ways.append(np.outer(half, weights).ravel() * np.abs(motion.speed))
    whole = Sideways(
        np.concatenate([s.force for s in sides]), np.concatenate([s.couple for s in sides])
    )
    return np.concatenate(forces), np.concatenate(pulls), np.concatenate(ways), whole


def _pressed(out: OutputDemand) -> float:
    """Stated normal force besides the weight [N]."""
    for one in out.axis.inputs:
        if one.path == "load.normal_force" and isinstance(one.value, Value):
            return one.value.si
    return 0.0
