"""Checks of mains, surroundings and fit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Site
from dutyline.catalogue.pairing import fits
from dutyline.catalogue.parts import Drive
from dutyline.checks.lacking import FIT, SUPPLY, lacking
from dutyline.checks.loops import count_at_load
from dutyline.checks.records import Outcome
from dutyline.checks.tolerance import tolerance
from dutyline.checks.trial import Trial
from dutyline.core.grouping import distinct
from dutyline.core.numbers import bare, quantity

Index = NDArray[np.intp]

AMBIENT_MOST = 60.0
"""[degC] beyond which nothing is computed"""
COLD = 0.0
"""[degC] below which no rating of a part holds without being asked for (IEC 60034-1 and
IEC 61800-2 count on 0 degC or more, from memory)"""
_PHASES: dict[int | str, str] = {1: "single-phase", 3: "three-phase"}
ALTITUDE_MOST = 4000.0
"""[m] beyond which nothing is computed"""


def _yes_no(faults: list[str], back: Index, text: Callable[[int], str]) -> Outcome:
    """A check that is met or not, from the fault (or none) of each kind of combination."""
    bad = np.array([bool(fault) for fault in faults], dtype=bool)[back]
    return Outcome(
        demand=np.where(bad, 1.0, 0.0),
        limit=np.where(bad, 0.0, 1.0),
        text=text,
    )


def match(trial: Trial) -> Outcome:
    """Supply class of motor, drive and resistor; mains voltage and phases of the drive."""
    choice, line, site = trial.choice, trial.line, trial.site
    first, back = distinct(
        _alike(line.motors, ("supply_class", "mains_min", "mains_max"), choice.motor),
        _alike(line.drives, ("supply_class", "mains_min", "mains_max", "phases"), choice.drive),
        _alike(line.resistors, ("supply_class",), choice.resistor),
    )

    def fault(k: int) -> str:
        return _mismatch(trial, *(int(i[k]) for i in (choice.motor, choice.drive, choice.resistor)))

    faults = [fault(k) for k in first]
    shown = f"{quantity(site.mains, 'V')}, {_PHASES.get(site.phases, 'DC')}"
    outcome = _yes_no(faults, back, lambda k: fault(k) or shown)
    told = [
        bool(said) or not lacking(trial, SUPPLY, int(k))
        for said, k in zip(faults, first, strict=True)
    ]
    demand = np.where(np.array(told, dtype=bool)[back], outcome.demand, np.nan)
    return replace(outcome, demand=demand, needs=SUPPLY)


def _mismatch(trial: Trial, motor: int, drive: int, resistor: int) -> str:
    own, site = trial.line, trial.site
    m = own.motors[motor]
    if drive < 0:
        return "no drive is paired with this motor"
    d = own.drives[drive]
    if _differ(m.supply_class, d.supply_class):
        return f"motor class {m.supply_class}, drive class {d.supply_class}"
    if resistor >= 0 and _differ(own.resistors[resistor].supply_class, d.supply_class):
        return (
            f"resistor class {own.resistors[resistor].supply_class}, drive class {d.supply_class}"
        )
    if d.phases and site.phases not in d.phases:
        wanted = " or ".join(str(p) for p in d.phases)
        noun = "phase" if wanted == "1" else "phases"
        return f"{d.name} runs on {wanted} {noun}, the mains has {site.phases}"
    for name, low, high in ((d.name, d.mains_min, d.mains_max), (m.name, m.mains_min, m.mains_max)):
        if (low is not None and site.mains < low) or (high is not None and site.mains > high):
            mains = quantity(site.mains, "V")
            return f"{name} is made for {_range(low, high)}, the mains has {mains}"
    return ""


def _range(low: float | None, high: float | None) -> str:
    if low is None or high is None:
        return f"at least {bare(low)} V" if low is not None else f"at most {bare(high or 0.0)} V"
    return f"{bare(low)} to {bare(high)} V"


def mains_words(site: Site) -> str:
    """``400 V three-phase``"""
    return f"{quantity(site.mains, 'V')} {_PHASES.get(site.phases, 'dc')}"


def supply_range(drive: Drive) -> str:
    """``200 to 230 V single-phase or three-phase``; empty where the drive does not say."""
    low, high = drive.mains_min, drive.mains_max
    volts = "" if low is None and high is None else _range(low, high)
    phases = " or ".join(_PHASES.get(p, str(p)) for p in drive.phases)
    return f"{volts} {phases}".strip()


def _differ(first: str, second: str) -> bool:
    return bool(first and second) and first != second


def fit(trial: Trial) -> Outcome:
    """Flange and shaft of the motor on the gearhead."""
    choice, line = trial.choice, trial.line
    shaft = _alike(line.motors, ("flange", "shaft"), choice.motor)
    bore = _alike(line.gearheads, ("input_flanges", "shaft_in_max"), choice.gearhead)
    first, back = distinct(shaft, bore)
    faults = [
        "" if g < 0 else fits(line.motors[m], line.gearheads[g]) or ""
        for m, g in zip(choice.motor[first], choice.gearhead[first], strict=True)
    ]

    def text(k: int) -> str:
        motor, gearhead = line.motors[choice.motor[k]], line.gearheads[choice.gearhead[k]]
        side = "" if motor.flange is None else f"{quantity(motor.flange, 'm', 'si')} flange "
        return fits(motor, gearhead) or f"{side}on {gearhead.name}"

    outcome = _yes_no(faults, back, text)
    silent = [
        not f and bool(lacking(trial, FIT, int(k))) for f, k in zip(faults, first, strict=True)
    ]
    open_ = np.array(silent, dtype=bool)[back] & (choice.gearhead >= 0)
    if open_.any():
        listed = {(p.left, p.right) for p in line.pairings if p.kind == "motor-gearhead"}
        for k in np.nonzero(open_)[0]:
            pair = line.motors[choice.motor[k]].name, line.gearheads[choice.gearhead[k]].name
            open_[k] = pair not in listed
    demand = np.where(open_, np.nan, outcome.demand)
    return replace(outcome, demand=demand, applies=choice.gearhead >= 0, needs=FIT)


def _alike(parts: Sequence[object], fields: tuple[str, ...], index: Index) -> Index:
    """A number for each combination, equal where fields of its part are; -1 without a part."""
    read, known = attrgetter(*fields), dict[object, int]()
    table = np.full(len(parts) + 1, -1, dtype=np.intp)
    for part in dict.fromkeys(index.tolist()):
        if part >= 0:
            table[part] = known.setdefault(read(parts[part]), len(known))
    return table[index]


def surroundings(trial: Trial) -> Outcome:
    """Ambient and altitude against where the derating rules end; derating is in the limits."""
    site = trial.site
    high = site.altitude / ALTITUDE_MOST > site.ambient / AMBIENT_MOST
    demand, limit = (
        (site.altitude, ALTITUDE_MOST) if high else (max(site.ambient, 0.0), AMBIENT_MOST)
    )
    shown = f"{quantity(site.ambient, 'degC')}, {quantity(site.altitude, 'm')}"
    cold = site.ambient < COLD
    return Outcome(
        demand=np.full(trial.size, np.nan if cold and demand <= limit else demand),
        limit=np.full(trial.size, limit),
        missing=("permission for frost: grease, brake, seals, condensation",),
        severity="must" if demand > limit else "caution" if cold else "note",
        unit=np.full(trial.size, "m" if high else "degC"),
        text=lambda _: shown,
    )


def encoder_step(trial: Trial) -> Outcome:
    """One count of the encoder, seen at the load, against a quarter of the tolerance."""
    stated = trial.axis.require.position
    linear = trial.axis.linear
    return Outcome(
        demand=count_at_load(trial),
        limit=np.full(trial.size, tolerance(trial.axis) / 4),
        needs=("motor.encoder_bits",),
        severity="must" if stated is not None else "note",
        unit=np.full(trial.size, "m" if linear else "rad"),
    )
