"""What acts on the load during each piece: payloads on board and process forces."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from dutyline.motion.pieces import Cycle, Piece
from dutyline.train.records import Burden, Force, Train
from dutyline.train.recursion import Motion

Array = NDArray[np.float64]


def burden_of(train: Train, cycle: Cycle, phases: NDArray[np.intp]) -> Burden:
    """The burden on the load node, each field an array with one number per given phase index."""
    load, carried = train.chain.load, {phase.carry for phase in cycle.phases}
    rows = {carry: load.total(carry).numbers for carry in carried}
    columns: Any = np.array([rows[phase.carry] for phase in cycle.phases]).T[:, phases]
    return Burden(*columns)


def process_effort(
    train: Train,
    cycle: Cycle,
    phases: NDArray[np.intp],
    time: Array,
    load: Motion,
    middle: Array,
) -> Array:
    """Process force or torque at the load at given instants [N or N*m].

    ``load`` is the motion of the load there. ``middle`` is a time inside the piece of each
    instant: it decides which side of a threshold an instant at the end of a piece belongs to.
    """
    constant = np.array([phase.force for phase in cycle.phases])
    result: Array = constant[phases].astype(float)
    starts = np.array([phase.start for phase in cycle.phases])
    for force in train.forces:
        result = result + _one(force, starts, phases, time, load, middle)
    resistance = train.chain.load.resistance
    if resistance is not None:
        result = result + resistance.at(load.speed) * load.direction
    return result * train.chain.load.share


def _one(
    force: Force,
    starts: Array,
    phases: NDArray[np.intp],
    time: Array,
    load: Motion,
    middle: Array,
) -> Array:
    position, direction = load.position, load.direction
    offset = starts[phases] if force.phases is not None else 0.0
    if force.over == "constant":
        value = np.full_like(time, force.values[0])
    elif force.over == "time":
        value = _table(force, time - offset, np.sign(middle - time), middle - offset)
    else:
        value = _table(force, position, np.where(time < middle, 1, -1) * direction, None)
    if force.phases is not None:
        value = np.where(np.isin(phases, force.phases), value, 0.0)
    if force.only == "forward":
        value = np.where(direction > 0, value, 0.0)
    elif force.only == "backward":
        value = np.where(direction < 0, value, 0.0)
    if force.sense == "opposing":
        value = np.abs(value) * direction
    return value


def _table(force: Force, place: Array, side: Array, inside: Array | None) -> Array:
    """Value at places; ``side`` (+1 or -1) says towards which side an end point belongs."""
    places = np.array(force.places)
    values = np.array(force.values)
    span = max(places[-1] - places[0], abs(places[-1]), 1e-12)
    nudged = (
        place + side * 1e-9 * span
        if inside is None
        else np.where(np.abs(inside - place) < 1e-9 * span, inside, place + side * 1e-9 * span)
    )
    index = np.searchsorted(places, nudged, side="right") - 1
    inner = (index >= 0) & (index < places.size - 1)
    index = np.clip(index, 0, max(places.size - 2, 0))
    if force.between == "step":
        return np.where(inner, values[index], 0.0)
    width = places[index + 1] - places[index]
    share = (place - places[index]) / np.where(width > 0, width, 1.0)
    return np.where(inner, values[index] + (values[index + 1] - values[index]) * share, 0.0)


def thresholds(train: Train, cycle: Cycle, piece: Piece) -> tuple[list[float], list[float]]:
    """Times from the cycle's start and travels at which a force has a kink within a phase."""
    times: list[float] = []
    travels: list[float] = []
    for force in train.forces:
        if force.phases is not None and piece.phase not in force.phases:
            continue
        places = [*force.places, *_zeros(force)]
        if force.over == "time":
            offset = cycle.phases[piece.phase].start if force.phases is not None else 0.0
            times += [offset + place for place in places]
        elif force.over == "travel":
            travels += places
    return times, travels


def _zeros(force: Force) -> list[float]:
    """Places between its points where an opposing force passes zero: its magnitude has a kink."""
    if force.sense != "opposing" or force.between != "linear":
        return []
    pairs = zip(pairwise(force.places), pairwise(force.values), strict=True)
    return [a - u * (b - a) / (v - u) for (a, b), (u, v) in pairs if u * v < 0]
