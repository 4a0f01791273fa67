"""Published inertias and units."""

from __future__ import annotations

import math
from typing import Any

from tests.published.reading import UNITS, amount, numbers

from dutyline.core.units import read_value
from dutyline.physics.bodies import (
    cuboid_inertia,
    cylinder_inertia,
    cylinder_volume,
    offset_inertia,
    rod_inertia,
    sphere_inertia,
)

Given = dict[str, Any]
Found = dict[str, float]


def disk_with_hole(given: Given) -> Found:
    outside, bore = 2 * amount(given["disk_radius"]), 2 * amount(given["hole_radius"])
    mass = amount(given["density"]) * cylinder_volume(outside, amount(given["thickness"]), bore)
    own = cylinder_inertia(mass, outside, bore)
    arm = amount(given["pivot_distance_from_centre"])
    return {"I_O_kgm2": float(offset_inertia(own, mass, arm))}


def disk_and_point(given: Given) -> Found:
    disk = cylinder_inertia(amount(given["disk_mass"]), 2 * amount(given["disk_radius"]))
    point = offset_inertia(0.0, amount(given["child_mass"]), amount(given["child_radius"]))
    return {"I_total_kgm2": float(disk + point)}


def rod_and_sphere(given: Given) -> Found:
    length, ball = amount(given["rod_length"]), amount(given["sphere_mass"])
    radius = amount(given["sphere_radius"])
    rod = rod_inertia(amount(given["rod_mass"]), length)
    rod = offset_inertia(rod, amount(given["rod_mass"]), length / 2)
    sphere = offset_inertia(sphere_inertia(ball, 2 * radius), ball, length + radius)
    return {"I_total_kgm2": float(rod + sphere)}


def flywheel(given: Given) -> Found:
    density, inch = amount(given["density"]), UNITS["in"]
    total = 0.0
    for part in ("hub", "rim"):
        outside, bore, width = (v * inch for v in numbers(given[part]))
        mass = density * cylinder_volume(outside, width, bore)
        total += float(cylinder_inertia(mass, outside, bore))
    thin, thick, length, place = (v * inch for v in numbers(given["spokes"]))
    spoke = density * math.pi / 4 * thin * thick * length
    total += 6 * float(offset_inertia(rod_inertia(spoke, length), spoke, place))
    return {"I_slug_ft2": total / UNITS["lb.ft2"] / numbers(given["g"])[0]}


def cuboid(given: Given) -> Found:
    own = cuboid_inertia(amount(given["mass"]), amount(given["l"]), amount(given["w"]))
    return {"I_kgm2": float(own)}


def torque_units(given: Given) -> Found:
    names = ("ozf.in", "lbf.in", "lbf.ft", "kgf.m")
    keys = ("ozf_in_Nm", "lbf_in_Nm", "lbf_ft_Nm", "kgf_m_Nm")
    return {k: read_value(f"1 {n}", "torque").si for k, n in zip(keys, names, strict=True)}


def inertia_units(given: Given) -> Found:
    names = ("lb.in2", "lb.ft2", "oz.in2", "lbf.in.s2", "ozf.in.s2", "kgf.cm.s2")
    keys = ("lb_in2", "lb_ft2", "oz_in2", "lbf_in_s2", "ozf_in_s2", "kgf_cm_s2")
    return {k: read_value(f"1 {n}", "inertia").si for k, n in zip(keys, names, strict=True)}


def power_units(given: Given) -> Found:
    power = read_value("1 hp", "power").si
    speed, torque = read_value("1 r/min", "angular-speed").si, read_value("1 lbf.in", "torque").si
    return {
        "hp_W": power,
        "PS_W": read_value("1 hp_metric", "power").si,
        "K_lbf_in": power / (speed * torque),
        "K_kW": 1000.0 / speed,
    }


ADAPTERS = {
    "INE-01": disk_with_hole,
    "INE-03": disk_and_point,
    "INE-04": rod_and_sphere,
    "INE-06": flywheel,
    "INE-07": cuboid,
    "UNI-01": torque_units,
    "UNI-02": inertia_units,
    "UNI-03": power_units,
}
