"""The explicit list of checks: texts and reserves from ``data/checks.toml``, and what runs."""

from __future__ import annotations

from collections.abc import Callable

from dutyline.checks import (
    accuracy,
    belt,
    brake,
    braking_energy,
    cabinet,
    command,
    drive,
    emergency,
    enclosure,
    gearhead,
    grip,
    guide,
    joints,
    mains,
    motor,
    power_stops,
    ramp_stops,
    resonance,
    room,
    screw,
    slow,
    stopping,
    supply,
    winding,
)
from dutyline.checks.records import Check, Outcome
from dutyline.checks.reserves import ROWS
from dutyline.checks.trial import Trial

RUNS: dict[tuple[str, str], Callable[[Trial], Outcome]] = {
    ("supply-match", "supply"): supply.match,
    ("fit", "gearhead"): supply.fit,
    ("top-speed", "motor"): motor.top_speed,
    ("gear-max-speed", "gearhead"): gearhead.max_speed,
    ("gear-mean-speed", "gearhead"): gearhead.mean_speed,
    ("gear-peak", "gearhead"): gearhead.peak,
    ("gear-equivalent", "gearhead"): gearhead.equivalent,
    ("gear-life", "gearhead"): gearhead.rated_life,
    ("brake-hold", "brake"): brake.hold,
    ("gravity-without-brake", "brake"): brake.fitted,
    ("standstill-torque", "motor"): motor.standstill_torque,
    ("peak-torque", "motor"): motor.peak_torque,
    ("drive-peak-current", "drive"): drive.peak_current,
    ("drive-continuous-current", "drive"): drive.continuous_current,
    ("continuous-use", "motor"): motor.continuous_use,
    ("thermal-runaway", "motor"): winding.runaway,
    ("winding-temperature", "motor"): winding.temperature,
    ("overload-accumulated", "motor"): motor.overload_accumulated,
    ("overload-single", "motor"): motor.overload_single,
    ("overload-accumulated", "drive"): drive.overload_accumulated,
    ("overload-single", "drive"): drive.overload_single,
    ("regen-capacitor", "drive"): braking_energy.capacitor,
    ("resistor-minimum", "resistor"): braking_energy.lowest_resistance,
    ("resistor-mean", "resistor"): braking_energy.mean_power,
    ("resistor-peak", "resistor"): braking_energy.peak_power,
    ("resistor-pulse", "resistor"): braking_energy.pulse,
    ("brake-stop-energy", "brake"): stopping.work,
    ("brake-life", "brake"): stopping.wear,
    ("brake-gear-load", "gearhead"): emergency.gear_by_brake,
    ("gear-emergency", "gearhead"): emergency.gear,
    ("brake-stop-distance", "brake"): stopping.distance,
    ("stop-distance", "drive"): power_stops.by_drive,
    ("mains-current", "supply"): mains.current,
    ("protective-device", "supply"): mains.device,
    ("conductor", "supply"): mains.conductor,
    ("conductor", "drive"): mains.motor_cable,
    ("screw-critical-speed", "axis"): screw.critical_speed,
    ("screw-speed-value", "axis"): screw.speed_value,
    ("screw-buckling", "axis"): screw.buckling,
    ("screw-static", "axis"): screw.static,
    ("screw-life", "axis"): screw.life,
    ("guide-static", "axis"): guide.static,
    ("guide-life", "axis"): guide.life,
    ("belt-force", "axis"): belt.force,
    ("belt-teeth", "axis"): belt.teeth,
    ("belt-slack", "axis"): belt.slack,
    ("pinion-force", "axis"): belt.pinion,
    ("coupling-torque", "axis"): joints.torque,
    ("hub-slip", "axis"): joints.hub,
    ("traction", "axis"): grip.traction,
    ("backlash-lost-motion", "axis"): accuracy.lost_motion,
    ("backlash-lost-motion", "gearhead"): accuracy.gearhead,
    ("friction-windup", "axis"): accuracy.windup,
    ("accuracy", "axis"): accuracy.budget,
    ("fit", "motor"): room.envelope,
    ("encoder-resolution", "motor"): command.bits,
    ("command-frequency", "axis"): command.pulses,
    ("encoder-resolution", "axis"): supply.encoder_step,
    ("ambient-altitude", "axis"): supply.surroundings,
    ("stop-distance", "axis"): ramp_stops.distance,
    ("brake-drop", "brake"): brake.drop,
    ("gear-torque-limit-set", "gearhead"): gearhead.torque_limit_set,
    ("speed-on-low-mains", "motor"): motor.speed_on_low_mains,
    ("inertia-ratio", "axis"): motor.inertia_ratio,
    ("brake-speed", "brake"): stopping.speed,
    ("short-circuit-stop", "motor"): power_stops.by_short_circuit,
    ("bus-stop", "supply"): power_stops.on_bus_energy,
    ("voltage-drop", "supply"): mains.drop,
    ("cabinet-heat", "drive"): cabinet.heat,
    ("yearly-energy", "supply"): mains.energy,
    ("first-resonance", "axis"): resonance.first,
    ("mass-limit", "motor"): room.mass,
    ("protection-class", "motor"): enclosure.protection,
    ("drive-low-frequency", "drive"): slow.low_frequency,
    ("absolute-range", "axis"): command.absolute,
    ("gear-ratio-registers", "axis"): command.registers,
    ("gravity-safety-caution", "axis"): brake.gravity_caution,
    ("continuous-use-plain", "motor"): motor.continuous_use_plain,
}
LAST = ("assumed-inputs", "axis")
"""Judged from the finished ledger, by no function of its own."""


def _nothing(trial: Trial) -> Outcome:
    raise AssertionError("assumed-inputs is judged from the ledger")


def _listed() -> tuple[Check, ...]:
    found = []
    for row in ROWS:
        key = (row["id"], row["part"])
        run = _nothing if key == LAST else RUNS[key]
        found.append(Check(**{**row, "uses": tuple(row["uses"])}, run=run))
    return tuple(found)


ALL: tuple[Check, ...] = _listed()
CHECKS: tuple[Check, ...] = tuple(c for c in ALL if (c.id, c.part) != LAST)
"""In the order in which a search tries them: cheap and decisive first."""
ASSUMED: Check = next(c for c in ALL if (c.id, c.part) == LAST)
CHECK_IDS: tuple[str, ...] = tuple(dict.fromkeys(c.id for c in ALL))
