"""Torque over speed as points with straight lines between them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.core.grouping import rising

Array = NDArray[np.float64]

CHORD = 8e-4
"""Largest departure of a chord from the curve it stands for, as a share of the torque."""
CHORD_FLOOR = 0.05
"""Below this share of the torque at standstill the departure is held against that share."""
MOST_HALVINGS = 8
_APART = 1e-9


@dataclass(frozen=True, slots=True)
class Polyline:
    """Points of a torque-speed curve."""

    speed: Array
    """[rad/s] strictly increasing from 0"""
    torque: Array
    """[N*m]"""


def sampled(torque: Callable[[Array], Array], kinks: Sequence[float]) -> Polyline:
    """Points of a torque function so close that chords depart from it by less than 0.1 %.

    Parameters
    ----------
    torque : callable
        Torque [N*m] over an array of speeds [rad/s], smooth between the kinks.
    kinks : sequence of float [rad/s]
        Ascending; first 0, last the end of the curve.
    """
    speed = np.array(kinks, dtype=np.float64)
    for _ in range(MOST_HALVINGS):
        value = torque(speed)
        width = np.diff(speed)
        probes = speed[:-1, None] + width[:, None] * np.array([0.05, 0.25, 0.5, 0.75, 0.95])
        true = torque(probes.ravel()).reshape(probes.shape)
        chord = np.interp(probes, speed, value)
        allowed = CHORD * np.maximum(true, CHORD_FLOOR * value[0])
        coarse = (np.abs(chord - true) > allowed).any(axis=1)
        if not coarse.any():
            break
        speed = np.sort(np.concatenate([speed, probes[coarse, 2]]))
    return Polyline(speed, torque(speed))


def lower(first: Polyline, second: Polyline) -> Polyline:
    """The lower of two curves at every speed, up to the nearer end."""
    end = min(first.speed[-1], second.speed[-1])
    grid = rising(np.concatenate([first.speed, second.speed]))
    grid = grid[grid <= end]
    apart = _at(first, grid) - _at(second, grid)
    turn = np.nonzero(apart[:-1] * apart[1:] < 0)[0]
    part = apart[turn] / (apart[turn] - apart[turn + 1])
    meet = grid[turn] + part * (grid[turn + 1] - grid[turn])
    own = np.where(apart <= 0, _among(grid, first.speed), _among(grid, second.speed))
    speed = rising(np.concatenate([grid[own | (grid == end)], meet]))
    return Polyline(speed, np.minimum(_at(first, speed), _at(second, speed)))


def _among(values: Array, known: Array) -> NDArray[np.bool_]:
    place = np.minimum(np.searchsorted(known, values), known.size - 1)
    found: NDArray[np.bool_] = known[place] == values
    return found


def _at(curve: Polyline, speed: Array) -> Array:
    return np.interp(speed, curve.speed, curve.torque)


def interpolated(low: Polyline, high: Polyline, share: float) -> Polyline:
    """Curve a share of the way from one to another, speeds interpolated at equal torque.

    The result lies between the two at every torque, and ends between their ends. A curve that
    rises somewhere counts as its lower envelope from the left.
    """
    a = Polyline(low.speed, np.minimum.accumulate(low.torque))
    b = Polyline(high.speed, np.minimum.accumulate(high.torque))
    levels = rising(np.concatenate([a.torque, b.torque]))[::-1]
    speed = np.empty((levels.size, 2))
    for column, side in enumerate(("left", "right")):
        speed[:, column] = (1.0 - share) * _reach(a, levels, side) + share * _reach(b, levels, side)
    points, torque = speed.ravel(), np.repeat(levels, 2)
    keep = np.append(np.diff(points) > _APART * points[-1], True)
    apart = points[keep]
    apart[0] = 0.0
    return Polyline(apart, torque[keep])


def _reach(curve: Polyline, level: Array, side: str) -> Array:
    """Speed up to which the torque stays above (``left``) or at (``right``) each level."""
    fall = -curve.torque
    last = np.searchsorted(fall, -level, side="left" if side == "left" else "right") - 1
    inside = np.clip(last, 0, curve.speed.size - 2)
    drop = curve.torque[inside] - curve.torque[inside + 1]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.where(drop > 0, (curve.torque[inside] - level) / drop, 0.0)
    reach = curve.speed[inside] + np.clip(part, 0, 1) * np.diff(curve.speed)[inside]
    reach = np.where(last >= curve.speed.size - 1, curve.speed[-1], reach)
    return np.where(last < 0, 0.0, reach)
