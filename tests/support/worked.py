"""Numbers of the enquiries worked by Python: off the demand, the drive train, or one line anew."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

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
from dutyline.train.recursion import FRICTION, GRAVITY, INERTIA
from support.command import dutyline
from support.enquiries import ENQUIRIES, FOLDER


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
    lines = verdict_of("print-16", {"motor": motor, "drive": "KEPT"})["ledger"]
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


def verdict_of(name: str, parts: dict[str, str]) -> dict[str, Any]:
    options = [word for part, own in parts.items() for word in (f"--{part}", own)]
    if "line" in ENQUIRIES[name]:
        options += ["--line", str(FOLDER / ENQUIRIES[name]["line"])]
    done = dutyline("verify", str(FOLDER / f"{name}.toml"), *options, "--json")
    assert done.code in (0, 1)
    return json.loads(done.out)
