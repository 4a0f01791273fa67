"""Checks of a stop by the drive, by shorted windings, and on the energy of the bus."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.boundaries import boundary_limit
from dutyline.checks.lacking import BUS, MOST_TORQUE, ROTOR, SHORTED
from dutyline.checks.mains_power import hot_losses
from dutyline.checks.records import Outcome, no_line
from dutyline.checks.sides import CAPACITANCE_KEPT
from dutyline.checks.stop_torques import drive_torque
from dutyline.checks.trial import Trial
from dutyline.core.grouping import distinct_values
from dutyline.core.numbers import quantity
from dutyline.demand.bus import dark_draw
from dutyline.demand.following import follow
from dutyline.physics.brakes import short_circuit_angle
from dutyline.physics.bus import capacitor_energy
from dutyline.physics.stops import controlled_stop, stop_energy
from dutyline.physics.torque_speed import bus_voltage, flux_linkage, hot_resistance

Array = NDArray[np.float64]


def _applies(trial: Trial) -> bool:
    return trial.axis.stop.free_distance is not None and trial.out.stops.size > 0


def _shafts(trial: Trial) -> tuple[Array, Array]:
    """Ratio and inertia of everything at the motor, (c, 1) and (c, n)."""
    shafts = trial.motor_side.shafts
    ratio, own = (trial.at_motor(v)[:, None] for v in (shafts.ratio, shafts.inertia))
    return ratio, own + trial.out.stops.inertia / ratio**2


def _braking(trial: Trial) -> Array:
    """(c, n) torque of the drive at the speed of each state [N*m]; motoring boundary."""
    ratio, _ = _shafts(trial)
    result = np.full((trial.size, trial.out.stops.size), np.nan)
    for motor in distinct_values(trial.choice.motor):
        boundary = trial.boundaries.peak[motor]
        if boundary is not None:
            rows = trial.choice.motor == motor
            result[rows] = boundary_limit(boundary, ratio[rows] * trial.out.stops.speed)
    capped: Array = np.minimum(result, drive_torque(trial)[:, None])
    return capped


@dataclass(frozen=True, slots=True)
class DriveStops:
    """Stops by the drive, ``c`` combinations and ``n`` states of the cycle."""

    travel: Array
    """(c, n) [m or rad] of the load, reaction included"""
    angle: Array
    """(c, n) [rad] of the motor while braked"""
    time: Array
    """(c, n) [s] of braking"""
    torque: Array
    """(c, n) [N*m] of the motor"""


def _stops(trial: Trial) -> DriveStops:
    """Stops by the drive from every state, worked out once per trial."""
    if "drive stops" not in trial.kept:
        trial.kept["drive stops"] = _worked_out(trial)
    found: DriveStops = trial.kept["drive stops"]
    return found


def _worked_out(trial: Trial) -> DriveStops:
    ratio, inertia = _shafts(trial)
    states, torque, wait = trial.out.stops, _braking(trial), trial.axis.stop.reaction
    if states.ways is not None:
        own = trial.at_motor(trial.motor_side.shafts.inertia)
        delay = np.full(trial.size, wait)
        far = follow(states, ratio[:, 0], own, torque, delay, driven=True)
        return DriveStops(far.distance, far.braked * ratio, far.time - wait, torque)
    angle, time = controlled_stop(states.speed * ratio, states.pull / ratio, inertia, torque)
    reach = abs(trial.out.travel_per_radian or np.nan) / ratio
    return DriveStops((angle + states.speed * ratio * wait) * reach, angle, time, torque)


def _against_free(trial: Trial, travel: Array, needs: tuple[str, ...], **more: object) -> Outcome:
    """Distances (c, n) of the load against what is free in their direction."""
    free, states = trial.axis.stop.free_distance or (0.0, 0.0), trial.out.stops
    limit = np.where(states.forward, free[1], free[0])
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where((limit > 0) | np.isnan(travel), travel / limit, np.inf)
    share = np.where(travel == 0, 0.0, share)
    column = np.where(np.isnan(share), np.inf, share).argmax(axis=1)
    return Outcome(
        demand=travel[np.arange(trial.size), column],
        limit=limit[column],
        needs=needs,
        at=states.time[column],
        unit=np.full(trial.size, "m" if trial.axis.linear else "rad"),
        **more,  # type: ignore[arg-type]
    )


def by_drive(trial: Trial) -> Outcome:
    """Distance of a stop under power with the torque that drive, motor and gearhead allow."""
    if not _applies(trial):
        return no_line(trial.size)
    return _against_free(
        trial,
        np.where(trial.out.stops.rest, 0.0, _stops(trial).travel),
        ("motor.peak_boundary", "gearhead.torque_acceleration", *MOST_TORQUE, *ROTOR),
    )


def by_short_circuit(trial: Trial) -> Outcome:
    """Distance of a stop by shorted windings alone; they hold no weight."""
    if not _applies(trial) or trial.out.gravity_acts:
        return no_line(trial.size)
    ratio, inertia = _shafts(trial)
    speed = trial.out.stops.speed * ratio
    poles = trial.motor("pole_pairs")
    flux = flux_linkage(trial.motor("voltage_constant"), poles)[:, None]
    phase, inductance = trial.motor("resistance") / 2, trial.motor("inductance") / 2
    hot = hot_resistance(phase, trial.motor("winding_limit"))
    angle = np.maximum(
        *(
            short_circuit_angle(
                speed, inertia, flux, poles[:, None], r[:, None], inductance[:, None]
            )
            for r in (phase, hot)
        )
    )
    reach = abs(trial.out.travel_per_radian or np.nan) / ratio
    return _against_free(
        trial,
        (angle + speed * trial.axis.stop.reaction) * reach,
        (*SHORTED, *ROTOR),
        severity=np.where(trial.choice.brake >= 0, "note", "caution"),
        text=lambda _: "without any friction; a cold or a hot winding, whichever is worse",
    )


def _held(trial: Trial) -> Array:
    """Energy of the bus from the lowest mains down to where the drive gives up [J]."""
    low = bus_voltage(trial.site.mains * (1 + trial.site.mains_low), trial.site.phases)
    kept = CAPACITANCE_KEPT * trial.drive("bus_capacitance")
    return capacitor_energy(kept, low, trial.drive("undervoltage_trip"))


def ramp_on_bus(trial: Trial) -> Outcome:
    """Energy that a stated ramp draws with the mains gone, against what the bus holds."""
    if trial.axis.cycle.closed:
        return no_line(trial.size)
    side = trial.drive_side
    reaction = trial.axis.cycle.pieces[-1].start
    drawn = dark_draw(trial.out, side.shafts, side.windings, hot_losses(trial), reaction)
    needed = trial.at_drive(drawn)

    def text(k: int) -> str:
        return "the motion feeds it" if needed[k] == 0 else "wherever on the ramp the mains goes"

    return Outcome(
        demand=needed,
        limit=_held(trial),
        needs=(
            "motor.winding_limit",
            "motor.iron_loss_rated",
            "drive.bus_capacitance",
            "drive.undervoltage_trip",
            *BUS,
        ),
        text=text,
    )


def on_bus_energy(trial: Trial) -> Outcome:
    """Energy that a stop by the drive needs with the mains gone, against what the bus holds.

    Where the file states a ramp for it, that is judged instead.
    """
    dark = any(stop.means == "bus" for stop in trial.axis.stops)
    if not _applies(trial) or dark or not trial.axis.cycle.closed:
        return no_line(trial.size)
    stops = _stops(trial)
    angle, time, torque = stops.angle, stops.time, stops.torque
    current = trial.motor_side.windings.take(trial._motor_split[1]).current(torque)
    hot = hot_resistance(trial.motor("resistance") / 2, trial.motor("winding_limit"))[:, None]
    loss = trial.drive("loss_fixed")[:, None] + trial.drive("loss_per_ampere")[:, None] * current
    iron = trial.motor("iron_loss_rated")[:, None]
    drawn = stop_energy(torque, angle, time, 3.0 * hot * current**2, loss + iron)
    drawn = np.where(trial.out.stops.rest, 0.0, drawn)
    column = np.where(np.isnan(drawn), np.inf, drawn).argmax(axis=1)
    needed = drawn[np.arange(trial.size), column]

    def text(k: int) -> str:
        if needed[k] == 0:
            return "the motion itself feeds the stop"
        return f"{quantity(float(needed[k]), 'J')} from the capacitor"

    return Outcome(
        demand=needed,
        limit=_held(trial),
        needs=(
            "motor.peak_boundary",
            "gearhead.torque_acceleration",
            "motor.winding_limit",
            "motor.iron_loss_rated",
            "drive.bus_capacitance",
            "drive.undervoltage_trip",
            *MOST_TORQUE,
            *BUS,
        ),
        at=trial.out.stops.time[column],
        text=text,
    )
