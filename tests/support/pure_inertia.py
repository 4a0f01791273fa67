"""A flywheel turned to and fro by a bare motor: everything about it has a closed form.

A trapezoid of thirds over the angle ``h`` in the time ``T`` accelerates with ``4.5 h/T**2``; with
nothing else in the train the peak torque is that times the inertia of wheel and rotor.
"""

from __future__ import annotations

import math

from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination

PARTS = Combination("XM72-0450H", None, "XD-H4", None, "XR-H80-90")
MOTOR = demo_line().motors[demo_line().motor_index[PARTS.motor]]
ANGLE = math.pi
RESERVE = 0.10
"""Of the peak torque, by default."""


def axis(inertia: float = 0.004, time: float = 0.3, rest: float = 30.0, more: str = ""):
    """The flywheel [kg*m^2] with moves of a time [s] and rests long enough to cool in."""
    text = f"""\
schema = 1
[axis]
title = "Flywheel"
[load]
inertia = "{inertia!r} kg*m^2"
drag = "0 N*m"
{more}
[mechanism]
kind = "direct"
endless = true
[[phase]]
name = "turn"
do = "move"
by = "{ANGLE!r} rad"
time = "{time!r} s"
[[phase]]
name = "rest"
do = "dwell"
time = "{rest!r} s"
[site]
mains = "230 V"
phases = 3
ambient = "25 degC"
altitude = "0 m"
"""
    return read_axis("flywheel.toml", text=text)


def acceleration(time: float) -> float:
    """[rad/s^2]"""
    return 4.5 * ANGLE / time**2


def allowed() -> float:
    """Peak torque with its reserve kept [N*m]; the curve is flat at the speeds of these moves."""
    return (1 - RESERVE) * MOTOR.torque_peak


def shortest(inertia: float) -> float:
    """Time of the move at which the peak torque is just allowed [s]."""
    return math.sqrt(4.5 * ANGLE * (inertia + MOTOR.inertia) / allowed())


def heaviest(time: float) -> float:
    """Inertia of the wheel at which the peak torque is just allowed [kg*m^2]."""
    return allowed() / acceleration(time) - MOTOR.inertia
