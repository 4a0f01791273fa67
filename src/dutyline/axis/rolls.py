"""The rolls in which a winder is judged where the file states none: full, core, the worst between.

The file itself is the full roll; the others are cases beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import sqrt

import numpy as np

from dutyline.axis.model import Axis
from dutyline.axis.records import record_of
from dutyline.axis.stated import Tree
from dutyline.core.numbers import quantity
from dutyline.train.bent_parameters import WinderParams
from dutyline.train.mechanisms import build_mechanism
from dutyline.train.parameters import LoadParams
from dutyline.train.records import Chain
from dutyline.train.recursion import Motion, chain_effort

TRIED = 97
"""Diameters at which the worst is searched."""
APART = 0.01
"""Share of the difference between core and full by which the worst roll has to be inside."""


def rolls_of(axis: Axis, tree: Tree) -> Iterator[tuple[str, float]]:
    """Names and diameters [m] of the rolls judged beside the full one."""
    mechanism = tree.one("mechanism")
    if mechanism is None or mechanism.kind != "winder" or mechanism.has("start"):
        return
    if mechanism.has("roll"):
        return
    params = record_of(WinderParams, mechanism)
    core, full = params.core or 0.0, params.full or 0.0
    yield "core", core
    middle = sqrt(core * full)
    yield f"roll of {quantity(middle, 'm')}", middle
    worst = worst_roll(axis, params)
    inside = APART * (full - core)
    if core + inside < worst < full - inside:
        yield f"worst roll, {quantity(worst, 'm')}", worst


def worst_roll(axis: Axis, params: WinderParams) -> float:
    """Diameter at which the cycle takes the largest torque at the shaft [m].

    Looked for at the ends and middles of all pieces of the motion.
    """
    diameters = np.geomspace(params.core or 0.0, params.full or 0.0, TRIED)
    peaks = [_peak(axis, params, float(diameter)) for diameter in diameters]
    return float(diameters[int(np.argmax(peaks))])


def _peak(axis: Axis, params: WinderParams, diameter: float) -> float:
    stage, _ = build_mechanism(replace(params, roll=diameter), LoadParams(), gravity=axis.gravity)
    assert stage is not None
    chain = axis.train.chain
    chain = Chain(chain.load, (stage, *chain.stages[1:]))
    rows = [
        [piece.derivative(order, share * piece.duration) for order in range(3)]
        for piece in axis.cycle.pieces
        for share in (0.0, 0.5, 1.0)
    ]
    columns = zip(*rows, strict=True)
    place, speed, acceleration = (np.array(column, dtype=float) for column in columns)
    sense = np.where(speed != 0, np.sign(speed), np.sign(acceleration))
    motion = Motion(place, speed, acceleration, sense)
    effort = chain_effort(chain, chain.load.base, motion, np.zeros_like(speed)).effort
    return float(np.abs(effort.total).max())
