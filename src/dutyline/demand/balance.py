"""Where the energy of one cycle goes, found in two ways."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.motion.rows import rows_of
from dutyline.train.records import Burden, Members
from dutyline.train.recursion import (
    FRICTION,
    GRAVITY,
    INERTIA,
    LOSS,
    PROCESS,
    Motion,
    ShaftState,
)

Array = NDArray[np.float64]

BALANCE = 1e-9
"""Largest residue of the energy balance, over the energy that flows in a cycle."""


def energies(
    axis: Axis, state: ShaftState, edge: ShaftState, process: Array, weight: Array
) -> dict[str, Any]:
    """Where the energy of one cycle goes, and the residue of the balance.

    The work of inertia must be the change of kinetic energy, which vanishes over a closed cycle
    but not over a stop, the weight work found by quadrature of the trace must equal the one from
    heights, and the losses in the torque those at the contacts.

    Parameters
    ----------
    axis : Axis
    state, edge : ShaftState
        At the Gauss points, and at the ends of the pieces.
    process : (n,) ndarray [N or N*m]
        Process effort at the load at the Gauss points.
    weight : ndarray [s]
    """
    speed, flat = state.motion.speed, weight.ravel()
    work = (state.effort.causes * speed * flat).sum(axis=1)
    lost = (state.lost * flat).sum(axis=1)
    done = float((process * state.load.speed * flat).sum()) + _drawn(axis, state, flat)
    lifted = _lifted(axis)
    scale = float(np.abs(state.effort.total * speed * flat).sum())
    motion = abs(work[INERTIA] - _kinetic(axis, state, edge, flat))
    weights = abs(work[GRAVITY] - lifted)
    losses = abs(work[LOSS] - lost.sum())
    return {
        "lost": lost,
        "friction_work": float(work[FRICTION]),
        "process_work": float(work[PROCESS]),
        "task_work": done,
        "inertia_work": float(work[INERTIA]),
        "lifted": lifted,
        "balance": float(motion + weights + losses) / scale if scale > 0 else 0.0,
    }


def require_balance(figures: dict[str, Any]) -> None:
    """Stop where energy would appear or vanish: that is a fault of the program."""
    if not figures["balance"] <= BALANCE or figures["lost"].min(initial=0.0) < -BALANCE:
        raise AssertionError(f"the energy of one cycle does not balance: {figures['balance']:.3g}")


def _kinetic(axis: Axis, state: ShaftState, edge: ShaftState, flat: Array) -> float:
    """Gain of kinetic energy in one cycle, without what arrives with the web of a roll [J]."""
    energy = edge.effort.inertia * edge.motion.speed**2 / 2
    gained = 0.0
    moving = state.effort.inertia * state.motion.speed**2
    for members, inside in _with_members(axis, state):
        gained += float((members.gained(inside.position, inside.speed) * flat).sum())
        gained += float((moving * members.drift(inside.position, inside.speed) * flat).sum())
    return float(energy[-1] - energy[0]) - gained


def _drawn(axis: Axis, state: ShaftState, flat: Array) -> float:
    """Work of members on the process, such as the tension of a web [J]."""
    return sum(
        float((members.at(inside.position).process * inside.speed * flat).sum())
        for members, inside in _with_members(axis, state)
    )


def _with_members(axis: Axis, state: ShaftState) -> list[tuple[Members, Motion]]:
    stages = axis.train.chain.stages
    return [
        (stage.members, inside)
        for stage, inside in zip(stages, state.nodes[1:], strict=True)
        if stage.members is not None
    ]


def _height(burden: Burden, x: float) -> float:
    """Potential of the weight at a travel [J]."""
    turning = 0.0
    if burden.gravity_cos or burden.gravity_sin:
        turning = burden.gravity_cos * np.sin(x) - burden.gravity_sin * (np.cos(x) - 1)
    return float(burden.gravity * x + burden.gravity_rise * x * x / 2 + turning)


def _lifted(axis: Axis) -> float:
    """Potential energy that goods carry away in one cycle, from their places alone [J]."""
    cycle, chain = axis.cycle, axis.train.chain
    total = 0.0
    burdens = [chain.load.total(phase.carry) for phase in cycle.phases]
    rows = rows_of(cycle.pieces)
    places = rows.derivative(0, np.array([0.0, 1.0]) * rows.duration[:, None])
    ends = chain.stages[0].ratio.output_of(places) if axis.train.input_stated else places
    for phase, (low, high) in zip(rows.phase.tolist(), ends.tolist(), strict=True):
        total += _height(burdens[phase], high) - _height(burdens[phase], low)
    travel = np.array([places[0, 0], places[-1, 1]])
    for number, stage in enumerate(chain.stages):
        if number or not axis.train.input_stated:
            travel = stage.ratio.input_of(travel)
        if stage.members is not None:
            total += float(np.diff(stage.members.height(travel))[0])
        for other in stage.joined:
            down = travel
            for inner in reversed(other.stages):
                down = inner.ratio.output_of(down)
            low, high = (_height(other.load.base, float(place)) for place in down)
            total += high - low
    return total
