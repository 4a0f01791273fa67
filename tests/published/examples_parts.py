"""Worked examples of moves, screw and guide ratings, accuracy, and single spot values."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from tests.published.trains import chain, effort, state

from dutyline.core.units import read_value
from dutyline.motion.laws import law_pieces, quintic_between
from dutyline.motion.moves import complete_move
from dutyline.motion.pieces import Piece
from dutyline.motion.ramps import Limits, fastest, jerk_limited, timed
from dutyline.motion.specs import PhaseSpec
from dutyline.physics.accuracy import (
    encoder_width,
    friction_width,
    resolution,
    thermal_growth,
    total_width,
)
from dutyline.physics.duty import power_mean
from dutyline.physics.friction import slewing_torque
from dutyline.physics.friction_drives import belt_length, teeth_in_mesh, wrap_angle
from dutyline.physics.lifting import tackle_efficiencies
from dutyline.physics.oscillation import (
    free_frequency,
    locked_frequency,
    referred_stiffness,
    series_stiffness,
)
from dutyline.physics.rolling_life import (
    guide_life,
    guide_rating,
    life_revolutions,
    life_time,
    static_factor,
    two_flank_life,
)
from dutyline.physics.screws import preload_drag, preloaded_forces
from dutyline.physics.slender import (
    axial_stiffness,
    buckling_force,
    overhung_reactions,
    slenderness,
    torsion_stiffness,
    whirling_speed,
)
from dutyline.train.mechanisms import build_mechanism
from dutyline.train.parameters import ConveyorParams, LoadParams
from dutyline.train.records import Burden, Chain

Given = dict[str, Any]
Found = dict[str, float]
RPM = math.pi / 30


def jerk_limited_moves(given: Given) -> Found:
    found: Found = {}
    for name, case in given.items():
        if name == "fixed_T":
            continue
        distance, speed, accel, jerk = case
        rounding, steady, cruise = jerk_limited(distance, speed, accel, jerk)
        found |= {
            f"{name}.t1": rounding,
            f"{name}.t2": steady,
            f"{name}.t3": cruise,
            f"{name}.vp": jerk * rounding * (rounding + steady),
            f"{name}.ap": jerk * rounding,
            f"{name}.T": 4 * rounding + 2 * steady + cruise,
        }
    distance, speed, accel, jerk = given["a_full"]
    limits, time = Limits(accel, accel, jerk), given["fixed_T"]
    quick = fastest(distance, limits, speed)
    slow = timed(distance, time, limits)
    assert quick is not None
    assert slow is not None
    wide = quick.stretched(time / quick.duration)
    pieces = quick.pieces()
    square = sum(_square(piece) for piece in pieces)
    return found | {
        "fixedT_scale.v": wide.top_speed,
        "fixedT_scale.a": wide.top_acceleration,
        "fixedT_scale.j": wide.top_jerk,
        "fixedT_lower_v.v": slow.top_speed,
        "fixedT_lower_v.T_check": slow.duration,
        "a_full.rms_acc": math.sqrt(square / quick.duration),
    }


def _square(piece: Piece) -> float:
    nodes, weights = np.polynomial.legendre.leggauss(6)
    inner = piece.acceleration(piece.duration * (nodes + 1) / 2)
    return float(weights @ inner**2) * piece.duration / 2


def screw_and_guide(given: Given) -> Found:
    root, lead = given["d_root"], given["lead"]
    modulus, shear, density = given["E"], given["G_shear"], given["rho"]
    critical = whirling_speed(root, given["L_critical"], "fixed-supported", 0.0, modulus, density)
    force, speed, share = np.array(given["loads"]).T
    turns = speed * share
    forward, backward = (
        power_mean(np.where(s * force > 0, force, 0.0), turns) for s in (1.0, -1.0)
    )
    lives = [life_revolutions(given["C_a"], f) for f in (forward, backward)]
    both = two_flank_life(*lives)
    mean_speed = float(turns.sum())
    carriage, way = np.array(given["guide_loads"]).T
    mean_load, rating = power_mean(carriage, way), guide_rating(given["guide_C50"])
    per_radian = lead / (2 * math.pi)
    axial = float(axial_stiffness(root, given["x_free"], modulus=modulus))
    torsion = torsion_stiffness(root, given["x_free"], 0.0, shear)
    twist, coupling = (float(k) / per_radian**2 for k in (torsion, given["k_coupling"]))
    spring = series_stiffness(axial, twist, coupling, given["k_nut"], given["k_bearing"])
    at_motor, load = referred_stiffness(spring, per_radian), given["m"] * per_radian**2
    return {
        "n_critical_rpm": float(critical) / RPM,
        "n_allow_80pct_rpm": 0.8 * float(critical) / RPM,
        "F_buckling": float(
            buckling_force(root, given["L_buckling"], "fixed-supported", 0.0, modulus)
        ),
        "F_mean_pos": float(forward),
        "F_mean_neg": float(backward),
        "n_mean_rpm": mean_speed,
        "L10_pos_rev": float(lives[0]),
        "L10_neg_rev": float(lives[1]),
        "L10_combined_rev": float(both),
        "L10h": float(life_time(both, mean_speed * RPM)) / 3600,
        "S0_static": float(static_factor(given["C_0a"], given["F_static_max"])),
        "DN_mm_rpm": given["d_nominal_mm"] * given["n_max_rpm"],
        "slenderness": float(slenderness(root, given["L_buckling"], "fixed-supported")),
        "C100": float(rating),
        "guide_P_mean": float(mean_load),
        "guide_L_km": float(guide_life(rating, mean_load)) / 1e3,
        "k_screw_axial": axial,
        "k_screw_torsion_as_linear": twist,
        "k_coupling_as_linear": coupling,
        "k_total_linear": float(spring),
        "k_at_motor": float(at_motor),
        "f_antires": float(locked_frequency(at_motor, load)),
        "f_res": float(free_frequency(at_motor, load, given["J_motor_side"])),
    }


def accuracy_budget(given: Given) -> Found:
    per_turn = given["lead"] / given["gear_i"]
    micro = 1e6
    encoder = encoder_width(math.radians(given["encoder_error_arcsec"] / 3600), per_turn)
    backlash = given["gear_backlash_arcmin"] * math.pi / 10800 * given["lead"] / (2 * math.pi)
    friction = friction_width(given["F_friction"], given["k_total"])
    growth = thermal_growth(given["travel"], given["dT"], given["alpha_th"])
    wide = [micro * float(w) for w in (encoder, backlash, friction, growth)]
    random = given["sigmas_um"]
    worst, root = total_width([*wide, given["lead_error_um"]], random)
    _, spread = total_width([0.0], random)
    return {
        "resolution_um": micro * float(resolution(2 ** given["encoder_bits"], per_turn)),
        "encoder_error_um": wide[0] / 2,  # stated as plus or minus
        "backlash_um": wide[1],
        "lost_motion_friction_um": wide[2],
        "reversal_B_um": wide[1] + wide[2],
        "thermal_um": wide[3],
        "elastic_at_accel_um": micro * given["m"] * given["a"] / given["k_total"],
        "sigma_random_um": float(spread) / 4,
        "unidirectional_R_4sigma_um": float(spread),
        "bidirectional_A_worst_um": float(worst),
        "bidirectional_A_rss_um": float(root),
    }


def tackle(given: Given) -> Found:
    forward, back = tackle_efficiencies(given["E"], given["n"])
    return {"MA": forward * given["n"], "eta_f": forward, "eta_b": back}


def slewing_ring(given: Given) -> Found:
    return {"T_friction": float(slewing_torque(given["mu"], 0.0, given["M"], 1.0))}


def law_ordinates(given: Given) -> Found:
    def at(law: str, z: float) -> float:
        for piece in law_pieces(law, 1.0, 1.0):
            if z <= piece.end:
                return float(piece.position(z - piece.start))
        raise ValueError(z)

    return {
        "mod_sine_f_0_05": at("modified-sine", 0.05),
        "mod_sine_f_0_3": at("modified-sine", 0.3),
        "mod_trap_f_0_05": at("modified-trapezoid", 0.05),
        "mod_trap_f_0_2": at("modified-trapezoid", 0.2),
        "mod_trap_f_0_45": at("modified-trapezoid", 0.45),
    }


def quintic(given: Given) -> Found:
    start, end = (tuple(given[f"{n}{k}"] for n in "xva") for k in (0, 1))
    piece = quintic_between(start, end, given["T"])  # type: ignore[arg-type]
    tau = np.linspace(0.0, given["T"], 200001)
    return {
        "x_mid": float(piece.position(given["T"] / 2)),
        "v_max": float(piece.speed(tau).max()),
    }


def triangle(given: Given) -> Found:
    limits = Limits(accel=given["a"], decel=given["d"])
    move = fastest(given["h"], limits, math.inf, given["v0"], given["v1"])
    assert move is not None
    return {"v_p": move.top_speed}


def slower(given: Given) -> Found:
    move = timed(given["h"], given["T"], Limits(given["a"], given["a"], given["j"]))
    assert move is not None
    return {"v": move.top_speed, "a_p": move.top_acceleration}


def speed_capped(given: Given) -> Found:
    """A cubic move over 1 m in 1 s, its speed limited, as a file states it."""
    spec = PhaseSpec(do="move", by=1.0, time=1.0, law="cubic", speed=given["v_max"],
                     fit="lower-speed")  # fmt: skip
    move = complete_move(spec, 1.0, 0.0, linear=True)
    square = sum(_square(piece) for piece in move.pieces)
    return {"t_flank": move.pieces[0].duration, "rms_acc": math.sqrt(square / move.duration)}


def preload(given: Given) -> Found:
    drag = preload_drag(given["F_pr"], given["lead"], given["eta_f"], given["eta_b"])
    return {"T_pr": float(drag), "F1": float(preloaded_forces(given["F"], given["F_pr"])[0])}


def belt_reduction(given: Given) -> Found:
    small, large = (given[k] * given["pitch"] / math.pi for k in ("z1", "z2"))
    wrap = wrap_angle(small, large, given["C"])
    return {
        "beta": float(wrap),
        "z_mesh": float(teeth_in_mesh(given["z1"], wrap)),
        "length": float(belt_length(small, large, given["C"])),
    }


def held_goods(given: Given) -> Found:
    conveyor = ConveyorParams(
        diameter=0.1,
        friction=given["mu_bed"],
        return_friction=given["mu_ret"],
        belt_mass=given["m_belt_upper"],
        return_mass=given["m_belt_lower"],
        held=given["m_acc"],
        goods_friction=given["mu_goods_belt"],
    )
    goods = LoadParams(mass=given["m_goods"], incline=math.radians(given["alpha_deg"]))
    _, load = build_mechanism(conveyor, goods)
    return {"F": effort(Chain(load, ()), 1.0)}


def flywheel_effect(given: Given) -> Found:
    return {"J": read_value(f"GD2 {given['GD2_kgf_m2']} kgf.m2", "inertia").si}


def force_ramp(given: Given) -> Found:
    return {"F_m": float(power_mean([given["F1"]], [1.0], 3.0, [given["F2"]]))}


def overhung_shaft(given: Given) -> Found:
    front, rear = overhung_reactions(given["F_r"], given["x"], given["s"])
    return {"R_front": float(front), "R_rear": float(rear)}


def swing_arm(given: Given) -> Found:
    mass, arm = given["m"], given["l"]
    load = Burden(inertia=given["J_cg"] + mass * arm**2, gravity_cos=mass * given["g"] * arm)
    place = math.radians(given["q_deg"])
    at = state(chain(load, linear=False), 1.0, given["qdd"], place)
    return {"T": float(at.effort.total[0])}


EXAMPLES = {
    "E02": jerk_limited_moves,
    "E11": screw_and_guide,
    "E12": accuracy_budget,
    "S03": tackle,
    "S04": slewing_ring,
    "S05": law_ordinates,
    "S06": quintic,
    "S08": speed_capped,
    "S10": triangle,
    "S11": slower,
    "S12": preload,
    "S13": belt_reduction,
    "S07": held_goods,
    "S14": flywheel_effect,
    "S16": force_ramp,
    "S17": overhung_shaft,
    "S18": swing_arm,
}
