"""Enquiries as customers write them, worked as a user would.

The files and the numbers to meet stand in ``enquiries/``. Every number is met by the command
line's JSON where that holds it, and by Python, which reads it off the pieces of the demand, off
the drive train or off the axis with one line of the file written anew.
"""

from __future__ import annotations

import json
import math
import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import dutyline as dl
from dutyline.physics.screws import lead_angle, thread_friction_angle
from dutyline.train.recursion import GRAVITY, INERTIA
from support.command import dutyline

pytestmark = pytest.mark.e2e

FOLDER = Path(__file__).parent / "enquiries"
BOOK = tomllib.loads((FOLDER / "enquiries.toml").read_text(encoding="utf-8"))
ENQUIRIES: dict[str, dict[str, Any]] = {e["id"]: e for e in BOOK["enquiry"]}
TRAPS = [(n, t) for n, e in ENQUIRIES.items() for t in e["trap"] if "people" not in t]
UNITS: dict[str, tuple[str, float]] = {
    "_rpm": ("rad/s", math.pi / 30),
    "_rad_s2": ("rad/s^2", 1.0),
    "_m_s2": ("m/s^2", 1.0),
    "_m_s": ("m/s", 1.0),
    "_kg_m2": ("kg*m^2", 1.0),
    "_N_m": ("N*m", 1.0),
    "_mm": ("m", 1e-3),
    "_deg": ("rad", math.pi / 180),
    "_deg_at_0p2": ("rad", math.pi / 180),
    "_arcsec": ("rad", math.pi / 180 / 3600),
    "_kg": ("kg", 1.0),
    "_J": ("J", 1.0),
    "_N": ("N", 1.0),
    "_W": ("W", 1.0),
    "_s": ("s", 1.0),
}
"""Ends of the keys, longest first where one ends in another: unit in JSON and its size."""


def text_of(name: str) -> str:
    return (FOLDER / f"{name}.toml").read_text(encoding="utf-8")


def written(name: str, *lines: tuple[str, str]) -> str:
    """The file of an enquiry with some lines written anew."""
    text = text_of(name)
    for before, after in lines:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    return text


@dataclass(frozen=True)
class Worked:
    """An enquiry read and demanded, with the readings of it that the numbers need."""

    axis: dl.Axis
    out: dl.OutputDemand

    @property
    def first(self):
        """The stage of the mechanism."""
        return self.axis.train.chain.stages[0]

    def part(self, label: str) -> float:
        """Inertia of a part of the mechanism by its label."""
        return dict(self.first.inertia_parts)[label]

    def phase(self, name: str):
        return next(p for p in self.axis.cycle.phases if p.name == name)

    def inside(self, name: str) -> tuple[np.ndarray, np.ndarray]:
        """Which quadrature points and which ends of pieces lie in a phase."""
        rows = self.out.phase == [p.name for p in self.axis.cycle.phases].index(name)
        return rows[self.out.nodes.piece], rows[self.out.ends.piece]

    def peak(self, name: str) -> float:
        """Largest torque in a phase."""
        nodes, ends = self.inside(name)
        both = [self.out.nodes.torque[nodes], self.out.ends.torque[ends]]
        return float(np.abs(np.concatenate(both)).max())

    def top(self, name: str) -> float:
        """Largest speed of the output shaft in a phase."""
        _, ends = self.inside(name)
        return float(np.abs(self.out.ends.speed[ends]).max())

    def rms(self, name: str) -> float:
        nodes, _ = self.inside(name)
        weight = self.out.weight.ravel()[nodes]
        return float(np.sqrt((weight * self.out.nodes.torque[nodes] ** 2).sum() / weight.sum()))

    def cause(self, number: int) -> float:
        """Largest torque of one cause."""
        causes = [self.out.nodes.causes[number], self.out.ends.causes[number]]
        return float(np.abs(np.concatenate(causes)).max())

    @property
    def power(self) -> float:
        """Largest power into the axis."""
        points = (self.out.nodes, self.out.ends)
        return float(max((p.torque * p.speed).max() for p in points))

    @property
    def force(self) -> float:
        """Force at the load that the largest torque is worth."""
        ratio = abs(self.first.ratio.constant)
        return self.out.peak_torque * self.first.efficiency / ratio


@cache
def worked(name: str, *lines: tuple[str, str]) -> Worked:
    axis = dl.read_axis(f"{name}.toml", text=written(name, *lines))
    return Worked(axis, dl.demand(axis))


def steady(w: Worked, name: str) -> float:
    """Torque in the middle of a phase."""
    phase = w.phase(name)
    middle = phase.start + phase.duration / 2
    return float(w.out.nodes.torque[np.argmin(np.abs(w.out.nodes.time - middle))])


def lean(name: str, mean_diameter: float) -> float:
    """Lead angle of the screw of an enquiry."""
    lead = abs(worked(name).first.ratio.constant) * 2 * math.pi
    return float(lead_angle(lead, mean_diameter))


NO_NESTS = ('{ shape = "point", mass = "1.8 kg", radius = "400 mm", count = 12 },', "")
LEVEL = ('incline = "-90 deg"', 'incline = "0 deg"')
NO_SPRING = (
    text_of("wood-10")[text_of("wood-10").index("[[balance]]") :].split("[[phase]]")[0],
    "",
)
TRACKING = ('speed = "18.3333 deg/min"', 'speed = "15 deg/h"')
NO_PLANETARY = (
    text_of("solar-25")[text_of("solar-25").index('[[stage]]\nname = "planetary"') :].split(
        "[[phase]]"
    )[0],
    "",
)
FAST = ('ramp = "6 s"\ntime = "60 s"', 'ramp = "1 s"\ntime = "60 s"')

BY_PYTHON: dict[str, dict[str, Callable[[Worked], float]]] = {
    "pack-01": {
        "cycle_s": lambda w: w.out.cycle_time,
        "top_speed_m_s": lambda w: w.phase("out").top_speed,
        "acceleration_m_s2": lambda w: w.phase("out").top_acceleration,
        "pulley_peak_torque_N_m": lambda w: w.out.peak_torque,
        "pulley_rms_torque_N_m": lambda w: w.out.rms_torque,
        "pulley_top_speed_rpm": lambda w: w.out.peak_speed,
        "reflected_inertia_at_pulley_kg_m2": lambda w: w.out.inertia_max,
        "peak_power_W": lambda w: w.power,
    },
    "pharma-05": {
        "plate_mass_kg": lambda w: worked("pharma-05", NO_NESTS).axis.train.chain.load.base.mass,
        "plate_inertia_kg_m2": lambda w: worked("pharma-05", NO_NESTS).out.inertia_max,
        "nest_inertia_kg_m2": lambda w: (
            w.out.inertia_max - worked("pharma-05", NO_NESTS).out.inertia_max
        ),
        "table_inertia_kg_m2": lambda w: w.out.inertia_max,
        "top_speed_rpm": lambda w: w.out.peak_speed,
        "angular_acceleration_rad_s2": lambda w: w.phase("index").top_acceleration,
        "peak_torque_N_m": lambda w: w.out.peak_torque,
        "rms_torque_N_m": lambda w: w.out.rms_torque,
        "window_arcsec": lambda w: (
            worked(
                "pharma-05", ('position = "10.3 arcsec"', f'position = "{0.02 / 400!r} rad"')
            ).axis.require.position
        ),
    },
    "pharma-06": {
        "approach_top_speed_rpm": lambda w: w.top("approach"),
        "return_top_speed_rpm": lambda w: w.top("back"),
        "press_torque_N_m": lambda w: w.peak("press"),
        "press_torque_without_gravity_help_N_m": lambda w: worked("pharma-06", LEVEL).peak("press"),
        "screw_inertia_kg_m2": lambda w: w.part("screw"),
        "reflected_mass_inertia_kg_m2": lambda w: w.out.inertia_max - w.part("screw"),
        "return_peak_torque_N_m": lambda w: w.peak("back"),
        "rms_torque_N_m": lambda w: w.out.rms_torque,
    },
    "food-07": {
        "mass_up_kg": lambda w: w.axis.train.chain.load.total(("stack",)).mass,
        "chain_per_turn_mm": lambda w: 2 * math.pi * w.first.ratio.constant,
        "top_speed_m_s": lambda w: w.phase("up").top_speed,
        "acceleration_m_s2": lambda w: w.phase("up").top_acceleration,
        "gravity_torque_N_m": lambda w: w.peak("wait"),
        "peak_torque_N_m": lambda w: w.out.peak_torque,
        "sprocket_speed_rpm": lambda w: w.out.peak_speed,
        "peak_power_W": lambda w: w.power,
    },
    "wood-10": {
        "lead_mm": lambda w: 2 * math.pi * w.first.ratio.constant,
        "top_speed_rpm": lambda w: w.out.peak_speed,
        "acceleration_m_s2": lambda w: w.phase("up").top_acceleration,
        "screw_inertia_kg_m2": lambda w: w.part("screw"),
        "reflected_mass_inertia_kg_m2": lambda w: w.out.inertia_max - w.part("screw"),
        "acceleration_torque_N_m": lambda w: w.cause(INERTIA),
        "net_weight_low_spring_N": lambda w: steady(w, "change") / w.first.ratio.constant,
        "net_weight_high_spring_N": lambda w: steady(w, "drill") / w.first.ratio.constant,
        "brake_static_torque_full_weight_N_m": lambda w: (
            worked("wood-10", NO_SPRING).out.hold_torque
        ),
    },
    "lab-13": {
        "lead_mm": lambda w: 2 * math.pi * w.first.ratio.constant,
        "top_speed_rpm": lambda w: w.out.peak_speed,
        "acceleration_m_s2": lambda w: w.phase("up").top_acceleration,
        "force_peak_N": lambda w: w.force,
        "torque_peak_N_m": lambda w: w.out.peak_torque,
        "lead_angle_deg": lambda w: lean("lab-13", 9e-3),
        "friction_angle_deg_at_0p2": lambda w: float(thread_friction_angle(0.2, 0.0, 0.0)),
    },
    "log-17": {
        "force_peak_N": lambda w: w.force,
        "power_peak_W": lambda w: w.power,
        "pulley_torque_peak_N_m": lambda w: w.out.peak_torque,
        "pulley_speed_rpm": lambda w: w.out.peak_speed,
        "power_lowering_steady_W": lambda w: steady(w, "down") * w.out.peak_speed,
        "stroke_time_s": lambda w: w.phase("up").duration,
        "energy_per_lowering_loaded_J": lambda w: w.out.energy_regenerated,
        "mean_braking_power_all_loaded_W": lambda w: w.out.energy_regenerated / w.out.cycle_time,
    },
    "med-21": {
        "weight_N": lambda w: w.axis.train.chain.load.total(("patient",)).gravity,
        "lead_angle_deg": lambda w: lean("med-21", 29e-3),
        "friction_angle_deg": lambda w: (
            math.atan(math.tan(lean("med-21", 29e-3)) / w.first.efficiency) - lean("med-21", 29e-3)
        ),
        "efficiency_raising": lambda w: w.first.efficiency,
        "torque_raising_N_m": lambda w: steady(w, "raise"),
        "torque_lowering_N_m": lambda w: -steady(w, "lower"),
        "screw_speed_rpm": lambda w: w.out.peak_speed,
        "power_raising_W": lambda w: steady(w, "raise") * w.out.peak_speed,
    },
    "solar-25": {
        "motor_speed_stow_rpm": lambda w: w.out.peak_speed,
        "motor_speed_tracking_rpm": lambda w: worked("solar-25", TRACKING).out.peak_speed,
        "worm_input_torque_N_m": lambda w: worked("solar-25", NO_PLANETARY).out.peak_torque,
        "motor_torque_stow_N_m": lambda w: w.out.peak_torque,
        "output_power_W": lambda w: w.phase("stow").top_speed * 3500.0,
        "input_power_W": lambda w: w.power,
    },
    "solar-26": {
        "inertia_kg_m2": lambda w: w.out.inertia_max,
        "gravity_torque_N_m": lambda w: w.cause(GRAVITY),
        "top_speed_rpm": lambda w: w.out.peak_speed,
        "inertia_torque_N_m": lambda w: w.cause(INERTIA),
        "peak_torque_N_m": lambda w: w.out.peak_torque,
        "rms_torque_in_flip_N_m": lambda w: w.rms("flip"),
        "peak_power_W": lambda w: w.power,
        "energy_returned_J": lambda w: w.out.energy_regenerated / 2,
    },
    "stage-27": {
        "inertia_kg_m2": lambda w: w.axis.train.chain.load.base.inertia,
        "angular_acceleration_rad_s2": lambda w: w.phase("start").top_acceleration,
        "inertia_torque_N_m": lambda w: w.cause(INERTIA) * 8.8 / 0.3,
        "friction_torque_N_m": lambda w: steady(w, "start") * 8.8 / 0.3,
        "wheel_force_N": lambda w: w.out.peak_torque / 0.15,
        "wheel_speed_rpm": lambda w: w.out.peak_speed,
        "power_W": lambda w: w.power,
        "inertia_torque_1s_N_m": lambda w: worked("stage-27", FAST).cause(INERTIA) * 8.8 / 0.3,
        "rim_acceleration_1s_m_s2": lambda w: (
            worked("stage-27", FAST).phase("start").top_acceleration * 4.4
        ),
    },
}
NUMBERS = [(name, key) for name, e in ENQUIRIES.items() for key in e["numbers"]]


def wanted(name: str, key: str) -> tuple[float, str, float]:
    """A number of an enquiry in SI, its unit and the tolerance as a share."""
    enquiry = ENQUIRIES[name]
    percent = enquiry.get("tolerance_percent", {}).get(key, BOOK["tolerance_percent"])
    unit, size = next((u for end, u in UNITS.items() if key.endswith(end)), ("1", 1.0))
    return enquiry["numbers"][key] * size, unit, percent / 100


def json_at(data: Any, path: str) -> dict[str, Any]:
    """The quantity at ``phases.up.peak_torque`` in an answer of the command line."""
    for key in path.split("."):
        data = next(p for p in data if p["name"] == key) if isinstance(data, list) else data[key]
    return data


@cache
def answer(name: str) -> dict[str, Any]:
    done = dutyline("demand", str(FOLDER / f"{name}.toml"), "--json")
    assert (done.code, done.err) == (0, "")
    return json.loads(done.out)


@pytest.mark.parametrize(("name", "key"), NUMBERS)
def test_numbers_by_python(name, key):
    value, _, tolerance = wanted(name, key)
    assert BY_PYTHON[name][key](worked(name)) == pytest.approx(value, rel=tolerance)


@pytest.mark.parametrize(
    ("name", "key"), [(name, key) for name, key in NUMBERS if key in ENQUIRIES[name]["json"]]
)
def test_numbers_by_the_command_line(name, key):
    value, unit, tolerance = wanted(name, key)
    found = json_at(answer(name), ENQUIRIES[name]["json"][key])
    assert found["unit"] == unit
    assert found["value"] == pytest.approx(value, rel=tolerance)


def test_every_number_is_worked():
    assert {(n, k) for n, keys in BY_PYTHON.items() for k in keys} == set(NUMBERS)
    assert len(ENQUIRIES) == len(list(FOLDER.glob("*-*.toml")))


@pytest.mark.parametrize(("name", "trap"), TRAPS)
def test_traps(name, trap):
    """What the tool has to bring up, it brings up."""
    (kind,) = RAISED.keys() & trap.keys()
    RAISED[kind](name, trap)


def test_other_traps_say_why_they_are_for_people():
    for enquiry in ENQUIRIES.values():
        for trap in enquiry["trap"]:
            assert len((RAISED.keys() | {"people"}) & trap.keys()) == 1, trap
            assert trap.get("people", "said") != "", trap


def _asked(name: str, trap: dict[str, Any]) -> None:
    questions = {q["field"]: q["text"] for q in answer(name)["questions"]}
    assert questions[trap["question"]].endswith("?")


def _noted(name: str, trap: dict[str, Any]) -> None:
    assert any(trap["note"] in note for note in answer(name)["notes"])


def _refused(name: str, trap: dict[str, Any]) -> None:
    text = written(name, (trap["line"], trap["written"]))
    done = dutyline("demand", "-", stdin=text)
    assert (done.code, done.out) == (2, "")
    said = re.sub(r"\s+", " ", done.err)
    for words in trap["refused"]:
        assert words in said


def _checked(name: str, trap: dict[str, Any]) -> None:
    verdict = _verdict(name, trap["parts"])
    states = {line["state"] for line in verdict["ledger"] if line["check"] == trap["check"]}
    assert states == {trap["state"]}


def _cautioned(name: str, trap: dict[str, Any]) -> None:
    parts = next((t["parts"] for t in ENQUIRIES[name]["trap"] if "parts" in t), None)
    verdict = _verdict(name, parts or {"motor": "XM148-3000H", "brake": "XB148"})
    assert any(trap["caution"] in words for words in verdict["cautions"])


def _shown(name: str, trap: dict[str, Any]) -> None:
    """The figure is one of the numbers met above."""
    assert set(trap["figure"]) <= set(BY_PYTHON[name])


RAISED = {
    "question": _asked,
    "note": _noted,
    "caution": _cautioned,
    "refused": _refused,
    "check": _checked,
    "figure": _shown,
}


def _verdict(name: str, parts: dict[str, str]) -> dict[str, Any]:
    options = [word for part, own in parts.items() for word in (f"--{part}", own)]
    done = dutyline("verify", str(FOLDER / f"{name}.toml"), *options, "--json")
    assert done.code in (0, 1)
    return json.loads(done.out)


def test_a_parked_torque_that_the_motor_does_not_see():
    """Held at the load, 7 kN m leave nothing at the shaft; held by the motor, they would."""
    assert worked("solar-25").peak("parked") == 0.0
    held = worked("solar-25", ('hold = "off"', 'hold = "ideal"'))
    assert held.peak("parked") == pytest.approx(7000 / (62 * 20))


@pytest.mark.parametrize("name", ["log-17", "lab-13", "solar-25"])
def test_a_search_that_finds_nothing_says_why(name):
    """5 kW, 48 V and 24 V are outside the line that ships."""
    done = dutyline("select", str(FOLDER / f"{name}.toml"))
    assert done.code == 1
    assert "every one fails a check" in re.sub(r"\s+", " ", done.out)
    assert "the mains has" in done.out


@pytest.mark.parametrize("name", ["pack-01", "food-07", "solar-26"])
def test_a_search_that_finds_something(name):
    done = dutyline("select", str(FOLDER / f"{name}.toml"), "--json")
    assert done.code == 0
    assert json.loads(done.out)["candidates"][0]["verdict"] == "meets"
