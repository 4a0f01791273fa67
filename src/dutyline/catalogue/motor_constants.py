"""Torque over speed from the constants of a motor, or the names of those that are missing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.parts import Motor
from dutyline.physics.continuous_torque import IRON_EXPONENT, continuous_torque, iron_share
from dutyline.physics.field_weakening import weakened_current
from dutyline.physics.torque_speed import (
    bus_voltage,
    corner_speed,
    flux_linkage,
    hot_resistance,
    peak_torque,
    phase_voltage,
    torque_constant_of_emf,
)

Array = NDArray[np.float64]
Datum = tuple[str, tuple[str, ...]]
"""Kind of part, and the fields of which one will do."""

_EMF = ("torque_constant", "voltage_constant")
_SATURATED = ("saturation_peak", "torque_peak")
_VOLTAGE = ("voltage_constant", "resistance", "inductance", "pole_pairs", "current_peak",
            "winding_limit", "speed_max")  # fmt: skip

AMBIENT_RATED = 40.0
"""[degC] where the line states none; IEC 60034-1, from memory."""
ALTITUDE_RATED = 1000.0
"""[m] where the line states none; IEC 60034-1, from memory."""


@dataclass(frozen=True, slots=True)
class VoltageLimit:
    """Torque that voltage and peak current leave."""

    voltage: float
    """[V] phase, peak"""
    resistance: float
    """[ohm] phase, hot"""
    inductance: float
    """[H] phase"""
    flux: float
    """[V*s]"""
    pole_pairs: int
    current_peak: float
    """[A rms]"""
    current_stall: float
    """[A rms] zero where unknown: the iron then counts as saturating from the start"""
    saturation_peak: float
    """[1]"""
    torque_constant: float
    """[N*m/A rms]"""
    end: float
    """[rad/s] the lower of the mechanical end and the no-load limit"""

    def torque(self, speed: Array) -> Array:
        """[N*m] at speeds [rad/s]"""
        return peak_torque(
            speed,
            self.voltage,
            self.resistance,
            self.inductance,
            self.flux,
            self.pole_pairs,
            self.current_peak,
            self.current_stall,
            self.saturation_peak,
            self.torque_constant,
        )

    def weakened(self, speed: float) -> float:
        """[N*m] at a speed [rad/s] with a current that weakens the field; nan beyond its reach.

        The iron saturates as with the whole current forming torque, which is the safe side.
        """
        _, forming = weakened_current(
            speed,
            self.voltage,
            self.resistance,
            self.inductance,
            self.flux,
            self.pole_pairs,
            self.current_peak,
        )
        return float(self.torque_constant * forming / np.sqrt(2.0) * self.saturation_peak)

    def corner(self, current: float) -> float:
        """[rad/s] up to which the voltage drives a current"""
        found = corner_speed(
            current, self.voltage, self.resistance, self.inductance, self.flux, self.pole_pairs
        )
        return float(found)

    @property
    def kinks(self) -> list[float]:
        """[rad/s] from 0 to the end, with the corners between"""
        corners = (self.corner(self.current_peak), self.corner(self.current_stall))
        return [0.0, *sorted({c for c in corners if 0.0 < c < self.end}), self.end]


@dataclass(frozen=True, slots=True)
class HeatLimit:
    """Torque that heat leaves at rated conditions."""

    torque_stall: float
    """[N*m]"""
    iron_share: float
    """[1] of the permitted rise that iron loss takes at the rated speed"""
    speed_rated: float
    """[rad/s]"""
    iron_exponent: float

    def torque(self, speed: Array) -> Array:
        """[N*m] at speeds [rad/s]"""
        share = self.iron_share * (np.abs(speed) / self.speed_rated) ** self.iron_exponent
        return continuous_torque(share, self.torque_stall, 1.0, 1.0)


def absent(motor: Motor, **words: str) -> str:
    """Names of the given fields that the motor does not state; empty when there are all."""
    return ", ".join(word for name, word in words.items() if getattr(motor, name) is None)


def voltage_limit(motor: Motor, mains: float, phases: int | str) -> VoltageLimit | str:
    """The motor's voltage limit on a supply, or what is missing for it."""
    missing = absent(
        motor,
        voltage_constant="voltage constant",
        resistance="winding resistance",
        inductance="winding inductance",
        pole_pairs="pole pairs",
        current_peak="peak current",
        winding_limit="winding limit temperature",
        speed_max="maximum speed",
    )
    if motor.saturation_peak is None and motor.torque_peak is None:
        missing = ", ".join(filter(None, (missing, "saturation factor or peak torque")))
    if missing:
        return f"no curve for this supply, and to compute it: {missing}"
    ke, pairs = _known(motor.voltage_constant), motor.pole_pairs or 0
    kt = motor.torque_constant or float(torque_constant_of_emf(ke))
    flux = float(flux_linkage(ke, pairs))
    voltage = float(phase_voltage(bus_voltage(mains, phases)))
    return VoltageLimit(
        voltage=voltage,
        resistance=float(hot_resistance(_known(motor.resistance) / 2, _known(motor.winding_limit))),
        inductance=_known(motor.inductance) / 2,
        flux=flux,
        pole_pairs=pairs,
        current_peak=_known(motor.current_peak),
        current_stall=_stall_current(motor, kt),
        saturation_peak=_saturation(motor, kt),
        torque_constant=kt,
        end=min(_known(motor.speed_max), voltage / flux / pairs),
    )


def voltage_data(motor: Motor) -> list[Datum]:
    """What :func:`voltage_limit` rests on."""
    stall: list[Datum] = [
        ("motor", (name,))
        for name in ("current_stall", "torque_stall")
        if getattr(motor, name) is not None
    ]
    plain: list[Datum] = [("motor", (name,)) for name in _VOLTAGE]
    return [*plain, ("motor", _EMF), ("motor", _SATURATED), *stall[:1]]


def heat_data(motor: Motor) -> list[Datum]:
    """What :func:`heat_limit` rests on."""
    plain: list[Datum] = [("motor", ("torque_stall",)), ("motor", ("speed_rated",))]
    if not iron_stated(motor):
        return [*plain, ("motor", ("torque_rated",))]
    more = ("iron_loss_rated", "rth_housing_ambient", "winding_limit")
    return [*plain, *(("motor", (name,)) for name in more)]


def iron_stated(motor: Motor) -> bool:
    """Whether iron loss, thermal resistance and winding limit tell what the iron takes."""
    loss, rth, limit = motor.iron_loss_rated, motor.rth_housing_ambient, motor.winding_limit
    return loss is not None and rth is not None and limit is not None and limit > ambient_of(motor)


def ambient_of(motor: Motor) -> float:
    """Ambient of the ratings [degC]."""
    return AMBIENT_RATED if motor.ambient_max is None else motor.ambient_max


def heat_limit(motor: Motor) -> HeatLimit | str:
    """The motor's heat limit, or what is missing for it.

    Without iron loss or thermal resistances the rated point tells how much the iron takes.
    """
    missing = absent(motor, torque_stall="stall torque", speed_rated="rated speed")
    if missing:
        return missing
    stall = _known(motor.torque_stall)
    if iron_stated(motor):
        rise = _known(motor.winding_limit) - ambient_of(motor)
        share = _known(motor.rth_housing_ambient) * _known(motor.iron_loss_rated) / rise
    elif motor.torque_rated is not None:
        share = float(iron_share(motor.torque_rated, stall))
    else:
        return "rated torque, or iron loss with thermal resistance and winding limit"
    exponent = IRON_EXPONENT if motor.iron_exponent is None else motor.iron_exponent
    return HeatLimit(stall, share, _known(motor.speed_rated), exponent)


def _known(value: float | None) -> float:
    return np.nan if value is None else value


def _stall_current(motor: Motor, torque_constant: float) -> float:
    if motor.current_stall is not None:
        return motor.current_stall
    return 0.0 if motor.torque_stall is None else motor.torque_stall / torque_constant


def _saturation(motor: Motor, torque_constant: float) -> float:
    if motor.saturation_peak is not None:
        return motor.saturation_peak
    return min(1.0, _known(motor.torque_peak) / (torque_constant * _known(motor.current_peak)))
