"""Checks of encoder and electronic gear: bits, pulse command, gear as whole numbers, range."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.records import Outcome, no_line
from dutyline.checks.trial import Trial
from dutyline.core.numbers import bare, quantity
from dutyline.physics.gearing import (
    command_frequency,
    gear,
    nearest_gear,
    range_wraps,
    recognised,
)

Array = NDArray[np.float64]

PULSES_MOST = 5e5
"""[Hz] that a differential pulse input takes (common practice; open collector 200 kHz)."""
REGISTER = 2**31 - 1
"""Largest number that a register of 32 bits with sign holds."""
IRRATIONAL_MOST = 2**15
"""Denominator up to which a gear that is no fraction is approached."""
AUDIBLE = 50
"""Counts per unit above which single steps may be heard (common practice)."""


@dataclass(frozen=True, slots=True)
class Gear:
    """Electronic gear of one combination."""

    ratio: Fraction
    """Encoder counts per unit of the command."""
    error: float
    """[1] relative; 0 where the gear is exact"""


def _unit(trial: Trial) -> float:
    """Travel per unit of the command [m or rad]."""
    usual = 1e-6 if trial.axis.linear else float(np.radians(1e-3))
    return trial.axis.require.unit or usual


def bits(trial: Trial) -> Outcome:
    """Bits of the encoder that are wanted against those it has."""
    wanted = trial.axis.require.encoder_bits
    if wanted is None:
        return no_line(trial.size)
    return Outcome(
        demand=np.full(trial.size, float(wanted)),
        limit=trial.motor("encoder_bits"),
        needs=("motor.encoder_bits",),
    )


def pulses(trial: Trial) -> Outcome:
    """Pulses per second at top speed against what a pulse input takes."""
    reach = trial.out.travel_per_radian
    if trial.axis.require.command != "pulse" or reach is None:
        return no_line(trial.size)
    unit = _unit(trial)
    shown = quantity(unit, "m" if trial.axis.linear else "rad")
    return Outcome(
        demand=np.full(trial.size, command_frequency(abs(reach) * trial.out.peak_speed, unit)),
        limit=np.full(trial.size, PULSES_MOST),
        text=lambda _: f"{shown} per pulse; an open collector takes 200 kHz",
    )


def _gears(trial: Trial) -> list[Gear | None]:
    """Electronic gear of each combination; None where it is not known."""
    reach = trial.out.travel_per_radian
    per_turn = None if reach is None else abs(reach) * 2 * np.pi / _unit(trial)
    exact = None if per_turn is None else recognised(float(per_turn))
    found: list[Gear | None] = []
    for motor, head in zip(trial.choice.motor, trial.choice.gearhead, strict=True):
        own = trial.line.motors[motor].encoder_bits
        ratio = Fraction(1) if head < 0 else trial.line.gearheads[head].ratio_exact
        if own is None or per_turn is None:
            found.append(None)
        elif exact is not None:
            found.append(Gear(gear(2**own, ratio, exact), 0.0))
        else:
            wanted = 2.0**own * float(ratio) / float(per_turn)
            found.append(Gear(*nearest_gear(wanted, IRRATIONAL_MOST)))
    return found


def registers(trial: Trial) -> Outcome:
    """Numerator and denominator of the electronic gear against a register of 32 bits."""
    require = trial.axis.require
    if (require.command != "pulse" and require.unit is None) or trial.screening:
        return no_line(trial.size)
    found = _gears(trial)
    larger = [np.nan if g is None else float(max(g.ratio.as_integer_ratio())) for g in found]

    def text(k: int) -> str:
        one = found[k]
        if one is None:
            return ""
        said = f"{one.ratio} counts per unit"
        if one.error:
            said += f", off by {bare(abs(one.error) * 1e6, 3)} ppm"
        heard = require.command == "pulse" and one.ratio > AUDIBLE
        return said + (", steps may be heard" if heard else "")

    return Outcome(
        demand=np.array(larger),
        limit=np.full(trial.size, float(REGISTER)),
        needs=("motor.encoder_bits",),
        text=text,
    )


def absolute(trial: Trial) -> Outcome:
    """Motor turns over the travel, or wraps of an endless axis, against the encoder's range."""
    out = trial.out
    if trial.axis.require.absolute is not True or out.travel_per_radian is None or trial.screening:
        return no_line(trial.size)
    turns = 2.0 ** trial.motor("encoder_turn_bits")
    own = trial.axis.mechanism
    endless = own is not None and bool(own.endless)
    if endless and not trial.axis.linear:
        demand, limit = _wraps(trial), np.ones(trial.size)
    else:
        position = out.ends.position
        stated = None if own is None else own.travel
        travel = stated or float(position.max() - position.min())
        ratio = trial.at_motor(trial.motor_side.shafts.ratio)
        demand = travel / abs(out.travel_per_radian) / (2 * np.pi) * ratio
        limit = turns

    def text(k: int) -> str:
        if endless and not trial.axis.linear:
            return "full ranges of the encoder until the load stands as before; more are counted"
        return "turns of the motor over the travel"

    return Outcome(
        demand=demand,
        limit=limit,
        needs=("motor.encoder_turn_bits",),
        missing=("exact ratio of the stages",),
        text=text,
    )


def _wraps(trial: Trial) -> Array:
    """Full ranges of the encoder after which the load stands as before."""
    reach = trial.out.travel_per_radian
    stages = None if reach is None else recognised(1.0 / abs(reach))
    found = np.full(trial.size, np.nan)
    for k, (motor, head) in enumerate(zip(trial.choice.motor, trial.choice.gearhead, strict=True)):
        own = trial.line.motors[motor].encoder_turn_bits
        ratio = Fraction(1) if head < 0 else trial.line.gearheads[head].ratio_exact
        if own is not None and stages is not None:
            found[k] = range_wraps(2**own, stages * ratio)
    return found
