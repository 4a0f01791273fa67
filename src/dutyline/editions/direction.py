"""Which way a figure is the safer one, where that is certain of the figure itself.

Listed are limits (a larger one allows more), and below them figures that only cost (a larger one
allows less). What such a figure does besides is not in it: more peak torque or peak current of
motor and drive can load a gearhead harder in an emergency, a stronger brake as well, a larger rated
torque shifts the losses of a gearhead by tenths of a percent, a wider winding limit warms what
stops on its own resistance. Only the kept verdicts tell that, judged anew. Rotor inertia, gear
ratio, torque constant, resistance, losses (which help while braking) and the like go both ways:
they stand in neither list.
"""

from __future__ import annotations

from dutyline.editions.records import Effect

_ALLOWS = {
    "motors": (
        "torque_rated", "torque_stall", "torque_peak", "speed_max",
        "winding_limit", "ambient_max", "altitude_max", "radial_load", "axial_load",
        "oil_seal_factor", "brake_factor", "encoder_bits", "encoder_turn_bits",
    ),
    "gearheads": (
        "torque_rated", "torque_acceleration", "torque_emergency", "emergency_count",
        "speed_in_mean", "speed_in_max", "radial", "axial", "tilting", "life",
        "speed_rated_out", "shaft_in_max",
    ),
    "drives": (
        "current_rated", "current_peak", "peak_time", "overvoltage_trip", "mains_tolerance",
        "internal_resistor_power", "internal_resistor_pulse", "ambient_max", "altitude_max",
    ),
    "brakes": ("torque_static", "work_per_stop", "work_total", "speed_max"),
    "resistors": ("power_mean", "power_peak", "pulse_energy", "voltage_max"),
    "pairings": ("torque_rated_out", "torque_peak_out", "speed_max_out"),
}  # fmt: skip
_DEMANDS = {
    "motors": ("mass", "mass_with_brake"),
    "gearheads": ("backlash", "mass", "thermal_resistance"),
    "drives": ("undervoltage_trip", "resistor_min", "input_current_rated",
               "inrush_peak", "derate_per_kelvin", "derate_per_metre"),
    "brakes": ("release_time", "engage_time", "backlash"),
    "resistors": (),
    "pairings": (),
}  # fmt: skip


def effect_of(kind: str, field: str, grows: bool) -> Effect:
    """What a growing or shrinking value does to the limits it stands for.

    >>> effect_of("gearheads", "torque_rated", False), effect_of("motors", "inertia", True)
    ('less', '')
    """
    if field in _ALLOWS.get(kind, ()):
        return "more" if grows else "less"
    if field in _DEMANDS.get(kind, ()):
        return "less" if grows else "more"
    return ""
