"""The rolls in which a winder is judged where the file states none: full, core, the worst between.

The file itself is the full roll; the others are cases beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.axis.records import record_of
from dutyline.axis.stated import Tree
from dutyline.core.numbers import quantity
from dutyline.train.bent_parameters import WinderParams
from dutyline.train.mechanisms import build_mechanism
from dutyline.train.parameters import LoadParams, TandemParams
from dutyline.train.records import Chain
from dutyline.train.recursion import Motion, chain_effort
from dutyline.train.rolls import held_in

Array = NDArray[np.float64]
TRIED = 97
"""Diameters at which the worst is searched."""
APART = 0.01
"""Share of the difference between core and full by which the worst roll has to be inside."""


def rolls_of(axis: Axis, tree: Tree) -> Iterator[tuple[str, float]]:
    """Names and diameters [m] of the rolls judged beside the full one."""
    params = _open_roll(tree)
    if params is None:
        return
    core, full = params.core or 0.0, params.full or 0.0
    yield "core", core
    middle = sqrt(core * full)
    yield f"roll of {quantity(middle, 'm')}", middle
    worst = worst_roll(axis, params)
    inside = APART * (full - core)
    if core + inside < worst < full - inside:
        yield f"worst roll, {quantity(worst, 'm')}", worst


def _open_roll(tree: Tree) -> WinderParams | None:
    """The winder of a file that states no diameter; None for anything else."""
    mechanism = tree.one("mechanism")
    if mechanism is None or mechanism.kind != "winder":
        return None
    if mechanism.has("start") or mechanism.has("roll"):
        return None
    return one_of(record_of(WinderParams, mechanism), tree)


def one_of(params: WinderParams, tree: Tree) -> WinderParams:
    """What one motor of a tandem has of the web: its share of width, tension and nip.

    Inertia of the roll, torque of the web and rolling resistance grow with these alone, so that
    the share holds for each of them; shaft, bearings and drum are the motor's own.
    """
    together = tree.one("tandem")
    if together is None:
        return params
    both = record_of(TandemParams, together)
    share = both.share or 1.0 / max(both.motors or 1, 1)
    width, tension, nip = (
        None if value is None else share * value
        for value in (params.width, params.tension, params.nip_force)
    )
    return replace(params, width=width, tension=tension, nip_force=nip)


def worst_roll(axis: Axis, params: WinderParams) -> float:
    """Diameter at which the cycle takes the largest torque at the shaft [m].

    Looked for at the ends and middles of all pieces of the motion.
    """
    rows = np.array([
        [float(piece.derivative(order, share * piece.duration)) for order in range(3)]
        for piece in axis.cycle.pieces
        for share in (0.0, 0.5, 1.0)
    ])  # fmt: skip
    diameters = np.geomspace(params.core or 0.0, params.full or 0.0, TRIED)
    torque = _torque(axis, params, diameters, rows)
    return float(diameters[int(np.argmax(np.abs(torque).max(axis=1)))])


def _torque(axis: Axis, params: WinderParams, diameters: Array, rows: Array) -> Array:
    """Torque at the shaft (diameters, rows) for rows of place, speed, acceleration of the web."""
    full = replace(params, roll=params.full)
    stage, _ = build_mechanism(full, LoadParams(), gravity=axis.gravity)
    assert stage is not None
    chain = axis.train.chain
    stage = held_in(stage, np.repeat(diameters / 2, len(rows)))
    chain = Chain(chain.load, (stage, *chain.stages[1:]))
    place, speed, acceleration = np.tile(rows, (diameters.size, 1)).T
    sense = np.where(speed != 0, np.sign(speed), np.sign(acceleration))
    motion = Motion(place, speed, acceleration, sense)
    state = chain_effort(chain, chain.load.base, motion, np.zeros_like(speed))
    return state.effort.total.reshape(diameters.size, -1)
