"""What is taken where a product line states nothing, without being asked; every check tells it.

A convention stands where a missing datum has a usual value of a standard, or an end that is on the
safe side whatever the datum is. Everything else that is missing leaves its checks open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.assumptions import Assumption
from dutyline.catalogue.boundaries import BRAKE_FACTOR, COMPUTED
from dutyline.catalogue.motor_constants import ALTITUDE_RATED, AMBIENT_RATED, iron_stated
from dutyline.checks.lacking import part_of
from dutyline.checks.sides import ALTITUDE_USUAL, AMBIENT_USUAL
from dutyline.physics.continuous_torque import IRON_EXPONENT

if TYPE_CHECKING:
    from dutyline.checks.trial import Trial

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Convention:
    """What is taken for one datum that is missing."""

    field: str
    """``motor.brake_factor``"""
    where: Callable[[Trial], Flags]
    """Combinations in which it is missing and matters."""
    method: str
    value: float | None = None
    source: str = ""
    safe: bool = False
    """No other value makes a check come out worse."""

    def of(self, trial: Trial, k: int) -> Assumption:
        """As a combination has it."""
        kind, _, field = self.field.partition(".")
        part = part_of(trial, kind, k)
        return Assumption(
            kind, part.name, field, self.method, self.value, source=self.source, safe=self.safe
        )


def taken(trial: Trial, needs: tuple[str, ...], k: int) -> Iterator[Assumption]:
    """Conventions that stand in for data of combination ``k`` behind some needs."""
    holding = _holding(trial)
    for name in needs:
        for convention, flags in holding.get(name, ()):
            if flags[k]:
                yield convention.of(trial, k)


def _holding(trial: Trial) -> dict[str, list[tuple[Convention, Flags]]]:
    """The conventions that any combination falls back on, by need; found once per trial."""
    if "conventions" not in trial.kept:
        every = {
            name: [(c, flags) for c in own if (flags := c.where(trial)).any()]
            for name, own in CONVENTIONS.items()
        }
        trial.kept["conventions"] = {name: own for name, own in every.items() if own}
    found: dict[str, list[tuple[Convention, Flags]]] = trial.kept["conventions"]
    return found


def _no(kind: str, field: str) -> Callable[[Trial], Flags]:
    """Where a part is there and a number of it is not."""

    def where(trial: Trial) -> Flags:
        there = getattr(trial.choice, kind) >= 0
        missing: Flags = np.isnan(getattr(trial, kind)(field)) & there
        return missing

    return where


def _both(first: Callable[[Trial], Flags], second: Callable[[Trial], Flags]) -> Callable[
    [Trial], Flags
]:  # fmt: skip
    return lambda trial: first(trial) & second(trial)


def _braked(trial: Trial) -> Flags:
    return trial.choice.brake >= 0


def _computed(trial: Trial) -> Flags:
    """Where the continuous boundary comes from the constants of the motor."""
    shelf, index = trial.boundaries.continuous, trial.choice.motor * 2 + (trial.choice.brake >= 0)
    origins = {int(i): b.origin for i in set(index.tolist()) if (b := shelf[int(i)]) is not None}
    return np.array([origins.get(int(i)) == COMPUTED for i in index], dtype=bool)


def _iron_untold(trial: Trial) -> Flags:
    told = [iron_stated(trial.line.motors[int(m)]) for m in trial.choice.motor]
    return ~np.array(told, dtype=bool)


def _emf_alone(trial: Trial) -> Flags:
    return _no("motor", "torque_constant")(trial) & ~np.isnan(trial.motor("voltage_constant"))


def _peak_computed(trial: Trial) -> Flags:
    """Where the short-time boundary comes from the constants of the motor."""
    shelf = trial.boundaries.peak
    origins = {int(m): b.origin for m in set(trial.choice.motor.tolist())
               if (b := shelf[int(m)]) is not None}  # fmt: skip
    return np.array([origins.get(int(m)) == COMPUTED for m in trial.choice.motor], dtype=bool)


def _no_overload(trial: Trial) -> Flags:
    drives = trial.line.drives
    return np.array([d >= 0 and not drives[int(d)].overload_curve for d in trial.choice.drive])


def _iron_grows(trial: Trial) -> Flags:
    known: Flags = ~np.isnan(trial.motor("iron_loss_rated"))
    return known & _no("motor", "iron_exponent")(trial)


def _built_in(trial: Trial) -> Flags:
    inside = (trial.choice.resistor < 0) & (trial.drive("internal_resistor_power") > 0)
    return inside & np.isnan(trial.drive("internal_resistor"))


_SERVICE = "usual service conditions of IEC 61800-2, from memory"
_RATING = "IEC 60034-1, from memory"
_USUAL = "common practice, no source"

_IRON_EXPONENT = Convention(
    "motor.iron_exponent", _no("motor", "iron_exponent"), "usual growth of iron loss with speed",
    IRON_EXPONENT, _USUAL,
)  # fmt: skip
_HEAT = (
    Convention(
        "motor.brake_factor", _both(_braked, _no("motor", "brake_factor")),
        "usual loss of continuous torque beside a released brake", BRAKE_FACTOR, _USUAL,
    ),
    Convention(
        "motor.ambient_max", _no("motor", "ambient_max"), "usual ambient of a rating",
        AMBIENT_RATED, _RATING,
    ),
    Convention(
        "motor.altitude_max", _no("motor", "altitude_max"), "usual altitude of a rating",
        ALTITUDE_RATED, _RATING,
    ),
    Convention(
        "motor.iron_exponent", _both(_computed, _no("motor", "iron_exponent")),
        _IRON_EXPONENT.method, IRON_EXPONENT, _USUAL,
    ),
    Convention(
        "motor.iron_loss_rated", _both(_computed, _iron_untold),
        "as far as the rated torque lies below the stall torque",
        source="two-node network, the rated point set by heat",
    ),
)  # fmt: skip

CONVENTIONS: dict[str, tuple[Convention, ...]] = {
    "motor.continuous_boundary": _HEAT,
    "motor.peak_boundary": (
        Convention(
            "motor.torque_constant", _both(_emf_alone, _peak_computed),
            "root of 3 times the voltage constant",
            source="sinusoidal emf and current; machine textbooks, from memory",
        ),
    ),
    "motor.stall": (
        Convention(
            "motor.current_stall", _no("motor", "current_stall"),
            "stall torque over torque constant", source="definition of the torque constant",
        ),
    ),
    "motor.peak": (
        Convention(
            "motor.current_peak", _no("motor", "current_peak"),
            "peak torque over torque constant and saturation",
            source="definition of the saturation factor",
        ),
    ),
    "motor.iron": (
        Convention(
            "motor.iron_loss_rated", _no("motor", "iron_loss_rated"),
            "none counted, so that more energy returns", 0.0, "safe side", safe=True,
        ),
        replace(_IRON_EXPONENT, where=_iron_grows),
    ),
    "motor.iron_loss_rated": (_IRON_EXPONENT,),
    "drive.overload_curve": (
        Convention(
            "drive.overload_curve", _no_overload, "usual curve, 1.25 for 10 s and 3 for 0.5 s",
            source=_USUAL,
        ),
    ),
    "drive.ambient_max": (
        Convention(
            "drive.ambient_max", _no("drive", "ambient_max"), "usual ambient of a rating",
            AMBIENT_USUAL, _SERVICE,
        ),
    ),
    "drive.altitude_max": (
        Convention(
            "drive.altitude_max", _no("drive", "altitude_max"), "usual altitude of a rating",
            ALTITUDE_USUAL, _SERVICE,
        ),
    ),
    "drive.internal_resistor": (
        Convention(
            "drive.internal_resistor", _built_in, "the lowest resistance that the drive bears",
            source="common practice, no source; a larger one takes less power",
        ),
    ),
    "brake.speed_max": (
        Convention(
            "brake.speed_max", _no("brake", "speed_max"), "the highest speed of the motor",
            source="common practice, no source",
        ),
    ),
    "gearhead.bearing_offset": (
        Convention(
            "gearhead.shaft_out_length", _no("gearhead", "shaft_out_length"),
            "the rating counted at the shoulder", 0.0, "safe side", safe=True,
        ),
    ),
}  # fmt: skip
"""By the need of a check behind which the datum stands."""
