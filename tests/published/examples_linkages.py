"""Worked examples of cranks, linkages, cams and rolls: E03, E05, S01, S02, S09, S19, S20."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
from tests.published.trains import stage

from dutyline.axis.model import Axis
from dutyline.demand.output import output_demand
from dutyline.motion.cycle import build_cycle
from dutyline.motion.specs import PhaseSpec
from dutyline.physics.linkages import four_bar, slider_crank, toggle
from dutyline.physics.rolls import roll_radius, web_length
from dutyline.train.bent_parameters import (
    CamParams,
    CamSectionParams,
    SliderCrankParams,
    WinderParams,
)
from dutyline.train.mechanisms import build_mechanism
from dutyline.train.parameters import LoadParams
from dutyline.train.records import Burden, Chain, Fading, Force, Load, Stage, Train
from dutyline.train.recursion import Motion, ShaftState, inverse, load_motion

Given = dict[str, Any]
Found = dict[str, float]
RPM = math.pi / 30


def at(train: Train, position: float, speed: float, acceleration: float) -> ShaftState:
    """The recursion at one instant of the stated motion."""
    way = np.sign(speed)
    stated = Motion(*(np.array([float(v)]) for v in (position, speed, acceleration, way)))
    load, driven = load_motion(train, stated, stated.position)
    return inverse(train, train.chain.load.base, load, np.zeros(1), driven)


def press(given: Given) -> Found:
    """The ram moves down away from the crank, so q counts from half a turn further on."""
    params = SliderCrankParams(
        crank=given["r"], rod=given["l"], start_angle=math.pi, inertia=given["J_crank"],
        rod_mass=given["m_rod"], rod_cg=given["rod_cg"], rod_inertia=given["J_rod_cg"],
    )  # fmt: skip
    ram = LoadParams(mass=given["m_ram"], incline=-math.pi / 2)
    crank, load = build_mechanism(params, ram, gravity=given["g"])
    assert crank is not None
    gear = stage(1 / given["gear_i"], given["eta_f"], given["eta_b"], inertia_in=given["J_motor"])
    stroke = 2 * given["r"]
    bite = Force(
        "press", (given["F_press"],) * 2, (stroke - given["s_press"], stroke), "travel", "step",
        only="forward",
    )  # fmt: skip
    train = Train(Chain(load, (crank, gear)), (bite,), kind="slider-crank", input_stated=True)
    turn = PhaseSpec(do="run", speed=given["omega"], turns=1.0)
    cycle = build_cycle([turn], linear=False, endless=True, period=2 * math.pi)
    motor = output_demand(Axis("press", train, cycle, False))
    bare = replace(train, chain=Chain(load, (crank,)))
    speed, sixty = given["omega"], math.pi / 3
    contact = next(
        float(p.position(0.0))
        for p in motor.pieces
        if float(crank.ratio.output_of(p.position(np.array(p.duration / 2))))
        > stroke - given["s_press"]
    )
    course = slider_crank(math.pi + sixty, given["r"], given["l"])
    inertia = {d: float(at(bare, math.radians(d), 1.0, 0.0).effort.inertia[0]) for d in (0, 60, 90)}
    steady = float(at(bare, sixty, speed, 0.0).effort.total[0])
    slow = float(at(bare, sixty, 1e-6 * speed, 0.0).effort.total[0])
    return {
        "q_press_start_deg": math.degrees(contact),
        "ds_dq_at_60": float(course.slope),
        "J_at_0": inertia[0],
        "J_at_60": inertia[60],
        "J_at_90": inertia[90],
        "dJdq_at_60": 2 * (steady - slow) / speed**2,
        "T_crank_60_w_only": steady,
        "T_crank_60_alpha20": float(at(bare, sixty, speed, given["alpha_case"]).effort.total[0]),
        "T_motor_peak": motor.peak_torque,
        "T_motor_rms": motor.rms_torque,
        "T_motor_mean": motor.mean(motor.torque),
        "E_motoring": motor.energy_motoring,
        "E_regen": -motor.energy_regenerated,
        "work_crank_per_rev": motor.task_work,
        "n_motor_rpm": motor.peak_speed / RPM,
    }


def roll(given: Given, diameter: float, gear: bool, **changes: Any) -> Train:
    """Winder with the roll at a diameter, with motor and gearhead or without."""
    params = WinderParams(
        core=given["D_core"], full=given["D_full"], start=diameter, width=given["web_width"],
        thickness=given["thickness"], density=given["rho_web"], tension=given["F0"],
        inertia=given["J_shaft"], drag=given["T_friction"],
        **{"taper": given["taper"], **changes},
    )  # fmt: skip
    own, load = build_mechanism(params, LoadParams())
    assert own is not None
    etas = given["eta_f"], given["eta_b"]
    stages: tuple[Stage, ...] = (own,)
    if gear:
        stages = (own, stage(1 / given["gear_i"], *etas, inertia_in=given["J_motor"]))
    return Train(Chain(load, stages), kind="winder")


def centre_winder(given: Given) -> Found:
    found: Found = {}
    speed = given["v_line"]
    for word, diameter in (("core", given["D_core"]), ("full", given["D_full"])):
        bare, whole = (roll(given, diameter, gear) for gear in (False, True))
        for case, a in (("run", 0.0), ("acc", given["a_line"]), ("estop", -given["a_estop"])):
            shaft = at(whole, 0.0, speed, a)
            found[f"{word}_{case}.T_roll"] = float(at(bare, 0.0, speed, a).effort.total[0])
            found[f"{word}_{case}.T_motor"] = float(shaft.effort.total[0])
        run = at(whole, 0.0, speed, 0.0)
        turned = float(run.motion.speed[0])
        found[f"{word}.n_motor_rpm"] = turned / RPM
        found[f"{word}_run.P_motor"] = found[f"{word}_run.T_motor"] * turned
        state = at(bare, 0.0, speed, 0.0)
        found[f"{word}.J_roll"] = float(state.effort.inertia[0])
        found[f"{word}.tension"] = float(state.effort.causes[3, 0]) / (diameter / 2)
        off = {"mode": "unwind", "taper": 0.0}
        for key, gear in (("T_roll", False), ("T_motor", True)):
            unwound = at(roll(given, diameter, gear, **off), 0.0, speed, 0.0)
            found[f"unwind_{word}_run.{key}"] = float(unwound.effort.total[0])
    length = float(web_length(given["D_core"] / 2, given["D_full"] / 2, given["thickness"]))
    thin = at(roll(given, given["D_core"], False), 0.0, speed, 0.0)
    turned, core = thin.motion, roll(given, given["D_core"], False).chain.stages[0]
    assert core.members is not None
    arriving = float(core.members.gained(turned.position, turned.speed)[0])
    corner = found["full_run.T_motor"] * found["core.n_motor_rpm"] * RPM
    web = found["core.tension"] * speed
    return {
        **found,
        "web_length": length,
        "wind_time": length / speed,
        "alpha_core_constant_line_speed": float(turned.acceleration[0]),
        "web_power_core": web,
        "corner_power_over_web_power": corner / web,
        "centrifugal_tension_rhoAv2": 2 * arriving / speed,
    }


def bars(given: Given) -> Found:
    lengths = (given[name] for name in "abcd")
    both = four_bar(math.radians(given["theta2_deg"]), *lengths)
    return {
        "theta3": float(both.coupler.value),
        "theta4": float(both.rocker.value),
        "dtheta3": float(both.coupler.slope),
        "dtheta4": float(both.rocker.slope),
    }


def knee(given: Given) -> Found:
    place = math.sin(math.radians(given["beta_deg"]))
    return {"F_out_over_F_knee": -1 / float(toggle(place, 1.0).slope)}


def rising_cam(given: Given) -> Found:
    """The lift of a cam over an accelerating master, through the motion at a stage's output."""
    stroke, far = given["stroke"], math.radians(given["range_deg"])
    sections = (
        CamSectionParams(angle=far, lift=stroke, law="quintic"),
        CamSectionParams(angle=far, lift=-stroke, law="quintic"),
        CamSectionParams(angle=2 * math.pi - 2 * far),
    )
    params = CamParams(sections=sections)
    own, _ = build_mechanism(params, LoadParams(mass=1.0))
    assert own is not None
    master = (math.radians(given["phi_deg"]), given["phid"], given["phidd"], 1.0)
    follower = Motion(*(np.array([v]) for v in master)).down(own)
    return {"v": float(follower.speed[0]), "a": float(follower.acceleration[0])}


def growing_roll(given: Given) -> Found:
    return {"R": float(roll_radius(given["R_c"], given["h"], given["v"] * given["t"]))}


def slow_slide(given: Given) -> Found:
    """Friction of a load that fades with its speed, through the recursion."""
    burden = Burden(friction=given["F_c"], viscous=given["b"])
    load = Load(True, burden, breakaway=given["F_s"] / given["F_c"], fading=Fading(given["v_s"]))
    slide = Train(Chain(load, ()))
    return {"F": float(at(slide, 0.0, given["v"], 0.0).effort.total[0])}


EXAMPLES = {
    "E03": press,
    "E05": centre_winder,
    "S01": bars,
    "S02": knee,
    "S19": rising_cam,
    "S09": slow_slide,
    "S20": growing_roll,
}
