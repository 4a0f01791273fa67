"""Check of a cam follower that a spring keeps on its cam."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.mechanics import nothing, same
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.core import series
from dutyline.demand.instants import instants
from dutyline.demand.loading import burden_of
from dutyline.motion.pieces import Piece
from dutyline.train.bent_parameters import CamParams
from dutyline.train.recursion import FRICTION, GRAVITY, INERTIA, PROCESS, load_effort

Array = NDArray[np.float64]

SAFETY = 1.2
"""Force that keeps the follower on the cam over the inertia force that lifts it (common
practice)."""
PLACES = 16
"""Gauss points looked at on every piece, besides its ends."""
FINER = 129
"""Places between the neighbours of the worst of them."""


def contact(trial: Trial) -> Outcome:
    """Inertia force with its safety against spring and load, where the follower is nearest to lift.

    Friction counts where it holds the follower back from the cam, never where it helps. Without a
    spring the follower counts as guided on both sides; a note of the axis says so.
    """
    cam = trial.axis.mechanism
    sprung = isinstance(cam, CamParams) and (cam.spring_force or cam.spring_stiffness)
    if not sprung:
        return nothing(trial)
    if "follower" not in trial.kept:
        trial.kept["follower"] = _worst(trial)
    lifting, held, at = trial.kept["follower"]
    return Outcome(demand=same(trial, lifting), limit=same(trial, held), at=same(trial, at))


def _worst(trial: Trial) -> tuple[float, float, float]:
    """Lifting force with its safety, force that holds, and instant of the least reserve."""
    pieces = list(trial.out.pieces)
    inner, _ = series.gauss(PLACES)
    z = np.concatenate([[-1.0], inner, [1.0]])
    k = _nearest_to_lift(*_forces(trial, pieces, z)[:2])
    piece, place = divmod(k, z.size)
    around = np.linspace(z[max(place - 1, 0)], z[min(place + 1, z.size - 1)], FINER)
    lifting, held, time = _forces(trial, pieces[piece : piece + 1], around)
    k = _nearest_to_lift(lifting, held)
    pulled = max(-float(held[k]), 0.0)
    return max(float(lifting[k]), pulled), max(float(held[k]), 0.0), float(time[k])


def _nearest_to_lift(lifting: Array, held: Array) -> int:
    """The instant with the largest share; where nothing holds, the one that is pulled off most."""
    if held.min() <= 0:
        return int(np.argmin(held))
    return int(np.argmax(lifting / held))


def _forces(trial: Trial, pieces: list[Piece], z: Array) -> tuple[Array, Array, Array]:
    """Lifting force with its safety, force that holds, and time at places of every piece."""
    axis = trial.axis
    state, process = instants(pieces, axis.train, axis.cycle, z)
    phases = np.repeat(np.array([p.phase for p in pieces], dtype=np.intp), z.size)
    burden = burden_of(axis.train, axis.cycle, phases)
    causes = load_effort(axis.train.chain.load, burden, state.load, process).causes
    held = causes[GRAVITY] + causes[PROCESS] + np.minimum(causes[FRICTION], 0.0)
    lifting = SAFETY * np.maximum(-causes[INERTIA], 0.0)
    start = np.array([p.start for p in pieces])
    half = np.array([p.duration for p in pieces]) / 2
    return lifting, held, (start[:, None] + (z + 1) * half[:, None]).ravel()
