"""What a crank, a yoke, a toggle or a cam presses its slide sideways with.

The slide is taken to be joined in the middle of its carriages. The rod has its true inertia: the
force at its far end follows from the moments about the crank pin. (Statics and the equation of
motion of the rod, derived here.)
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.demand.instants import instants
from dutyline.demand.loading import burden_of
from dutyline.demand.output import OutputDemand
from dutyline.demand.stopping import StopStates
from dutyline.demand.ways import Ways
from dutyline.physics.linkages import pressure_angle, rod_centre
from dutyline.train.bent_parameters import (
    CamParams,
    ScotchYokeParams,
    SliderCrankParams,
    ToggleParams,
)
from dutyline.train.courses import CourseRatio
from dutyline.train.recursion import ShaftState

Array = NDArray[np.float64]

PLACES = 721
"""Places of a turn at which a stop is looked at."""
ASKED = 17
"""Places of a piece at which what the cycle asks for is looked at."""


@dataclass(frozen=True, slots=True)
class Sideways:
    """``m`` instants."""

    force: Array
    """(m,) [N] across the travel, magnitude"""
    couple: Array
    """(m,) [N*m] about the middle of the slide, magnitude"""


def sideways(axis: Axis, state: ShaftState) -> Sideways | None:
    """Force and couple on the slide; None where the mechanism does not tell.

    Parameters
    ----------
    axis : Axis
        Nothing presses sideways where its ratio is the same everywhere.
    state : ShaftState
        Of its shaft.
    """
    none = np.zeros_like(state.motion.speed)
    stages, own = axis.train.chain.stages, axis.mechanism
    if not stages or stages[0].ratio.constant is not None:
        return Sideways(none, none)
    ratio = stages[0].ratio
    if not isinstance(ratio, CourseRatio):
        return None
    pushed = state.contacts[0] * ratio.sign
    place = ratio.start + state.nodes[1].position
    if isinstance(own, SliderCrankParams):
        return Sideways(np.abs(_rod_end(axis, own, state, place, pushed)), none)
    if isinstance(own, ScotchYokeParams) and own.crank is not None:
        return Sideways(none, np.abs(pushed * own.crank * np.sin(place)))
    if isinstance(own, ToggleParams) and own.link is not None:
        return Sideways(np.abs(pushed * place) / np.sqrt(own.link**2 - place**2), none)
    if isinstance(own, CamParams) and own.base_diameter is not None:
        found = ratio.course(place)
        angle = pressure_angle(found.value, found.slope, own.base_diameter / 2, own.offset)
        return Sideways(np.abs(pushed * np.tan(angle)), none)
    return None


def _rod_end(
    axis: Axis, own: SliderCrankParams, state: ShaftState, place: Array, pushed: Array
) -> Array:
    """Force of the rod on the slide across the travel [N]."""
    crank, rod = own.crank or np.nan, own.rod or np.nan
    centre = own.rod_cg or 0.0
    x, y, turned = rod_centre(place, crank, rod, own.offset, centre)
    across = crank * np.sin(place) + own.offset
    along = np.sqrt(rod**2 - across**2)
    speed, acceleration = state.nodes[1].speed, state.nodes[1].acceleration
    fast = [c.slope * acceleration + c.bend * speed**2 for c in (x, y, turned)]
    base = axis.train.chain.load.base
    weight = base.gravity / (base.mass * axis.gravity) if base.mass else 0.0
    lean = float(np.arcsin(np.clip(weight, -1.0, 1.0)))
    up = axis.gravity * sin(lean), axis.gravity * cos(lean)
    share = centre / rod
    arm_x, arm_y = share * along, -share * across
    turning = own.rod_mass * (arm_x * (-up[1] - fast[1]) - arm_y * (-up[0] - fast[0]))
    found: Array = (-across * pushed + turning + own.rod_inertia * fast[2]) / along
    return found


@dataclass(frozen=True, slots=True)
class StopPush:
    """Bounds of what a stop brings, one element per combination."""

    along: Array
    """(c,) [N] force along the travel"""
    force: Array
    """(c,) [N] across it"""
    couple: Array
    """(c,) [N*m]"""


def push_in_stop(out: OutputDemand, ratio: Array, own: Array, torque: Array) -> StopPush | None:
    """Forces on the slide while a torque at the motor stops the axis anywhere in its turn.

    At every place of the turn ``m (x' a + x'' w^2)`` with ``a`` from the torque, what pulls, and
    the inertia there; it is largest at standstill or at the top speed. All that weighs or is asked
    for in the cycle comes on top, and a rod counts whole with the slide: on the safe side.

    Parameters
    ----------
    out : OutputDemand
    ratio, own, torque : (c,) ndarray
        Motor speed over output speed; inertia [kg*m^2] and braking torque [N*m] at the motor.

    Returns
    -------
    StopPush or None
        None where the mechanism does not tell.
    """
    axis, states = out.axis, out.stops
    crank, ways = axis.train.chain.stages[0].ratio, states.ways
    turn = np.linspace(0.0, 2 * np.pi, PLACES)
    leaning = _leaning(axis, turn)
    if leaning is None or ways is None or not isinstance(crank, CourseRatio):
        return None
    lean, arm = leaning
    gear = 1.0
    for stage in axis.train.chain.stages[1:]:
        gear *= stage.ratio.constant or np.nan
    mass = float(states.load_inertia.max(initial=0.0))
    if isinstance(axis.mechanism, SliderCrankParams):
        mass += axis.mechanism.rod_mass
    course = crank.course(turn)
    rows = [ways.at(np.full(PLACES, k), (turn - crank.start) / gear)
            for k in range(ways.weight.shape[0])]  # fmt: skip
    pull = max(float(np.abs(weight).max()) for weight, _, _ in rows)
    pull += float(np.abs(states.pull).max(initial=0.0))
    inertia = np.min([j for _, j, _ in rows], axis=0)
    change = np.max([np.abs(half) for _, _, half in rows], axis=0)
    fast = _fastest(states, ways, own * ratio**2)
    found = np.zeros((3, ratio.size))
    for k in range(PLACES):
        whole = inertia[k] + own * ratio**2
        slow = (torque * ratio + pull) / whole * abs(gear)
        spin = change[k] / 2 * fast / whole * abs(gear)
        bent = abs(course.bend[k]) * fast * gear**2
        force = mass * (abs(course.slope[k]) * (slow + spin) + bent)
        found = np.maximum(found, np.stack([force, force * lean[k], force * arm[k]]))
    asked = _asked(out)
    more = asked * np.array([1.0, float(lean.max()), float(arm.max())])
    return StopPush(*(found + more[:, None]))


def _fastest(states: StopStates, ways: Ways, own: Array) -> Array:
    """Largest squared speed of the shaft, with all that a weight can add to it (c,)."""
    swing = float((ways.height.max(axis=1) - ways.height.min(axis=1)).max())
    gained = 2 * swing / (float(ways.inertia.min()) + own)
    found: Array = float(states.speed.max(initial=0.0)) ** 2 + gained
    return found


def _asked(out: OutputDemand) -> float:
    """Largest force along the travel in the cycle, without what only moves the load [N]."""
    axis, pieces = out.axis, list(out.pieces)
    state, _ = instants(pieces, axis.train, axis.cycle, np.linspace(-1.0, 1.0, ASKED))
    phases = np.repeat(np.array([p.phase for p in pieces], dtype=np.intp), ASKED)
    mass = burden_of(axis.train, axis.cycle, phases).inertia
    mass = mass + axis.train.chain.stages[0].inertia_out
    return float(np.abs(state.contacts[0] - mass * state.load.acceleration).max(initial=0.0))


def _leaning(axis: Axis, turn: Array) -> tuple[Array, Array] | None:
    """Force across over force along the travel, and couple over it, over a turn of the input."""
    ratio, own, none = axis.train.chain.stages[0].ratio, axis.mechanism, np.zeros_like(turn)
    if isinstance(own, SliderCrankParams):
        rod, across = own.rod or np.nan, (own.crank or np.nan) * np.sin(turn) + own.offset
        if not np.all(np.abs(across) < rod):
            return None
        return np.abs(across) / np.sqrt(rod**2 - across**2), none
    if isinstance(own, ScotchYokeParams) and own.crank is not None:
        return none, np.abs(own.crank * np.sin(turn))
    if isinstance(own, CamParams) and own.base_diameter is not None:
        assert isinstance(ratio, CourseRatio)
        found = ratio.course(turn)
        angle = pressure_angle(found.value, found.slope, own.base_diameter / 2, own.offset)
        return np.abs(np.tan(angle)), none
    return None
