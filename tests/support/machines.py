"""Axis files of every mechanism, law, stage, balance, tandem and branch, put together at random."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

from hypothesis import strategies as st

from dutyline.axis.forms import KINDS, STAGES


@dataclass(frozen=True)
class Frame:
    """What a file of one kind states: its lossless data, what it may lose, a way and back."""

    mechanism: dict[str, Any]
    load: dict[str, Any]
    way: str
    lossy: dict[str, Any] = field(default_factory=dict)
    """Of the mechanism."""
    linear_load: bool = True
    travel: str = ""
    """Enough for a spring along the way; empty where a spring has no place."""
    joins: bool = True
    """Whether a counterweight may join it."""


_ETA = {"efficiency": 0.87, "drag": "0.3 N*m", "viscous": "0.01 N*m*s"}
FRAMES: dict[str, Frame] = {
    "ball-screw": Frame(
        {"lead": "12 mm", "diameter": "20 mm", "length": "600 mm", "efficiency": 1},
        {"mass": "20 kg"}, "300 mm", {**_ETA, "preload": "900 N"}, travel="400 mm"),
    "lead-screw": Frame(
        {"lead": "6 mm", "mean_diameter": "20 mm", "diameter": "22 mm", "length": "500 mm",
         "friction": 0},
        {"mass": "20 kg"}, "200 mm",
        {"friction": 0.13, "collar_friction": 0.1, "collar_diameter": "30 mm", "drag": "0.1 N*m"},
        travel="300 mm"),
    "rack": Frame({"module": "2 mm", "teeth": 20, "helix": "19.5 deg", "efficiency": 1},
                  {"mass": "60 kg"}, "700 mm", _ETA, travel="900 mm"),
    "belt": Frame({"teeth": 24, "pitch": "8 mm", "belt_mass": "0.3 kg/m", "belt_length": "3 m",
                   "layout": "reeved", "efficiency": 1,
                   "rollers": [{"count": 2, "inertia": "2 kg*cm^2", "diameter": "40 mm"}]},
                  {"mass": "15 kg"}, "800 mm", _ETA, travel="1 m"),
    "conveyor": Frame({"diameter": "90 mm", "thickness": "3 mm", "friction": 0, "belt_mass": "5 kg",
                       "return_mass": "4 kg"},
                      {"mass": "30 kg"}, "600 mm",
                      {**_ETA, "friction": 0.25, "held": "8 kg", "goods_friction": 0.4,
                       "feed": "2 kg/s"}, joins=False),
    "hoist": Frame({"diameter": "180 mm", "parts": 2, "rope_mass": "0.4 kg/m",
                    "rope_length": "9 m", "inertia": "0.02 kg*m^2"},
                   {"mass": "60 kg"}, "1.5 m", {"sheave_efficiency": 0.95, "drag": "1 N*m"},
                   joins=False),
    "winder": Frame({"core": "80 mm", "full": "400 mm", "start": "220 mm", "width": "200 mm",
                     "thickness": "0.2 mm", "density": "900 kg/m^3", "tension": "40 N"},
                    {}, "4 m", {"drag": "0.4 N*m", "efficiency": 0.93}, joins=False),
    "feed-rolls": Frame({"diameter": "90 mm", "count": 2, "inertia": "20 kg*cm^2"},
                        {"mass": "3 kg"}, "700 mm",
                        {"tension_in": "60 N", "tension_out": "90 N", "nip_force": "300 N",
                         "roll_resistance": "0.4 mm", **_ETA}, joins=False),
    "toggle": Frame({"link": "220 mm", "start_angle": "-32 deg", "lead": "8 mm", "efficiency": 1,
                     "diameter": "25 mm", "length": "300 mm"},
                    {"mass": "18 kg"}, "150 mm", _ETA),
    "rotary-table": Frame({"tilt": "35 deg", "friction": 0},
                          {"inertia": "0.6 kg*m^2", "mass": "20 kg", "arm": "120 mm"}, "200 deg",
                          {**_ETA, "friction": 0.02, "bearing_diameter": "200 mm"},
                          linear_load=False, travel="360 deg", joins=False),
    "swing-arm": Frame({}, {"inertia": "1.4 kg*m^2", "mass": "9 kg", "arm": "380 mm"}, "140 deg",
                       _ETA, linear_load=False, travel="200 deg", joins=False),
    "rotary-load": Frame({}, {"inertia": "0.2 kg*m^2"}, "900 deg",
                         {"torque": "1 N*m", "torque_per_speed2": "0.004 N*m*s^2", **_ETA},
                         linear_load=False, joins=False),
    "four-bar": Frame({"crank": "40 mm", "coupler": "150 mm", "rocker": "110 mm",
                       "ground": "160 mm", "tilt": "70 deg", "coupler_mass": "2 kg",
                       "coupler_cg": "60 mm", "coupler_inertia": "0.004 kg*m^2"},
                      {"inertia": "0.1 kg*m^2", "mass": "4 kg", "arm": "80 mm"}, "300 deg", _ETA,
                      linear_load=False, joins=False),
    "slider-crank": Frame({"crank": "50 mm", "rod": "190 mm", "offset": "15 mm",
                           "rod_mass": "2 kg", "rod_cg": "70 mm", "rod_inertia": "0.01 kg*m^2"},
                          {"mass": "8 kg"}, "300 deg", _ETA),
    "scotch-yoke": Frame({"crank": "40 mm", "start_angle": "20 deg"}, {"mass": "8 kg"}, "300 deg",
                         _ETA),
    "cam": Frame({"sections": [{"angle": "110 deg", "lift": "25 mm"}, {"angle": "50 deg"},
                               {"angle": "130 deg", "lift": "-25 mm", "law": "quintic"},
                               {"angle": "70 deg"}],
                  "spring_force": "60 N", "spring_stiffness": "4 N/mm"},
                 {"mass": "4 kg"}, "330 deg", _ETA),
    "ratio-table": Frame({"points": [["0 deg", "0 mm"], ["60 deg", "9 mm"], ["120 deg", "31 mm"],
                                     ["180 deg", "64 mm"], ["240 deg", "85 mm"],
                                     ["300 deg", "90 mm"]]},
                         {"mass": "6 kg"}, "280 deg", {"drag": "0.2 N*m"}),
    "direct": Frame({}, {"inertia": "0.02 kg*m^2", "mass": "3 kg"}, "270 deg",
                    {"drag": "0.1 N*m"}, linear_load=False, travel="400 deg", joins=False),
}  # fmt: skip
STAGE_FRAMES: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "reduction": ({"ratio": "-24/7", "efficiency": 1, "efficiency_back": 1},
                  {"efficiency": 0.95, "drag": "0.05 N*m"}),
    "right-angle": ({"ratio": 2, "efficiency": 1, "inertia": "2 kg*cm^2"},
                    {"efficiency": 0.93, "drag_out": "0.2 N*m"}),
    "belt-reduction": ({"teeth": [24, 60], "pitch": "5 mm", "efficiency": 1,
                        "belt_mass": "0.1 kg/m", "centre_distance": "200 mm"},
                       {"efficiency": 0.95}),
    "worm": ({"ratio": 15, "lead_angle": "9 deg", "friction": 0, "inertia": "1 kg*cm^2"},
             {"friction": 0.21}),
    "coupling": ({"inertia": "0.4 kg*cm^2"}, {"drag": "0.02 N*m"}),
    "shaft": ({"diameter": "20 mm", "length": "400 mm"}, {"viscous": "0.001 N*m*s"}),
}  # fmt: skip
"""What every stage kind states, and what it may lose; the worm then holds by itself."""
assert set(FRAMES) == set(KINDS)
assert set(STAGE_FRAMES) == set(STAGES)


def toml(value: Any) -> str:
    """A value of a file; tables stand inline."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(toml(v) for v in value) + "]"
    return json.dumps(value)


def table(head: str, rows: dict[str, Any]) -> str:
    """One table of a file."""
    return "\n".join([head, *(f"{k} = {toml(v)}" for k, v in rows.items()), ""])


def balance(frame: Frame, name: str, *, lossy: bool) -> dict[str, Any]:
    """A balance that relieves about the weight of the frame."""
    if name == "counterweight":
        bent = set(frame.mechanism) & {"crank", "link", "sections", "points"}
        lost = {"efficiency": 0.9} if lossy and not bent else {}
        return {"kind": name, "mass": "7 kg", "ratio": 2, **lost}
    unit = "N" if frame.linear_load else "N*m"
    lost = {"hysteresis": 0.07 if lossy and name != "spring" else 0}
    return {"kind": name, "force": f"30 {unit}", "force_end": f"12 {unit}", "mass": "1 kg", **lost}


@st.composite
def machines(draw, kind: str, law: str, *, lossy: bool) -> str:
    """An axis file there and back by a law, with stages, balances, tandem and branch at random."""
    frame = FRAMES[kind]
    mechanism = {"kind": kind, **frame.mechanism}
    load = dict(frame.load)
    plain = kind in ("winder", "feed-rolls", "rotary-load")
    if not plain and frame.linear_load and kind not in ("hoist",):
        load["incline"] = draw(st.sampled_from(["0 deg", "90 deg", "-35 deg"]))
    if frame.linear_load and kind not in ("winder",):
        load["friction"] = 0.03 if lossy and kind != "hoist" else 0
        load["drag"] = "12 N" if lossy else "0 N"
    if lossy:
        mechanism.update(frame.lossy)
        if draw(st.booleans()) and "efficiency" in mechanism and kind != "lead-screw":
            mechanism["efficiency_back"] = draw(st.sampled_from([-0.2, 0.0, 0.6]))
    mechanism["reverse"] = draw(st.booleans())
    parts = [
        table("schema = 1\n\n[axis]", {"title": "Made"}), table("[load]", load),
    ]  # fmt: skip
    helped = draw(st.sampled_from(["", "counterweight", "spring", "gas-spring", "pneumatic"]))
    if helped == "counterweight" and not frame.joins:
        helped = "spring"
    if helped and helped != "counterweight" and not frame.travel:
        helped = ""
    if helped and helped != "counterweight":
        mechanism["travel"] = frame.travel
    parts.append(table("[mechanism]", mechanism))
    if helped:
        parts.append(table("[[balance]]", balance(frame, helped, lossy=lossy)))
    for name in draw(st.lists(st.sampled_from(STAGES), max_size=3)):
        sure, lost = STAGE_FRAMES[name]
        parts.append(table("[[stage]]", {"kind": name, **sure, **(lost if lossy else {})}))
    if draw(st.booleans()):
        both = {"motors": 2, "share": draw(st.sampled_from([0.5, 0.65]))}
        if draw(st.booleans()):
            both["preload"] = "1.5 N*m"
        parts.append(table("[tandem]", both))
    if draw(st.booleans()):
        eta = 0.9 if lossy else 1
        parts += [
            table("[[branch]]", {"name": "second"}),
            table("[branch.load]", {"mass": "9 kg", "incline": "60 deg", "friction": 0.0,
                                    "drag": "5 N" if lossy else "0 N"}),
            table("[branch.mechanism]", {"kind": "belt", "diameter": "40 mm", "efficiency": eta,
                                         "efficiency_back": eta}),
        ]  # fmt: skip
    time = draw(st.sampled_from(["0.7 s", "1.6 s"]))
    hold = draw(st.sampled_from(["ideal", "worst", "brake"]))
    back = "0 deg" if "deg" in frame.way else "0 mm"
    for row in (
        {"do": "move", "by": frame.way, "time": time, "law": law},
        {"do": "dwell", "time": "0.3 s", "hold": hold},
        {"do": "move", "to": back, "time": "1.1 s", "law": law},
        {"do": "dwell", "time": "0.4 s"},
    ):
        parts.append(table("[[phase]]", row))
    return "\n".join(parts)
