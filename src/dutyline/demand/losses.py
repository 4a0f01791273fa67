"""Losses between motor shaft and bus, and the power drawn there over the cycle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from dutyline.demand.currents import Windings
from dutyline.demand.motor import Index, Shafts, Strips, strips
from dutyline.demand.output import OutputDemand
from dutyline.physics.bus import bus_power

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Losses:
    """Between motor shaft and bus, one element per combination."""

    resistance: Array
    """[ohm] of one phase, cold or hot as its user asks for"""
    iron_loss: Array
    """[W] at rated speed"""
    speed_rated: Array
    """[rad/s]"""
    iron_exponent: Array
    """[1]"""
    loss_fixed: Array
    """[W] of the drive while enabled"""
    loss_per_ampere: Array
    """[W/A]"""

    def take(self, index: Index) -> Self:
        """The same for some of the combinations."""
        return type(self)(*(getattr(self, name)[index] for name in self.__dataclass_fields__))


def drawn_power(
    out: OutputDemand, shafts: Shafts, windings: Windings, losses: Losses
) -> tuple[Strips, Array]:
    """Strips cut at every change of sign of the power at the bus, and that power (c, s, q) [W].

    Positive where it is drawn, negative where it returns.
    """

    def power(torque: Array, speed: Array, owner: Index) -> Array:
        own, at = windings.take(owner), losses.take(owner)
        shape = (-1,) + (1,) * (torque.ndim - 1)
        current = own.current(torque)
        share = np.abs(speed) / at.speed_rated.reshape(shape)
        iron = at.iron_loss.reshape(shape) * share ** at.iron_exponent.reshape(shape)
        drive = at.loss_fixed.reshape(shape) + at.loss_per_ampere.reshape(shape) * current
        return bus_power(torque * speed, current, at.resistance.reshape(shape), iron, drive)

    count = shafts.ratio.size
    levels = np.stack([np.zeros(count), windings.linear_torque], axis=1)
    cut = strips(out, shafts, levels, power)
    return cut, power(cut.torque, cut.speed, np.arange(count))
