"""Checks of the shaft to which belt, teeth, rope or table are fitted, and of its bearings."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import MOST_TORQUE, ROTOR
from dutyline.checks.mechanics import (
    Share,
    effort_in_stop,
    in_ramp,
    life_wanted,
    nothing,
    peak_effort,
    same,
    stage_peak,
    worst_of,
)
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial
from dutyline.core.grouping import distinct
from dutyline.core.numbers import quantity
from dutyline.demand.shaft_loads import Forces, Seat, SeatLoads, seat_loads, seat_of
from dutyline.physics.duty import power_mean
from dutyline.physics.gear_loads import permissible_radial, tilting_moment
from dutyline.physics.gears import life
from dutyline.physics.rolling_life import BALL, ROLLER

Array = NDArray[np.float64]

RADIAL = ("gearhead.radial", "gearhead.bearing_offset")
TILTING = ("gearhead.tilting", "gearhead.bearing_offset")
MOTOR = ("motor.radial_load", "motor.radial_load_point", "motor.bearing_offset")


@dataclass(frozen=True, slots=True)
class Carried:
    """What the output shaft carries."""

    seat: Seat
    overhang: float
    """[m]; nan where not stated"""
    loads: SeatLoads | None
    """None where the file leaves something open"""
    stop: Forces
    """(c,) largest in an emergency stop, one per combination; nan where that is not known"""


def carried(trial: Trial) -> Carried | None:
    """What sits on the output shaft; None where nothing presses on it. Worked out once."""
    if "carried" not in trial.kept:
        trial.kept["carried"] = _carried(trial)
    found: Carried | None = trial.kept["carried"]
    return found


def _carried(trial: Trial) -> Carried | None:
    seat = seat_of(trial.axis)
    if seat is None:
        return None
    if seat.overhang is None or seat.missing:
        open_ = same(trial, np.nan)
        unknown = np.nan if seat.overhang is None else seat.overhang
        return Carried(seat, unknown, None, Forces(open_, open_, open_))
    loads = seat_loads(trial.out, seat)
    if seat.turning is not None:
        effort = effort_in_stop(trial)
    elif trial.axis.stages:
        effort = stage_peak(trial, seat.stage)
    else:
        effort = peak_effort(trial)
    return Carried(seat, seat.overhang, loads, loads.in_stop(effort))


def _open(trial: Trial, own: Carried, geared: bool) -> Outcome:
    """Not checked for want of something in the file."""
    empty = same(trial, np.nan)
    missing = own.seat.missing
    if own.seat.overhang is None:
        words = f"distance of the {own.seat.name} from the shoulder of the shaft, mm"
        missing = (f"{words} ({own.seat.path}), or a coupling where it has bearings of its own",)
    return Outcome(
        empty,
        empty,
        applies=(trial.choice.gearhead >= 0) == geared,
        missing=missing,
    )


def _judged(
    trial: Trial, own: Carried, demand: Array, limit: Array, geared: bool, needs: tuple[str, ...]
) -> Outcome:
    """A force of the cycle against its rating."""
    said = f"{own.seat.name} {quantity(own.overhang, 'm')} before the shoulder"
    return Outcome(
        demand=np.broadcast_to(demand, (trial.size,)).astype(float),
        limit=limit,
        applies=(trial.choice.gearhead >= 0) == geared,
        needs=needs,
        text=lambda _: said,
    )


def _offset(trial: Trial) -> tuple[Array, Array]:
    """Pressure point of the output bearing behind the shoulder, and the point of the rating [m].

    The rating belongs to the middle of the shaft; of a shaft without a stated length to its
    shoulder, which is on the safe side.
    """
    half = trial.gearhead("shaft_out_length") / 2
    return trial.gearhead("bearing_offset"), np.where(np.isnan(half), 0.0, half)


def _allowed(trial: Trial, own: Carried) -> Array:
    """Radial force that the gearhead bears at the overhang [N]."""
    offset, point = _offset(trial)
    limit = same(trial, np.nan)
    known = np.isfinite(offset) & (offset + own.overhang > 0)
    rated = trial.gearhead("radial")
    limit[known] = permissible_radial(rated[known], point[known], own.overhang, offset[known])
    return limit


def gear_radial(trial: Trial) -> Outcome:
    """Radial force on the output shaft against what the gearhead bears at that place."""
    own = carried(trial)
    if own is None:
        return nothing(trial)
    if own.loads is None:
        return _open(trial, own, geared=True)
    limit = _allowed(trial, own)
    return _judged(trial, own, own.loads.peak.radial, limit, True, RADIAL)


def gear_axial(trial: Trial) -> Outcome:
    """Axial force on the output shaft against what the gearhead bears."""
    own = carried(trial)
    if own is None or own.loads is None or not own.loads.peak.axial > 0:
        return nothing(trial)
    limit = trial.gearhead("axial")
    return _judged(trial, own, own.loads.peak.axial, limit, True, ("gearhead.axial",))


def gear_tilting(trial: Trial) -> Outcome:
    """Moment about the pressure point of the output bearing against what the gearhead bears."""
    own = carried(trial)
    if own is None or own.loads is None:
        return nothing(trial)
    moment = _moment(trial, own, own.loads.peak)
    return _judged(trial, own, moment, trial.gearhead("tilting"), True, TILTING)


def _moment(trial: Trial, own: Carried, forces: Forces) -> Array:
    """About the pressure point of the output bearing [N*m]."""
    arm = own.overhang + _offset(trial)[0]
    moment: Array = tilting_moment(forces.radial, arm) + forces.moment
    return moment


def motor_shaft(trial: Trial) -> Outcome:
    """Radial or axial force on the shaft of a motor without gearhead against what it bears.

    Both ratings hold each by itself: an axial force lowers the permitted radial one by its share.
    The moment of an axial force beside the axis counts as radial force of the same moment.
    """
    own = carried(trial)
    if own is None:
        return nothing(trial)
    if own.loads is None:
        return _open(trial, own, geared=False)
    demand, limit = _on_motor(trial, own, own.loads.peak)
    pushed = bool(own.loads.peak.axial > 0)
    needs = (*MOTOR, "motor.axial_load") if pushed else MOTOR
    return _judged(trial, own, demand, limit, False, needs)


def _on_motor(trial: Trial, own: Carried, forces: Forces) -> tuple[Array, Array]:
    """Force and limit; the axial force where there is no other, else it takes its share off."""
    names = ("radial_load", "radial_load_point", "bearing_offset", "axial_load")
    rated, point, offset, axial = (trial.motor(name) for name in names)
    alone = same(trial, np.nan)
    known = np.isfinite(offset) & np.isfinite(point) & (offset + own.overhang > 0)
    alone[known] = permissible_radial(rated[known], point[known], own.overhang, offset[known])
    lever = np.where(known, offset + own.overhang, np.nan)
    tilted = np.where(forces.moment > 0, forces.moment / lever, 0.0)
    across = forces.radial + tilted
    along = np.broadcast_to(forces.axial, (trial.size,))
    left = np.where(along > 0, np.maximum(1.0 - along / axial, 0.0), 1.0)
    only = (along > 0) & (across == 0)
    return np.where(only, along, across), np.where(only, axial, alone * left)


def in_stop(trial: Trial) -> Outcome:
    """Force or moment on the shaft in an emergency stop against the ratings of the cycle.

    A caution: ratings hold for a long life, a stop is a rare event.
    """
    own = carried(trial)
    if own is None or own.loads is None:
        return nothing(trial)
    loads = own.loads
    if in_ramp(trial):
        own = replace(own, stop=loads.peak)
    elif trial.out.stops.size == 0:
        return nothing(trial)
    geared = trial.choice.gearhead >= 0
    force, bears = _on_motor(trial, own, own.stop)
    gear_bears, moment = _allowed(trial, own), _moment(trial, own, own.stop)
    tilting = np.where(geared, trial.gearhead("tilting"), np.inf)
    shares = [
        Share(np.where(geared, own.stop.radial, force), np.where(geared, gear_bears, bears),
              "force", "N"),
        Share(np.where(geared, moment, 0.0), tilting, "tilting moment", "N*m"),
    ]  # fmt: skip
    pushed = bool(loads.peak.axial > 0)
    if pushed:
        axial = np.where(geared, trial.gearhead("axial"), np.inf)
        shares.append(Share(np.where(geared, own.stop.axial, 0.0), axial, "axial force", "N"))
    found = worst_of(trial, shares, "torque of brake and motor, N·m")
    more = ("gearhead.axial", "motor.axial_load") if pushed else ()
    needs = (*RADIAL, *TILTING, *MOTOR, *more, "brake.torque_static", *MOST_TORQUE, *ROTOR)
    return replace(found, needs=needs)


def gear_bearing_life(trial: Trial) -> Outcome:
    """Working time wanted against the life of the output bearing under the loads of the cycle.

    The permitted forces count as those of the rated life at the rated output speed; radial and
    axial shares add (ISO 281, P = X F_r + Y F_a). The exponent that gives the shorter life counts.
    """
    own = carried(trial)
    if own is None or own.loads is None:
        return nothing(trial)
    first, back = distinct(trial.choice.gearhead)
    offset, point = _offset(trial)
    names = ("radial", "axial", "life", "speed_rated_out")
    radial, axial, rated, speed = (trial.gearhead(name) for name in names)
    pushed = bool(own.loads.peak.axial > 0)
    found = np.full(first.size, np.nan)
    for n, k in enumerate(first.tolist()):
        needed = (radial[k], offset[k], rated[k], speed[k], *((axial[k],) if pushed else ()))
        if not np.all(np.isfinite(needed)) or trial.choice.gearhead[k] < 0:
            continue
        bears = radial[k] * (offset[k] + point[k])
        found[n] = _worn(trial, own.loads, own.overhang + offset[k], bears,
                         axial[k] if pushed else np.inf, (rated[k], speed[k]))  # fmt: skip
    return Outcome(
        demand=same(trial, life_wanted(trial)),
        limit=found[back],
        applies=trial.choice.gearhead >= 0,
        needs=(
            "gearhead.radial",
            "gearhead.bearing_offset",
            *(("gearhead.axial",) if pushed else ()),
            "gearhead.life",
            "gearhead.speed_rated_out",
        ),
    )


def _worn(
    trial: Trial,
    loads: SeatLoads,
    arm: float,
    moment: float,
    axial: float,
    rated: tuple[float, float],
) -> float:
    """Life of an output bearing [s]; ``moment`` and ``axial`` are what it bears for its rating."""
    out, over = trial.out, loads.over
    turned = out.weight * np.abs(out.speed)
    if turned.sum() == 0:
        return float("inf")
    if moment <= 0 or axial <= 0:
        return 0.0
    share = (over.radial * arm + over.moment) / moment + over.axial / axial
    lives = []
    for exponent in (BALL, ROLLER):
        equal = float(power_mean(share.ravel(), turned.ravel(), exponent))
        lives.append(float(life(equal, out.mean_speed, 1.0, rated[1], rated[0], exponent)))
    return min(lives)
