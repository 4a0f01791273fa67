"""Checks of mains, surroundings and fit."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.pairing import fits
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity

AMBIENT_MOST = 60.0
"""[degC] beyond which nothing is computed"""
ALTITUDE_MOST = 4000.0
"""[m] beyond which nothing is computed"""


def _yes_no(faults: list[str], trial: Trial, good: str) -> Outcome:
    bad = np.array([bool(f) for f in faults])
    return Outcome(
        demand=np.where(bad, 1.0, 0.0),
        limit=np.where(bad, 0.0, 1.0),
        text=lambda k: faults[k] or good,
    )


def match(trial: Trial) -> Outcome:
    """Supply class of motor, drive and resistor; mains voltage and phases of the drive."""
    choice = trial.choice
    known: dict[tuple[int, int, int], str] = {}
    faults: list[str] = []
    for key in zip(choice.motor, choice.drive, choice.resistor, strict=True):
        if key not in known:
            motor, drive, resistor = (int(k) for k in key)
            known[key] = _mismatch(trial, motor, drive, resistor)
        faults.append(known[key])
    site = trial.site
    kinds: dict[int | str, str] = {1: "single-phase", 3: "three-phase"}
    kind = kinds.get(site.phases, "DC")
    return _yes_no(faults, trial, f"{quantity(site.mains, 'V')}, {kind}")


def _mismatch(trial: Trial, motor: int, drive: int, resistor: int) -> str:
    own, site = trial.line, trial.site
    m = own.motors[motor]
    mains = quantity(site.mains, "V")
    if drive < 0:
        return "no drive is paired with this motor"
    d = own.drives[drive]
    if m.supply_class != d.supply_class:
        return f"motor class {m.supply_class}, drive class {d.supply_class}"
    if resistor >= 0 and own.resistors[resistor].supply_class != d.supply_class:
        return (
            f"resistor class {own.resistors[resistor].supply_class}, drive class {d.supply_class}"
        )
    if d.phases and site.phases not in d.phases:
        wanted = " or ".join(str(p) for p in d.phases)
        return f"{d.name} runs on {wanted} phases, the mains has {site.phases}"
    for name, low, high in ((d.name, d.mains_min, d.mains_max), (m.name, m.mains_min, m.mains_max)):
        if low is not None and high is not None and not low <= site.mains <= high:
            return f"{name} is made for {low:g} to {high:g} V, the mains has {mains}"
    return ""


def fit(trial: Trial) -> Outcome:
    """Flange and shaft of the motor on the gearhead."""
    choice = trial.choice
    known: dict[tuple[int, int], str] = {}
    faults, good = [], []
    for key in zip(choice.motor, choice.gearhead, strict=True):
        motor, gear = trial.line.motors[key[0]], trial.line.gearheads[key[1]]
        if key[1] < 0:
            faults.append("")
            good.append("")
            continue
        if key not in known:
            known[key] = fits(motor, gear) or ""
        faults.append(known[key])
        flange = "" if motor.flange is None else f"{quantity(motor.flange, 'm')} flange "
        good.append(f"{flange}on {gear.name}")
    outcome = _yes_no(faults, trial, "")
    return Outcome(
        demand=outcome.demand,
        limit=outcome.limit,
        applies=choice.gearhead >= 0,
        text=lambda k: faults[k] or good[k],
    )


def surroundings(trial: Trial) -> Outcome:
    """Ambient and altitude against where the derating rules end; derating is in the limits."""
    site = trial.site
    used = max(site.ambient / AMBIENT_MOST, site.altitude / ALTITUDE_MOST)
    outside = used > 1
    shown = f"{quantity(site.ambient, 'degC')}, {quantity(site.altitude, 'm')}"
    return Outcome(
        demand=np.full(trial.size, used),
        limit=np.ones(trial.size),
        severity="must" if outside else "note",
        text=lambda _: shown,
    )


def encoder_step(trial: Trial) -> Outcome:
    """One count of the encoder, seen at the load, against a quarter of the tolerance."""
    stated = trial.axis.require.position
    linear = trial.axis.linear
    tolerance = stated if stated is not None else (1e-4 if linear else np.radians(0.05))
    reach = abs(trial.out.travel_per_radian or np.nan)
    ratio = trial.at_motor(trial.motor_side.shafts.ratio)
    step: NDArray[np.float64] = reach / ratio * 2 * np.pi / 2.0 ** trial.motor("encoder_bits")
    return Outcome(
        demand=step,
        limit=np.full(trial.size, tolerance / 4),
        missing=("encoder resolution of the motor, bits per turn",),
        severity="must" if stated is not None else "note",
        unit=np.full(trial.size, "m" if linear else "rad"),
    )
