"""Check of a cam follower that a spring keeps on its cam."""

from __future__ import annotations

import numpy as np

from dutyline.checks.mechanics import nothing, same
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.core import series
from dutyline.demand.instants import instants
from dutyline.demand.loading import burden_of
from dutyline.train.bent_parameters import CamParams
from dutyline.train.recursion import FRICTION, GRAVITY, INERTIA, PROCESS, load_effort

SAFETY = 1.2
"""Force that keeps the follower on the cam over the inertia force that lifts it (common
practice)."""
PLACES = 16
"""Gauss points looked at on every piece, besides its ends."""


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
    axis, pieces = trial.axis, list(trial.out.pieces)
    inner, _ = series.gauss(PLACES)
    z = np.concatenate([[-1.0], inner, [1.0]])
    state, process = instants(pieces, axis.train, axis.cycle, z)
    phases = np.repeat(np.array([p.phase for p in pieces], dtype=np.intp), z.size)
    burden = burden_of(axis.train, axis.cycle, phases)
    causes = load_effort(axis.train.chain.load, burden, state.load, process).causes
    held = causes[GRAVITY] + causes[PROCESS] + np.minimum(causes[FRICTION], 0.0)
    lifting = SAFETY * np.maximum(-causes[INERTIA], 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        used = np.where(held > 0, lifting / held, np.where(lifting > 0, np.inf, 1.0))
    k = int(np.argmax(used))
    start = np.array([p.start for p in pieces])
    half = np.array([p.duration for p in pieces]) / 2
    time = (start[:, None] + (z + 1) * half[:, None]).ravel()
    if held[k] <= 0:
        k = int(np.argmin(held))
        return float(max(lifting[k], -held[k])), 0.0, float(time[k])
    return float(lifting[k]), float(held[k]), float(time[k])
