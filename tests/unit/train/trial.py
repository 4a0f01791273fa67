"""Running a built train at single states."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np

from dutyline.train.records import Chain, Load, Stage, Train
from dutyline.train.recursion import Motion, ShaftState, inverse

EXAMPLES = Path(__file__).parents[2] / "published" / "mechanics-examples.toml"


def example(ident: str) -> tuple[dict[str, Any], dict[str, dict[str, Any]]]:
    """Inputs and expected entries of a worked example or spot value."""
    table = tomllib.loads(EXAMPLES.read_text(encoding="utf-8"))
    for entry in (*table["example"], *table["spot"]):
        if entry["id"] == ident:
            return entry["inputs"], entry["expected"]
    raise KeyError(ident)


def run(
    load: Load,
    *stages: Stage | None,
    speed: float,
    acceleration: float = 0.0,
    position: float = 0.0,
    carry: tuple[str, ...] = (),
    process: float = 0.0,
) -> ShaftState:
    """State at the shaft behind the last stage."""
    chain = Chain(load, tuple(stage for stage in stages if stage is not None))
    direction = float(np.sign(speed) or np.sign(acceleration))
    motion = Motion(*(np.array([v]) for v in (position, speed, acceleration, direction)))
    return inverse(Train(chain), load.total(carry), motion, np.array([process]))


def torque(load: Load, *stages: Stage | None, speed: float, **more: Any) -> float:
    """Torque (or force) at the shaft behind the last stage."""
    return float(run(load, *stages, speed=speed, **more).effort.total[0])
