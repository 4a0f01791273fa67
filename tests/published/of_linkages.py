"""Published cranks and linkages, pumps by their speed."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from tests.published.reading import amount, numbers

from dutyline.physics.linkages import four_bar, rod_centre, slider_crank
from dutyline.train.records import SpeedResistance

Given = dict[str, Any]
Found = dict[str, float]
RPM = math.pi / 30


def slider_motion(given: Given) -> Found:
    r, rod, speed = amount(given["r"]), amount(given["l"]), amount(given["n"])
    found = slider_crank(math.radians(numbers(given["theta"])[0]), r, rod)
    return {
        "v_exact_m_s": -float(found.slope) * speed,
        "a_exact_m_s2": -float(found.bend) * speed**2,
    }


def fastest_slider(given: Given) -> Found:
    """The place where the second derivative is zero, by halving."""
    r, rod, speed = amount(given["r"]), amount(given["l"]), amount(given["n"])
    low, high = math.radians(45), math.radians(90)
    for _ in range(60):
        middle = (low + high) / 2
        if float(slider_crank(middle, r, rod).bend) < 0:
            low = middle
        else:
            high = middle
    return {
        "theta_exact_deg": math.degrees(low),
        "v_max_exact_m_s": -float(slider_crank(low, r, rod).slope) * speed,
    }


def bars(given: Given) -> Found:
    """Open and crossed circuit at one crank angle; angles in (-180, 180] deg."""
    lengths = [amount(given[name]) for name in ("crank", "coupler", "rocker", "ground")]
    angle = math.radians(numbers(given["theta2"])[0])
    found = {}
    for word, crossed in (("open", False), ("crossed", True)):
        both = four_bar(angle, *lengths, crossed=crossed)
        for name, course in (("th3", both.coupler), ("th4", both.rocker)):
            place = float(course.value)
            turned = math.atan2(math.sin(place), math.cos(place))
            found[f"{name}_{word}_deg"] = math.degrees(turned)
    return found


def rocker_speed(given: Given) -> Found:
    ground, coupler, rocker = (numbers(given[k])[0] / 1e3 for k in ("AD", "BC", "CD"))
    crank, turns = numbers(given["AB"])
    angle = math.radians(numbers(given["angle_BAD"])[0])
    both = four_bar(angle, crank / 1e3, coupler, rocker, ground)
    return {"omega_CD_rad_s": abs(float(both.rocker.slope)) * turns * RPM}


def pump(given: Given) -> Found:
    """Power at another speed of a torque with the square of the speed."""
    first, second = amount(given["n1"]), amount(given["n2"])
    power = amount(given["P1"])
    load = SpeedResistance(per_speed2=power / first**3)
    return {"P": float(load.at(np.array(second))) * second / 1e3}


def engine(given: Given) -> Found:
    """Forces from that on the piston, its acceleration by the two terms of the source."""
    r, rod, speed = amount(given["r"]), amount(given["l"]), amount(given["n"])
    angle = math.radians(numbers(given["theta"])[0])
    gas = amount(given["pressure"].split(" net")[0]) * math.pi / 4 * amount(given["bore"]) ** 2
    inertia = amount(given["reciprocating_mass"]) * speed**2 * r
    force = gas - inertia * (math.cos(angle) + math.cos(2 * angle) * r / rod)
    lean = float(rod_centre(angle, r, rod, 0.0, 0.0)[2].value)
    return {
        "F_side_kN": force * math.tan(lean) / 1e3,
        "F_rod_kN": force / math.cos(lean) / 1e3,
        "T_kNm": -force * float(slider_crank(angle, r, rod).slope) / 1e3,
    }


ADAPTERS = {
    "MEC-01": slider_motion,
    "MEC-03": fastest_slider,
    "MEC-04": engine,
    "MEC-06": bars,
    "MEC-07": rocker_speed,
    "PRO-01": pump,
}
