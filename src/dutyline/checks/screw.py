"""Checks of a screw: whirling, speed and rubbing of the nut, buckling, static safety, life."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import MOST_TORQUE
from dutyline.checks.mechanics import life_wanted, nothing, peak_effort, same
from dutyline.checks.records import Outcome, Severity
from dutyline.checks.trial import Trial
from dutyline.physics.rolling_life import (
    life_revolutions,
    life_time,
    static_factor,
    two_flank_life,
)
from dutyline.physics.screws import preloaded_forces, trapezoidal_root
from dutyline.physics.slender import column_force, whirling_speed
from dutyline.train.parameters import BallScrewParams, LeadScrewParams, ScrewParams

Array = NDArray[np.float64]

WHIRL_SHARE = 0.8
"""Share of the critical speed that may be used (common practice)."""
BUCKLING_SAFETY = 2.5
"""Over the buckling force (common practice, 2 to 3)."""
STATIC_SAFETY = 2.0
"""Static rating over the largest force (common practice, 1 to 3)."""
ROOT = "root diameter of the screw, mm"


def _screw(trial: Trial) -> ScrewParams | None:
    found = trial.axis.mechanism
    return found if isinstance(found, ScrewParams) else None


def _root(screw: ScrewParams) -> tuple[float, str]:
    """Root diameter [m], nan where unknown, and where it comes from."""
    if screw.root_diameter is not None:
        return screw.root_diameter, ""
    if isinstance(screw, LeadScrewParams) and screw.diameter is not None:
        pitch = screw.pitch
        if pitch is None and screw.lead is not None:
            pitch = screw.lead / screw.starts
        root = float("nan") if pitch is None else trapezoidal_root(screw.diameter, pitch)
        if root > 0:
            return root, "root diameter after ISO 2904"
    return float("nan"), ""


def _severity(limit: float) -> Severity:
    """A must where the limit is known, be the root diameter stated or that of its standard."""
    return "must" if np.isfinite(limit) else "note"


def critical_speed(trial: Trial) -> Outcome:
    """Top speed of the screw against a share of its first critical speed."""
    screw = _screw(trial)
    if screw is None or screw.rotating == "nut":
        return nothing(trial)
    root, told = _root(screw)
    length = screw.unsupported or screw.length
    limit = float("nan")
    if length is not None and np.isfinite(root):
        limit = WHIRL_SHARE * float(whirling_speed(root, length, screw.ends))
    return Outcome(
        demand=same(trial, trial.out.stages[0].top_speed),
        limit=same(trial, limit),
        missing=(ROOT if length is not None else f"{ROOT}, and its unsupported length",),
        severity="must" if screw.root_diameter is not None else _severity(limit),
        text=lambda _: told,
    )


def speed_value(trial: Trial) -> Outcome:
    """Nominal diameter times top speed against what the nut bears."""
    screw = _screw(trial)
    if screw is None or screw.speed_value is None:
        return nothing(trial)
    diameter = np.nan if screw.diameter is None else screw.diameter
    return Outcome(
        demand=same(trial, diameter * trial.out.stages[0].top_speed),
        limit=same(trial, screw.speed_value),
        missing=("diameter of the screw, mm",),
    )


def pressure_speed(trial: Trial) -> Outcome:
    """Largest product of pressure and sliding speed in a sliding nut against what it bears."""
    screw = _screw(trial)
    if not isinstance(screw, LeadScrewParams) or screw.pressure_speed_limit is None:
        return nothing(trial)
    mean, pitch = screw.mean_diameter, screw.pitch
    lead = screw.lead if pitch is None else pitch * screw.starts
    if mean is None and screw.diameter is not None and lead is not None:
        mean = screw.diameter - lead / screw.starts / 2  # ISO 2904
    demand = np.nan
    if mean is not None and lead is not None and screw.nut_area is not None:
        sliding = float(np.hypot(mean / 2, lead / (2 * np.pi)))
        demand = trial.out.stages[0].peak_rub * sliding / screw.nut_area
    return Outcome(
        demand=same(trial, demand),
        limit=same(trial, screw.pressure_speed_limit),
        missing=("projected area of the nut's thread, mm^2, and mean diameter, mm",),
    )


def buckling(trial: Trial) -> Outcome:
    """Largest force, whichever way it acts, against the buckling force with its safety."""
    screw = _screw(trial)
    if screw is None:
        return nothing(trial)
    root, told = _root(screw)
    length = screw.buckling_length or screw.length
    if np.isnan(root) and screw.buckling_length is None:
        return nothing(trial)
    limit = float("nan")
    if length is not None and np.isfinite(root):
        limit = column_force(root, length, screw.ends) / BUCKLING_SAFETY
    return Outcome(
        demand=peak_effort(trial),
        limit=same(trial, limit),
        needs=("brake.torque_static", *MOST_TORQUE),
        missing=(f"{ROOT}, and its buckling length",),
        severity="must" if screw.root_diameter is not None else _severity(limit),
        text=lambda _: told,
    )


def static(trial: Trial) -> Outcome:
    """Static safety wanted against static rating over the largest force, stop included."""
    screw = _screw(trial)
    if not isinstance(screw, BallScrewParams) or screw.static_rating is None:
        return nothing(trial)
    force = peak_effort(trial)
    if screw.preload:
        force, _ = preloaded_forces(force, screw.preload)
    return Outcome(
        demand=same(trial, STATIC_SAFETY),
        limit=static_factor(screw.static_rating, force),
        needs=("brake.torque_static", *MOST_TORQUE),
    )


def life(trial: Trial) -> Outcome:
    """Working time wanted against the rating life of the nut, its two flanks apart."""
    screw = _screw(trial)
    if not isinstance(screw, BallScrewParams) or screw.dynamic_rating is None:
        return nothing(trial)
    use = trial.out.stages[0]
    force = use.effort
    if screw.preload:
        pressed, relieved = preloaded_forces(np.abs(force), screw.preload)
    else:
        pressed, relieved = np.abs(force), np.zeros_like(force)
    ahead = use.mean_effort(np.where(force >= 0, pressed, relieved), 3.0)
    behind = use.mean_effort(np.where(force >= 0, relieved, pressed), 3.0)
    turns = [life_revolutions(screw.dynamic_rating, mean) for mean in (ahead, behind)]
    mean_speed = use.turned / trial.out.cycle_time
    return Outcome(
        demand=same(trial, life_wanted(trial)),
        limit=same(trial, float(life_time(two_flank_life(*turns), mean_speed))),
    )
