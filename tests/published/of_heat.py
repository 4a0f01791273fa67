"""Published duty cycles, heating, electrical values and surroundings."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from scipy.optimize import brentq
from tests.published.reading import amount, numbers

from dutyline.physics.bus import capacitor_energy
from dutyline.physics.continuous_duty import COPPER
from dutyline.physics.continuous_torque import altitude_share
from dutyline.physics.duty import root_mean_square
from dutyline.physics.field_weakening import weakened_current
from dutyline.physics.overload import damage_rate
from dutyline.physics.supply import CURRENTS, SECTIONS, cabinet_rise
from dutyline.physics.thermal import steady_rise, time_constants
from dutyline.physics.torque_speed import (
    bus_voltage,
    flux_linkage,
    hot_resistance,
    torque_constant_of_emf,
)
from dutyline.physics.two_nodes import Network
from dutyline.physics.warming import periodic_response, response, short_time_factor

Given = dict[str, Any]
Found = dict[str, float]


def rms_power(given: Given) -> Found:
    power, time = np.reshape(numbers(given["cycle"]), (-1, 2)).T
    return {"P_rms_hp": float(root_mean_square(power, time))}


def rms_torque(given: Given) -> Found:
    torque, time = np.reshape(numbers(given["cycle"]), (-1, 2)).T
    rms = float(root_mean_square(torque, time))
    return {"P_W": rms * amount(given["n"]), "T_rms_Nm": rms}


def rms_with_ramp(given: Given) -> Found:
    start, end, t_ramp, level, t_level, back, t_back, t_idle = numbers(given["cycle"])
    return {
        "P_rms_kW": float(
            root_mean_square(
                [start, level, -back, 0.0],
                [t_ramp, t_level, t_back, t_idle],
                [end, level, -back, 0.0],
            )
        )
    }


def clutched_load(given: Given) -> Found:
    low, idle, on, off, tau = (
        numbers(given[k])[0] for k in ("theta_min", "theta_noload", "t_on", "t_off", "tau")
    )
    # which steady rise makes the settled cycle come back to the rise given: linear in it
    lowest = [periodic_response([t, idle], [on, off], tau)[0] for t in (0.0, 1.0)]
    steady = (low - lowest[0]) / (lowest[1] - lowest[0])
    rise = periodic_response([steady, idle], [on, off], tau)
    return {"theta_max_C": float(rise.max()), "theta_ss_C": float(steady)}


def short_and_intermittent(given: Given) -> Found:
    power, heat, cool, time = (
        numbers(given[k])[0] for k in ("P", "tau_heat", "tau_cool", "short_time")
    )
    on, off = numbers(given["intermittent"])
    short = power * float(short_time_factor(time, heat))
    rise = periodic_response([1.0, 0.0], [on, off], np.array([heat, cool])).max()
    return {"P_short_kW": short, "P_inter_kW": power / math.sqrt(float(rise))}


def intermittent(given: Given) -> Found:
    steady, heat, cool, on, off = (
        numbers(given[k])[0] for k in ("theta_f", "tau_heat", "tau_cool", "t_on", "t_off")
    )
    rise = periodic_response([steady, 0.0], [on, off], np.array([heat, cool]))
    return {"theta_max_C": float(rise.max())}


def half_hour(given: Given) -> Found:
    factor = short_time_factor(
        amount(given["t"]), amount(given["tau"]), amount(given["loss_ratio"])
    )
    return {"P_kW": amount(given["P"]) / 1e3 * float(factor)}


def two_readings(given: Given) -> Found:
    first, t_first, second, t_second = numbers(given["readings"])
    assert t_second == 2 * t_first
    tau = -t_first / math.log(second / first - 1.0)
    final = second / float(response([1.0], [t_second], tau)[-1])
    assert abs(float(response([final], [t_first], tau)[-1]) - first) < 1e-9
    return {"tau_min": tau, "theta_f_C": final}


def time_to_warm(given: Given) -> Found:
    tau, final, ambient = (numbers(given[k])[0] for k in ("tau", "theta_f", "theta_amb"))
    goal = numbers(given["target"])[2]
    low, high = 0.0, 20.0 * tau
    for _ in range(80):
        middle = 0.5 * (low + high)
        reached = float(response([final], [middle], tau, ambient)[-1])
        low, high = (middle, high) if reached < goal else (low, middle)
    return {"t_h": low}


def overload_factor(given: Given) -> Found:
    keys = ("t", "tau", "loss_ratio")
    return {"k": float(short_time_factor(*(amount(given[k]) for k in keys)))}


def winding_and_housing(given: Given) -> Found:
    keys = ("C_winding", "C_housing", "R_winding_housing", "R_housing_ambient")
    network = Network(*(amount(given[k]) for k in keys))
    winding, housing = steady_rise(amount(given["loss"]), 0.0, network)
    fast, slow = time_constants(network)
    values = zip(
        ("winding_K", "housing_K", "tau_fast_s", "tau_slow_s"),
        (winding, housing, fast, slow),
        strict=True,
    )
    return {k: float(v) for k, v in values}


def warm_shunt(given: Given) -> Found:
    """Mean temperature at which the resistance has grown as the current has fallen."""
    grown = amount(given["I_at_20C"]) / amount(given["I_hot"])
    per_kelvin = float(hot_resistance(1.0, 21.0)) - 1.0
    return {"theta_C": 20.0 + (grown - 1.0) / per_kelvin}


def surface_heat(given: Given) -> Found:
    surface = math.pi * amount(given["diameter"]) * amount(given["length"])
    power, per_unit = numbers(given["output"])
    heat = power * per_unit * (1.0 / amount(given["efficiency"]) - 1.0)
    per_kelvin = surface * numbers(given["h"])[0]
    store = amount(given["mass"]) * numbers(given["cp"])[0]
    # one body: a winding that holds next to nothing and is joined to the housing
    _, slow = time_constants(Network(1e-9 * store, store, 1e-9 / per_kelvin, 1.0 / per_kelvin))
    return {
        "theta_C": float(cabinet_rise(heat, surface, per_kelvin / surface)),
        "tau_s": float(slow),
    }


def copper_coefficient(given: Given) -> Found:
    return {"alpha20": COPPER}


def ampacity(given: Given) -> Found:
    names = (f"I_{s:g}mm2".replace(".", "p") for s in SECTIONS)
    return dict(zip(names, CURRENTS["B2"], strict=True))


def constants_of_a_motor(given: Given) -> Found:
    flux = flux_linkage(1.0, 1.0)
    constant = float(torque_constant_of_emf(1.0))
    assert abs(constant / (1.5 * math.sqrt(2.0) * float(flux)) - 1.0) < 1e-12
    per_krpm = constant / (1000.0 * math.pi / 30)
    return {
        "Kt_over_Ke_LLrms": constant,
        "Kt_Nm_A_per_Vrms_krpm": per_krpm,
        "KtKv_dc": 30 / math.pi,
    }


def flux_from_no_load(given: Given) -> Found:
    volts, speed = numbers(given["no_load"])
    power, rated, line = numbers(given["rated"])[:3]
    emf = volts / (speed * math.pi / 30)
    constant, flux = float(torque_constant_of_emf(emf)), float(flux_linkage(emf, 1.0))
    fast = rated * math.pi / 30
    wanted = math.sqrt(2.0) * 0.65 * power * 1e3 / fast / constant
    winding = (line * math.sqrt(2 / 3), 0.0, amount(given["Ls"]), flux, 1.0)

    def missing(current: float) -> float:
        carried = float(weakened_current(fast, *winding, current)[1])
        return (0.0 if math.isnan(carried) else carried) - wanted

    # the least current with which the voltage lets the torque pass at the rated speed
    reached = power * 1e3 / (math.sqrt(3) * line)
    current = brentq(missing, 0.6 * reached, reached, xtol=1e-10)
    return {
        "lambda_PM_Wb": flux,
        "Kt_Nm_per_Arms": constant,
        "iQ_A": wanted,
        "iD_A": float(weakened_current(fast, *winding, current)[0]),
        "Ia_rms_A": current,
        "Ia_pu": current / reached,
    }


def rectified_mains(given: Given) -> Found:
    return {"Vd0_V": float(bus_voltage(numbers(given["V_LL"])[0], 3))}


def defibrillator(given: Given) -> Found:
    per_volt = float(capacitor_energy(amount(given["C"]), 1.0, 0.0))
    return {"V": math.sqrt(amount(given["E"]) / per_volt)}


def bus_store(given: Given) -> Found:
    energy = capacitor_energy(amount(given["C"]), amount(given["V2"]), amount(given["V1"]))
    return {"E_J": float(energy)}


def altitude(given: Given) -> Found:
    limits = dict(zip("ABFH", numbers(given["rule"].split("limits")[1]), strict=True))
    found = {}
    for name, limit in limits.items():
        for height in numbers(given["altitude"]):
            # the standard lowers the ambient, the product the permitted rise: by equal kelvins
            lost = limit * (1.0 - float(altitude_share(height)))
            found[f"{name}_{height:.0f}"] = 40.0 - lost
    return found


def linear_damage(given: Given) -> Found:
    # two levels as an overload curve whose times are the numbers of cycles
    curve = ((2.0, 1e5), (3.0, 1e4))
    per_block = damage_rate([3.0, 2.0], curve) @ np.array([1.0, 4.0])
    return {"blocks_to_failure": 1.0 / float(per_block)}


ADAPTERS = {
    "DUT-01": rms_power,
    "DUT-03": rms_torque,
    "DUT-05": rms_with_ramp,
    "THM-01": clutched_load,
    "THM-02": short_and_intermittent,
    "THM-04": two_readings,
    "THM-06": intermittent,
    "THM-08": half_hour,
    "THM-10": time_to_warm,
    "THM-12": overload_factor,
    "THM-13": winding_and_housing,
    "THM-09": surface_heat,
    "COP-01": warm_shunt,
    "COP-03": copper_coefficient,
    "COP-09": ampacity,
    "ELE-01": flux_from_no_load,
    "ELE-02": constants_of_a_motor,
    "ELE-03": rectified_mains,
    "ELE-06": defibrillator,
    "ELE-11": bus_store,
    "ENV-02": altitude,
    "PRO-02": linear_damage,
}
