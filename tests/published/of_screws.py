"""Published screws, worms, critical speeds and columns."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from tests.published.reading import INCH, LBF, UNITS, amount, numbers
from tests.published.trains import chain, effort, stage

from dutyline.physics.screws import lead_angle, sliding_efficiencies, thread_friction_angle
from dutyline.physics.slender import euler_force, torsion_stress, whirling_speed
from dutyline.train.records import Burden

Given = dict[str, Any]
Found = dict[str, float]


def efficiencies(
    lead: float, diameter: float, friction: float, flank: float = 0.0, collar: float = 0.0
) -> tuple[float, float]:
    """Forward and backward; ``collar`` is friction times diameter."""
    lean = lead_angle(lead, diameter)
    rub = thread_friction_angle(friction, flank, lean)
    forward, back = sliding_efficiencies(lean, rub, collar / diameter)
    return float(forward), float(back)


def torques(force: float, lead: float, forward: float, back: float) -> tuple[float, float]:
    """Torque to raise and torque to lower, each in the direction of its motion."""
    run = chain(Burden(gravity=force), stage(lead / (2 * math.pi), forward, back))
    return effort(run, 1.0), -effort(run, -1.0)


def square_double(given: Given) -> Found:
    pitch, _ = numbers(given["pitch"])
    lead, diameter = 2 * pitch / 1e3, amount(given["major_diameter"]) - pitch / 2e3
    collar = amount(given["mu_collar"]) * amount(given["collar_mean_diameter"])
    both = efficiencies(lead, diameter, amount(given["mu_thread"]), 0.0, collar)
    up, down = torques(amount(given["F"]), lead, *both)
    return {"T_raise_Nm": up, "T_lower_Nm": down, "eff": both[0]}


def square_collar(given: Given) -> Found:
    lead, diameter = amount(given["lead"]), amount(given["mean_diameter"])
    collar = amount(given["mu_collar"]) * amount(given["collar_mean_diameter"])
    both = efficiencies(lead, diameter, amount(given["mu_thread"]), 0.0, collar)
    up, down = torques(amount(given["F"]), lead, *both)
    return {"T_raise_Nm": up, "T_lower_Nm": down, "eff": both[0]}


def acme_press(given: Given) -> Found:
    lead, diameter = amount(given["lead"]), amount(given["mean_diameter"])
    force, friction = amount(given["F"]), amount(given["mu_thread"])
    collar = amount(given["mu_collar"]) * amount(given["collar_mean_diameter"])
    flank = math.radians(numbers(given["thread"])[0] / 2)
    # the source puts the flank angle of the axial section into the friction term alone
    thread, _ = axial_flank(lead, diameter, friction, flank)
    whole, _ = axial_flank(lead, diameter, friction, flank, collar)
    per_thread, per_screw = (force * lead / (2 * math.pi * eta) for eta in (thread, whole))
    ratio, eta = numbers(given["ratio"])[0], amount(given["efficiency"])
    load = Burden(gravity=force * amount(given["screws"]))
    screw = stage(lead / (2 * math.pi), whole, whole)
    motor = effort(chain(load, screw, stage(1 / ratio, eta)), 1.0)
    speed = amount(given["motor_speed"])
    return {
        "T_thread_lbf_in": per_thread / (LBF * INCH),
        "T_collar_lbf_in": (per_screw - per_thread) / (LBF * INCH),
        "T_total_lbf_in": per_screw / (LBF * INCH),
        "T_motor_lbf_in": motor / (LBF * INCH),
        "P_hp": motor * speed / UNITS["hp"],
        "v_in_min": speed / ratio * lead / (2 * math.pi) / INCH * 60,
    }


def axial_flank(
    lead: float, diameter: float, friction: float, flank: float, collar: float = 0.0
) -> tuple[float, float]:
    """As :func:`efficiencies` with the flank angle taken in the axial section."""
    lean = lead_angle(lead, diameter)
    rub = math.atan(friction / math.cos(flank))
    forward, back = sliding_efficiencies(lean, rub, collar / diameter)
    return float(forward), float(back)


def acme_lift(given: Given) -> Found:
    lead, diameter = amount(given["lead"]), amount(given["pitch_diameter"])
    flank = math.radians(numbers(given["thread"])[0])
    forward, _ = axial_flank(lead, diameter, amount(given["mu"]), flank)
    up, _ = torques(amount(given["F"].replace("lb", "lbf")), lead, forward, 0.0)
    return {
        "lead_angle_deg": math.degrees(float(lead_angle(lead, diameter))),
        "T_raise_lb_in": up / (LBF * INCH),
        "eff": forward,
    }


def given_efficiency(given: Given) -> Found:
    up, _ = torques(amount(given["F"]), amount(given["lead"]), amount(given["efficiency"]), 0.0)
    return {"T_Nm": up}


def lead_screw_pair(given: Given) -> Found:
    lead, diameter = INCH / 3, amount(given["pitch_diameter"])
    forward, _ = efficiencies(lead, diameter, amount(given["mu"]))
    force = numbers(given["F"])[0] / 2 * LBF
    up, _ = torques(force, lead, forward, 0.0)
    per_screw = up * amount(given["speed"])
    return {
        "T_lb_in": up / (LBF * INCH),
        "lead_angle_deg": math.degrees(float(lead_angle(lead, diameter))),
        "eff_pct": 100 * forward,
        "P_hp": per_screw / UNITS["hp"],
    }


def ball_screw(given: Given) -> Found:
    up, _ = torques(amount(given["F"].replace("lb", "lbf")), amount(given["lead"]), 0.9, 0.9)
    constant, _ = torques(1.0, 1.0, 0.9, 0.9)
    power = up * amount(given["speed"]) / UNITS["hp"]
    return {"T_lb_in": up / (LBF * INCH), "P_hp": power, "constant": constant}


def combined_stress(given: Given) -> Found:
    pitch, major = numbers(given["pitch"])[0] / 1e3, amount(given["major_diameter"])
    core, mean = major - pitch, major - pitch / 2
    collar = amount(given["mu_collar"]) * numbers(given["collar_diameters"])[2] / 1e3
    forward, _ = efficiencies(2 * pitch, mean, amount(given["mu_thread"]), 0.0, collar)
    force = amount(given["F"])
    torque, _ = torques(force, 2 * pitch, forward, 0.0)
    pressure = force / (math.pi * core**2 / 4)
    shear = float(torsion_stress(torque, core))
    return {
        "T_Nm": torque,
        "sigma_c_MPa": pressure / 1e6,
        "tau_MPa": shear / 1e6,
        "tau_max_MPa": math.hypot(pressure / 2, shear) / 1e6,
    }


def worm(given: Given) -> Found:
    rub = thread_friction_angle(amount(given["mu"]))
    forward, _ = sliding_efficiencies(amount(given["lead_angle"]), rub)
    # the source carries the efficiency as 0.73
    torque = numbers(given["input"])[0] * numbers(given["ratio"])[0] * round(float(forward), 2)
    return {"eff": float(forward), "T_out_lb_in": torque}


def self_locking_limit(given: Given) -> Found:
    flat = np.radians(1e-4)
    forward, back = sliding_efficiencies(flat, flat)
    assert abs(float(back)) < 1e-12
    return {"eff_limit": float(forward)}


def end_factors(given: Given) -> Found:
    modulus, density, margin = numbers(given["recompute"])
    found = {}
    for ends in ("fixed-free", "supported-supported", "fixed-supported", "fixed-fixed"):
        speed = float(whirling_speed(1e-3, 1e-3, ends, 0.0, 1e9 * modulus, density))
        found["f_" + ends.replace("-", "_")] = margin * speed * 30 / math.pi / 1e7
    return found


def braced_column(given: Given) -> Found:
    length, modulus = amount(given["L"]), amount(given["E"])
    strong = euler_force(modulus * amount(given["I_strong"]), length)
    weak = euler_force(modulus * amount(given["I_weak"]), length / 2)
    least = min(float(strong), float(weak)) / amount(given["safety_factor"])
    return {"P_allow_kip": least / UNITS["kip"]}


def best_column(given: Given) -> Found:
    length, modulus = amount(given["L"]), amount(given["E"])
    ratio = 0.7 / 2.0  # equal slenderness of both planes
    force = amount(given["P"]) * amount(given["safety_factor"])
    unit = euler_force(modulus * ratio / 12, 2 * length)  # for a side b of 1 m
    side = (force / float(unit)) ** 0.25
    other = euler_force(modulus * ratio**3 * side**4 / 12, 0.7 * length)
    assert abs(float(other) / force - 1.0) < 1e-9
    return {"ratio_a_over_b": ratio, "b_in": side / INCH, "a_in": ratio * side / INCH}


ADAPTERS = {
    "SCR-01": square_double,
    "SCR-02": square_collar,
    "SCR-03": acme_press,
    "SCR-04": acme_lift,
    "SCR-06": given_efficiency,
    "SCR-07": lead_screw_pair,
    "SCR-09": ball_screw,
    "SCR-11": combined_stress,
    "SCR-15": worm,
    "SCR-16": self_locking_limit,
    "BSC-01": end_factors,
    "BSC-02": braced_column,
    "BSC-04": best_column,
}
