"""Worked examples of whole axes: E01, E04, E07, E08, E09, E10."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from tests.published.axes import demand, phase_peak, phase_rms, torque_at
from tests.published.trains import chain, effort, inertia, stage

from dutyline.core.units import read_value
from dutyline.demand.output import OutputDemand
from dutyline.motion.laws import ramped_coefficients
from dutyline.motion.specs import PhaseSpec
from dutyline.physics.bodies import cylinder_inertia, cylinder_volume
from dutyline.physics.friction_drives import belt_stiffness
from dutyline.physics.oscillation import free_frequency, locked_frequency, referred_stiffness
from dutyline.physics.ratios import inertia_ratio_optimum, peak_ratio_optimum, rms_ratio_optimum
from dutyline.physics.screws import lead_angle, sliding_efficiencies, thread_friction_angle
from dutyline.train.records import Burden, Chain, Load
from dutyline.train.stated import back_efficiency

Given = dict[str, Any]
Found = dict[str, float]
RPM = math.pi / 30


def losses(found: OutputDemand) -> float:
    """Energy turned into heat in one cycle [J]."""
    return float(np.sum(found.lost)) + found.friction_work


def ball_screw(given: Given) -> Found:
    mass, lead, i = given["m"], given["lead"], given["gear_i"]
    volume = cylinder_volume(given["screw_d"], given["screw_L"])
    screw = float(cylinder_inertia(given["rho"] * volume, given["screw_d"]))
    load = Burden(
        inertia=mass, gravity=mass * given["g"], friction=given["guide_seal_drag"], mass=mass
    )
    nut = stage(
        lead / (2 * math.pi),
        given["eta_f_screw"],
        given["eta_b_screw"],
        inertia_in=screw,
        drag_in=given["screw_preload_drag"],
    )
    own = given["J_motor"] + given["J_gear_input"]
    etas = given["eta_gear_f"], given["eta_gear_b"]
    gear = stage(1 / i, *etas, inertia_in=own, drag_in=given["gear_drag_input"])
    ramp, cruise, dwell = given["t_acc"], given["t_const"], given["t_dwell"]
    length = 2 * ramp + cruise
    move = {"do": "move", "time": length, "accel_time": ramp, "decel_time": ramp}
    rest = PhaseSpec(do="dwell", time=dwell)
    up, down = (PhaseSpec(**move, by=s * given["stroke"]) for s in (1, -1))  # type: ignore[arg-type]
    cycle = [up, rest, down, rest]
    motor = demand(chain(load, nut, gear), cycle)
    output = demand(chain(load, nut), cycle)
    found = {
        "J_screw": screw,
        "T_hold": torque_at(motor, length + dwell / 2),
        "T_rms": motor.rms_torque,
        "n_max_rpm": motor.peak_speed / RPM,
        "n_mean_rpm": motor.mean_speed / RPM,
        "E_motoring": motor.energy_motoring,
        "E_regen": -motor.energy_regenerated,
        "E_loss": losses(motor),
        "inertia_ratio": inertia(chain(load, nut)) / i**2 / own,
        "T_gear_out_cubic": output.equivalent_torque(3.0),
        "T_gear_out_peak": output.peak_torque,
    }
    places = (ramp / 2, length / 2, length - ramp / 2)
    for way, start in (("up", 0.0), ("dn", length + dwell)):
        for part, place in zip(("acc", "const", "dec"), places, strict=True):
            found[f"T_{way}_{part}"] = torque_at(motor, start + place)
    return found


def tilted_table(given: Given) -> Found:
    mass, arm, i = given["m_ecc"], given["e"], given["gear_i"]
    tilt = math.radians(given["tilt_deg"])
    whole = given["J_table"] + given["J_ecc_cg"] + mass * arm**2
    pull = mass * given["g"] * arm * math.sin(tilt)
    weight = (mass + given["m_table"]) * given["g"] * math.cos(tilt)
    rub = given["mu"] * weight * given["d_bearing"] / 2 + given["T_seal"]
    own = given["J_motor"] + given["J_gear_input"]
    gear = stage(1 / i, given["eta_f"], given["eta_b"], inertia_in=own)
    load = Burden(inertia=whole, gravity_sin=-pull, friction=rub)
    run = Chain(Load(False, load), (gear,))
    step = PhaseSpec(do="move", by=math.pi / 2, time=given["t_move"], law="quintic")
    rest = PhaseSpec(do="dwell", time=given["t_dwell"], hold="off")
    motor = demand(run, [step, rest] * 4, endless=True)
    still = Burden(gravity=-pull)  # what the sine comes to a quarter turn from the top
    found = {
        "J_load": whole,
        "T_friction_table": rub,
        "T_gravity_max_table": pull,
        "T_hold_90deg_motor": effort(chain(still, stage(1 / i), linear=False), 0.0),
        "T_rms_cycle": motor.rms_torque,
        "E_motoring": motor.energy_motoring,
        "E_regen": -motor.energy_regenerated,
        "E_loss": losses(motor),
        "n_max_rpm": motor.peak_speed / RPM,
        "alpha_peak_table": motor.axis.cycle.phases[0].top_acceleration,
        "inertia_ratio": whole / i**2 / own,
    }
    for k in range(4):
        found[f"T_peak_step{k + 1}"] = phase_peak(motor, 2 * k)
        found[f"T_rms_step{k + 1}"] = phase_rms(motor, 2 * k)
    return found


def belt_axis(given: Given) -> Found:
    radius = given["z"] * given["pitch"] / (2 * math.pi)
    rollers = given["n_rollers"] * given["J_roller"] / given["r_roller"] ** 2
    pulley = read_value(f"{given['J_pulley_lbm_in2']} lbm.in2", "inertia").si
    misread = read_value(f"{given['J_pulley_lbm_in2']} lbf.in.s2", "inertia").si
    mass, i = given["m"] + rollers, given["gear_i"]
    rub = given["mu"] * given["m"] * given["g"] + given["F_seal"]
    belt = stage(radius, given["eta_belt_f"], given["eta_belt_b"], inertia_in=pulley)
    own = given["J_motor"] + given["J_gear_input"]
    gear = stage(1 / i, given["eta_gear_f"], given["eta_gear_b"], inertia_in=own)
    run = chain(Burden(inertia=mass, friction=rub), belt, gear)
    spring = float(belt_stiffness(given["belt_EA"], given["l1"], given["l2"]))
    at_motor = float(referred_stiffness(spring, radius / i))
    load = given["m"] * (radius / i) ** 2
    motor_side = own + (pulley + rollers * radius**2) / i**2
    found = {
        "pulley_d": 2 * radius,
        "m_equiv": mass,
        "J_pulley": pulley,
        "J_pulley_if_misread_lbf_in_s2": misread,
        "inertia_ratio": inertia(chain(Burden(inertia=mass), belt)) / i**2 / own,
        "k_belt": spring,
        "k_at_motor": at_motor,
        "f_antires": float(locked_frequency(at_motor, load)),
        "f_res": float(free_frequency(at_motor, load, motor_side)),
    }
    rest = PhaseSpec(do="dwell", time=given["t_dwell"])
    for name, law in (("third", "trapezoid"), ("par", "cubic"), ("p5", "quintic")):
        there, back = (
            PhaseSpec(do="move", by=s * given["stroke"], time=given["t_move"], law=law)
            for s in (1, -1)
        )
        motor = demand(run, [there, rest, back, rest])
        found |= {
            f"{name}.T_rms": motor.rms_torque,
            f"{name}.T_peak": motor.peak_torque,
            f"{name}.n_max_rpm": motor.peak_speed / RPM,
            f"{name}.E_motoring": motor.energy_motoring,
            f"{name}.E_regen": -motor.energy_regenerated,
        }
    return found


def sliding_screws(given: Given) -> Found:
    found: Found = {}
    speed = given["n_rpm"] * RPM
    for name in "AB":
        case = given[name]
        lean = lead_angle(case["lead"], case["d2"])
        rub = thread_friction_angle(case["mu"], math.radians(case["half_angle_deg"]), lean)
        collar = case["mu_collar"] * case["d_collar"] / case["d2"]
        thread = [float(e) for e in sliding_efficiencies(lean, rub)]
        total = [float(e) for e in sliding_efficiencies(lean, rub, collar)]
        run = chain(Burden(gravity=given["F"]), stage(case["lead"] / (2 * math.pi), *total))
        down = effort(run, -1.0)
        found |= {
            f"{name}.lam": math.degrees(float(lean)),
            f"{name}.phi": math.degrees(float(rub)),
            f"{name}.T_raise": effort(run, 1.0),
            f"{name}.T_lower_required": down,
            f"{name}.eta_f_thread": thread[0],
            f"{name}.eta_b_thread": thread[1],
            f"{name}.eta_f_total": total[0],
            f"{name}.eta_b_total": total[1],
            f"{name}.P_motor_lowering_120rpm": -down * speed,
            f"{name}.eta_b_from_2_minus_1_over_eta_f": back_efficiency(total[0]),
        }
    lowered = given["A"]["lead"] / (2 * math.pi) * speed
    return {**found, "A.P_load_lowering_120rpm": -given["F"] * lowered}


def hoist(given: Given, lossless: bool = False) -> Found:
    g, parts, d = given["g"], given["parts"], given["D_eff"]
    eta = (lambda *names: (1.0, 1.0)) if lossless else (lambda *names: [given[n] for n in names])
    weight = chain(
        Burden(inertia=given["m_cw"], gravity=given["m_cw"] * g),
        stage(-d / 2, *eta("eta_f_cw", "eta_b_cw")),
    )
    drum = stage(
        d / (2 * parts),
        *eta("eta_f_load", "eta_b_load"),
        inertia_in=given["J_drum"],
        joined=(weight,),
    )
    gear = stage(1 / given["gear_i"], *eta("eta_gear_f", "eta_gear_b"), inertia_in=given["J_motor"])
    load = Burden(inertia=given["m_load"], gravity=given["m_load"] * g)
    at_drum, at_motor = chain(load, drum), chain(load, drum, gear)
    v, a = given["v_load"], given["a_load"]
    states = {
        "up_acc": (v, a),
        "up_const": (v, 0.0),
        "up_dec": (v, -a),
        "dn_acc": (-v, -a),
        "dn_const": (-v, 0.0),
        "dn_dec": (-v, a),
        "dn_estop": (-v, given["a_estop"]),
    }
    found = {}
    for name, (speed, accel) in states.items():
        if lossless:
            found[f"{name}.T_drum_lossless"] = effort(at_drum, speed, accel)
        else:
            found[f"{name}.T_drum"] = effort(at_drum, speed, accel)
            found[f"{name}.T_motor"] = effort(at_motor, speed, accel)
    if not lossless:
        found |= hoist(given, lossless=True)
        found["n_motor_rpm"] = v / (d / (2 * parts)) * given["gear_i"] / RPM
        found["J_ref_motor"] = inertia(at_motor) - given["J_motor"]
        found["T_hold_brake_motor_ideal"] = effort(at_motor, 0.0)
    return found


def ratio_optimum(given: Given) -> Found:
    load, motor, rub = given["J_L"], given["J_M"], given["T_L"]
    third = ramped_coefficients(1 / 3, 1 / 3)
    time, angle = given["t_move"], given["angle"]
    top = third.acceleration * angle / time**2
    square = (third.rms * angle / time**2) ** 2
    best = {
        "i_opt_inertia_only": float(inertia_ratio_optimum(load, motor)),
        # friction acts during the motion and does not correlate with the acceleration
        "i_opt_rms_with_friction": float(
            rms_ratio_optimum(motor, square, load**2 * square + rub**2)
        ),
        "i_opt_peak_with_friction": float(peak_ratio_optimum(top, load, motor, rub)),
    }

    def rms(i: float, friction: float, scale: float = 1.0) -> float:
        gear = stage(1 / i, inertia_in=motor)
        run = Chain(Load(False, Burden(inertia=load, friction=friction)), (gear,))
        move = PhaseSpec(do="move", by=angle, time=time * scale)
        rest = PhaseSpec(do="dwell", time=given["t_dwell"] * scale)
        return demand(run, [move, rest], endless=True).rms_torque

    i1 = best["i_opt_rms_with_friction"]
    speed = third.speed * angle / time
    return best | {
        "alpha_peak_load": top,
        "T_rms_at_i0": rms(best["i_opt_inertia_only"], rub),
        "T_rms_at_i1": rms(i1, rub),
        "T_rms_at_10": rms(10.0, rub),
        "n_motor_at_i1_rpm": speed * i1 / RPM,
        "i_max_at_5000rpm": 5000 * RPM / speed,
        "scale_rms_inertia_only_half_T": rms(i1, 0.0, 0.5) / rms(i1, 0.0),
    }


EXAMPLES = {
    "E01": ball_screw,
    "E04": tilted_table,
    "E07": belt_axis,
    "E08": sliding_screws,
    "E09": hoist,
    "E10": ratio_optimum,
}
