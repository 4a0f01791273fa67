"""Where the energy of one cycle goes, found in two ways."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.motion.pieces import Piece
from dutyline.train.records import Burden
from dutyline.train.recursion import FRICTION, GRAVITY, INERTIA, LOSS, PROCESS, ShaftState

Array = NDArray[np.float64]

BALANCE = 1e-9
"""Largest residue of the energy balance, over the energy that flows in a cycle."""


def energies(
    axis: Axis, state: ShaftState, process: Array, pieces: list[Piece], weight: Array, z: Array
) -> dict[str, Any]:
    """Where the energy of one cycle goes, and the residue of the balance.

    The work of inertia must vanish over a closed cycle (a stop is none), the weight work found by
    quadrature of the trace must equal the one from heights, and the losses in the torque those at
    the contacts.
    """
    speed, flat = state.motion.speed, weight.ravel()
    work = (state.effort.causes * speed * flat).sum(axis=1)
    lost = (state.lost * flat).sum(axis=1)
    load_speed = np.concatenate([p.speed((z + 1) / 2 * p.duration) for p in pieces])
    done = float((process * load_speed * flat).sum())
    lifted = _lifted(axis)
    scale = float(np.abs(state.effort.total * speed * flat).sum())
    motion = abs(work[INERTIA]) if axis.cycle.closed else 0.0
    weights = abs(work[GRAVITY] - lifted)
    losses = abs(work[LOSS] - lost.sum())
    return {
        "lost": lost,
        "friction_work": float(work[FRICTION]),
        "process_work": float(work[PROCESS]),
        "task_work": done,
        "lifted": lifted,
        "balance": float(motion + weights + losses) / scale if scale > 0 else 0.0,
    }


def require_balance(figures: dict[str, Any]) -> None:
    """Stop where energy would appear or vanish: that is a fault of the program."""
    if not figures["balance"] <= BALANCE or figures["lost"].min(initial=0.0) < -BALANCE:
        raise AssertionError(f"the energy of one cycle does not balance: {figures['balance']:.3g}")


def _height(burden: Burden, x: float) -> float:
    """Potential of the weight at a travel [J]."""
    turning = burden.gravity_cos * np.sin(x) - burden.gravity_sin * (np.cos(x) - 1)
    return float(burden.gravity * x + burden.gravity_rise * x * x / 2 + turning)


def _lifted(axis: Axis) -> float:
    """Potential energy that goods carry away in one cycle, from their places alone [J]."""
    cycle, chain = axis.cycle, axis.train.chain
    total = 0.0
    for piece in cycle.pieces:
        burden = chain.load.total(cycle.phases[piece.phase].carry)
        a, b = piece.position(np.array([0.0, piece.duration]))
        total += _height(burden, float(b)) - _height(burden, float(a))
    travel = 1.0
    for stage in chain.stages:
        travel /= stage.ratio.constant or np.nan
        for other in stage.joined:
            down = travel
            for inner in other.stages:
                down *= inner.ratio.constant or np.nan
            total += _height(other.load.base, down * cycle.net_travel)
    return total
