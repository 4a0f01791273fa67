"""Worked examples of the electrical side, thermal duty, overload, gearhead, brake and bus."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import numpy as np
from tests.published.move_times import rms_at, shortest_moves
from tests.published.trains import chain, effort, inertia, stage

from dutyline.demand.bus_trace import BusTrace
from dutyline.demand.shared_bus import shared_bus as on_one_bus
from dutyline.physics.brakes import (
    drop,
    hold_ratio,
    holding_test_torque,
    stop_downward,
    stops_in_life,
)
from dutyline.physics.bus import bus_power, capacitor_energy, resistor_window
from dutyline.physics.continuous_duty import loss_use, plain_use, segmentwise_use
from dutyline.physics.continuous_torque import continuous_torque, iron_loss
from dutyline.physics.duty import root_mean_square
from dutyline.physics.excursions import single_excursion_use
from dutyline.physics.field_weakening import weakened_current
from dutyline.physics.gear_loads import tilting_moment, windup
from dutyline.physics.gearing import command_frequency, gear, nearest_gear, range_wraps
from dutyline.physics.gears import (
    cycle_factor,
    equivalent_torque,
    life,
    mean_speed,
    mesh_efficiency,
    part_load_efficiency,
)
from dutyline.physics.identification import identified, identified_without_filter
from dutyline.physics.overload import accumulation, allowed_time, extra_rest, square_memory
from dutyline.physics.thermal import periodic_state, steady_rise, time_constants
from dutyline.physics.torque_speed import (
    bus_voltage,
    corner_speed,
    flux_linkage,
    peak_torque,
    phase_voltage,
    torque_constant_of_emf,
)
from dutyline.physics.two_nodes import Network
from dutyline.remedies.probe import slack
from dutyline.train.records import Burden

Given = dict[str, Any]
Found = dict[str, Any]
RPM = math.pi / 30


def torque_over_speed(given: Given) -> Found:
    emf, pairs = given["ke_ll_rms_v_per_krpm"] / (1000 * RPM), given["pole_pairs"]
    flux, constant = float(flux_linkage(emf, pairs)), float(torque_constant_of_emf(emf))
    winding = (given["resistance_phase_ohm"], given["inductance_phase_h"], flux, pairs)
    current = given["current_peak_arms"]
    probe, fast = given["probe_speed_rpm"] * RPM, given["high_speed_rpm"] * RPM
    found: Found = {
        "flux_linkage_wb": flux,
        "kt_nm_per_arms": constant,
        "torque_peak_nm": constant * current,
        "characteristic_current_a_peak": flux / given["inductance_phase_h"],
        "emf_ll_peak_at_high_speed_v": math.sqrt(2) * emf * fast,
    }
    for name, mains in (("nominal", 1.0), ("low", 1.0 - given["mains_drop"])):
        bus = bus_voltage(given["mains_v"] * mains, 3)
        volt = float(phase_voltage(bus, given["modulation_reserve"]))
        weak = {w: weakened_current(w, volt, *winding, current) for w in (probe, fast)}
        found |= {
            f"phase_voltage_peak_v_{name}": volt,
            f"corner_speed_rpm_{name}": float(corner_speed(current, volt, *winding)) / RPM,
            f"no_load_limit_rpm_{name}": float(corner_speed(0.0, volt, *winding)) / RPM,
            f"torque_probe_no_fw_nm_{name}": float(peak_torque(probe, volt, *winding, current)),
            f"torque_high_no_fw_nm_{name}": float(peak_torque(fast, volt, *winding, current)),
            f"torque_probe_fw_nm_{name}": 1.5 * pairs * flux * float(weak[probe][1]),
            f"torque_high_fw_nm_{name}": 1.5 * pairs * flux * float(weak[fast][1]),
            f"id_probe_fw_a_peak_{name}": float(weak[probe][0]),
        }
    return found


def continuous_limit(given: Given) -> Found:
    torque, speed, time = np.array(given["segments"]).T
    reference = given["iron_ref_speed_rpm"]

    def limit(n: Any) -> Any:
        iron = iron_loss(n, given["iron_loss_ref_w"], reference, given["iron_exponent"])
        return continuous_torque(
            iron,
            given["torque_stall_nm"],
            given["rise_limit_k"],
            given["r_housing_ambient_k_per_w"],
        )

    rms, mean = float(root_mean_square(torque, time)), float(mean_speed(speed, time))
    copper = given["copper_loss_stall_w"] * (rms / given["torque_stall_nm"]) ** 2
    iron = iron_loss(speed, given["iron_loss_ref_w"], reference, given["iron_exponent"])
    network = Network(
        1.0, 1.0, given["r_winding_housing_k_per_w"], given["r_housing_ambient_k_per_w"]
    )
    rise, _ = steady_rise(copper, float(np.sum(iron * time) / time.sum()), network)
    return {
        "torque_rms_nm": rms,
        "speed_mean_rpm": mean,
        "limit_at_mean_speed_nm": float(limit(mean)),
        "use_plain": float(plain_use(rms, limit(mean))),
        "use_segmentwise": float(segmentwise_use(torque, limit(speed), time)),
        "use_loss": float(loss_use(torque, limit(speed), time)),
        "winding_rise_k": float(rise),
        "rise_use": float(rise) / given["rise_limit_k"],
        "limit_3000_nm": float(limit(3000.0)),
        "limit_5500_nm": float(limit(5500.0)),
    }


def two_nodes(given: Given) -> Found:
    ambient = given["ambient_c"]
    network = Network(
        given["c_winding_j_per_k"],
        given["c_housing_j_per_k"],
        given["r_winding_housing_k_per_w"],
        given["r_housing_ambient_k_per_w"],
        ambient,
        given["copper_alpha_per_k"],
    )
    copper, iron, time = np.array(given["segments"]).T
    state = periodic_state(copper, iron, time, network)
    fast, slow = time_constants(network)
    share = time / time.sum()
    even = periodic_state([share @ copper], [share @ iron], [time.sum()], network)
    return {
        "winding_max_c": ambient + float(state.winding_max),
        "winding_min_c": ambient + float(state.winding_min),
        "winding_mean_c": ambient + float(state.winding_mean),
        "housing_max_at_segment_ends_c": ambient + float(state.housing.max()),
        "ripple_k": float(state.ripple),
        "spectral_radius": float(state.radius),
        "time_constant_fast_s": float(fast),
        "time_constant_slow_s": float(slow),
        "winding_start_c": ambient + float(state.winding[0]),
        "housing_start_c": ambient + float(state.housing[0]),
        "winding_mean_loss_c": ambient + float(even.winding_mean),
    }


def overload(given: Given) -> Found:
    curve = tuple((x, t) for x, t in given["curve"])
    factor, time = np.array(given["segments"]).T
    recovery = given["recovery_s"]
    found = accumulation(factor, time, curve, recovery)
    seconds = allowed_time([1.25, 3.0], curve)
    rest = float(extra_rest(found.net, factor[-1], recovery))
    return {
        "slope": float(np.log(seconds[0] / seconds[1]) / np.log(3.0 / 1.25)),
        "trip_time_at_2_s": float(allowed_time(2.0, curve)),
        "trip_time_at_1_10_s": float(allowed_time(1.10, curve)),
        "trip_time_at_segment1_s": float(allowed_time(factor[0], curve)),
        "single_excursion_use": float(single_excursion_use(factor, time, curve)),
        "trips": bool(found.trips),
        "trip_cycle": int(found.trip_cycle),
        "trip_time_s": float(found.trip_time),
        "net_damage_per_cycle": float(found.net),
        "pause_needed_s": float(time[-1]) + rest,
        "rms_load": float(root_mean_square(factor, time)),
        "i2t_periodic_max": float(square_memory(factor, time, given["i2t_time_constant_s"])),
    }


def gearhead(given: Given) -> Found:
    torque, speed, time = np.array(given["segments"]).T
    i, rated, q = given["ratio"], given["torque_rated_nm"], given["life_exponent"]
    whole, mean = float(equivalent_torque(torque, speed, time, q)), float(mean_speed(speed, time))
    peaks = given["peaks_per_cycle"] * 3600 / time.sum()
    points = tuple((n, f) for n, f in given["peak_factor_by_cycles_per_hour"])
    factor = float(cycle_factor(peaks, points))
    limit = factor * given["torque_accel_nm"]
    arm = (given["radial_arm_mm"] + given["bearing_offset_mm"]) / 1e3
    moment = float(
        tilting_moment(given["radial_n"], arm, given["axial_n"], given["axial_arm_mm"] / 1e3)
    )
    arcmin = math.pi / 10800
    mesh = mesh_efficiency(given["efficiency_full"], i, given["no_load_torque_nm"], rated)
    part = part_load_efficiency(0.2 * rated, i, mesh, given["no_load_torque_nm"])
    peak = float(np.abs(torque).max())
    return {
        "torque_equivalent_nm": whole,
        "torque_cubic_nm": float(equivalent_torque(torque, speed, time, 3.0)),
        "speed_mean_out_rpm": mean,
        "speed_mean_in_rpm": mean * i,
        "life_h": float(
            life(whole, mean, rated, given["speed_rated_out_rpm"], given["life_rated_h"], q)
        ),
        "cycles_per_hour": float(peaks),
        "peak_factor": factor,
        "peak_limit_nm": limit,
        "peak_margin": (limit - peak) / limit,
        "tilting_moment_nm": moment,
        "tilting_margin": 1 - moment / given["tilting_limit_nm"],
        "windup_peak_arcmin": float(windup(peak, given["stiffness_nm_per_arcmin"] / arcmin))
        / arcmin,
        "efficiency_mesh": float(mesh),
        "efficiency_at_20pct": float(part),
    }


def brake(given: Given) -> Found:
    radius, i, g = given["pinion_radius_m"], given["ratio"], 9.80665
    mass, weight = given["mass_kg"], given["counterweight_kg"]
    own = sum(given[f"inertia_{k}_kgm2"] for k in ("motor", "brake", "gear"))
    load = Burden(inertia=mass + weight, gravity=(mass - weight) * g)
    run = chain(load, stage(radius), stage(1 / i, inertia_in=own))
    whole, pull = inertia(run), effort(run, 0.0)
    torque = given["brake_torque_factor"] * given["brake_torque_nm"]
    stop = stop_downward(
        given["speed_down_m_per_s"] / radius * i, pull, whole, torque, given["delay_s"]
    )
    per = radius / i
    work = float(stop.energy)
    return {
        "inertia_total_kgm2": whole,
        "gravity_torque_motor_nm": pull,
        "hold_margin_rated": 1 - pull / given["brake_torque_nm"],
        "hold_ratio": float(hold_ratio(given["brake_torque_nm"], pull, 1.0)),
        "speed_after_delay_m_per_s": float(stop.speed) * per,
        "distance_delay_m": float(stop.angle_delay) * per,
        "time_brake_s": float(stop.time_brake),
        "distance_brake_m": float(stop.angle_brake) * per,
        "distance_total_m": float(stop.angle) * per,
        "energy_stop_j": work,
        "energy_margin": 1 - work / given["work_per_stop_j"],
        "stops_life": float(stops_in_life(given["work_total_j"], work)),
        "drop_from_rest_m": float(drop(pull, whole, given["release_gap_s"])) * per,
        "motor_speed_peak_rpm": float(stop.speed) / RPM,
        "test_torque_nm": float(holding_test_torque(pull, given["test_factor"])),
    }


def shared_bus(given: Given) -> Found:
    cycle, volts = given["cycle_s"], (given["chop_v"], given["bus_v"])
    half = float(capacitor_energy(given["capacitance_f"], *volts)) / 2  # of the capacitors each
    traces = [_bus(axis, cycle, given["step_s"]) for axis in given["axes"]]
    both = on_one_bus(traces, [half, half], cycle)
    found: Found = {"capacitor_energy_j": both.capacity}
    step = np.diff(both.time)
    for k, (power, burnt) in enumerate(zip(both.power, both.alone, strict=True), start=1):
        found |= {
            f"regen_axis{k}_j": float(np.maximum(-power * step, 0).sum()),
            f"resistor_axis{k}_alone_j": burnt,
            f"regen_peak_axis{k}_w": float(-traces[k - 1].drawn.min()),
        }
    return found | {
        "resistor_separate_j": sum(both.alone),
        "resistor_shared_j": both.together,
        "resistor_shared_mean_w": both.together / cycle,
        "resistor_shared_peak_w": both.resistor_peak,
        "saved_j": both.saved,
        "resistor_ohm_max": float(resistor_window(given["chop_v"], both.resistor_peak, 0.0)[1]),
    }


def _bus(axis: Given, cycle: float, step: float) -> BusTrace:
    """Power of one axis sampled evenly and on both sides of every jump."""
    jumps = np.concatenate([np.cumsum(move) for move in axis["moves"]])
    every = np.concatenate([np.linspace(0.0, cycle, round(cycle / step) + 1), jumps])
    time = np.unique(np.concatenate([every - 1e-9, every, every + 1e-9]))
    time = time[(time >= 0.0) & (time <= cycle)]
    nothing = np.zeros_like(time)
    return BusTrace(time, _drawn(axis, time), nothing, nothing)


def _drawn(axis: Given, time: Any) -> Any:
    """Power drawn from the bus by a trapezoidal speed-up, run and stop."""
    top = axis["speed_rpm"] * RPM
    power = np.zeros_like(time)
    for start, rise, run, fall in axis["moves"]:
        tau = time - start
        moving = (tau > 0) & (tau < rise + run + fall)
        edges = [0.0, rise, rise + run, rise + run + fall]
        speed = np.interp(tau, edges, [0.0, top, top, 0.0])
        accel = np.where(tau < rise, top / rise, np.where(tau < rise + run, 0.0, -top / fall))
        torque = axis["inertia_kgm2"] * accel + axis["friction_nm"] + axis["gravity_nm"]
        current = np.abs(torque) / axis["kt_nm_per_arms"]
        drawn = bus_power(
            torque * speed, current, axis["resistance_phase_ohm"], 0.0, axis["drive_loss_w"]
        )
        power = power + np.where(moving, drawn, 0.0)
    return power


def electronic_gear(given: Given) -> Found:
    counts, turns = 2 ** given["encoder_bits"], 2 ** given["multiturn_bits"]
    ratio = Fraction(given["ratio_num"], given["ratio_den"])
    units = Fraction(given["units_per_table_rev_num"], given["units_per_count_den"])
    exact = gear(counts, ratio, units)
    wraps = range_wraps(turns, ratio)
    travel = math.pi * given["rack_module_mm"] * given["rack_teeth"]
    rack = counts * given["rack_ratio_num"] / given["rack_ratio_den"] / (1e3 * travel)
    best, error = nearest_gear(rack, given["gear_register_max_den"])
    per_turn = counts * float(ratio)
    return {
        "gear_num": exact.numerator,
        "gear_den": exact.denominator,
        "counts_per_unit": float(exact),
        "table_revs_per_range": float(turns / ratio),
        "range_multiple": wraps,
        "table_revs_whole": int(wraps * turns / ratio),
        "rack_travel_mm_per_rev": travel,
        "rack_gear_num": best.numerator,
        "rack_gear_den": best.denominator,
        "rack_error_ppm": 1e6 * abs(error),
        "rack_error_um_per_m": 1e6 * abs(error),
        "pulse_frequency_hz": command_frequency(
            given["speed_mm_per_s"] / 1e3, given["pulse_um"] / 1e6
        ),
        "resolution_deg": 360 / per_turn,
        "tolerance_counts": given["tolerance_arcsec"] / 3600 / 360 * per_turn,
    }


def move_time(given: Given) -> Found:
    """By the search for the smallest change, on a motor whose curves are the stated limits."""
    found = shortest_moves(given)
    line, time = found.lines, found.times
    needed = {
        "peak_torque": time["peak-torque"],
        "rms_torque": time["continuous-use"],
        "top_speed": time["top-speed"],
    }
    assert not found.inertia_helps
    stretch = 1e-4
    further = [rms_at(given, given["move_s"] * s) for s in (1 + stretch, 1 - stretch)]
    return {
        "peak_torque_nm": line["peak-torque"].demand,
        "rms_torque_nm": line["continuous-use"].demand,
        "top_speed_rpm": line["top-speed"].demand / RPM,
        "slack_peak_torque": slack(line["peak-torque"]),
        "slack_rms_torque": slack(line["continuous-use"]),
        "slack_top_speed": slack(line["top-speed"]),
        **{f"move_s_for_{name}": time for name, time in needed.items()},
        "move_s_needed": found.needed,
        "binding": max(needed, key=needed.__getitem__).replace("_", " "),
        "increase_pct": 100 * (found.needed / given["move_s"] - 1),
        "sensitivity_rms_to_move": math.log(further[0] / further[1])
        / math.log((1 + stretch) / (1 - stretch)),
    }


def identification(given: Given) -> Found:
    step, deviate = given["sample_s"], _deviates(given["seed"])
    time = np.arange(round(given["duration_s"] / step)) * step
    slow, fast = (2 * math.pi * given[f"freq{k}_hz"] for k in (1, 2))
    top = given["speed_amp_rad_s"]
    speed = top * (np.sin(slow * time) + 0.5 * np.sin(fast * time))
    rate = top * (slow * np.cos(slow * time) + 0.5 * fast * np.cos(fast * time))
    torque = given["inertia_true_kgm2"] * rate + given["viscous_true_nms"] * speed
    torque += given["coulomb_true_nm"] * np.sign(speed) + given["gravity_true_nm"]
    noise = np.array([[next(deviate), next(deviate)] for _ in time])
    speed = speed + given["noise_speed_rad_s"] * noise[:, 0]
    torque = torque + given["noise_torque_nm"] * noise[:, 1]
    gate, edge = given["speed_gate_rad_s"], given["edge_s"]
    found = identified(speed, torque, step, given["filter_hz"], gate, edge)
    return {
        "inertia_kgm2": found.inertia,
        "viscous_nms": found.viscous,
        "coulomb_nm": found.coulomb,
        "gravity_nm": found.constant,
        "inertia_naive_kgm2": identified_without_filter(speed, torque, step).inertia,
        "residual_rms_nm": found.residual,
        "condition": found.condition,
        "samples": found.samples,
    }


def _deviates(seed: int) -> Iterator[float]:
    """The generator that the example states: twelve equal chances less six."""
    state = seed
    while True:
        total = -6.0
        for _ in range(12):
            state = (1664525 * state + 1013904223) % 2**32
            total += state / 2**32
        yield total


EXAMPLES = {
    1: torque_over_speed,
    2: continuous_limit,
    3: two_nodes,
    4: overload,
    5: gearhead,
    6: brake,
    7: shared_bus,
    8: electronic_gear,
    9: move_time,
    10: identification,
}
