"""Checks for which the end that an estimate uses is not the safe one.

Such a check is judged without the estimate: a braking resistor gets less from a lossy gearhead, so
an efficiency taken low proves nothing there, and a heavy rotor spares the gearhead in a stop.
"""

from __future__ import annotations

RETURN = ("regen-capacitor", "resistor-mean", "resistor-peak", "resistor-pulse", "bus-stop")
"""More is lost on the way, less returns."""
STOPS = (
    "brake-gear-load", "gear-emergency", "brake-drop", "brake-speed", "brake-stop-distance",
    "shaft-stop-load", "belt-force", "belt-teeth", "pinion-force", "coupling-torque", "hub-slip",
    "key-pressure", "motor-shaft-load", "gear-radial", "gear-axial", "gear-tilting",
    "stop-distance", "belt-slack", "screw-buckling", "screw-static", "guide-static",
)  # fmt: skip
"""A heavier rotor takes more of a stop on itself, and falls more slowly."""
CONTROL = ("inertia-ratio", "settling", "first-resonance", "accuracy")
"""A heavier rotor looks better beside the load."""
PUSHED = ("gear-torque-limit-set", "gear-emergency", "brake-gear-load")
"""A weaker motor does less harm to the gearhead."""
WEAK = (
    *PUSHED, "shaft-stop-load", "belt-force", "belt-teeth", "belt-slack", "pinion-force",
    "coupling-torque", "hub-slip", "key-pressure", "screw-buckling", "screw-static",
    "guide-static", "bus-stop",
)  # fmt: skip
"""A motor that brakes less pulls less on the mechanism and draws less from the bus."""
CABINET = ("cabinet-heat", "mains-current", "protective-device", "conductor", "voltage-drop",
           "yearly-energy", "bus-supply-peak", "bus-stop")  # fmt: skip
"""A drive that loses less heats less and draws less."""
SHORTED = ("short-circuit-stop", "stop-distance")
"""Shorted, a cooler winding and one of other constants brake otherwise."""

FAVOURED: dict[tuple[str, str], tuple[str, ...]] = {
    ("motor", "speed_rated"): RETURN,
    ("motor", "torque_constant"): (*RETURN, *WEAK),
    ("motor", "voltage_constant"): SHORTED,
    ("motor", "saturation_peak"): (*RETURN, *WEAK),
    ("motor", "current_peak"): (*RETURN, *WEAK),
    ("motor", "torque_peak"): (*RETURN, *WEAK),
    ("motor", "resistance"): (*RETURN, *SHORTED),
    ("motor", "inductance"): SHORTED,
    ("motor", "iron_loss_rated"): RETURN,
    ("motor", "winding_limit"): (*SHORTED, "bus-stop"),
    ("motor", "inertia"): (*STOPS, *CONTROL),
    ("gearhead", "no_load_torque"): (*RETURN, *PUSHED),
    ("gearhead", "efficiency"): (*RETURN, *PUSHED),
    ("gearhead", "inertia_in"): (*STOPS, *CONTROL),
    ("gearhead", "stiffness"): PUSHED,
    ("brake", "inertia"): (*STOPS, *CONTROL),
    ("drive", "loss_fixed"): CABINET,
    ("drive", "loss_per_ampere"): CABINET,
}
"""By kind of part and field; an estimate without a range favours nobody."""
