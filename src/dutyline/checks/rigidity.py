"""Springs, play and friction of the whole train at the load, for the checks that need them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.trial import Trial
from dutyline.core.grouping import rising
from dutyline.physics.oscillation import chain_frequencies, locked_chain_frequency
from dutyline.train.records import Chain

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Springs:
    """The stages from the load towards the motor, everything referred to the load."""

    stiffness: tuple[float, ...]
    """[N/m or N*m/rad] of each stage at the load; nan where it is not known"""
    inertia: tuple[float, ...]
    """[kg or kg*m^2] on the load side of each stage's spring, the load in the first"""
    behind: float
    """[kg or kg*m^2] on the motor side of the last spring, gearhead and motor not in it"""
    play: float
    """[m or rad] of all stages"""
    unknown: tuple[str, ...]
    """Stages whose stiffness is not stated"""
    even: bool
    """True where no ratio and no inertia depends on the place; else nothing here holds"""

    @property
    def give(self) -> float:
        """[m/N or rad/(N*m)] of all stages together; nan where one is not known"""
        return self.give_at_rest if self.even else np.nan

    @property
    def give_at_rest(self) -> float:
        """The same where the inertia may depend on the place; nan where a ratio does"""
        return float(sum(1.0 / k for k in self.stiffness))


def springs(trial: Trial) -> Springs:
    """Of the mechanism and the stages; worked out once per trial."""
    if "springs" not in trial.kept:
        trial.kept["springs"] = _springs(trial)
    found: Springs = trial.kept["springs"]
    return found


def _springs(trial: Trial) -> Springs:
    chain = trial.axis.train.chain
    heaviest = max(chain.load.total(phase.carry).inertia for phase in trial.axis.cycle.phases or ())
    stiffness, inertia, unknown = [], [], []
    reach, play, behind, even = 1.0, 0.0, heaviest, True
    for stage in chain.stages:
        joined = sum(_referred(other) for other in stage.joined)
        even = even and stage.ratio.constant is not None and stage.members is None
        k = np.nan if stage.stiffness is None else stage.stiffness
        stiffness.append(k / reach**2)
        inertia.append(behind + stage.inertia_out / reach**2)
        play += stage.backlash * abs(reach)
        if stage.stiffness is None:
            unknown.append(stage.name)
        reach *= stage.ratio.constant or np.nan
        behind = (stage.inertia_in + joined) / reach**2
    even = even and not np.isnan(behind)
    return Springs(tuple(stiffness), tuple(inertia), behind, play, tuple(unknown), even)


def _referred(chain: Chain) -> float:
    """Inertia of a further load at its shaft [kg*m^2]; nan where its ratio depends on the place."""
    inertia = chain.load.base.inertia
    for stage in chain.stages:
        ratio = stage.ratio.constant or np.nan
        inertia = (inertia + stage.inertia_out) * ratio**2 + stage.inertia_in
    return inertia


def reach_of(trial: Trial) -> float:
    """Load travel per radian of the output shaft, magnitude."""
    return abs(trial.out.travel_per_radian or np.nan)


def whole_stiffness(trial: Trial) -> Array:
    """Of mechanism, stages and gearhead at the load; infinite where nothing gives."""
    geared = trial.choice.gearhead >= 0
    give = np.where(geared, reach_of(trial) ** 2 / trial.gearhead("stiffness"), 0.0)
    with np.errstate(divide="ignore"):
        found: Array = 1.0 / (give + springs(trial).give_at_rest)
    return found


def whole_play(trial: Trial) -> Array:
    """Play of stages and gearhead at the load; nan where the gearhead does not state it."""
    geared = trial.choice.gearhead >= 0
    own = np.where(geared, trial.gearhead("backlash") * reach_of(trial), 0.0)
    total: Array = own + springs(trial).play
    return total


def friction(trial: Trial) -> float:
    """Largest friction at the load over the payloads of the cycle [N or N*m]."""
    load = trial.axis.train.chain.load
    return max(load.total(phase.carry).friction for phase in trial.axis.cycle.phases)


def rubbing(trial: Trial) -> float:
    """Friction at the load and drag of mechanism and stages, all at the load [N or N*m]."""
    total, reach = friction(trial), 1.0
    for stage in trial.axis.train.chain.stages:
        total += stage.drag_out / reach
        reach *= abs(stage.ratio.constant or np.nan)
        total += stage.drag_in / reach
    return total


def one_flank(trial: Trial) -> bool:
    """True where a weight of one sense, above the friction, never leaves its flank at rest.

    Never with a balance, a further load or a process force, which may lift it off.
    """
    axis = trial.axis
    load, forces = axis.train.chain.load, axis.train.forces
    others = any(stage.joined for stage in axis.train.chain.stages)
    balanced = any(i.path.startswith("balance.") for i in axis.inputs)
    if others or balanced or forces or any(phase.force for phase in axis.cycle.phases):
        return False
    totals = [load.total(phase.carry) for phase in trial.axis.cycle.phases]
    if any(t.gravity_rise or t.gravity_cos or t.gravity_sin for t in totals):
        return False
    up = all(t.gravity > t.friction for t in totals)
    return up or all(-t.gravity > t.friction for t in totals)


def stiffness_data(trial: Trial) -> str:
    """What is missing where the springs of a train in motion are not known, in words."""
    if not springs(trial).even:
        return "one ratio and inertia over the whole travel; here they depend on the place"
    return stiffness_at_rest(trial)


def stiffness_at_rest(trial: Trial) -> str:
    """What is missing where :func:`whole_stiffness` is nan, in words."""
    if np.isnan(reach_of(trial)):
        return "one ratio over the whole travel; here it depends on the place"
    names = ", ".join(name[:1].lower() + name[1:] for name in springs(trial).unknown)
    return f"stiffness of {names}" if names else "stiffness of the gearhead, N·m/arcmin"


def locked_frequency(trial: Trial) -> Array:
    """First frequency of everything behind a motor that stands still [Hz]; heaviest payload."""
    own = springs(trial)
    found = np.full(trial.size, np.nan)
    if np.isnan(own.give):
        return found
    reach = reach_of(trial)
    spring = trial.gearhead("stiffness") / reach**2
    for k in rising(spring[np.isfinite(spring)]):
        lumps, ties = (*own.inertia, own.behind), (*own.stiffness, float(k))
        found[spring == k] = locked_chain_frequency(lumps, ties)
    bare = trial.choice.gearhead < 0
    if bare.any():
        stiff = not own.stiffness
        rigid = float("inf") if stiff else locked_chain_frequency(own.inertia, own.stiffness)
        found[bare] = rigid
    return found


def free_frequency(trial: Trial) -> Array:
    """First frequency of motor and load against each other [Hz]; infinite for a rigid train."""
    own = springs(trial)
    found = np.full(trial.size, np.nan)
    if np.isnan(own.give):
        return found
    side = trial.motor_side
    per_motor = reach_of(trial) / trial.at_motor(side.shafts.ratio)
    motor = trial.at_motor(side.shafts.inertia) / per_motor**2
    spring = trial.gearhead("stiffness") / reach_of(trial) ** 2
    geared = trial.choice.gearhead >= 0
    for k in np.nonzero(np.isfinite(motor) & (np.isfinite(spring) | ~geared))[0]:
        if geared[k]:
            lumps, ties = [*own.inertia, own.behind, motor[k]], [*own.stiffness, spring[k]]
        else:
            lumps, ties = [*own.inertia, own.behind + motor[k]], list(own.stiffness)
        found[k] = _lowest(lumps, ties)
    return found


def _lowest(lumps: list[float], ties: list[float]) -> float:
    """Lowest frequency of a free row; a lump without inertia joins its springs into one."""
    inertias, give, stiffness = [lumps[0]], 0.0, []
    for lump, tie in zip(lumps[1:], ties, strict=True):
        give += 1.0 / tie
        if lump > 0:
            inertias.append(lump)
            stiffness.append(1.0 / give)
            give = 0.0
    return float(chain_frequencies(inertias, stiffness)[0]) if stiffness else float("inf")
