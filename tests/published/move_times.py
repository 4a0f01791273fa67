"""The shortest moves that three checks allow, by the search for the smallest change.

The motor is made up: its curves are level at the stated limits and end at the stated speed. Beyond
that end a motor has no torque, so the time for the peak torque alone is sought with longer curves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from dutyline.axis.model import Axis
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import Curve, ProductLine
from dutyline.checks.records import Combination, Line
from dutyline.remedies.levers import levers_of
from dutyline.remedies.probe import Goal, Probe
from dutyline.remedies.ranges import answers

CHECKS = ("peak-torque", "continuous-use", "top-speed")
_ROTOR = 1e-5
_PARTS = Combination("XM72-0450H", None, "XD-H9", None, None)


@dataclass(frozen=True, slots=True)
class Moves:
    """What the checks say of the stated move, and the shortest one that each allows."""

    lines: dict[str, Line]
    times: dict[str, float]
    """[s] by check"""
    needed: float
    """[s] with all three"""
    inertia_helps: bool
    """Whether any smaller inertia alone would do."""


def shortest_moves(given: dict[str, Any]) -> Moves:
    """The example as an axis with a product line of its own."""
    axis = _axis(given)
    probe = Probe(axis, _line(given), _PARTS)
    longer = Probe(axis, _line(given, longer=2.0), _PARTS)
    keys = tuple((check, "motor") for check in CHECKS)
    levers = {lever.paths[0]: lever for lever in levers_of(probe.axis)}
    move, load = levers["phase.move.time"], levers["load.inertia"]

    def shortest(*some: tuple[str, str]) -> float:
        where = longer if some == keys[:1] else probe
        return answers(where, [move], Goal(some))[0].value

    return Moves(
        lines=_lines(probe),
        times={key[0]: shortest(key) for key in keys},
        needed=shortest(*keys),
        inertia_helps=bool(answers(probe, [load], Goal(keys))),
    )


def rms_at(given: dict[str, Any], time: float) -> float:
    """Rms torque of the move in another time [N*m]."""
    probe = Probe(_axis(given | {"move_s": time}), _line(given), _PARTS)
    return _lines(probe)["continuous-use"].demand or math.nan


def _lines(probe: Probe) -> dict[str, Line]:
    found = {check: probe.base.line((check, "motor")) for check in CHECKS}
    return {check: line for check, line in found.items() if line is not None}


def _axis(given: dict[str, Any]) -> Axis:
    margins = {"peak-torque": "peak", "continuous-use": "rms", "top-speed": "speed"}
    reserves = "\n".join(f"{check} = {given[f'margin_{m}']}" for check, m in margins.items())
    return read_axis("move.toml", text=f"""\
schema = 1
[axis]
title = "Move"
[load]
inertia = "{given["inertia_total_kgm2"] - _ROTOR!r} kg*m^2"
drag = "{given["friction_nm"]!r} N*m"
[mechanism]
kind = "direct"
endless = true
[[phase]]
name = "move"
do = "move"
by = "{given["angle_rad"]!r} rad"
time = "{given["move_s"]!r} s"
[[phase]]
do = "dwell"
time = "{given["dwell_s"]!r} s"
[site]
mains = "230 V"
phases = 3
[reserve]
{reserves}
""")  # fmt: skip


def _line(given: dict[str, Any], longer: float = 1.0) -> ProductLine:
    line = demo_line()
    end = given["speed_max_rpm"] * math.pi / 30 * longer
    limits = {"peak": given["torque_peak_nm"], "continuous": given["torque_cont_nm"]}
    curves = tuple(
        Curve(_PARTS.motor, 230.0, 3, kind, (0.0, end), (torque, torque))
        for kind, torque in limits.items()
    )
    motors = tuple(
        replace(
            motor,
            inertia=_ROTOR,
            torque_stall=limits["continuous"],
            torque_peak=limits["peak"],
            torque_constant=1.0,
            current_stall=limits["continuous"],
            current_peak=limits["peak"],
            saturation_peak=1.0,
            iron_loss_rated=0.0,
            speed_max=end,
        )
        for motor in line.motors
    )
    return replace(line, motors=motors, curves=curves)
