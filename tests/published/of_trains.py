"""Published drives with gears, drums and counterweights, through the product's recursion."""

from __future__ import annotations

from typing import Any

import numpy as np
from tests.published.reading import UNITS, amount, numbers
from tests.published.trains import chain, effort, inertia, stage

from dutyline.motion.ramps import Limits, fastest
from dutyline.physics.ratios import best_acceleration_ratio, inertia_ratio_optimum
from dutyline.train.records import Burden

Given = dict[str, Any]
Found = dict[str, float]


def gear_and_hoist(given: Given) -> Found:
    mass, speed, g = (amount(given[k]) for k in ("mass", "hoist_speed", "g"))
    gear = chain(
        Burden(inertia=amount(given["J_load"]), steady=amount(given["T_load"])),
        stage(amount(given["gear_ratio"]), amount(given["gear_efficiency"])),
        linear=False,
    )
    hoist = stage(
        speed / amount(given["motor_speed"]),
        amount(given["hoist_efficiency"]),
        inertia_in=amount(given["J_motor"]),
        joined=(gear,),
    )
    run = chain(Burden(inertia=mass, gravity=mass * g), hoist)
    return {"J_kgm2": inertia(run), "T_Nm": effort(run, speed)}


def winch(given: Given) -> Found:
    mass, speed = amount(given["mass"]), amount(given["speed"])
    drum = stage(
        speed / amount(given["motor_speed"]),
        inertia_in=amount(given["J_motor"]) + amount(given["J_winch"]),
        drag_in=amount(given["no_load_torque"]),
    )
    run = chain(Burden(inertia=mass, gravity=mass * amount(given["g"])), drum)
    return {"T_Nm": effort(run, speed), "J_kgm2": inertia(run)}


def gear_and_belt(given: Given) -> Found:
    belt = chain(
        Burden(inertia=amount(given["J_belt_load"]), steady=amount(given["T_belt_load"])),
        stage(amount(given["driver_pulley"]) / amount(given["driven_pulley"])),
        linear=False,
    )
    ratio, speed = amount(given["gear_speed_ratio"]), amount(given["motor_speed"])
    gear = stage(ratio, inertia_in=amount(given["J_motor"]), joined=(belt,))
    load = Burden(inertia=amount(given["J_gear_load"]), steady=amount(given["T_gear_load"]))
    run = chain(load, gear, linear=False)
    torque = effort(run, speed * ratio)
    return {"J_kgm2": inertia(run), "T_Nm": torque, "P_W": torque * speed}


def belt_conveyor(given: Given) -> Found:
    speed = amount(given["belt_speed"])
    mass = amount(given["rate"]) / speed * amount(given["belt_length"])
    ratio = speed / amount(given["motor_speed"])
    bare = chain(Burden(inertia=mass), stage(ratio))
    run = chain(Burden(inertia=mass), stage(ratio, inertia_in=amount(given["J_motor"])))
    start = effort(run, speed, speed / amount(given["start_time"]))
    return {"load_mass_kg": mass, "J_kgm2": inertia(bare), "T_Nm": start}


def haulage(given: Given) -> Found:
    mass, a, speed = (amount(given[k]) for k in ("mass", "acceleration", "speed"))
    slope = numbers(given["gradient"].split("(")[0])
    load = Burden(
        inertia=mass,
        gravity=mass * amount(given["g"]) * slope[0] / slope[1],
        friction=amount(given["track_resistance"]),
    )
    radius = amount(given["drum_diameter"]) / 2
    drum = stage(radius, inertia_in=amount(given["drum_mass"]) * amount(given["drum_k"]) ** 2)
    armature = amount(given["armature_mass"]) * amount(given["armature_k"]) ** 2
    gear = stage(1 / numbers(given["gear"])[0], amount(given["efficiency"]), inertia_in=armature)
    torque = effort(chain(load, drum, gear), speed, a)
    power = torque * speed / radius * numbers(given["gear"])[0]
    return {"T_motor_Nm": torque, "P_kW": power / 1e3}


def two_cages(given: Given, drum_ratio: float | None = None) -> Found:
    """Two cages on one drum; ``drum_ratio`` replaces the exact ratio of drum and motor speed."""
    a, g = amount(given["acceleration"]), amount(given["g"])
    up, up_drag = (float(v) for v in numbers(given["rising_rope_and_cage"]))
    down, down_drag = (float(v) for v in numbers(given["falling_rope_and_cage"]))
    motor, motor_k, motor_n = numbers(given["motor"])
    middle, middle_k, middle_n, middle_drag = numbers(given["intermediate"])
    drum, drum_k, drum_n, drum_drag = numbers(given["drum"])
    pulley, pulley_k, pulley_drag = numbers(given["guide_pulley"])
    around = amount(given["guide_pulley_diameter"]) / 2
    guide = {
        "inertia_out": pulley * (pulley_k / 1e3 / around) ** 2,
        "drag_out": pulley_drag / around,
    }
    radius = amount(given["drum_diameter"]) / 2
    falling = chain(
        Burden(inertia=down, gravity=down * g, friction=down_drag), stage(-radius, **guide)
    )
    wound = stage(
        radius,
        inertia_in=drum * (drum_k / 1e3) ** 2,
        drag_in=drum_drag,
        joined=(falling,),
        **guide,
    )
    slow = drum_n / middle_n if drum_ratio is None else drum_ratio * motor_n / middle_n
    first = stage(slow, inertia_in=middle * (middle_k / 1e3) ** 2, drag_in=middle_drag)
    second = stage(middle_n / motor_n, inertia_in=motor * (motor_k / 1e3) ** 2)
    rising = Burden(inertia=up, gravity=up * g, friction=up_drag)
    return {"T_motor_Nm": effort(chain(rising, wound, first, second), 1.0, a)}


def best_ratio(given: Given) -> Found:
    load, motor = amount(given["I_B"]), amount(given["I_A"])
    ratio = float(inertia_ratio_optimum(load, motor))
    run = chain(Burden(inertia=load), stage(1 / ratio, inertia_in=motor), linear=False)
    alpha = amount(given["motor_torque"]) / inertia(run)
    return {"G": ratio, "alpha_B_rad_s2": alpha / ratio, "alpha_A_rad_s2": alpha}


def run_up(given: Given) -> Found:
    ratio, eta = amount(given["gear_ratio"]), amount(given["efficiency"])
    load = Burden(inertia=amount(given["I_B"]), steady=amount(given["load_torque"]))
    run = chain(load, stage(1 / ratio, eta, inertia_in=amount(given["I_A"])), linear=False)
    speed, torque = amount(given["steady_speed"]), amount(given["motor_torque_start"])
    steady = effort(run, speed)
    per_acceleration = effort(run, speed, 1.0) - steady
    time = amount(given["target"]) * per_acceleration / (torque - steady)
    best = best_acceleration_ratio(torque, load.inertia, amount(given["I_A"]), load.steady, eta)
    return {"P_W": steady * speed * ratio, "t_s": time, "G_opt": float(best)}


def geared_hoists(given: Given) -> Found:
    g = amount(given["g"])
    mass, a, radius, pinion, wheel, motor, drum = numbers(given["hoist_1"])
    first = stage(radius / 1e3, inertia_in=drum)
    run = chain(
        Burden(inertia=mass, gravity=mass * g), first, stage(pinion / wheel, inertia_in=motor)
    )
    one = effort(run, 1.0, a)
    size, cage, rope, a, *rotors = numbers(given["hoist_2"])
    fast, rotor, rotor_k, mid, wheel, wheel_k, slow, low, low_k, _, barrel, barrel_k = rotors
    own = low * (low_k / 1e3) ** 2 + barrel * (barrel_k / 1e3) ** 2
    mass = cage + rope
    run = chain(
        Burden(inertia=mass, gravity=mass * g),
        stage(size / 2, inertia_in=own),
        stage(slow / mid, inertia_in=wheel * (wheel_k / 1e3) ** 2),
        stage(mid / fast, inertia_in=rotor * (rotor_k / 1e3) ** 2),
    )
    return {"T1_Nm": one, "T2_Nm": effort(run, 1.0, a)}


def goods_lift(given: Given) -> Found:
    g, height = amount(given["g"]), amount(given["height"])
    load, cage, weight = (amount(given[k]) for k in ("load", "cage", "counterweight"))
    hoist = stage(1.0, amount(given["hoist_efficiency"]))
    up = chain(Burden(gravity=(load + cage - weight) * g), hoist)
    down = chain(Burden(gravity=(cage - weight) * g), hoist)
    shaft = effort(up, 1.0) * height, -effort(down, -1.0) * height
    eta = amount(given["hoist_efficiency"])
    return {
        "E_up_J": shaft[0] * eta,
        "E_down_J": shaft[1] * eta,
        "E_in_kWh": sum(shaft) / amount(given["motor_efficiency"]) / 3.6e6,
        "P_kW": shaft[0] / amount(given["t_up"]) / 1e3,
    }


def mine_cage(given: Given) -> Found:
    keys = ("height", "top_speed", "acceleration", "deceleration")
    height, speed, a, d = (amount(given[k]) for k in keys)
    move = fastest(height, Limits(accel=a, decel=d), speed)
    assert move is not None
    mass = amount(given["cage"]) + float(np.prod(numbers(given["rope"])))
    drum, radius, gyration = numbers(given["drum"])
    run = chain(
        Burden(inertia=mass, gravity=mass * amount(given["g"])),
        stage(radius, inertia_in=drum * gyration**2),
    )
    return {"t_s": move.duration, "T_Nm": effort(run, 1.0, a)}


def falling_weight(given: Given) -> Found:
    weight, radius = amount(given["weight"]), amount(given["drum_radius"])
    g = numbers(given["g"])[0] * UNITS["ft"]
    found = {}
    for key, eta in zip(("a_ft_s2", "a_eta_ft_s2"), numbers(given["eta"]), strict=True):
        gear = stage(amount(given["gear_ratio"]), eta, inertia_in=amount(given["I_A"]))
        drum = stage(1 / radius, inertia_in=weight)
        run = chain(Burden(inertia=amount(given["I_B"])), gear, drum, linear=False)
        scale = amount(given["gear_ratio"]) / radius
        found[key] = weight * g / effort(run, scale, scale) / UNITS["ft"]
    return found


def dc_hoist(given: Given) -> Found:
    mass, speed, volt = (amount(given[k]) for k in ("mass", "speed", "V"))
    hoist = stage(1.0, amount(given["hoist_efficiency"]))
    run = chain(Burden(gravity=mass * amount(given["g"])), hoist)
    lifted, returned = effort(run, speed) * speed, effort(run, -speed) * speed
    eta = amount(given["motor_efficiency"])
    return {"I_A": lifted / eta / volt, "R_ohm": volt**2 / (returned * eta)}


ADAPTERS = {
    "DRV-01": gear_and_hoist,
    "DRV-03": winch,
    "DRV-04": gear_and_belt,
    "DRV-05": belt_conveyor,
    "DRV-06": haulage,
    "DRV-07": two_cages,
    "DRV-09": best_ratio,
    "DRV-10": run_up,
    "DRV-11": geared_hoists,
    "DRV-13": goods_lift,
    "DRV-14": mine_cage,
    "DRV-16": falling_weight,
    "ELE-07": dc_hoist,
}
