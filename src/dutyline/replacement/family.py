"""Figures that a plate leaves open, from what the motors of a line have in common."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from dutyline.audit.power_law import LEAST_SIZES, law
from dutyline.catalogue.parts import Motor, ProductLine
from dutyline.replacement.records import Fact, Plate


def with_family(plate: Plate, line: ProductLine) -> Plate:
    """The plate with stall torque and rotor inertia estimated from the line where it has none.

    Both count as assumed, with the scatter of the line as their range. Peak torque is never
    estimated so: makers choose it between 2 and 5 times the rated torque.
    """
    facts = dict(plate.facts)
    torque = facts.get("motor.torque")
    if torque is None:
        return plate
    if "motor.stall_torque" not in facts:
        found = _stall(torque.si, line)
        if found is not None:
            facts[found.path] = found
    if "motor.inertia" not in facts:
        found = _inertia(torque.si, line)
        if found is not None:
            facts[found.path] = found
    return replace(plate, facts=facts)


def _one_of_each_size(line: ProductLine, *needed: str) -> list[Motor]:
    """Motors that state some data, one winding of each size."""
    found: dict[str, Motor] = {}
    for motor in line.motors:
        if all(getattr(motor, name) is not None for name in needed):
            found.setdefault(motor.size or motor.name, motor)
    return list(found.values())


def _values(motors: list[Motor], get: Callable[[Motor], float]) -> np.ndarray:
    return np.array([get(motor) for motor in motors])


def _stall(torque: float, line: ProductLine) -> Fact | None:
    motors = _one_of_each_size(line, "torque_rated", "torque_stall")
    if len(motors) < LEAST_SIZES:
        return None
    share = _values(motors, lambda m: (m.torque_stall or 0.0) / (m.torque_rated or 1.0))
    return Fact(
        "motor.stall_torque", "Stall torque", "N*m", torque * float(np.median(share)), "assumed",
        torque * float(share.min()), torque * float(share.max()),
        method=f"rated torque times the stall to rated ratio of {len(motors)} sizes of {line.name}",
    )  # fmt: skip


def _inertia(torque: float, line: ProductLine) -> Fact | None:
    motors = _one_of_each_size(line, "torque_rated", "inertia")
    if len(motors) < LEAST_SIZES:
        return None
    x = np.log(_values(motors, lambda m: m.torque_rated or 1.0))
    y = np.log(_values(motors, lambda m: m.inertia or 1.0))
    slope, start = law(x, y)
    away = y - start - slope * x
    at = start + slope * float(np.log(torque))
    return Fact(
        "motor.inertia", "Rotor inertia", "kg*m^2", float(np.exp(at)), "assumed",
        float(np.exp(at + away.min())), float(np.exp(at + away.max())),
        method=f"power law of inertia over rated torque through {len(motors)} sizes of "
               f"{line.name}; other makers' rotors may be several times heavier or lighter",
    )  # fmt: skip
