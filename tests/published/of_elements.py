"""Published bearings, belts, keys, shafts, vibration and accuracy."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from tests.published.reading import INCH, LBF, UNITS, amount, numbers

from dutyline.physics.accuracy import TRAVEL_VARIATION, positioning_test, thermal_growth
from dutyline.physics.duty import power_mean
from dutyline.physics.friction_drives import (
    belt_length,
    centre_distance,
    key_pressure,
    tension_ratio,
    wrap_angle,
)
from dutyline.physics.keys import key_section
from dutyline.physics.oscillation import chain_frequencies, free_frequency, locked_frequency
from dutyline.physics.rolling_life import (
    equivalent_load,
    life_revolutions,
    life_time,
    rating_needed,
    reliability_factor,
)
from dutyline.physics.slender import torsion_stiffness, torsion_stress

Given = dict[str, Any]
Found = dict[str, float]
RPM = math.pi / 30


def life_of_ball(given: Given) -> Found:
    turns = life_revolutions(amount(given["C"]), amount(given["P"]), amount(given["p"]))
    return {"L10_Mrev": float(turns) / 1e6}


def life_with_axial(given: Given) -> Found:
    keys = ("Fr", "Fa", "X", "Y")
    load = equivalent_load(*(amount(given[k]) for k in keys))
    time = life_time(life_revolutions(amount(given["C"]), load), amount(given["n"]))
    return {"P_N": float(load), "L10h_h": float(time) / 3600}


def rating_for_life(given: Given) -> Found:
    turns = amount(given["life"]) * amount(given["n"]) / (2 * math.pi)
    rating = rating_needed(amount(given["F"]), turns, amount(given["p"]))
    return {"C10_lbf": float(rating) / LBF}


def life_hours(given: Given) -> Found:
    turns = life_revolutions(amount(given["C"]), amount(given["P"]))
    return {"L10h_h": float(life_time(turns, amount(given["n"]))) / 3600}


def reliable_rating(given: Given) -> Found:
    slope = amount(given["weibull_slope"])
    factor = reliability_factor(amount(given["reliability"]), slope, 0.0)
    turns = amount(given["life"]) * amount(given["n"]) / (2 * math.pi) / float(factor)
    return {"C_N": float(rating_needed(amount(given["P"]), turns))}


def load_spectrum(given: Given) -> Found:
    rows = [numbers(part) for part in given["spectrum"].split(";")]
    share, force, speed = (np.array(v) for v in zip(*rows, strict=True))
    mean_speed = float(np.sum(share * speed) / 100)
    mean_load = power_mean(force, share * speed, 3.0)
    turns = amount(given["life"]) * mean_speed * RPM / (2 * math.pi)
    return {"C_N": float(rating_needed(mean_load, turns)), "N_rpm": mean_speed}


def reliability_table(given: Given) -> Found:
    found = {}
    for percent in numbers(given["reliability"]):
        for year, minimum in ((2007, 0.05), (1990, 0.0)):
            factor = reliability_factor(percent / 100, minimum=minimum)
            found[f"a1_{percent:g}_{year}"] = float(factor)
    return found


def mean_loads(given: Given) -> Found:
    z = np.linspace(0.0, 1.0, 20001)
    equal = np.ones(z.size - 1)
    shapes = {"half_sine": np.sin(np.pi * z), "offset_sine": (1 - np.cos(2 * np.pi * z)) / 2}
    found = {k: float(power_mean(v[:-1], equal, 3.0, v[1:])) for k, v in shapes.items()}
    return {**found, "ramp_from_zero": float(power_mean([0.0], [1.0], 3.0, [1.0]))}


def flat_belt(given: Given) -> Found:
    tight = amount(given["T1"])
    slack = tight / float(tension_ratio(amount(given["mu"]), amount(given["wrap"])))
    speed = amount(given["n"]) * amount(given["pulley"]) / 2
    return {"P_kW": (tight - slack) * speed / 1e3}


def rope_brake(given: Given) -> Found:
    load, wrap = amount(given["load"]), 2 * math.pi * amount(given["turns"])
    slack = load / float(tension_ratio(amount(given["mu"]), wrap))
    speed = amount(given["n"]) * amount(given["drum"]) / 2
    return {"T2_N": slack, "P_kW": (load - slack) * speed / 1e3}


def open_belt(given: Given) -> Found:
    small, large = amount(given["D1"]), amount(given["D2"])
    length = belt_length(small, large, amount(given["C_start"]))
    distance = centre_distance(small, large, amount(given["L_chosen"]))
    wrap = wrap_angle(small, large, distance)
    speed = amount(given["n"]) * small / 2
    return {
        "L_in": float(length) / INCH,
        "C_in": float(distance) / INCH,
        "wrap_deg": math.degrees(float(wrap)),
        "v_ft_min": speed / UNITS["ft"] * 60,
    }


def key_in_compression(given: Given) -> Found:
    torque = 63000 * 5 / 1750 * LBF * INCH  # the source's rounded constant
    height = amount(given["key"]) / 2
    allowed = amount(given["compressive_strength"]) / amount(given["safety_factor"])
    pressure = key_pressure(torque, amount(given["shaft"]), height, 1.0)
    return {"L_comp_in": float(pressure) / allowed / INCH}


def key_sections(given: Given) -> Found:
    found = {}
    for low, high in (
        (10, 12),
        (12, 17),
        (17, 22),
        (22, 30),
        (30, 38),
        (38, 44),
        (44, 50),
        (50, 58),
    ):
        sections = [key_section(d / 1e3) for d in (low + 1e-6, high)]
        assert sections[0] == sections[1]
        for name, value in zip(("b", "h", "t1"), sections[0] or (), strict=True):
            found[f"d_{low}_{high}_{name}"] = 1e3 * value
    return found


def shaft_in_torsion(given: Given) -> Found:
    d, torque = amount(given["d"]), amount(given["T"])
    stiffness = float(torsion_stiffness(d, amount(given["L"]), 0.0, amount(given["G"])))
    stress = float(torsion_stress(torque, d))
    by_stress = amount(given["tau_allow"]) / float(torsion_stress(1.0, d))
    most = min(by_stress, stiffness * amount(given["twist_allow"]))
    return {
        "tau_psi": stress / UNITS["psi"],
        "twist_deg": math.degrees(torque / stiffness),
        "T_max_lb_ft": most / UNITS["lb.ft"],
    }


def shaft_with_three_torques(given: Given) -> Found:
    d, shear = amount(given["d"]), amount(given["G"])
    first, third = -amount(given["T1"]), amount(given["T3"])
    twist = sum(
        torque / float(torsion_stiffness(d, amount(given[k]), 0.0, shear))
        for torque, k in ((first, "L_bc"), (third, "L_cd"))
    )
    return {
        "tau_cd_MPa": float(torsion_stress(third, d)) / 1e6,
        "tau_bc_MPa": abs(float(torsion_stress(first, d))) / 1e6,
        "twist_rad": twist,
    }


def three_rotors(given: Given) -> Found:
    shear, d, g = amount(given["modulus_of_rigidity"]), amount(given["d"]), numbers(given["g"])[0]
    springs = [torsion_stiffness(d, amount(given[k]), 0.0, shear) for k in ("AB", "BC")]
    # the source turns pounds into slugs with its own g
    weight = UNITS["lbf"] / UNITS["lb"] / (g * UNITS["ft"])
    rotors = [amount(given[k]) * weight for k in ("Ia", "Ib", "Ic")]
    first, second = 60.0 * chain_frequencies(rotors, springs)
    return {"f1_cpm": float(first), "f2_cpm": float(second)}


def two_masses(given: Given) -> Found:
    k, load, motor = (amount(given[n]) for n in ("k", "J_load", "J_motor"))
    turn = 2 * math.pi
    return {
        "w_res": turn * float(free_frequency(k, load, motor)),
        "w_anti": turn * float(locked_frequency(k, load)),
    }


def expansion(given: Given) -> Found:
    growth = thermal_growth(amount(given["L"]), amount(given["dT"]), amount(given["alpha"]))
    gap = numbers(given["gap"])
    limit = gap[1] * 1e6 / amount(given["E"]) * amount(given["L"])
    return {"delta_mm": 1e3 * float(growth), "gap_needed_mm": 1e3 * (float(growth) - limit)}


def travel_variation(given: Given) -> Found:
    return {f"g{grade}": 1e6 * TRAVEL_VARIATION[grade] for grade in (1, 3, 5, 7, 10)}


def one_target(given: Given) -> Found:
    reversal, repeat, accuracy = positioning_test(numbers(given["up"]), numbers(given["down"]))
    return {"B_um": float(reversal), "A_um": float(accuracy), "R_up_um": float(repeat)}


ADAPTERS = {
    "BRG-01": life_of_ball,
    "BRG-02": life_with_axial,
    "BRG-03": rating_for_life,
    "BRG-06": life_hours,
    "BRG-07": reliable_rating,
    "BRG-08": load_spectrum,
    "BRG-10": reliability_table,
    "BRG-11": mean_loads,
    "BLT-01": flat_belt,
    "BLT-02": rope_brake,
    "BLT-05": open_belt,
    "KEY-01": key_in_compression,
    "KEY-03": key_sections,
    "SHF-01": shaft_in_torsion,
    "SHF-03": shaft_with_three_torques,
    "VIB-01": three_rotors,
    "VIB-04": two_masses,
    "GEO-01": expansion,
    "GEO-02": travel_variation,
    "GEO-04": one_target,
}
