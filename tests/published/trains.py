"""Trains built by hand from the records of the product, and their effort at one instant."""

from __future__ import annotations

import numpy as np

from dutyline.train.records import Burden, Chain, ConstantRatio, Load, Stage, Train
from dutyline.train.recursion import Motion, ShaftState, inverse


def stage(
    ratio: float, efficiency: float = 1.0, back: float | None = None, **more: object
) -> Stage:
    """A stage of constant ratio (output travel over input travel)."""
    return Stage(
        name=str(more.pop("name", "stage")),
        kind="reduction",
        ratio=ConstantRatio(ratio),
        efficiency=efficiency,
        efficiency_back=efficiency if back is None else back,
        **more,  # type: ignore[arg-type]
    )


def chain(burden: Burden, *stages: Stage, linear: bool = True) -> Chain:
    """A load and its stages towards the motor."""
    return Chain(Load(linear, burden), stages)


def state(run: Chain, speed: float, acceleration: float = 0.0, position: float = 0.0) -> ShaftState:
    """Result of the recursion for one state of the load."""
    direction = np.sign(speed) if speed else np.sign(acceleration)
    motion = Motion(*(np.array([float(v)]) for v in (position, speed, acceleration, direction)))
    return inverse(Train(run), run.load.base, motion, np.zeros(1))


def effort(run: Chain, speed: float, acceleration: float = 0.0) -> float:
    """Torque (or force) that the shaft behind the last stage has to give."""
    return float(state(run, speed, acceleration).effort.total[0])


def inertia(run: Chain) -> float:
    """Inertia felt at that shaft, without losses."""
    return float(state(run, 1.0).effort.inertia[0])
