"""The inverse recursion: from the motion of the load to the effort at the output shaft.

It exists once, for every mechanism and stage. At each contact the efficiency is chosen by the sign
of the power that crosses *that* contact; inertia and drag downstream are part of it.
(Derived from energy conservation per stage; every published example of the train goes through it.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.physics.friction import stribeck_friction
from dutyline.train.records import Burden, Chain, Load, Stage, Train

Array = NDArray[np.float64]

CAUSES = ("inertia", "gravity", "friction", "process", "loss")
"""Order of the rows of every array of causes."""
INERTIA, GRAVITY, FRICTION, PROCESS, LOSS = range(5)


@dataclass(frozen=True, slots=True)
class Motion:
    """State of one node at any number of instants."""

    position: Array
    """[m or rad]"""
    speed: Array
    """[m/s or rad/s]"""
    acceleration: Array
    """[m/s^2 or rad/s^2]"""
    direction: Array
    """-1, 0 or +1: the sign of speed, one-sided where the speed is zero at an instant."""

    def through(self, stage: Stage) -> Motion:
        """The same motion at the input of a stage whose output moves like this."""
        position = stage.ratio.input_of(self.position)
        ratio, change = stage.ratio.at(position)
        speed = self.speed / ratio
        acceleration = (self.acceleration - change * speed**2) / ratio
        return Motion(position, speed, acceleration, self.direction * np.sign(ratio))

    def down(self, stage: Stage) -> Motion:
        """The motion at the output of a stage whose input moves like this."""
        ratio, change = stage.ratio.at(self.position)
        return Motion(
            stage.ratio.output_of(self.position),
            self.speed * ratio,
            self.acceleration * ratio + change * self.speed**2,
            self.direction * np.sign(ratio),
        )


@dataclass(frozen=True, slots=True)
class Effort:
    """What the motor side has to apply at a node."""

    causes: Array
    """(5, n) rows as :data:`CAUSES` [N or N*m]"""
    inertia: Array
    """(n,) inertia referred to the node without losses [kg*m^2 or kg]"""
    static: Array
    """(n,) weight effort referred to the node without losses [N or N*m]"""

    @property
    def total(self) -> Array:
        """(n,) sum of the causes"""
        total: Array = self.causes.sum(axis=0)
        return total


@dataclass(frozen=True, slots=True)
class ShaftState:
    """Result of the recursion at the output shaft."""

    motion: Motion
    effort: Effort
    contacts: Array
    """(c, n) effort through each lossy contact in order, joined loads first within a stage"""
    lost: Array
    """(c, n) power lost at each contact [W]; never negative"""
    nodes: tuple[Motion, ...]
    """Motion of every node, from the load to the shaft"""

    @property
    def load(self) -> Motion:
        """Motion of the load"""
        return self.nodes[0]


def load_effort(load: Load, burden: Burden, motion: Motion, process: Array) -> Effort:
    """Effort at the load node; ``burden`` may hold arrays, one number per instant."""
    x, v, a, s = motion.position, motion.speed, motion.acceleration, motion.direction
    zero = np.zeros(v.shape)
    static = burden.gravity + burden.gravity_rise * x + zero
    if np.any(burden.gravity_cos) or np.any(burden.gravity_sin):
        static = static + burden.gravity_cos * np.cos(x) + burden.gravity_sin * np.sin(x)
    causes = np.array(
        [
            burden.inertia * a,
            static,
            _friction(load, burden, v) * s + burden.viscous * v,
            burden.steady + process + zero,
            zero,
        ]
    )
    return Effort(causes, burden.inertia + zero, static)


def _friction(load: Load, burden: Burden, speed: Array) -> Array:
    """Magnitude of Coulomb friction at speeds [N or N*m]."""
    running: Array = burden.friction + np.zeros(speed.shape)
    if load.fading is None:
        return running
    static = load.breakaway * running
    return stribeck_friction(speed, running, static, load.fading.speed, load.fading.exponent)


def through_stage(
    stage: Stage, effort: Effort, outside: Motion, inside: Motion
) -> tuple[Effort, Array, Array]:
    """Effort at the input of a stage from the effort at its output.

    Returns the effort, the effort through the contact (output side) and the power lost there.
    """
    causes = effort.causes.copy()
    causes[INERTIA] += stage.inertia_out * outside.acceleration
    causes[FRICTION] += stage.drag_out * outside.direction + stage.viscous_out * outside.speed
    through: Array = causes.sum(axis=0)
    ratio, _ = stage.ratio.at(inside.position)
    power = through * outside.direction
    gain = np.where(power > 0, 1 / stage.efficiency, np.where(power < 0, stage.efficiency_back, 1))
    causes = causes * ratio
    causes[LOSS] += through * ratio * (gain - 1)
    lost = through * outside.speed * (gain - 1)
    causes[INERTIA] += stage.inertia_in * inside.acceleration
    causes[FRICTION] += stage.drag_in * inside.direction + stage.viscous_in * inside.speed
    inertia = (effort.inertia + stage.inertia_out) * ratio**2 + stage.inertia_in
    static = effort.static * ratio
    if stage.members is not None:
        own = stage.members.at(inside.position)
        causes[INERTIA] += own.inertia * inside.acceleration + own.slope * inside.speed**2
        causes[GRAVITY] += own.weight
        causes[PROCESS] += own.process
        causes[FRICTION] += own.friction * inside.direction
        inertia, static = inertia + own.inertia, static + own.weight
    return Effort(causes, inertia, static), through, lost


def _joined(stage: Stage, shaft: Motion) -> tuple[list[Effort], list[Array], list[Array]]:
    efforts, contacts, losses = [], [], []
    for chain in stage.joined:
        motions = [shaft]
        for inner in reversed(chain.stages):
            motions.append(motions[-1].down(inner))
        motions.reverse()
        process = np.zeros(shaft.speed.shape)
        if chain.load.resistance is not None:
            process = chain.load.resistance.at(motions[0].speed) * motions[0].direction
        effort = load_effort(chain.load, chain.load.base, motions[0], process)
        for inner, outside, inside in zip(chain.stages, motions, motions[1:], strict=False):
            effort, through, lost = through_stage(inner, effort, outside, inside)
            contacts.append(through)
            losses.append(lost)
        efforts.append(effort)
    return efforts, contacts, losses


def chain_effort(
    chain: Chain, burden: Burden, motion: Motion, process: Array, driven: Motion | None = None
) -> ShaftState:
    """Run the recursion along a chain for given motion, burden and process effort of its load.

    Every body counts by ``J q'' + J' q'^2 / 2``: a mass behind a ratio through the acceleration
    that :class:`Motion` carries over the stage, members through :class:`MemberState`.

    Parameters
    ----------
    chain : Chain
        Stages from the load towards the motor, joined loads included.
    burden : Burden
        Load with the payloads on board; fields may be numbers or arrays over the instants.
    motion : Motion
        State of the load node.
    process : (n,) ndarray [N or N*m]
        Process effort at the load, + when it has to be overcome in + travel.
    driven : Motion, optional
        Motion of the input of the first stage where that is stated and ``motion`` follows from it.

    Returns
    -------
    ShaftState
        Motion and effort at the output shaft with contacts and losses.
    """
    effort = load_effort(chain.load, burden, motion, process)
    contacts: list[Array] = []
    losses: list[Array] = []
    here = motion
    nodes = [here]
    for number, stage in enumerate(chain.stages):
        inside = driven if driven is not None and number == 0 else here.through(stage)
        effort, through, lost = through_stage(stage, effort, here, inside)
        contacts.append(through)
        losses.append(lost)
        efforts, more, gone = _joined(stage, inside)
        contacts += more
        losses += gone
        for other in efforts:
            effort = Effort(
                effort.causes + other.causes,
                effort.inertia + other.inertia,
                effort.static + other.static,
            )
        here = inside
        nodes.append(here)
    empty = np.zeros((0, motion.speed.size))
    return ShaftState(
        here,
        effort,
        np.array(contacts) if contacts else empty,
        np.array(losses) if losses else empty,
        tuple(nodes),
    )


def load_motion(train: Train, stated: Motion, middle: Array) -> tuple[Motion, Motion | None]:
    """Motion of the load, and of the input of the first stage where that is the stated one.

    ``middle`` is a stated position inside the piece of each instant: it decides the direction of
    the load where the instant is a dead point.
    """
    if not train.input_stated:
        return stated, None
    stage = train.chain.stages[0]
    moved = stated.down(stage)
    facing = stated.direction * np.sign(stage.ratio.at(middle)[0])
    return Motion(moved.position, moved.speed, moved.acceleration, facing), stated


def inverse(
    train: Train, burden: Burden, motion: Motion, process: Array, driven: Motion | None = None
) -> ShaftState:
    """The recursion over a whole train; see :func:`chain_effort`."""
    return chain_effort(train.chain, burden, motion, process, driven)


def travel_per_turn(train: Train) -> float | None:
    """Stated travel per radian of the output shaft, signed; None when it depends on the place.

    The stated travel is that of the load, or of a crank, cam or knee where the cycle states those.
    """
    total = 1.0
    for stage in train.chain.stages[1 if train.input_stated else 0 :]:
        ratio = stage.ratio.constant
        if ratio is None:
            return None
        total *= ratio
    return total


def shaft_place(train: Train, stated: Array) -> Array:
    """Place of the output shaft [m or rad] at places of the stated motion."""
    place = stated
    for stage in train.chain.stages[1 if train.input_stated else 0 :]:
        place = stage.ratio.input_of(place)
    return place


def stated_sense(train: Train) -> float:
    """+1 where the output shaft turns + with the stated motion, -1 where it turns against it."""
    sense = 1.0
    for stage in train.chain.stages[1 if train.input_stated else 0 :]:
        sense *= np.sign(stage.ratio.at(np.zeros(1))[0][0])
    return float(sense)
