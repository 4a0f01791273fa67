"""Every field of a product line in words, as a sentence names it beside the part it belongs to."""

from __future__ import annotations

from dutyline.catalogue.columns import FORMS, FURTHER, Column

UNIT_WORDS = {
    "N*m": "N·m", "A rms": "A", "kg*cm^2": "kg·cm²", "ohm": "Ω", "N*m/A rms": "N·m/A",
    "V rms line-line per 1000 r/min": "V per 1000 r/min", "degC": "°C", "uF": "μF",
    "N*m/arcmin": "N·m/arcmin",
}  # fmt: skip
"""Units of the files as people write them."""
_SUPPLY = {
    "supply_class": "supply class",
    "mains_min": "lowest mains",
    "mains_max": "highest mains",
}
_COMMON = {"mass": "mass", "price": "price"}
_PROTECTION = {"protection": "protection class"}
_PLACE = {"ambient_max": "highest ambient of the rating", "altitude_max": "altitude of the rating"}

WORDS: dict[str, dict[str, str]] = {
    "motors": {
        **_COMMON,
        **_PROTECTION,
        **_SUPPLY,
        **_PLACE,
        "name": "name",
        "size": "size: motors of one size differ in the winding alone",
        "flange": "side of the flange",
        "pilot": "pilot diameter",
        "bolt_circle": "bolt circle",
        "shaft": "shaft diameter",
        "power_rated": "rated power",
        "torque_rated": "rated torque",
        "torque_stall": "stall torque",
        "torque_peak": "peak torque",
        "speed_rated": "rated speed",
        "speed_max": "maximum speed",
        "inertia": "rotor inertia",
        "inertia_with_brake": "rotor inertia with brake",
        "mass_with_brake": "mass with brake",
        "torque_constant": "torque constant",
        "voltage_constant": "voltage constant",
        "resistance": "winding resistance between terminals",
        "inductance": "winding inductance between terminals",
        "pole_pairs": "pole pairs",
        "current_rated": "rated current",
        "current_stall": "stall current",
        "current_peak": "peak current",
        "saturation_peak": "share of the torque constant left at peak current",
        "iron_loss_rated": "iron loss at rated speed",
        "iron_exponent": "exponent of iron loss over speed",
        "rth_winding_housing": "thermal resistance from winding to housing",
        "rth_housing_ambient": "thermal resistance from housing to ambient",
        "cth_winding": "heat capacity of the winding",
        "cth_housing": "heat capacity of the housing",
        "tau_winding": "thermal time constant of the winding",
        "tau_housing": "thermal time constant of the housing",
        "winding_limit": "limit temperature of the winding",
        "insulation_class": "insulation class",
        "test_plate_side": "side of the mounting plate of the rating",
        "test_plate_thickness": "thickness of the mounting plate of the rating",
        "radial_load": "permitted radial force on the shaft",
        "axial_load": "permitted axial force on the shaft",
        "radial_load_point": "place of the permitted radial force",
        "bearing_offset": "distance from shoulder to bearing",
        "encoder": "encoder",
        "encoder_bits": "encoder resolution in one turn",
        "encoder_turn_bits": "turns that the encoder counts",
        "protection_shaft": "protection class where the shaft leaves",
        "oil_seal_factor": "continuous torque left with a shaft seal",
        "brake_factor": "continuous torque left with a brake",
        "brake": "brake that goes into the motor",
        "series": "series: each is a family of its own in the audit",
        "overload_curve": "overload times",
    },
    "gearheads": {
        **_COMMON,
        **_PROTECTION,
        "name": "name",
        "style": "style",
        "frame": "frame size",
        "ratio": "ratio",
        "stages": "number of stages",
        "torque_rated": "rated torque",
        "torque_acceleration": "acceleration torque",
        "torque_emergency": "emergency torque",
        "emergency_count": "number of emergency stops",
        "speed_in_mean": "permitted mean input speed",
        "speed_in_max": "permitted input speed",
        "efficiency": "efficiency at rated torque",
        "backlash": "backlash",
        "stiffness": "torsional stiffness",
        "inertia_in": "inertia at the input",
        "no_load_torque": "no-load torque at the input",
        "radial": "permitted radial force on the output shaft",
        "axial": "permitted axial force on the output shaft",
        "tilting": "permitted tilting moment at the output",
        "bearing_offset": "pressure point of the output bearing",
        "life": "rated life",
        "speed_rated_out": "rated output speed",
        "shaft_in_max": "largest input shaft",
        "input_flanges": "motor flanges that fit its input",
        "thermal_resistance": "thermal resistance to the surroundings",
        "shaft_out_length": "length of the output shaft",
    },
    "drives": {
        **_COMMON,
        **_SUPPLY,
        **_PLACE,
        "name": "name",
        "mains_tolerance": "tolerance of the mains",
        "phases": "phases of the mains",
        "current_rated": "rated current",
        "current_peak": "peak current",
        "peak_time": "time of the peak current",
        "bus_capacitance": "bus capacitance",
        "chopper_on": "switching voltage of the braking chopper",
        "overvoltage_trip": "overvoltage trip",
        "undervoltage_trip": "undervoltage trip",
        "resistor_min": "lowest resistance of a braking resistor",
        "internal_resistor_power": "mean power of the built-in braking resistor",
        "internal_resistor_pulse": "pulse energy of the built-in braking resistor",
        "internal_resistor": "resistance of the built-in braking resistor",
        "logic_voltage": "supply voltage of the electronics",
        "logic_power": "power of the electronics",
        "loss_fixed": "fixed loss",
        "loss_per_ampere": "loss per ampere",
        "idle_power": "idle power",
        "pwm_frequency": "switching frequency",
        "velocity_loop": "rate of the velocity loop",
        "input_current_rated": "rated input current",
        "inrush_peak": "inrush current",
        "derate_per_kelvin": "derating over ambient",
        "derate_per_metre": "derating over altitude",
        "overload_curve": "overload times",
    },
    "brakes": {
        **_COMMON,
        "name": "name",
        "torque_static": "static torque",
        "inertia": "inertia",
        "release_time": "release time",
        "engage_time": "engage time",
        "coil_voltage": "coil voltage",
        "coil_power": "coil power",
        "coil_resistance": "coil resistance",
        "work_per_stop": "friction work of one stop",
        "work_total": "friction work over its life",
        "backlash": "backlash",
        "speed_max": "permitted speed",
    },
    "resistors": {
        **_COMMON,
        "name": "name",
        "supply_class": "supply class",
        "resistance": "resistance",
        "power_mean": "mean power",
        "power_peak": "peak power",
        "pulse_energy": "pulse energy",
        "cycle": "cycle of the pulse rating",
        "tau": "thermal time constant",
        "voltage_max": "highest voltage",
    },
    "curves": {
        "motor": "motor",
        "mains": "mains voltage",
        "phases": "phases of the mains",
        "kind": "peak or continuous",
        "speed": "speed of a point",
        "torque": "torque of a point",
    },
    "pairings": {
        "kind": "what is paired",
        "left": "first part",
        "right": "second part",
        "mains": "mains voltage",
        "phases": "phases of the mains",
        "torque_rated_out": "rated torque at the output",
        "torque_peak_out": "peak torque at the output",
        "speed_max_out": "highest speed at the output",
        "limited_rated": "what limits the rated torque",
        "limited_peak": "what limits the peak torque",
        "note": "note",
    },
    "accessories": {
        "name": "name",
        "kind": "kind",
        "fits_motors": "motors it fits",
        "fits_gearheads": "gearheads it fits",
        "fits_drives": "drives it fits",
        "fits_brakes": "brakes it fits",
        "flange": "flange",
        "shaft": "shaft",
        "current": "rated current",
        "voltage": "voltage",
        "phases": "phases",
        "power": "power",
        "length": "length",
        "moving": "made for a cable chain",
        "price": "price",
        "note": "note",
    },
}
"""By kind of part and field. What follows a colon explains and is no part of the name."""


def meaning(kind: str, field: str) -> str:
    """A field in words; empty for one that no column holds.

    Parameters
    ----------
    kind : str
        ``motors``
    field : str
        Field of the record, ``torque_peak``.

    Examples
    --------
    >>> meaning("drives", "internal_resistor")
    'resistance of the built-in braking resistor'
    """
    return WORDS.get(kind, {}).get(field, "")


def spoken(kind: str, field: str) -> str:
    """The name in it.

    >>> spoken("motors", "series")
    'series'
    """
    return meaning(kind, field).partition(":")[0] or field


def spoken_unit(kind: str, field: str) -> str:
    """The unit of its column as people write it; empty where it has none.

    >>> spoken_unit("motors", "voltage_constant")
    'V per 1000 r/min'
    """
    found = next((c for c in _columns(f"{kind}.csv") if c.field == field), None)
    return "" if found is None else UNIT_WORDS.get(found.unit, found.unit)


def spoken_heading(file: str, heading: str) -> tuple[str, str]:
    """The heading of one of our files in words, and its unit.

    >>> spoken_heading("gearheads.csv", "torque_accel_nm")
    ('acceleration torque', 'N·m')
    """
    kind = file.removesuffix(".csv")
    for column in _columns(file):
        if column.name == heading:
            return spoken(kind, column.field), spoken_unit(kind, column.field)
    return heading, ""


def _columns(file: str) -> tuple[Column, ...]:
    return next((form.columns for form in (*FORMS, *FURTHER) if form.file == file), ())
