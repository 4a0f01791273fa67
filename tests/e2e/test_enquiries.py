"""Enquiries as customers write them, worked as a user would.

The files and the numbers to meet stand in ``enquiries/``. Every number is met by the command
line's JSON where that holds it, and by Python, which reads it off the pieces of the demand, off
the drive train or off the axis with one line of the file written anew.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import pytest

import dutyline as dl
from dutyline.app.demand import stop_table, supply_currents
from dutyline.physics.bodies import cylinder_inertia, cylinder_volume
from dutyline.physics.bus import capacitor_energy, resistor_window
from dutyline.physics.continuous_torque import altitude_share, ambient_share
from dutyline.physics.gears import output_torque
from dutyline.physics.pneumatics import cylinder_thrust, free_air
from dutyline.physics.rolls import corner
from dutyline.physics.screws import lead_angle, thread_friction_angle
from dutyline.physics.supply import mains_current
from dutyline.physics.torque_speed import bus_idle, phase_voltage, torque_constant_of_emf
from dutyline.report.build import build_document
from dutyline.report.html import to_html
from dutyline.train.recursion import FRICTION, GRAVITY, INERTIA
from support.command import dutyline
from support.enquiries import ENQUIRIES, FOLDER, ending, tolerance

pytestmark = pytest.mark.e2e

TRAPS = [(n, t) for n, e in ENQUIRIES.items() for t in e["trap"] if "people" not in t]


def text_of(name: str) -> str:
    return (FOLDER / f"{name}.toml").read_text(encoding="utf-8")


def written(name: str, *lines: tuple[str, str]) -> str:
    """The file of an enquiry with some lines written anew."""
    text = text_of(name)
    for before, after in lines:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    return text


def plate(name: str) -> dl.Motor:
    """A motor of the folding unit as its plate tells it."""
    return next(m for m in dl.read_line(FOLDER / "folding-line").motors if m.name == name)


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
    def returned(self) -> float:
        """Largest power out of the axis."""
        points = (self.out.nodes, self.out.ends)
        return float(max((-p.torque * p.speed).max() for p in points))

    def least(self, name: str) -> float:
        """Smallest torque in a phase."""
        nodes, ends = self.inside(name)
        both = [self.out.nodes.torque[nodes], self.out.ends.torque[ends]]
        return float(np.abs(np.concatenate(both)).min())

    @property
    def force(self) -> float:
        """Force at the load that the largest torque is worth."""
        ratio = abs(self.first.ratio.constant)
        return self.out.peak_torque * self.first.efficiency / ratio


@cache
def worked(name: str, *lines: tuple[str, str]) -> Worked:
    axis = dl.read_axis(f"{name}.toml", text=written(name, *lines))
    return Worked(axis, dl.demand(axis))


@cache
def subject(name: str) -> Worked | None:
    """An enquiry worked as an axis; None for one on several axes at once."""
    return worked(name) if (FOLDER / f"{name}.toml").exists() else None


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

NO_CUT = ('force = "400 N"\n', "")
TWICE = ('by = "600 mm"\ntime = "0.5 s"', 'by = "600 mm"\ntime = "0.25 s"')
TWICE_BACK = ('by = "-600 mm"\ntime = "0.5 s"', 'by = "-600 mm"\ntime = "0.25 s"')
CORE = ('mode = "unwind"', 'mode = "unwind"\nroll = "76 mm"')
MISREAD = ('"GD2 0.32 kgf m2"', '"0.32 kg m2"')
NO_LOAD = ('"about 2 N*m"', '"0 N*m"')


def twice() -> Worked:
    """The cross-lapper where 120 strokes are counted there and back."""
    return worked("text-19", TWICE, TWICE_BACK)


PAPER = corner(250.0, 0.038, 0.5, 5.0)
"""Largest torque of the web and largest speed of the roll."""
EMF = 30 / (1000 * math.pi)
"""[V*s/rad] of one volt per 1000 r/min"""


def ratio_of(motor: str) -> float:
    """Inertia ratio of a motor of the folding unit, as the ledger has it."""
    lines = _verdict("print-16", {"motor": motor, "drive": "KEPT"})["ledger"]
    return next(line["demand"]["value"] for line in lines if line["check"] == "inertia-ratio")


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
        "stop_near_the_level_N_m": lambda w: max(s.peak_torque for s in stop_table(w.out)),
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
BY_PYTHON |= {
    "pack-03": {
        "cylinder_theoretical_force_N": lambda _: float(cylinder_thrust(0.063, 6e5)),
        "top_speed_m_s": lambda w: w.phase("out").top_speed,
        "acceleration_m_s2": lambda w: w.phase("out").top_acceleration,
        "friction_force_N": lambda w: w.cause(FRICTION) / w.first.ratio.constant,
        "peak_force_N": lambda w: w.force,
        "peak_power_W": lambda w: w.power,
        "free_air_per_cycle_L": lambda _: float(2 * free_air(0.063, 0.2, 6e5)),
        "free_air_m3_per_h": lambda w: float(2 * free_air(0.063, 0.2, 6e5)) / w.out.cycle_time,
    },
    "wood-09": {
        "pinion_pitch_diameter_mm": lambda w: 2 * w.first.ratio.constant,
        "pinion_speed_rpm": lambda w: w.out.peak_speed,
        "total_force_worst_N": lambda w: w.force / 0.6,
        "pinion_torque_total_N_m": lambda w: w.out.peak_torque / 0.6,
        "pinion_torque_60_percent_side_N_m": lambda w: w.out.peak_torque,
        "pinion_torque_rapid_only_total_N_m": lambda w: (
            worked("wood-09", NO_CUT).out.peak_torque / 0.6
        ),
        "altitude_factor": lambda w: float(altitude_share(w.axis.site.altitude)),
        "ambient_factor": lambda w: float(np.sqrt(ambient_share(w.axis.site.ambient, 140.0))),
    },
    "semi-11": {
        "wafer_mass_kg": lambda _: float(2329 * cylinder_volume(0.3, 0.775e-3)),
        "wafer_inertia_kg_m2": lambda w: float(
            cylinder_inertia(w.axis.train.chain.load.payloads["wafer"].mass, 0.3)
        ),
        "total_inertia_kg_m2": lambda w: w.out.inertia_max,
        "angular_acceleration_rad_s2": lambda w: w.phase("spin").top_acceleration,
        "peak_torque_N_m": lambda w: w.out.peak_torque,
        "peak_power_W": lambda w: w.power,
        "energy_per_stop_J": lambda w: w.out.energy_regenerated,
    },
    "lab-14": {
        "stop_energy_J": lambda w: w.out.energy_regenerated,
        "mean_power_in_stop_W": lambda w: w.out.energy_regenerated / w.phase("stop").duration,
        "peak_power_W": lambda w: w.returned,
        "capacitor_share_J": lambda _: float(capacitor_energy(680e-6, 380.0, bus_idle(230.0, 1))),
        "max_resistance_ohm": lambda w: float(resistor_window(380.0, w.returned, 0.0)[1]),
        "mean_power_over_6_min_W": lambda w: w.out.energy_regenerated / w.out.cycle_time,
        "braking_torque_N_m": lambda w: w.peak("stop"),
        "mains_253V_bus_V": lambda w: float(
            bus_idle(w.axis.site.mains * (1 + w.axis.site.mains_high), w.axis.site.phases)
        ),
    },
    "print-15": {
        "web_power_W": lambda w: w.phase("run").top_speed * 250.0,
        "torque_full_roll_N_m": lambda _: float(PAPER[0]),
        "speed_full_roll_rpm": lambda w: w.out.peak_speed,
        "torque_core_N_m": lambda _: abs(steady(worked("print-15", CORE), "run")),
        "speed_core_rpm": lambda _: worked("print-15", CORE).out.peak_speed,
        "corner_power_W": lambda _: float(PAPER[0] * PAPER[1]),
        "roll_mass_kg": lambda _: float(900 * cylinder_volume(1.0, 0.6, 0.076)),
        "roll_inertia_kg_m2": lambda w: w.out.inertia_max,
        "estop_torque_N_m": lambda w: stop_table(w.out)[0].peak_torque,
        "torque_when_accelerating_in_10s_N_m": lambda w: w.least("run"),
    },
    "print-16": {
        "kt_from_ke_N_m_per_A": lambda _: float(torque_constant_of_emf(42 * EMF)),
        "kt_from_plate_N_m_per_A": lambda _: plate("OLD").torque_stall / plate("OLD").current_stall,
        "inertia_ratio_old": lambda _: ratio_of("OLD"),
        "inertia_ratio_new": lambda _: ratio_of("NEW"),
        "emf_new_at_3000_V": lambda w: plate("NEW").voltage_constant * w.out.peak_speed,
        "max_line_voltage_V": lambda _: float(np.sqrt(1.5) * phase_voltage(325.0, 1.0)),
        "max_line_voltage_low_mains_V": lambda w: float(
            np.sqrt(1.5) * phase_voltage(325.0 * (1 + w.axis.site.mains_low), 1.0)
        ),
        "gear_output_peak_N_m": lambda w: float(
            output_torque(
                plate("NEW").torque_peak, 7.0, w.axis.train.chain.stages[-1].efficiency, 0.0
            )
        ),
    },
    "text-19": {
        "single_reading_top_speed_m_s": lambda w: w.phase("there").top_speed,
        "single_reading_acceleration_m_s2": lambda w: w.phase("there").top_acceleration,
        "single_reading_force_N": lambda w: w.force,
        "single_reading_peak_power_W": lambda w: w.power,
        "double_reading_acceleration_m_s2": lambda _: twice().phase("there").top_acceleration,
        "double_reading_force_N": lambda _: twice().force,
        "double_reading_peak_power_W": lambda _: twice().power,
    },
    "agri-23": {
        "inertia_kg_m2": lambda w: w.out.inertia_max,
        "inertia_torque_N_m": lambda w: w.cause(INERTIA),
        "start_torque_with_load_N_m": lambda w: w.out.peak_torque,
        "inertia_peak_power_W": lambda _: worked("agri-23", NO_LOAD).power,
        "kinetic_energy_J": lambda _: worked("agri-23", NO_LOAD).out.energy_regenerated,
        "current_inertia_only_at_48V_A": lambda _: supply_currents(worked("agri-23", NO_LOAD).out)[
            0
        ][1],
        "torque_if_gd2_misread_N_m": lambda _: worked("agri-23", MISREAD).cause(INERTIA),
    },
    "asm-29": {
        "plate_sum_kW": lambda _: 8 * 750.0 + 3 * 400.0,
        "idle_bus_on_208_volts_V": lambda _: float(bus_idle(208.0, 3)),
        "idle_bus_on_230_volts_V": lambda _: float(bus_idle(230.0, 3)),
        "bus_ratio": lambda _: float(bus_idle(208.0, 3) / bus_idle(230.0, 3)),
        "current_mean_A": lambda _: float(mains_current(1600.0, 208.0, 3, 0.65)),
        "current_plate_sum_A": lambda _: float(mains_current(7200.0, 208.0, 3, 0.65)),
    },
}
NUMBERS = [(name, key) for name, e in ENQUIRIES.items() for key in e["numbers"]]


def wanted(name: str, key: str) -> tuple[float, str, float]:
    """A number of an enquiry in SI, its unit and the tolerance as a share."""
    _, found = ending(key)
    value = ENQUIRIES[name]["numbers"][key]
    return value * found.size, found.unit, tolerance(name, key) / 100


def json_at(data: Any, path: str) -> dict[str, Any]:
    """The quantity at ``phases.up.peak_torque`` in an answer of the command line."""
    for key in path.split("."):
        if isinstance(data, list) and not key.isdecimal():
            data = next(p for p in data if p["name"] == key)
        else:
            data = data[int(key) if isinstance(data, list) else key]
    return data


@cache
def answer(name: str) -> dict[str, Any]:
    done = dutyline("demand", str(FOLDER / f"{name}.toml"), "--json")
    assert (done.code, done.err) == (0, "")
    return json.loads(done.out)


@pytest.mark.parametrize(("name", "key"), NUMBERS)
def test_numbers_by_python(name, key):
    value, _, tolerance = wanted(name, key)
    assert BY_PYTHON[name][key](subject(name)) == pytest.approx(value, rel=tolerance)


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
    assert {n for n in ENQUIRIES if subject(n)} == {f.stem for f in FOLDER.glob("*-*.toml")}
    assert len(ENQUIRIES) == 20


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


def _written(name: str, trap: dict[str, Any]) -> None:
    axis = worked(name).axis
    verdict = dl.verify(axis, dl.Combination(**trap["parts"]))
    assert trap["report"] in re.sub(r"<[^>]*>|\s+", " ", to_html(build_document(verdict)))


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
    "report": _written,
}


def _verdict(name: str, parts: dict[str, str]) -> dict[str, Any]:
    options = [word for part, own in parts.items() for word in (f"--{part}", own)]
    if "line" in ENQUIRIES[name]:
        options += ["--line", str(FOLDER / ENQUIRIES[name]["line"])]
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
    assert "Nothing in the product line runs on" in done.out


@pytest.mark.parametrize("name", ["food-07", "solar-26"])
def test_a_search_that_finds_something(name):
    done = dutyline("select", str(FOLDER / f"{name}.toml"), "--json")
    assert done.code == 0
    assert json.loads(done.out)["candidates"][0]["verdict"] == "meets"


def test_a_search_without_the_seat_of_the_belt_stays_open():
    """The enquiry names neither pretension nor seat of the pulley: nothing meets, both asked."""
    shown = dutyline("select", str(FOLDER / "pack-01.toml"))
    assert (shown.code, "meets" in shown.out) == (1, False)
    assert "(mechanism.overhang), or a coupling" in re.sub(r"\s+", " ", shown.out)
    seated = written("pack-01", ("efficiency = 1\n", 'efficiency = 1\noverhang = "15 mm"\n'))
    asked = dutyline("select", "-", stdin=seated)
    assert (asked.code, "meets" in asked.out) == (1, False)
    assert "missing: pretension of the belt, N." in asked.out
    coupled = written("pack-01", ("efficiency = 1\n", f"efficiency = 1\n{COUPLING}"))
    assert re.search(r"^● .* meets$", dutyline("select", "-", stdin=coupled).out, re.MULTILINE)


COUPLING = """
[[stage]]
kind = "coupling"
"""


def test_a_share_far_over_stands_apart_from_its_title():
    done = dutyline("verify", str(FOLDER / "semi-11.toml"), "--motor", "XM38-0050H", COLUMNS="80")
    assert "Winding temperature rise > 999" in done.out
    assert not re.search(r"\w> 999", done.out)


@pytest.mark.parametrize("width", ["80", "120"])
@pytest.mark.parametrize("name", sorted(n for n in ENQUIRIES if subject(n)))
def test_no_line_is_wider_than_the_terminal(name, width):
    done = dutyline("demand", str(FOLDER / f"{name}.toml"), COLUMNS=width)
    assert done.code == 0
    assert max(len(line) for line in done.out.splitlines()) <= int(width)


def test_both_readings_of_a_stroke_side_by_side():
    """The variant asks for four times the force of the file (by hand: half the time, squared)."""
    doubled = dutyline(
        "demand", str(FOLDER / "text-19.toml"), "--variant", "double strokes", "--json"
    )
    peaks = [d["peak_torque"]["value"] for d in (answer("text-19"), json.loads(doubled.out))]
    assert peaks[1] / peaks[0] == pytest.approx(4.0)


def test_a_drive_is_refused_on_other_mains():
    """Drives for 200 to 230 V do not run on 400 V, nor the other way round."""
    text = written("wood-09", ('mains = "230 V"', 'mains = "400 V"'))
    done = dutyline("select", "-", stdin=text)
    assert done.code == 1
    assert "Nothing in the product line runs on 400 V" in re.sub(r"\s+", " ", done.out)


@pytest.mark.parametrize("name", sorted(n for n in ENQUIRIES if subject(n)))
def test_the_words_of_the_customer_are_kept(name):
    assert worked(name).axis.enquiry.split() == ENQUIRIES[name]["text"].split()


def test_core_and_full_roll_stand_side_by_side():
    """By hand: 5 m/s over 38 and 500 mm, 250 N on them, paper of 900 kg/m3 between them."""
    rows = {row["case"]: row for row in answer("print-15")["case_figures"]}
    assert list(rows)[:2] == ["main", "core"]
    core, full = rows["core"], rows["main"]
    assert core["peak_speed"]["value"] == pytest.approx(5 / 0.038, rel=1e-3)
    assert core["peak_torque"]["value"] == pytest.approx(250 * 0.038, rel=5e-3)
    assert full["peak_torque"]["value"] == pytest.approx(125 + 53.01, rel=1e-3)
    assert full["reflected_inertia"]["value"] == pytest.approx(53.01, rel=1e-3)
    shown = dutyline("demand", str(FOLDER / "print-15.toml"), COLUMNS="80").out
    assert re.search(r"core +1.256.r/min +9\.5", shown)


def test_a_file_without_cases_has_no_table_of_them():
    assert answer("pack-01")["case_figures"] == []
    assert "Case " not in dutyline("demand", str(FOLDER / "pack-01.toml")).out
