"""Turning loads, and loads without any mechanism."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, pi

from dutyline.physics.friction import slewing_torque
from dutyline.train.bent_parameters import RotaryLoadParams
from dutyline.train.burdens import linear_load, rotary_load
from dutyline.train.mechanism_stage import mechanism_stage, stated_mechanism
from dutyline.train.parameters import (
    DirectParams,
    LoadParams,
    RotaryTableParams,
)
from dutyline.train.records import Load, SpeedResistance, Stage
from dutyline.train.stated import Stated

NAMES = {"rotary-table": "Rotary table", "swing-arm": "Swing arm"}


def rotary_table(params: RotaryTableParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a table or arm on a bearing.

    The bearing rubs with the weight along its axis. A stated tilting moment adds what the ring
    carries beyond that for the load alone; payloads add their own weight in full, which is exact
    until the ring lifts on one side and on the safe side beyond.
    """
    stated = stated_mechanism(params)
    _refuse_riding(stated)
    tilt = stated.within("tilt", 0.0, pi, "from 0 to 180 deg")
    rub = stated.not_negative("friction")
    moment = stated.not_negative("tilting_moment")
    half = 0.0
    if rub > 0:
        half = stated.positive("bearing_diameter", "bearing friction acts on it") / 2
    plain = rotary_load(load, gravity, tilt=tilt, bearing=rub * half)
    if moment > 0:
        if rub == 0:
            raise stated.fault("friction", "friction is missing; a tilting moment needs it.")
        axial = plain.base.mass * gravity * abs(cos(tilt))
        more = float(slewing_torque(rub, axial, moment, 2 * half)) - rub * axial * half
        plain = rotary_load(load, gravity, tilt=tilt, bearing=rub * half, steady=more)
    return mechanism_stage(params, NAMES[params.kind], 1.0), plain


def driven_load(params: RotaryLoadParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a fan, pump, mixer or spindle: a process torque over speed."""
    stated = stated_mechanism(params)
    _refuse_riding(stated)
    names = ("torque", "torque_per_speed", "torque_per_speed2")
    constant, per_speed, per_speed2 = (stated.not_negative(name) for name in names)
    power, base = stated.optional_positive("power"), stated.optional_positive("base_speed")
    if (power is None) != (base is None):
        lacking = "power" if power is None else "base_speed"
        raise stated.fault(lacking, f"{lacking} is missing; power and base_speed go together.")
    speeds, values = _curve(params, stated)
    resistance = SpeedResistance(
        constant, per_speed, per_speed2, power or 0.0, base or 0.0, speeds, values
    )
    turning = rotary_load(load, gravity, bare=True)
    return mechanism_stage(params, "Driven load", 1.0), replace(turning, resistance=resistance)


def _curve(params: RotaryLoadParams, stated: Stated) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Speeds and torques of the stated curve."""
    if not params.points:
        return (), ()
    speeds, torques = zip(*params.points, strict=True)
    for n, (first, second) in enumerate(pairwise(speeds), 2):
        if not second > first:
            raise stated.fault("points", f"point {n} is no faster than the one before.")
    if speeds[0] < 0 or min(torques) < 0:
        raise stated.fault("points", "speeds and torques of points must be zero or more.")
    return tuple(speeds), tuple(torques)


def direct(params: DirectParams, load: LoadParams, gravity: float) -> tuple[Stage | None, Load]:
    """Load of a direct drive; a stage only where something is stated that needs one."""
    stated = stated_mechanism(params)
    if is_straight(load):
        return _linear_motor(params, load, gravity, stated)
    if stated.has("magnet_force"):
        raise stated.fault("magnet_force", "magnet_force belongs to a load that moves along.")
    _refuse_riding(stated)
    turning = rotary_load(load, gravity)
    if not (_lossy(params, stated) or stated.has("inertia", "body", "drag", "viscous")):
        return None, turning
    return replace(mechanism_stage(params, "Direct drive", 1.0), linear_out=False), turning


def _refuse_riding(stated: Stated) -> None:
    if stated.has("motor_rides"):
        raise stated.fault("motor_rides", "motor_rides has no meaning for a load that turns.")


def _lossy(params: DirectParams, stated: Stated) -> bool:
    """Whether something between motor and load is stated; an efficiency of 1 is nothing."""
    return params.efficiency not in (None, 1.0) or stated.has(
        "efficiency_back", "stiffness", "backlash", "reverse"
    )


def is_straight(load: LoadParams) -> bool:
    """Whether the load of a direct drive moves along: it has a mass and no inertia."""
    return load.mass is not None and load.inertia is None


def _linear_motor(
    params: DirectParams, load: LoadParams, gravity: float, stated: Stated
) -> tuple[Stage | None, Load]:
    for name in ("inertia", "body", "drag", "viscous"):
        if stated.has(name):
            raise stated.fault(
                name,
                f"{name} of a shaft has no meaning for a linear motor; state it with the load.",
            )
    magnet = stated.not_negative("magnet_force")
    straight = linear_load(load, gravity, magnet_force=magnet, rides=params.motor_rides)
    stage = mechanism_stage(params, "Direct drive", 1.0) if _lossy(params, stated) else None
    return stage, straight
