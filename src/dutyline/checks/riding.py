"""Axes on whose moving part the motor rides: its mass, brake and gearhead count as load."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.tables import tables
from dutyline.checks.sides import Choice, gather
from dutyline.core.numbers import quantity
from dutyline.train.records import Burden

Array = NDArray[np.float64]


def rides(axis: Axis) -> bool:
    """True where the motor moves with the load."""
    return axis.train.chain.load.rider is not None


def riding_mass(line: ProductLine, choice: Choice) -> Array:
    """Mass of motor, brake and gearhead of each combination [kg]; nan where one is not given."""
    own = tables(line)
    plain = gather(own.motors, "mass", choice.motor)
    braked = gather(own.motors, "mass_with_brake", choice.motor)
    added = plain + gather(own.brakes, "mass", choice.brake, 0.0)
    motor = np.where(choice.brake >= 0, np.where(np.isnan(braked), added, braked), plain)
    return motor + gather(own.gearheads, "mass", choice.gearhead, 0.0)


def loaded(axis: Axis, mass: float) -> Axis:
    """The same axis with a riding mass on its moving part."""
    load = axis.train.chain.load
    if load.rider is None:
        return axis
    parts = {
        name: getattr(load.base, name) + mass * getattr(load.rider, name)
        for name in Burden.__dataclass_fields__
    }
    chain = replace(axis.train.chain, load=replace(load, base=Burden(**parts)))
    more = f"{quantity(mass, 'kg')} are added to the moving mass."
    note = f"Motor, brake and gearhead ride along: {more}"
    cases = tuple(loaded(case, mass) for case in axis.cases)
    train = replace(axis.train, chain=chain)
    return replace(axis, train=train, cases=cases, notes=(*axis.notes, note))
