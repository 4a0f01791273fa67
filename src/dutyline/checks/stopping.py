"""Checks of an emergency stop by the holding brake alone: distance, friction work, wear."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import ROTOR
from dutyline.checks.records import Outcome, no_line
from dutyline.checks.stop_torques import KEPT, brake_delay, side_brake
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity
from dutyline.demand.following import follow
from dutyline.physics.brakes import stop_downward, stop_upward, stops_in_life

Array = NDArray[np.float64]
Index = NDArray[np.intp]
WEBS = ("winder", "feed-rolls")
FALLING = "a falling load gains speed until the brake grips"


@dataclass(frozen=True, slots=True)
class BrakeStops:
    """``c`` distinct motor sides, ``n`` states of the cycle; see :class:`StopStates`."""

    distance: Array
    """(c, n) [m or rad] of the load, from the loss of power to rest"""
    delayed: Array
    """(c, n) [m or rad] of it before the brake grips"""
    time: Array
    """(c, n) [s] from the loss of power to rest"""
    work: Array
    """(c, n) [J] friction work of the brake"""
    speed: Array
    """(c, n) [rad/s] of the motor when the brake grips"""
    rise: Array
    """(c, n) [m or rad] up to where a rising load turns round before the brake grips, else 0;
    ``distance`` then counts from there"""


def brake_stops(trial: Trial) -> BrakeStops:
    """Stops by the brake from every state, worked out once per trial."""
    if "brake stops" not in trial.kept:
        trial.kept["brake stops"] = _stops(trial)
    found: BrakeStops = trial.kept["brake stops"]
    return found


def _stops(trial: Trial) -> BrakeStops:
    states, shafts = trial.out.stops, trial.motor_side.shafts
    ratio = shafts.ratio[:, None]
    torque = KEPT * side_brake(trial, "torque_static")[:, None]
    delay = brake_delay(trial)[:, None]
    if states.ways is not None:
        far = follow(states, shafts.ratio, shafts.inertia, torque, delay[:, 0])
        return BrakeStops(
            distance=far.distance,
            delayed=far.delayed,
            time=far.time,
            work=torque * far.braked * ratio,
            speed=far.speed * ratio,
            rise=far.rise,
        )
    inertia = shafts.inertia[:, None] + states.inertia / ratio**2
    speed, pull = states.speed * ratio, np.abs(states.pull) / ratio
    down = stop_downward(speed, pull, inertia, torque, delay)
    up = stop_upward(speed, pull, inertia, torque, delay)
    rising = (states.pull < 0) & ~states.rest
    reach = abs(trial.out.travel_per_radian or np.nan) / ratio

    def pick(name: str) -> Array:
        found: Array = np.where(rising, getattr(up, name), getattr(down, name))
        return found

    return BrakeStops(
        distance=pick("angle") * reach,
        delayed=pick("angle_delay") * reach,
        time=delay + pick("time_brake"),
        work=pick("energy"),
        speed=pick("speed"),
        rise=np.where(rising & up.falls, _crest(speed, pull, inertia) * reach, 0.0),
    )


def _crest(speed: Array, pull: Array, inertia: Array) -> Array:
    """Angle on which a weight alone stops a rising load [rad]."""
    with np.errstate(divide="ignore", invalid="ignore"):
        found: Array = speed**2 * inertia / (2 * pull)
    return found


def _worst(value: Array) -> tuple[Array, Index]:
    """Largest of each row and its column; nan goes before any number."""
    column = np.where(np.isnan(value), np.inf, value).argmax(axis=1)
    return value[np.arange(value.shape[0]), column], column


def _braked(trial: Trial) -> NDArray[np.bool_]:
    return trial.choice.brake >= 0


def _length(trial: Trial, value: float) -> str:
    return quantity(float(value), "m" if trial.axis.linear else "rad")


def distance(trial: Trial) -> Outcome:
    """Distance of a stop by the brake against what is free in that direction."""
    free, states = trial.axis.stop.free_distance, trial.out.stops
    if free is None or states.size == 0:
        return no_line(trial.size)
    stops = brake_stops(trial)
    ahead, behind = (np.where(states.forward, free[k], free[1 - k]) for k in (1, 0))
    turned = stops.rise > 0
    way_on = np.where(turned, stops.rise, stops.distance)
    way_back = np.where(turned, np.maximum(stops.distance - stops.rise, 0.0), 0.0)
    travel = np.concatenate([way_on, way_back], axis=1)
    limit = np.concatenate([ahead, behind])
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where((limit > 0) | np.isnan(travel), travel / limit, np.inf)
    share = np.where(travel == 0, 0.0, share)
    _, column = _worst(share)
    rows, place = np.arange(column.size), column % states.size
    delayed = trial.at_motor(stops.delayed[rows, place])
    return Outcome(
        demand=trial.at_motor(travel[rows, column]),
        limit=trial.at_motor(limit[column]),
        applies=_braked(trial),
        needs=("brake.torque_static", "brake.engage_time", *ROTOR),
        at=trial.at_motor(states.time[place]),
        unit=np.full(trial.size, "m" if trial.axis.linear else "rad"),
        text=lambda k: f"{_length(trial, delayed[k])} before the brake grips",
    )


def work(trial: Trial) -> Outcome:
    """Friction work of the worst stop against what the brake bears at once."""
    if trial.out.stops.size == 0:
        return no_line(trial.size)
    stops = brake_stops(trial)
    heat, hottest = _worst(stops.work)
    long, longest = _worst(stops.distance)
    before = trial.at_motor(stops.delayed[np.arange(longest.size), longest])
    long = trial.at_motor(long)
    pulling = _what_pulls(trial)

    def text(k: int) -> str:
        if not np.isfinite(long[k]):
            return f"the brake does not stop {pulling[k]}"
        gripping = _length(trial, before[k])
        return f"stops within {_length(trial, long[k])}, {gripping} of it before the brake grips"

    return Outcome(
        demand=trial.at_motor(heat),
        limit=trial.brake("work_per_stop"),
        applies=_braked(trial),
        needs=("brake.torque_static", "brake.engage_time", "brake.work_per_stop", *ROTOR),
        at=trial.at_motor(trial.out.stops.time[hottest]),
        text=text,
    )


def _what_pulls(trial: Trial) -> list[str]:
    """What drives the axis on against the brake: a weight that is too much for it, or else."""
    weight = abs(trial.out.static_torque) / trial.motor_side.shafts.ratio
    heavy = trial.at_motor(weight >= KEPT * side_brake(trial, "torque_static"))
    other = "the pull of the web" if trial.axis.train.kind in WEBS else "the force that drives it"
    return ["the falling load" if own else other for own in heavy & trial.out.gravity_acts]


def speed(trial: Trial) -> Outcome:
    """Motor speed when the brake grips against the brake's own limit, else the motor's."""
    if trial.out.stops.size == 0:
        return no_line(trial.size)
    reached, fastest = _worst(brake_stops(trial).speed)
    own = trial.brake("speed_max")
    return Outcome(
        demand=trial.at_motor(reached),
        limit=np.where(np.isnan(own), trial.motor("speed_max"), own),
        applies=_braked(trial),
        needs=("brake.engage_time", "brake.speed_max", *ROTOR),
        at=trial.at_motor(trial.out.stops.time[fastest]),
        text=(lambda _: FALLING) if trial.out.gravity_acts else None,
    )


def wear(trial: Trial) -> Outcome:
    """Emergency stops over the years against what the brake's total friction work allows."""
    if trial.out.stops.size == 0:
        return no_line(trial.size)
    heat, hottest = _worst(brake_stops(trial).work)
    duty = trial.axis.duty
    return Outcome(
        demand=np.full(trial.size, duty.stops * duty.years),
        limit=stops_in_life(trial.brake("work_total"), trial.at_motor(heat)),
        applies=_braked(trial),
        needs=("brake.torque_static", "brake.engage_time", "brake.work_total", *ROTOR),
        at=trial.at_motor(trial.out.stops.time[hottest]),
        text=lambda _: "every stop counted as the worst one",
    )


def figures(trial: Trial) -> dict[str, Array]:
    """Worst stop by the brake: distance, part of it before the brake grips, time, work; SI."""
    if trial.out.stops.size == 0:
        return {}
    stops = brake_stops(trial)
    rows = {"distance": stops.distance, "before_grip": stops.delayed, "time": stops.time,
            "work": stops.work}  # fmt: skip
    return {name: trial.at_motor(_worst(value)[0]) for name, value in rows.items()}


def told(trial: Trial, k: int) -> str:
    """What a loss of power does to one combination with a brake, in a sentence; "" if not known."""
    found = {name: float(value[k]) for name, value in figures(trial).items()}
    if not found or np.isnan(found["distance"]):
        return ""
    before = _length(trial, found["before_grip"])
    if not np.isfinite(found["distance"]):
        return f"Loss of power: the brake does not stop {_what_pulls(trial)[k]}."
    duty, life = trial.axis.duty, float(trial.brake("work_total")[k])
    said = (
        f"Loss of power: the axis stops within {_length(trial, found['distance'])} and "
        f"{quantity(found['time'], 's')}, {before} of it before the brake grips; "
        f"{quantity(found['work'], 'J')} of friction work each time"
    )
    yearly = quantity(found["work"] * duty.stops, "J")
    said += f", {yearly} a year with {quantity(duty.stops, '1')} emergency stops"
    return said + ("." if np.isnan(life) else f", of {quantity(life, 'J')} that the brake bears.")
