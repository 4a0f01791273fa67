"""The reference runs of a settling simulation, computed with the product's march in time."""

from __future__ import annotations

import tomllib
from pathlib import Path

import numpy as np

from dutyline.physics.two_mass import Loop, TwoMass, course, settled

GIVEN = tomllib.loads(Path(__file__).with_name("drives-examples.toml").read_text("utf-8"))
SETTLING = GIVEN["settling"]


def simulated(run: dict[str, float], steps: int) -> float:
    """Settling time of one run: a move in thirds, acceleration and deceleration constant."""
    own = SETTLING
    motor, load = own["inertia_motor_kgm2"], own["inertia_load_kgm2"]
    bandwidth, sample = run["velocity_gain_rad_s"], own["sample_s"]
    plant = TwoMass(
        motor, load, own["stiffness_nm_per_rad"], own["damping_ratio"],
        gap=run["backlash_rad"], friction=own["coulomb_load_nm"],
        friction_width=own["friction_width_rad_s"])  # fmt: skip
    loop = Loop(
        bandwidth * (motor + load), own["integral_time_factor"] / bandwidth,
        bandwidth / own["velocity_to_position_ratio"], sample, own["current_lag_s"],
        torque_limit=run["torque_limit_nm"])  # fmt: skip
    travel, move = own["travel_rad"], own["move_s"]
    time = np.arange(round((move + own["tail_s"]) / sample) + 1) * sample
    third, accel = move / 3, 4.5 * travel / move**2
    change = np.where(time < third, accel, np.where(time < 2 * third, 0.0, -accel))
    change[time >= move] = 0.0
    ramps = np.minimum(time, third) - np.clip(time - 2 * third, 0.0, third)
    speed = accel * np.clip(ramps, 0.0, None)
    risen, cruised = np.minimum(time, third), np.clip(time - third, 0.0, third)
    fallen = np.clip(time - 2 * third, 0.0, third)
    place = accel * (risen**2 / 2 + third * cruised + third * fallen - fallen**2 / 2)
    found = course(plant, loop, place, speed, change, steps=steps)
    return settled(found.time, place - found.load, own["tolerance_rad"], move)
