"""Motor current over the cycle, iron saturation included."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.core.series import total
from dutyline.demand.motor import Index, Shafts, chunks, peak_torque, rms_torque, strips
from dutyline.demand.output import OutputDemand
from dutyline.physics.torque_speed import current_of_torque, torque_of_current

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Windings:
    """What turns torque into current, one element per combination."""

    torque_constant: Array
    """[N*m per A rms]"""
    current_stall: Array
    """[A rms] up to here torque is proportional to current"""
    current_peak: Array
    """[A rms]"""
    saturation_peak: Array
    """[1] torque over torque constant times current, at peak current"""

    def take(self, index: Index) -> Windings:
        """The same for some of the combinations."""
        if index.size == self.torque_constant.size == 1:
            return self
        return Windings(
            self.torque_constant[index],
            self.current_stall[index],
            self.current_peak[index],
            self.saturation_peak[index],
        )

    def current(self, torque: Array) -> Array:
        """[A rms] for torques with the combination on the first axis"""
        shape = (-1,) + (1,) * (torque.ndim - 1)
        return current_of_torque(
            np.abs(torque),
            self.torque_constant.reshape(shape),
            self.current_stall.reshape(shape),
            self.current_peak.reshape(shape),
            self.saturation_peak.reshape(shape),
        )

    def torque(self, current: Array) -> Array:
        """[N*m] at currents with the combination on the first axis"""
        shape = (-1,) + (1,) * (current.ndim - 1)
        return torque_of_current(
            current,
            self.torque_constant.reshape(shape),
            self.current_stall.reshape(shape),
            self.current_peak.reshape(shape),
            self.saturation_peak.reshape(shape),
        )

    @property
    def saturation_known(self) -> NDArray[np.bool_]:
        """True where the current above the stall current follows from the data."""
        told = np.isfinite(self.current_stall + self.current_peak + self.saturation_peak)
        known: NDArray[np.bool_] = told | (self.saturation_peak == 1.0)
        return known

    @property
    def linear_torque(self) -> Array:
        """[N*m] up to here torque is proportional to current"""
        return self.torque_constant * self.current_stall


def rms_current(
    out: OutputDemand,
    shafts: Shafts,
    windings: Windings,
    known: tuple[Array, Array] | None = None,
) -> Array:
    """(c,) rms current [A], exact where the iron saturates too.

    ``known`` is rms and peak torque [N*m], both (c,), where they were worked out already.
    """
    torque, peak = known or (rms_torque(out, shafts), peak_torque(out, shafts)[0])
    result = torque / windings.torque_constant
    straight = peak <= windings.linear_torque * (1 + 1e-12)
    bent = np.nonzero(~straight & np.isfinite(peak))[0]
    for part in chunks(bent.size, out.start.size):
        rows = bent[part]
        some, winding = shafts.take(rows), windings.take(rows)
        cut = strips(out, some, winding.linear_torque[:, None])
        square = total(cut.integral(winding.current(cut.torque) ** 2))
        result[rows] = np.sqrt(square / out.cycle_time)
    return result
