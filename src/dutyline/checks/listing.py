"""The explicit list of checks: texts and reserves from ``data/checks.toml``, and what runs."""

from __future__ import annotations

from collections.abc import Callable

from dutyline.checks import (
    brake,
    braking_energy,
    drive,
    gearhead,
    motor,
    ramp_stops,
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
    ("encoder-resolution", "axis"): supply.encoder_step,
    ("ambient-altitude", "axis"): supply.surroundings,
    ("stop-distance", "axis"): ramp_stops.distance,
    ("brake-drop", "brake"): brake.drop,
    ("gear-torque-limit-set", "gearhead"): gearhead.torque_limit_set,
    ("speed-on-low-mains", "motor"): motor.speed_on_low_mains,
    ("inertia-ratio", "axis"): motor.inertia_ratio,
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
