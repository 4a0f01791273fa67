"""Whether the follower of a cam stays on it: what lifts it off, and what presses it on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.core import series
from dutyline.demand.instants import instants
from dutyline.demand.loading import burden_of
from dutyline.motion.pieces import Piece
from dutyline.train.recursion import FRICTION, INERTIA, load_effort

Array = NDArray[np.float64]

POINTS = 16
"""Places looked at inside each smooth piece, besides its ends."""
CLOSER = 6
"""Times that the surroundings of the worst one are looked at again."""


@dataclass(frozen=True, slots=True)
class Contact:
    """The worst instant of the follower on its cam."""

    lifting: float
    """[N] force of inertia that lifts it off, zero where none does"""
    pressing: float
    """[N] spring, weight and process, and friction where it holds back; + towards the cam"""
    time: float
    """[s]"""


def contact(axis: Axis, pieces: tuple[Piece, ...], factor: float) -> Contact:
    """Where ``factor`` times the lifting force comes nearest to what presses.

    Parameters
    ----------
    axis : Axis
        With a cam.
    pieces : tuple of Piece
        Of the cycle, smooth.
    factor : float
        Margin wanted.
    """
    inner, _ = series.gauss(POINTS)
    z = np.concatenate([[-1.0], inner, [1.0]])
    parts = list(pieces)
    best: tuple[float, Contact] | None = None
    for _ in range(CLOSER):
        lifting, pressing = _forces(axis, parts, z)
        with np.errstate(divide="ignore", invalid="ignore"):
            used = np.where(pressing > 0, factor * lifting / pressing, np.inf)
        k = int(np.argmax(used))
        piece, j = parts[k // z.size], k % z.size
        time = piece.start + (z[j] + 1) / 2 * piece.duration
        if best is None or used[k] > best[0]:
            best = float(used[k]), Contact(float(lifting[k]), float(pressing[k]), float(time))
        if not np.isfinite(used[k]) or j in (0, z.size - 1):
            break
        cuts = (z[[j - 1, j + 1]] + 1) / 2 * piece.duration
        parts = [piece.split(cuts)[1 if j > 1 else 0]]
    assert best is not None
    return best[1]


def _forces(axis: Axis, parts: list[Piece], z: Array) -> tuple[Array, Array]:
    state, process = instants(parts, axis.train, axis.cycle, z)
    phases = np.repeat(np.array([p.phase for p in parts], dtype=np.intp), z.size)
    burden = burden_of(axis.train, axis.cycle, phases)
    effort = load_effort(axis.train.chain.load, burden, state.load, process)
    lifting = np.maximum(-effort.causes[INERTIA], 0.0)
    helping = np.maximum(effort.causes[FRICTION], 0.0)
    return lifting, effort.total - effort.causes[INERTIA] - helping
