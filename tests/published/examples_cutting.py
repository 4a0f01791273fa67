"""Worked examples of motion apart from moves: E06, a rotary knife; S15, an emergency ramp."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from tests.published.examples_axes import losses
from tests.published.trains import chain, stage

from dutyline.axis.model import Axis, StopRamp
from dutyline.demand.output import OutputDemand, output_demand
from dutyline.demand.stop_ramps import stop_axes
from dutyline.motion.cycle import build_cycle
from dutyline.motion.faults import MotionFaults
from dutyline.motion.follow import synchronous_speed
from dutyline.motion.specs import PhaseSpec
from dutyline.train.records import Burden, Force, Train

Given = dict[str, Any]
Found = dict[str, float]
RPM = math.pi / 30


def rotary_knife(given: Given) -> Found:
    radius, line = given["R"], given["v_line"]
    apart = 2 * math.pi / given["n_blades"]
    half, cut = math.radians(given["sync_half_deg"]), math.radians(given["cut_half_deg"])

    def phase(length: float) -> PhaseSpec:
        return PhaseSpec(
            do="follow", tool="rotary-knife", line_speed=line, length=length, law="quintic",
            sync=2 * half, diameter=2 * radius, blades=given["n_blades"],
        )  # fmt: skip

    def judged(length: float) -> OutputDemand:
        force = Force("cut", (given["T_cut"], 0.0, given["T_cut"], 0.0),
                      (0.0, cut, apart - cut, apart), "travel", "step")  # fmt: skip
        gear = stage(1 / given["gear_i"], given["eta_f"], given["eta_b"],
                     inertia_in=given["J_motor"])  # fmt: skip
        knife = Burden(inertia=given["J_knife"], friction=given["T_friction"])
        train = Train(chain(knife, gear, linear=False), (force,))
        cycle = build_cycle([phase(length)], linear=False, endless=True)
        return output_demand(Axis("published case", train, cycle, linear=False))

    sync = synchronous_speed(phase(given["L_short"]), linear=False)
    found: Found = {
        "circumference": 2 * math.pi * radius,
        "omega_sync": sync,
        "L_critical": _longest(phase, given["L_long"]),
    }
    for name in ("short", "long"):
        length = given[f"L_{name}"]
        motor = judged(length)
        (stated,) = motor.axis.cycle.phases
        back = stated.duration - 2 * half / sync
        extreme = stated.top_speed
        if name == "long":
            extreme = min(_slowest(motor), sync)
        found |= {
            f"{name}.t_cycle": motor.cycle_time,
            f"{name}.t_return": back,
            f"{name}.D": (apart - 2 * half) - sync * back,
            f"{name}.omega_extreme": extreme,
            f"{name}.alpha_peak": stated.top_acceleration,
            f"{name}.T_peak_motor": motor.peak_torque,
            f"{name}.T_rms_motor": motor.rms_torque,
            f"{name}.n_peak_motor_rpm": motor.peak_speed / RPM,
            f"{name}.E_motoring": motor.energy_motoring,
            f"{name}.E_regen": -motor.energy_regenerated,
            f"{name}.E_loss": losses(motor),
            f"{name}.cut_work": motor.task_work,
        }
    return found


def _slowest(motor: OutputDemand) -> float:
    """Smallest speed of the knife over the cycle [rad/s]."""
    pieces = motor.axis.cycle.pieces
    return min(float(p.speed(np.linspace(0.0, p.duration, 20001)).min()) for p in pieces)


def _longest(phase: Any, start: float) -> float:
    """Longest cut for which the knife need not turn back, by bisection on the refusal [m]."""
    low, high = start, 4 * start
    for _ in range(60):
        middle = (low + high) / 2
        try:
            build_cycle([phase(middle)], linear=False, endless=True)
        except MotionFaults:
            high = middle
        else:
            low = middle
    return low


def emergency_ramp(given: Given) -> Found:
    """From a run at that speed, with ramps up to it and down from it."""
    speed = given["v"]
    run = PhaseSpec(do="run", speed=speed, ramp=1.0, time=1.0)
    cycle = build_cycle([run, PhaseSpec(do="run", speed=0.0, ramp=1.0)], linear=True, endless=True)
    train = Train(chain(Burden(inertia=1.0, mass=1.0), stage(0.03)))
    stop = StopRamp("stop", "worst", "drive", decel=given["d"], reaction=given["t_r"])
    axis = Axis("published case", train, cycle, linear=True, stops=(stop,))
    ramps = stop_axes(axis, output_demand(axis))
    longest = max((ramp.cycle for ramp in ramps), key=lambda ramp: ramp.net_travel)
    return {"s": longest.net_travel, "t": longest.duration}


EXAMPLES = {"E06": rotary_knife, "S15": emergency_ramp}
