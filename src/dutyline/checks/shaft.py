"""Checks of the shaft to which belt, teeth, rope or table are fitted, and of its bearings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import MOST_TORQUE, ROTOR
from dutyline.checks.mechanics import (
    effort_in_stop,
    life_wanted,
    nothing,
    peak_effort,
    same,
    stage_peak,
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

STOP_NEEDS = ("brake.torque_static", *MOST_TORQUE, *ROTOR)
BOTH_WAYS = 1e-9
"""Share by which a stop must exceed the cycle to be told."""


@dataclass(frozen=True, slots=True)
class Carried:
    """What the output shaft carries, one element per combination."""

    seat: Seat
    overhang: float
    """[m]; nan where not stated"""
    loads: SeatLoads | None
    """None where the file leaves something open"""
    most: Forces
    """(c,) largest of cycle and emergency stop"""
    by_stop: NDArray[np.bool_]
    """(c,) True where the stop governs"""


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
    open_ = same(trial, np.nan)
    if seat.overhang is None or seat.missing:
        unknown = np.nan if seat.overhang is None else seat.overhang
        none = np.zeros(trial.size, dtype=bool)
        return Carried(seat, unknown, None, Forces(open_, open_, open_), none)
    loads = seat_loads(trial.out, seat)
    if seat.turning is not None:
        effort = effort_in_stop(trial)
    elif trial.axis.stages:
        effort = stage_peak(trial, seat.stage)
    else:
        effort = peak_effort(trial)
    most = loads.in_stop(effort)
    by_stop = most.radial > (1 + BOTH_WAYS) * loads.peak.radial
    return Carried(seat, seat.overhang, loads, most.largest(loads.peak), by_stop)


def _open(trial: Trial, own: Carried, geared: bool) -> Outcome:
    """Not checked for want of something in the file; a caution while no overhang is stated."""
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
        severity="caution" if own.seat.overhang is None else "must",
    )


def _told(own: Carried, k: int) -> str:
    said = f"{own.seat.name} {quantity(own.overhang, 'm')} before the shoulder"
    return f"{said}, in an emergency stop" if own.by_stop[k] else said


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
    return Outcome(
        demand=own.most.radial,
        limit=_allowed(trial, own),
        applies=trial.choice.gearhead >= 0,
        needs=("gearhead.radial", "gearhead.bearing_offset", *STOP_NEEDS),
        text=lambda k: _told(own, k),
    )


def gear_axial(trial: Trial) -> Outcome:
    """Axial force on the output shaft against what the gearhead bears."""
    own = carried(trial)
    if own is None or own.loads is None or not np.any(own.loads.peak.axial > 0):
        return nothing(trial)
    return Outcome(
        demand=own.most.axial,
        limit=trial.gearhead("axial"),
        applies=trial.choice.gearhead >= 0,
        needs=("gearhead.axial", *STOP_NEEDS),
    )


def gear_tilting(trial: Trial) -> Outcome:
    """Moment about the pressure point of the output bearing against what the gearhead bears."""
    own = carried(trial)
    if own is None or own.loads is None:
        return nothing(trial)
    offset, _ = _offset(trial)
    return Outcome(
        demand=tilting_moment(own.most.radial, own.overhang + offset) + own.most.moment,
        limit=trial.gearhead("tilting"),
        applies=trial.choice.gearhead >= 0,
        needs=("gearhead.tilting", "gearhead.bearing_offset", *STOP_NEEDS),
        text=lambda k: _told(own, k),
    )


def motor_shaft(trial: Trial) -> Outcome:
    """Radial or axial force on the shaft of a motor without gearhead against what it bears.

    Both ratings hold each by itself: an axial force lowers the permitted radial one by its share.
    """
    own = carried(trial)
    if own is None:
        return nothing(trial)
    if own.loads is None:
        return _open(trial, own, geared=False)
    names = ("radial_load", "radial_load_point", "bearing_offset", "axial_load")
    rated, point, offset, axial = (trial.motor(name) for name in names)
    alone = same(trial, np.nan)
    known = np.isfinite(offset) & np.isfinite(point) & (offset + own.overhang > 0)
    alone[known] = permissible_radial(rated[known], point[known], own.overhang, offset[known])
    pushed = bool(np.any(own.loads.peak.axial > 0))
    lower = np.maximum(1.0 - own.most.axial / axial, 0.0) if pushed else 1.0
    only = pushed & (own.most.radial == 0)

    def text(k: int) -> str:
        said = "axial force" if only[k] else _told(own, k)
        return f"{said}; less by the share of the axial force" if pushed and not only[k] else said

    only = np.broadcast_to(only, (trial.size,))
    return Outcome(
        demand=np.where(only, own.most.axial, own.most.radial),
        limit=np.where(only, axial, alone * lower),
        applies=trial.choice.gearhead < 0,
        needs=(
            "motor.radial_load",
            "motor.radial_load_point",
            "motor.bearing_offset",
            *(("motor.axial_load",) if pushed else ()),
            *STOP_NEEDS,
        ),
        text=text,
    )


def gear_bearing_life(trial: Trial) -> Outcome:
    """Working time wanted against the life of the output bearing under the loads of the cycle.

    The permitted forces count as those of the rated life at the rated output speed; radial and
    axial shares add (ISO 281, P = X F_r + Y F_a). The exponent that gives the shorter life counts.
    """
    own = carried(trial)
    if own is None or own.loads is None:
        return nothing(trial)
    limit = same(trial, np.nan)
    first, back = distinct(trial.choice.gearhead)
    offset, point = _offset(trial)
    names = ("radial", "axial", "life", "speed_rated_out")
    radial, axial, rated, speed = (trial.gearhead(name) for name in names)
    pushed = bool(np.any(own.loads.peak.axial > 0))
    found = np.full(first.size, np.nan)
    for n, k in enumerate(first.tolist()):
        needed = (radial[k], offset[k], rated[k], speed[k], *((axial[k],) if pushed else ()))
        if not np.all(np.isfinite(needed)) or trial.choice.gearhead[k] < 0:
            continue
        bears = radial[k] * (offset[k] + point[k])
        found[n] = _worn(trial, own.loads, own.overhang + offset[k], bears,
                         axial[k] if pushed else np.inf, (rated[k], speed[k]))  # fmt: skip
    limit = found[back]
    return Outcome(
        demand=same(trial, life_wanted(trial)),
        limit=limit,
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
