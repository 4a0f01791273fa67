"""Plates for tests: the texts of plate files, and the plate of a motor of a line."""

from __future__ import annotations

from dutyline.catalogue.parts import Brake, Motor, ProductLine
from dutyline.replacement.read import read_plate
from dutyline.replacement.records import Equivalent, Plate

HEAD = 'schema = 1\n[plate]\ntitle = "old"\n'

PRINT_16 = """\
schema = 1

[plate]
title = "Folding unit"

[motor]
stall_torque = "2.9 Nm"
stall_current = "4.2 A"
speed = "3000 /min"
voltage_constant = "42 V/krpm"
feedback = "resolver"
inertia = "2.8 kg*cm^2"

[brake]
voltage = "24 V"

[gearhead]
ratio = "7"
emergency_torque = "70 Nm"
efficiency = { value = 0.95, status = "assumed" }

[keep]
bus = "325 V"
load_inertia = "14 kg*cm^2"

[[offer]]
name = "offer"
torque = "3.2 Nm"
peak_torque = "11.4 Nm"
speed = "3000 /min"
inertia = "0.9 kg*cm^2"
voltage_constant = "70 V/krpm"
voltage_constant_form = "line rms"
"""
"""The enquiry about an obsolete motor, as a plate file."""


def plate_of(text: str) -> Plate:
    """A plate of the sections below the head."""
    return read_plate("plate.toml", text=HEAD + text)


def entries_of(motor: Motor, brake: Brake) -> dict[str, dict[str, str]]:
    """Everything that a line says of a motor and its brake, as entries of a plate file."""
    return {
        "motor": {
            "power": f'"{motor.power_rated!r} W"',
            "torque": f'"{motor.torque_rated!r} N*m"',
            "stall_torque": f'"{motor.torque_stall!r} N*m"',
            "peak_torque": f'"{motor.torque_peak!r} N*m"',
            "speed": f'"{motor.speed_rated!r} rad/s"',
            "top_speed": f'"{motor.speed_max!r} rad/s"',
            "current": f'"{motor.current_rated!r} A"',
            "stall_current": f'"{motor.current_stall!r} A"',
            "peak_current": f'"{motor.current_peak!r} A"',
            "current_form": '"rms"',
            "torque_constant": f'"{motor.torque_constant!r} N*m/A"',
            "torque_constant_form": '"rms"',
            "voltage_constant": f'"{motor.voltage_constant!r} V*s/rad"',
            "voltage_constant_form": '"line rms"',
            "pole_pairs": str(motor.pole_pairs),
            "inertia": f'"{motor.inertia!r} kg*m^2"',
            "mass": f'"{motor.mass_with_brake!r} kg"',
            "flange": f'"{motor.flange!r} m"',
            "pilot": f'"{motor.pilot!r} m"',
            "bolt_circle": f'"{motor.bolt_circle!r} m"',
            "shaft": f'"{motor.shaft!r} m"',
            "protection": f'"{motor.protection}"',
            "insulation": f'"{motor.insulation_class}"',
            "mains": f'"{motor.mains_max!r} V"',
            "phases": "1" if motor.supply_class == "L" else "3",
            "feedback": '"absolute multi-turn"',
            "bits": str(motor.encoder_bits),
            "turn_bits": str(motor.encoder_turn_bits),
        },
        "brake": {
            "fitted": "true",
            "torque": f'"{brake.torque_static!r} N*m"',
            "voltage": f'"{brake.coil_voltage!r} V"',
            "release_time": f'"{brake.release_time!r} s"',
            "engage_time": f'"{brake.engage_time!r} s"',
            "inertia": f'"{brake.inertia!r} kg*m^2"',
        },
    }


def text_of(entries: dict[str, dict[str, str]]) -> str:
    """Entries as sections."""
    return "\n".join(
        "\n".join([f"[{name}]", *(f"{key} = {value}" for key, value in rows.items())]) + "\n"
        for name, rows in entries.items()
    )


def own_entries(line: ProductLine, motor: Motor) -> dict[str, dict[str, str]]:
    """The entries of a motor of a line with the brake that it names."""
    return entries_of(motor, line.brakes[line.brake_index[motor.brake]])


def states(one: Equivalent) -> dict[str, str]:
    """State of every property."""
    return {row.key: row.state for row in one.rows}
