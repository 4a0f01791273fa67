"""Which data of the chosen parts are missing for a check, in words with their unit."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from dutyline.catalogue.boundaries import Place, continuous_gap, peak_gap
from dutyline.checks.sides import ALTITUDE_USUAL, AMBIENT_USUAL

if TYPE_CHECKING:
    from dutyline.checks.trial import Trial

Told = Callable[["Trial", int], str]
"""Function of trial and combination: the words for what is missing, empty where it is there."""

SHAFT = (
    "motor.inertia",
    "gearhead.inertia_in",
    "gearhead.efficiency",
    "gearhead.no_load_torque",
    "gearhead.mesh",
)
"""What stands between the output shaft and the torque of the motor."""
CURRENT = (*SHAFT, "motor.torque_constant", "motor.stall", "motor.peak", "motor.saturation")
"""What stands between that torque and the current."""
BUS = (
    *CURRENT,
    "motor.resistance",
    "motor.speed_rated",
    "motor.iron",
    "drive.loss_fixed",
    "drive.loss_per_ampere",
)
"""What stands between that current and the power at the bus."""
PEAK_CAP = ("drive.current_peak", "motor.torque_constant", "motor.peak", "motor.saturation")
"""The motor torque at the drive's peak current."""
CAPACITY = ("drive.bus_capacitance", "drive.chopper_on")
RATED = (
    "drive.current_rated",
    "drive.ambient_max",
    "drive.derate_per_kelvin",
    "drive.altitude_max",
    "drive.derate_per_metre",
)
"""The drive's rated current at the site."""
NETWORK = (
    "motor.resistance",
    "motor.rth_winding_housing",
    "motor.rth_housing_ambient",
    "motor.cth_winding",
    "motor.cth_housing",
)
ROTOR = ("motor.inertia", "gearhead.inertia_in")
"""The inertia at the motor shaft."""
MOST_TORQUE = ("motor.torque_peak", *PEAK_CAP)
"""The largest torque that motor and drive give together."""
SHORTED = (
    "motor.voltage_constant",
    "motor.pole_pairs",
    "motor.resistance",
    "motor.inductance",
    "motor.winding_limit",
)
"""The braking torque of shorted windings."""
FIT = ("motor.flange", "motor.shaft", "gearhead.input_flanges", "gearhead.shaft_in_max")
SUPPLY = (
    "motor.supply_class",
    "motor.mains_min",
    "motor.mains_max",
    "drive.supply_class",
    "drive.mains_min",
    "drive.mains_max",
    "drive.phases",
    "resistor.supply_class",
)

ASIDE = ("motor.iron", "motor.winding_time", "drive.overload_curve", "drive.internal_resistor")
"""Data for which something else stands in where they are missing (``conventions``)."""

WORDS: dict[str, tuple[tuple[str, ...], str]] = {
    # name: (fields of the part of which one will do, words)
    "motor.torque_constant": (("torque_constant",), "torque constant of the motor in N·m/A rms"),
    "motor.stall": (
        ("current_stall", "torque_stall"),
        "stall current of the motor in A rms, or stall torque in N·m",
    ),
    "motor.peak": (
        ("current_peak", "torque_peak"),
        "peak current of the motor in A rms, or peak torque in N·m",
    ),
    "motor.torque_rated": (("torque_rated",), "rated torque of the motor in N·m"),
    "motor.torque_peak": (("torque_peak",), "peak torque of the motor in N·m"),
    "motor.resistance": (("resistance",), "winding resistance of the motor in ohm"),
    "motor.speed_rated": (("speed_rated",), "rated speed of the motor in r/min"),
    "motor.iron_loss_rated": (("iron_loss_rated",), "iron loss of the motor at rated speed in W"),
    "motor.rth_winding_housing": (
        ("rth_winding_housing",),
        "thermal resistance from winding to housing in K/W",
    ),
    "motor.rth_housing_ambient": (
        ("rth_housing_ambient",),
        "thermal resistance from housing to ambient in K/W",
    ),
    "motor.cth_winding": (("cth_winding",), "heat capacity of the winding in J/K"),
    "motor.cth_housing": (("cth_housing",), "heat capacity of the housing in J/K"),
    "motor.winding_limit": (("winding_limit",), "limit temperature of the winding in °C"),
    "motor.voltage_constant": (
        ("voltage_constant",),
        "voltage constant of the motor in V/(1000 r/min)",
    ),
    "motor.inductance": (("inductance",), "winding inductance of the motor in mH"),
    "motor.pole_pairs": (("pole_pairs",), "pole pairs of the motor"),
    "motor.flange": (("flange",), "flange of the motor in mm"),
    "motor.shaft": (("shaft",), "shaft of the motor in mm"),
    "gearhead.input_flanges": (("input_flanges",), "input flanges of the gearhead in mm"),
    "gearhead.shaft_in_max": (("shaft_in_max",), "largest input shaft of the gearhead in mm"),
    "motor.mass": (("mass", "mass_with_brake"), "mass of the motor in kg"),
    "motor.encoder_turn_bits": (("encoder_turn_bits",), "turns that the encoder counts in bits"),
    "motor.encoder_bits": (("encoder_bits",), "encoder resolution of the motor in bits per turn"),
    "gearhead.inertia_in": (("inertia_in",), "inertia of the gearhead at its input in kg·cm²"),
    "gearhead.efficiency": (("efficiency",), "efficiency of the gearhead"),
    "gearhead.no_load_torque": (("no_load_torque",), "no-load torque of the gearhead in N·m"),
    "gearhead.torque_rated": (("torque_rated",), "rated torque of the gearhead in N·m"),
    "gearhead.torque_acceleration": (
        ("torque_acceleration",),
        "acceleration torque of the gearhead in N·m",
    ),
    "gearhead.speed_in_mean": (
        ("speed_in_mean",),
        "permitted mean input speed of the gearhead in r/min",
    ),
    "gearhead.speed_in_max": (("speed_in_max",), "permitted input speed of the gearhead in r/min"),
    "gearhead.speed_rated_out": (
        ("speed_rated_out",),
        "rated output speed of the gearhead in r/min",
    ),
    "gearhead.backlash": (("backlash",), "backlash of the gearhead in arcmin"),
    "gearhead.stiffness": (("stiffness",), "stiffness of the gearhead in N·m/arcmin"),
    "gearhead.torque_emergency": (("torque_emergency",), "emergency torque of the gearhead in N·m"),
    "gearhead.emergency_count": (("emergency_count",), "emergency stops that the gearhead bears"),
    "gearhead.radial": (("radial",), "permitted radial force of the gearhead in N"),
    "gearhead.axial": (("axial",), "permitted axial force of the gearhead in N"),
    "gearhead.tilting": (("tilting",), "permitted tilting moment of the gearhead in N·m"),
    "gearhead.bearing_offset": (
        ("bearing_offset",),
        "pressure point of the gearhead's output bearing in mm",
    ),
    "gearhead.thermal_resistance": (
        ("thermal_resistance",),
        "thermal resistance of the gearhead to its surroundings in K/W",
    ),
    "motor.radial_load": (("radial_load",), "permitted radial force on the motor shaft in N"),
    "motor.axial_load": (("axial_load",), "permitted axial force on the motor shaft in N"),
    "motor.radial_load_point": (
        ("radial_load_point",),
        "place of the motor's permitted radial force in mm",
    ),
    "motor.bearing_offset": (("bearing_offset",), "pressure point of the motor's bearing in mm"),
    "motor.protection": (("protection",), "protection class of the motor"),
    "motor.protection_shaft": (
        ("protection_shaft",),
        "protection class of the motor where its shaft leaves it",
    ),
    "gearhead.protection": (("protection",), "protection class of the gearhead"),
    "gearhead.life": (("life",), "rated life of the gearhead in h"),
    "motor.supply_class": (("supply_class",), "supply class of the motor"),
    "motor.mains_min": (("mains_min",), "lowest mains of the motor in V"),
    "motor.mains_max": (("mains_max",), "highest mains of the motor in V"),
    "drive.supply_class": (("supply_class",), "supply class of the drive"),
    "drive.mains_min": (("mains_min",), "lowest mains of the drive in V"),
    "drive.mains_max": (("mains_max",), "highest mains of the drive in V"),
    "drive.phases": (("phases",), "phases of the mains that the drive runs on"),
    "resistor.supply_class": (("supply_class",), "supply class of the braking resistor"),
    "drive.current_rated": (("current_rated",), "rated current of the drive in A rms"),
    "drive.current_peak": (("current_peak",), "peak current of the drive in A rms"),
    "drive.peak_time": (("peak_time",), "peak time of the drive in s"),
    "drive.bus_capacitance": (("bus_capacitance",), "bus capacitance of the drive in µF"),
    "drive.chopper_on": (
        ("chopper_on",),
        "switching voltage of the drive's braking resistor in V",
    ),
    "drive.velocity_loop": (("velocity_loop",), "rate of the drive's velocity loop in kHz"),
    "drive.loss_fixed": (("loss_fixed",), "fixed loss of the drive in W"),
    "drive.loss_per_ampere": (("loss_per_ampere",), "loss of the drive per ampere in W/A"),
    "drive.idle_power": (("idle_power",), "idle power of the drive in W"),
    "drive.inrush_peak": (("inrush_peak",), "inrush current of the drive in A"),
    "drive.undervoltage_trip": (("undervoltage_trip",), "undervoltage trip of the drive in V"),
    "drive.top_ambient": (("ambient_max",), "permitted ambient of the drive in °C"),
    "drive.resistor_min": (("resistor_min",), "lowest resistance of the drive in ohm"),
    "brake.torque_static": (("torque_static",), "static torque of the brake in N·m"),
    "brake.engage_time": (("engage_time",), "engage time of the brake in ms"),
    "brake.work_per_stop": (("work_per_stop",), "friction work of the brake per stop in J"),
    "brake.work_total": (("work_total",), "total friction work of the brake in J"),
    "brake.speed_max": (("speed_max",), "permitted speed of the brake in r/min"),
    "brake.coil_power": (("coil_power",), "coil power of the brake in W"),
    "brake.backlash": (("backlash",), "backlash of the brake in degrees"),
    "resistor.resistance": (("resistance",), "resistance of the braking resistor in ohm"),
    "resistor.power_mean": (("power_mean",), "mean power of the braking resistor in W"),
    "resistor.pulse_energy": (("pulse_energy",), "pulse energy of the braking resistor in J"),
}


def lacking(trial: Trial, needs: tuple[str, ...], k: int) -> tuple[str, ...]:
    """Words for those of the needed data that the parts of combination ``k`` do not state.

    Parameters
    ----------
    needs : names of :data:`WORDS` or :data:`TOLD`
    """
    found = (TOLD[name](trial, k) if name in TOLD else _plain(trial, name, k) for name in needs)
    return tuple(dict.fromkeys(words for words in found if words))


def part_of(trial: Trial, kind: str, k: int) -> Any:
    """The part of a kind in combination ``k``, or None."""
    index = int(getattr(trial.choice, kind)[k])
    return getattr(trial.line, f"{kind}s")[index] if index >= 0 else None


def _plain(trial: Trial, name: str, k: int) -> str:
    kind = name.partition(".")[0]
    names, words = WORDS[name]
    part = part_of(trial, kind, k)
    if part is None:
        return "a drive that goes with the motor" if kind == "drive" else ""
    return "" if any(getattr(part, n) not in (None, "", ()) for n in names) else words


def _nothing(trial: Trial, k: int) -> str:
    return ""


def _rotor(trial: Trial, k: int) -> str:
    motor, brake = part_of(trial, "motor", k), part_of(trial, "brake", k)
    if brake is None:
        return "" if motor.inertia is not None else "rotor inertia of the motor in kg·cm²"
    if motor.inertia_with_brake is not None:
        return ""
    if motor.inertia is None:
        return "rotor inertia of the motor with its brake in kg·cm²"
    return "" if brake.inertia is not None else "inertia of the brake in kg·cm²"


def _shaft_exit(trial: Trial, k: int) -> str:
    """A gearhead closes the exit of the motor shaft."""
    geared = part_of(trial, "gearhead", k) is not None
    return "" if geared else _plain(trial, "motor.protection_shaft", k)


def _mesh(trial: Trial, k: int) -> str:
    """The rated torque is needed to take the no-load torque out of the rated efficiency."""
    gearhead = part_of(trial, "gearhead", k)
    free = gearhead is None or gearhead.no_load_torque == 0
    return "" if free else _plain(trial, "gearhead.torque_rated", k)


def _saturation(trial: Trial, k: int) -> str:
    motor = part_of(trial, "motor", k)
    stated = motor.saturation_peak is not None
    if stated or (motor.torque_peak is not None and motor.current_peak is not None):
        return ""
    return "saturation of the motor at peak, or peak torque in N·m and current in A rms"


def _peak_boundary(share: Callable[[Trial], float]) -> Told:
    def told(trial: Trial, k: int) -> str:
        site, motor = trial.site, int(trial.choice.motor[k])
        return peak_gap(trial.line, motor, site.mains * share(trial), site.phases)

    return told


def _continuous_boundary(trial: Trial, k: int) -> str:
    site = trial.site
    braked = bool(trial.choice.brake[k] >= 0)
    place = Place(site.ambient, site.altitude, site.plate, site.enclosed, braked)
    motor = int(trial.choice.motor[k])
    return continuous_gap(trial.line, motor, site.mains, site.phases, place)


def _beyond(name: str, asked: Callable[[Trial, Any], bool], words: str) -> Told:
    """A datum of the drive that is needed only where the site asks for it."""

    def told(trial: Trial, k: int) -> str:
        drive = part_of(trial, "drive", k)
        missing = drive is not None and getattr(drive, name) is None and asked(trial, drive)
        return words if missing else ""

    return told


def _hotter(trial: Trial, drive: Any) -> bool:
    limit = AMBIENT_USUAL if drive.ambient_max is None else drive.ambient_max
    return bool(trial.site.ambient > limit)


def _higher(trial: Trial, drive: Any) -> bool:
    limit = ALTITUDE_USUAL if drive.altitude_max is None else drive.altitude_max
    return bool(trial.site.altitude > limit)


TOLD: dict[str, Told] = {
    "motor.inertia": _rotor,
    **dict.fromkeys(ASIDE, _nothing),
    "motor.protection_shaft": _shaft_exit,
    "motor.saturation": _saturation,
    "motor.peak_boundary": _peak_boundary(lambda _: 1.0),
    "motor.low_boundary": _peak_boundary(lambda trial: 1.0 + trial.site.mains_low),
    "motor.continuous_boundary": _continuous_boundary,
    "gearhead.mesh": _mesh,
    "drive.ambient_max": _beyond("ambient_max", _hotter, "permitted ambient of the drive in °C"),
    "drive.derate_per_kelvin": _beyond(
        "derate_per_kelvin", _hotter, "derating of the drive over ambient in % per K"
    ),
    "drive.altitude_max": _beyond("altitude_max", _higher, "permitted altitude of the drive in m"),
    "drive.derate_per_metre": _beyond(
        "derate_per_metre", _higher, "derating of the drive over altitude in % per 100 m"
    ),
}
"""Data of which more must be known than whether one field is stated."""
