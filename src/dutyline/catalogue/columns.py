"""Every column of every file of a product line: its field, its unit and what a cell may hold."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from dutyline.catalogue.parts import (
    Accessory,
    Brake,
    Curve,
    Drive,
    Gearhead,
    Motor,
    Pairing,
    Resistor,
)

Kind = Literal["text", "name", "number", "int", "ratio", "list", "ints", "pairs"]
"""What a cell holds. ``list`` and ``ints`` are separated by ``;``, ``pairs`` are ``a:b;c:d``."""

UNITS: dict[str, tuple[float, float, str]] = {
    # unit of the file: (multiply by, divide by, SI unit); two numbers so that 38 mm is 0.038 m
    "": (1.0, 1.0, "1"),
    "V": (1.0, 1.0, "V"),
    "W": (1.0, 1.0, "W"),
    "W/A": (1.0, 1.0, "W/A"),
    "J": (1.0, 1.0, "J"),
    "J/K": (1.0, 1.0, "J/K"),
    "K/W": (1.0, 1.0, "K/W"),
    "ohm": (1.0, 1.0, "ohm"),
    "A": (1.0, 1.0, "A"),
    "A rms": (1.0, 1.0, "A"),
    "N": (1.0, 1.0, "N"),
    "N*m": (1.0, 1.0, "N*m"),
    "N*m/A rms": (1.0, 1.0, "N*m/A"),
    "kg": (1.0, 1.0, "kg"),
    "m": (1.0, 1.0, "m"),
    "s": (1.0, 1.0, "s"),
    "degC": (1.0, 1.0, "degC"),
    "mm": (1.0, 1e3, "m"),
    "kg*cm^2": (1.0, 1e4, "kg*m^2"),
    "r/min": (math.pi, 30.0, "rad/s"),
    "V rms line-line per 1000 r/min": (30.0, 1e3 * math.pi, "V*s/rad"),
    "mH": (1.0, 1e3, "H"),
    "uF": (1.0, 1e6, "F"),
    "ms": (1.0, 1e3, "s"),
    "min": (60.0, 1.0, "s"),
    "h": (3600.0, 1.0, "s"),
    "kHz": (1e3, 1.0, "Hz"),
    "%": (1.0, 1e2, "1"),
    "% per K": (1.0, 1e2, "1/K"),
    "% per 100 m": (1.0, 1e4, "1/m"),
    "arcmin": (math.pi, 10800.0, "rad"),
    "N*m/arcmin": (10800.0, math.pi, "N*m/rad"),
    "deg": (math.pi, 180.0, "rad"),
}


@dataclass(frozen=True, slots=True)
class Limits:
    """Range of a number, in the unit of the file."""

    low: float
    high: float
    text: str
    """As printed after *a number*: ``above 0``."""
    open_low: bool = False
    open_high: bool = False

    def hold(self, value: float) -> bool:
        """Whether the value lies inside."""
        above = value > self.low if self.open_low else value >= self.low
        return above and (value < self.high if self.open_high else value <= self.high)


LARGEST = 1e12
"""No datum of a servo axis comes near; a larger one is a slip."""

ABOVE = Limits(0.0, LARGEST, "above 0", open_low=True)
ZERO_UP = Limits(0.0, LARGEST, "of 0 or more")
SHARE = Limits(0.0, 1.0, "above 0 and at most 1", open_low=True)
PERCENT = Limits(0.0, 100.0, "from 0 to below 100", open_high=True)
TEMPERATURE = Limits(-100.0, 500.0, "from -100 to 500")
BITS = Limits(0.0, 64.0, "from 0 to 64")
COUNT = Limits(1.0, 200.0, "from 1 to 200")
EXPONENT = Limits(0.0, 3.0, "from 0 to 3")


@dataclass(frozen=True, slots=True)
class Column:
    """One column of one file."""

    name: str
    """Heading in the file, unit included: ``flange_mm``."""
    field: str
    """Field of the record in :mod:`dutyline.catalogue.parts`."""
    kind: Kind = "number"
    unit: str = ""
    """Unit of the file, a key of :data:`UNITS`."""
    limits: Limits = ABOVE
    required: bool = False
    choices: tuple[str, ...] = ()
    """What a cell of words or whole numbers may hold; empty means anything."""

    def si(self, number: float) -> float:
        """The number of a cell in SI units."""
        times, over, _ = UNITS[self.unit]
        return number * times / over


@dataclass(frozen=True, slots=True)
class FileForm:
    """One file of a product line."""

    file: str
    part: str
    """What one row is, for messages: ``motor``."""
    record: type
    columns: tuple[Column, ...]
    rows_needed: bool = False
    """Whether a line without any row of this kind makes no sense."""


def _text(name: str, field: str = "", choices: tuple[str, ...] = ()) -> Column:
    return Column(name, field or name, "text", choices=choices)


def _name(name: str, field: str = "name", choices: tuple[str, ...] = ()) -> Column:
    return Column(name, field, "name", required=True, choices=choices)


def _int(name: str, field: str = "", limits: Limits = COUNT, required: bool = False) -> Column:
    return Column(name, field or name, "int", limits=limits, required=required)


_PRICE = Column("price", "price", limits=ZERO_UP)
_OVERLOAD = Column("overload_curve", "overload_curve", "pairs")
_MASS = Column("mass_kg", "mass", unit="kg")

_SUPPLY = (
    _text("supply_class"),
    Column("mains_min_v", "mains_min", unit="V"),
    Column("mains_max_v", "mains_max", unit="V"),
)

_MOTORS = (
    _name("motor"),
    _text("size"),
    *_SUPPLY,
    Column("flange_mm", "flange", unit="mm"),
    Column("pilot_mm", "pilot", unit="mm"),
    Column("bolt_circle_mm", "bolt_circle", unit="mm"),
    Column("shaft_mm", "shaft", unit="mm"),
    Column("power_rated_w", "power_rated", unit="W"),
    Column("torque_rated_nm", "torque_rated", unit="N*m"),
    Column("torque_stall_nm", "torque_stall", unit="N*m"),
    Column("torque_peak_nm", "torque_peak", unit="N*m"),
    Column("speed_rated_rpm", "speed_rated", unit="r/min"),
    Column("speed_max_rpm", "speed_max", unit="r/min"),
    Column("inertia_kgcm2", "inertia", unit="kg*cm^2"),
    Column("inertia_with_brake_kgcm2", "inertia_with_brake", unit="kg*cm^2"),
    _MASS,
    Column("mass_with_brake_kg", "mass_with_brake", unit="kg"),
    Column("kt_nm_per_arms", "torque_constant", unit="N*m/A rms"),
    Column("ke_vrms_ll_per_krpm", "voltage_constant", unit="V rms line-line per 1000 r/min"),
    Column("resistance_ll_ohm_20c", "resistance", unit="ohm"),
    Column("inductance_ll_mh", "inductance", unit="mH"),
    _int("pole_pairs"),
    Column("current_rated_arms", "current_rated", unit="A rms"),
    Column("current_stall_arms", "current_stall", unit="A rms"),
    Column("current_peak_arms", "current_peak", unit="A rms"),
    Column("saturation_factor_peak", "saturation_peak"),
    Column("iron_loss_rated_w", "iron_loss_rated", unit="W", limits=ZERO_UP),
    Column("iron_exponent", "iron_exponent", limits=EXPONENT),
    Column("rth_winding_housing_k_per_w", "rth_winding_housing", unit="K/W"),
    Column("rth_housing_ambient_k_per_w", "rth_housing_ambient", unit="K/W"),
    Column("cth_winding_j_per_k", "cth_winding", unit="J/K"),
    Column("cth_housing_j_per_k", "cth_housing", unit="J/K"),
    Column("tau_winding_s", "tau_winding", unit="s"),
    Column("tau_housing_min", "tau_housing", unit="min"),
    Column("winding_limit_c", "winding_limit", unit="degC", limits=TEMPERATURE),
    _text("insulation_class"),
    Column("ambient_max_c", "ambient_max", unit="degC", limits=TEMPERATURE),
    Column("altitude_max_m", "altitude_max", unit="m", limits=ZERO_UP),
    Column("test_plate_side_mm", "test_plate_side", unit="mm"),
    Column("test_plate_thick_mm", "test_plate_thickness", unit="mm"),
    Column("radial_load_n", "radial_load", unit="N", limits=ZERO_UP),
    Column("axial_load_n", "axial_load", unit="N", limits=ZERO_UP),
    Column("radial_load_point_mm", "radial_load_point", unit="mm", limits=ZERO_UP),
    Column("bearing_offset_mm", "bearing_offset", unit="mm", limits=ZERO_UP),
    _text("encoder"),
    _int("encoder_bits", limits=BITS),
    _int("encoder_turn_bits", limits=BITS),
    _text("protection"),
    _text("protection_shaft"),
    Column("oil_seal_continuous_factor", "oil_seal_factor", limits=SHARE),
    Column("brake_continuous_factor", "brake_factor", limits=SHARE),
    _text("brake"),
    _text("series"),
    _OVERLOAD,
    _PRICE,
)

_GEARHEADS = (
    _name("gearhead"),
    _text("style"),
    Column("frame_mm", "frame", unit="mm"),
    Column("ratio", "ratio", "ratio", required=True),
    _int("stages"),
    Column("torque_rated_nm", "torque_rated", unit="N*m"),
    Column("torque_accel_nm", "torque_acceleration", unit="N*m"),
    Column("torque_emergency_nm", "torque_emergency", unit="N*m"),
    Column("emergency_count", "emergency_count", limits=ZERO_UP),
    Column("speed_in_mean_rpm", "speed_in_mean", unit="r/min"),
    Column("speed_in_max_rpm", "speed_in_max", unit="r/min"),
    Column("efficiency", "efficiency", limits=SHARE),
    Column("backlash_arcmin", "backlash", unit="arcmin", limits=ZERO_UP),
    Column("stiffness_nm_per_arcmin", "stiffness", unit="N*m/arcmin"),
    Column("inertia_in_kgcm2", "inertia_in", unit="kg*cm^2", limits=ZERO_UP),
    Column("no_load_torque_in_nm", "no_load_torque", unit="N*m", limits=ZERO_UP),
    Column("radial_n", "radial", unit="N", limits=ZERO_UP),
    Column("axial_n", "axial", unit="N", limits=ZERO_UP),
    Column("tilting_nm", "tilting", unit="N*m", limits=ZERO_UP),
    Column("bearing_offset_mm", "bearing_offset", unit="mm", limits=ZERO_UP),
    Column("life_h", "life", unit="h"),
    Column("speed_rated_out_rpm", "speed_rated_out", unit="r/min"),
    Column("shaft_in_max_mm", "shaft_in_max", unit="mm"),
    _MASS,
    Column("input_flanges_mm", "input_flanges", "list", unit="mm"),
    Column("rth_k_per_w", "thermal_resistance", unit="K/W"),
    _text("protection"),
    Column("shaft_out_length_mm", "shaft_out_length", unit="mm", limits=ZERO_UP),
    _PRICE,
)

_DRIVES = (
    _name("drive"),
    *_SUPPLY,
    Column("mains_tolerance_pct", "mains_tolerance", unit="%", limits=PERCENT),
    Column("phases", "phases", "ints", choices=("1", "3")),
    Column("current_rated_arms", "current_rated", unit="A rms"),
    Column("current_peak_arms", "current_peak", unit="A rms"),
    Column("peak_time_s", "peak_time", unit="s"),
    Column("bus_capacitance_uf", "bus_capacitance", unit="uF"),
    Column("chopper_on_v", "chopper_on", unit="V"),
    Column("overvoltage_trip_v", "overvoltage_trip", unit="V"),
    Column("undervoltage_trip_v", "undervoltage_trip", unit="V"),
    Column("resistor_min_ohm", "resistor_min", unit="ohm"),
    Column("internal_resistor_w", "internal_resistor_power", unit="W", limits=ZERO_UP),
    Column("internal_resistor_pulse_j", "internal_resistor_pulse", unit="J", limits=ZERO_UP),
    Column("internal_resistor_ohm", "internal_resistor", unit="ohm"),
    Column("logic_v", "logic_voltage", unit="V"),
    Column("logic_w", "logic_power", unit="W", limits=ZERO_UP),
    Column("loss_fixed_w", "loss_fixed", unit="W", limits=ZERO_UP),
    Column("loss_per_amp_w", "loss_per_ampere", unit="W/A", limits=ZERO_UP),
    Column("idle_w", "idle_power", unit="W", limits=ZERO_UP),
    Column("pwm_khz", "pwm_frequency", unit="kHz"),
    Column("velocity_loop_khz", "velocity_loop", unit="kHz"),
    Column("input_current_rated_arms", "input_current_rated", unit="A rms"),
    Column("inrush_peak_a", "inrush_peak", unit="A"),
    Column("ambient_max_c", "ambient_max", unit="degC", limits=TEMPERATURE),
    Column("derate_pct_per_k", "derate_per_kelvin", unit="% per K", limits=PERCENT),
    Column("altitude_max_m", "altitude_max", unit="m", limits=ZERO_UP),
    Column("derate_pct_per_100m", "derate_per_metre", unit="% per 100 m", limits=PERCENT),
    _MASS,
    _OVERLOAD,
    _PRICE,
)

_BRAKES = (
    _name("brake"),
    Column("torque_static_nm", "torque_static", unit="N*m"),
    Column("inertia_kgcm2", "inertia", unit="kg*cm^2", limits=ZERO_UP),
    Column("release_ms", "release_time", unit="ms", limits=ZERO_UP),
    Column("engage_ms", "engage_time", unit="ms", limits=ZERO_UP),
    Column("coil_v", "coil_voltage", unit="V"),
    Column("coil_w", "coil_power", unit="W"),
    Column("coil_ohm", "coil_resistance", unit="ohm"),
    Column("work_per_stop_j", "work_per_stop", unit="J", limits=ZERO_UP),
    Column("work_total_j", "work_total", unit="J", limits=ZERO_UP),
    _MASS,
    Column("backlash_deg_max", "backlash", unit="deg", limits=ZERO_UP),
    Column("speed_max_rpm", "speed_max", unit="r/min"),
    _PRICE,
)

_RESISTORS = (
    _name("resistor"),
    _text("supply_class"),
    Column("resistance_ohm", "resistance", unit="ohm"),
    Column("power_mean_w", "power_mean", unit="W"),
    Column("power_peak_w", "power_peak", unit="W"),
    Column("pulse_energy_j", "pulse_energy", unit="J"),
    Column("cycle_s", "cycle", unit="s"),
    Column("tau_s", "tau", unit="s"),
    Column("voltage_max_v", "voltage_max", unit="V"),
    _MASS,
    _PRICE,
)

_CURVES = (
    _name("motor", "motor"),
    Column("mains_v", "mains", unit="V", required=True),
    Column("phases", "phases", "int", required=True, choices=("1", "3")),
    _name("kind", "kind", choices=("peak", "continuous")),
    Column("speed_rpm", "speed", unit="r/min", limits=ZERO_UP, required=True),
    Column("torque_nm", "torque", unit="N*m", limits=ZERO_UP, required=True),
)

PAIRING_KINDS: dict[str, tuple[str, str]] = {
    "motor-drive": ("motors.csv", "drives.csv"),
    "motor-brake": ("motors.csv", "brakes.csv"),
    "motor-gearhead": ("motors.csv", "gearheads.csv"),
    "drive-resistor": ("drives.csv", "resistors.csv"),
}
"""Kind of a pairing: the files of its left and right part."""

_PAIRINGS = (
    _name("kind", "kind", choices=tuple(PAIRING_KINDS)),
    _name("left", "left"),
    _name("right", "right"),
    Column("mains_v", "mains", unit="V"),
    Column("phases", "phases", "int", choices=("1", "3")),
    Column("torque_rated_out_nm", "torque_rated_out", unit="N*m"),
    Column("torque_peak_out_nm", "torque_peak_out", unit="N*m"),
    Column("speed_max_out_rpm", "speed_max_out", unit="r/min"),
    _text("limited_rated"),
    _text("limited_peak"),
    _text("note"),
)

FORMS: tuple[FileForm, ...] = (
    FileForm("motors.csv", "motor", Motor, _MOTORS, rows_needed=True),
    FileForm("gearheads.csv", "gearhead", Gearhead, _GEARHEADS),
    FileForm("drives.csv", "drive", Drive, _DRIVES),
    FileForm("brakes.csv", "brake", Brake, _BRAKES),
    FileForm("resistors.csv", "resistor", Resistor, _RESISTORS),
    FileForm("curves.csv", "curve point", Curve, _CURVES),
    FileForm("pairings.csv", "pairing", Pairing, _PAIRINGS),
)
"""All files of a product line in the order in which they are read and summed up."""

ACCESSORY_KINDS = (
    "motor-cable", "encoder-cable", "brake-cable", "connector-set", "input-adapter",
    "mains-filter", "protective-device", "dc-supply", "coil-varistor", "coil-diode", "spare",
)  # fmt: skip
"""What an accessory may be."""
PATTERNS: dict[str, str] = {
    "fits_motors": "motors.csv",
    "fits_gearheads": "gearheads.csv",
    "fits_drives": "drives.csv",
    "fits_brakes": "brakes.csv",
}
"""Columns of patterns and the file whose names they stand for."""

ACCESSORIES = FileForm(
    "accessories.csv",
    "accessory",
    Accessory,
    (
        _name("accessory"),
        _name("kind", "kind", choices=ACCESSORY_KINDS),
        *(_text(column) for column in PATTERNS),
        Column("flange_mm", "flange", unit="mm"),
        Column("shaft_mm", "shaft", unit="mm"),
        Column("current_arms", "current", unit="A rms"),
        Column("voltage_v", "voltage", unit="V"),
        Column("phases", "phases", "ints", choices=("1", "3")),
        Column("power_w", "power", unit="W"),
        Column("length_m", "length", unit="m"),
        _text("moving", choices=("yes", "no")),
        _PRICE,
        _text("note"),
    ),
)

FURTHER: tuple[FileForm, ...] = (ACCESSORIES,)
"""Tables that a line may do without, summed up behind the others where they have rows."""
