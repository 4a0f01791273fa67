"""Checks of what becomes of the energy that returns to the drive."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import BUS, CAPACITY
from dutyline.checks.mechanics import in_ramp
from dutyline.checks.records import Outcome
from dutyline.checks.reserves import required_reserve
from dutyline.checks.trial import Trial
from dutyline.demand.bus import BusUse
from dutyline.demand.currents import Windings

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]


def _external(trial: Trial) -> Flags:
    return trial.choice.resistor >= 0


def _internal(trial: Trial) -> Flags:
    return ~_external(trial) & (trial.drive("internal_resistor_power") > 0)


def _either(trial: Trial) -> Flags:
    return _external(trial) | _internal(trial)


def _rating(trial: Trial, outside: str, inside: str) -> Array:
    return np.where(_external(trial), trial.resistor(outside), trial.drive(inside))


def _resistance(trial: Trial) -> Array:
    """[ohm]; where a built-in resistor states none the drive's lowest resistance is taken."""
    inside = trial.drive("internal_resistor")
    inside = np.where(np.isnan(inside), trial.drive("resistor_min"), inside)
    return np.where(_external(trial), trial.resistor("resistance"), inside)


def _assumed(trial: Trial) -> Flags:
    return _internal(trial) & np.isnan(trial.drive("internal_resistor"))


def _bus(trial: Trial) -> BusUse:
    """Energies at the bus, one element per combination.

    While screening, a combination whose mechanical return alone already leaves every reserve is
    given by that bound.
    """
    side = trial.drive_side
    if not trial.screening:
        return BusUse(*(trial.at_drive(getattr(side.bus, n)) for n in BusUse.__dataclass_fields__))
    energy, power = (trial.at_motor(v) for v in trial.motor_side.returned)
    zero = np.zeros(trial.size)
    result = BusUse(zero, energy, energy, energy, energy.copy(), power, zero, energy.copy())
    open_ = np.nonzero(~(_ample(trial, energy, power) & _told(trial)))[0]
    if open_.size:
        part = trial.take(open_)
        for name in BusUse.__dataclass_fields__:
            column = getattr(result, name).copy()
            column[open_] = part.at_drive(getattr(part.drive_side.bus, name))
            result = replace(result, **{name: column})
    return result


def _told(trial: Trial) -> Flags:
    """Where every datum is stated that the energies at the bus need."""
    windings = trial.motor_side.windings
    told = np.isfinite(trial.at_drive(trial.drive_side.capacity))
    for value in (
        *(trial.at_motor(getattr(windings, name)) for name in Windings.__dataclass_fields__),
        trial.motor("resistance"),
        trial.motor("speed_rated"),
        trial.drive("loss_fixed"),
        trial.drive("loss_per_ampere"),
    ):
        told &= np.isfinite(value)
    return told


def _ample(trial: Trial, energy: Array, power: Array) -> Flags:
    """Where no check of this module can be short with these upper bounds."""

    def kept(check: str) -> float:
        return 1 - required_reserve(check, trial.axis)

    store = energy <= kept("regen-capacitor") * trial.at_drive(trial.drive_side.capacity)
    mean = energy / trial.out.cycle_time <= kept("resistor-mean") * _mean_limit(trial)
    peak = power <= kept("resistor-peak") * _peak_limit(trial)
    pulse = energy <= kept("resistor-pulse") * _pulse_limit(trial)
    return np.where(_either(trial), mean & peak & pulse, store)


def _mean_limit(trial: Trial) -> Array:
    return _rating(trial, "power_mean", "internal_resistor_power")


def _peak_limit(trial: Trial) -> Array:
    return trial.drive("chopper_on") ** 2 / _resistance(trial)


def _pulse_limit(trial: Trial) -> Array:
    return _rating(trial, "pulse_energy", "internal_resistor_pulse")


FULL = "begun with a full capacitor"
ALONE = "as if no other axis shared the bus"


def _told_of(trial: Trial, ramp: str = "") -> Callable[[int], str]:
    """How a ramp is begun, and that a bus which others share is judged for this axis alone."""
    cabinet = trial.axis.equipment.cabinet
    shared = cabinet is not None and cabinet.shared_bus
    words = (ramp if in_ramp(trial) else "", ALONE if shared else "")
    said = "; ".join(word for word in words if word)
    return lambda _: said


def capacitor(trial: Trial) -> Outcome:
    """Largest surplus against what the capacitor takes, where there is no resistor at all."""
    bus = _kept(trial)
    return Outcome(
        demand=bus.largest_store,
        limit=trial.at_drive(trial.drive_side.capacity),
        applies=~_either(trial),
        needs=(*CAPACITY, *BUS),
        at=bus.peak_time,
        text=_told_of(trial, "begun at the idle voltage of the bus"),
    )


def mean_power(trial: Trial) -> Outcome:
    """Mean power to the resistor against its rating."""
    return Outcome(
        demand=_kept(trial).resistor / trial.out.cycle_time,
        limit=_mean_limit(trial),
        applies=_either(trial),
        needs=("resistor.power_mean", *CAPACITY, *BUS),
        text=_told_of(trial),
    )


def peak_power(trial: Trial) -> Outcome:
    """Largest power against what the switching voltage drives through the resistance."""
    bus = _kept(trial)
    inside = _assumed(trial)
    more = _told_of(trial, FULL)

    def text(k: int) -> str:
        assumed = "resistance of the built-in resistor assumed" if inside[k] else ""
        return "; ".join(words for words in (assumed, more(k)) if words)

    return Outcome(
        demand=bus.peak_power,
        limit=_peak_limit(trial),
        applies=_either(trial),
        needs=("resistor.resistance", "drive.internal_resistor", *CAPACITY, *BUS),
        at=bus.peak_time,
        text=text,
    )


def pulse(trial: Trial) -> Outcome:
    """Largest energy without a pause against the pulse energy of the resistor."""
    bus = _kept(trial)
    return Outcome(
        demand=bus.pulse,
        limit=_pulse_limit(trial),
        applies=_either(trial),
        needs=("resistor.pulse_energy", *CAPACITY, *BUS),
        at=bus.peak_time,
        text=_told_of(trial, FULL),
    )


def _kept(trial: Trial) -> BusUse:
    """As :func:`_bus`, worked out once per trial."""
    if "bus" not in trial.kept:
        trial.kept["bus"] = _bus(trial)
    found: BusUse = trial.kept["bus"]
    return found


def lowest_resistance(trial: Trial) -> Outcome:
    """Smallest resistance the drive's switch bears against the one fitted."""
    return Outcome(
        demand=trial.drive("resistor_min"),
        limit=trial.resistor("resistance"),
        applies=_external(trial),
        needs=("drive.resistor_min", "resistor.resistance"),
    )
