"""Checks of the winding's temperature by the network of winding and housing."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.tables import tables
from dutyline.checks.lacking import CURRENT, NETWORK
from dutyline.checks.records import Outcome
from dutyline.checks.sides import MotorSide, gather
from dutyline.checks.trial import Trial
from dutyline.demand.motor import strips
from dutyline.physics.continuous_duty import copper_loss
from dutyline.physics.continuous_torque import IRON_EXPONENT
from dutyline.physics.thermal import Network, ThermalCycle, feedback_gain, periodic_state

Array = NDArray[np.float64]

SHORT = 0.1
"""Cycle over time constant of the winding below which the mean losses decide alone."""


def _network(side: MotorSide, ambient: float, rows: NDArray[np.intp]) -> Network:
    motors, chosen = tables(side.line).motors, side.choice.motor[rows]
    names = ("cth_winding", "cth_housing", "rth_winding_housing", "rth_housing_ambient")
    winding, housing, inner, outer = (gather(motors, name, chosen) for name in names)
    return Network(winding, housing, inner, outer, ambient)


def _ambient(trial: Trial) -> float:
    """[degC]; colder places are not credited."""
    return max(trial.site.ambient, 40.0)


def _known(side: MotorSide) -> NDArray[np.intp]:
    motors = tables(side.line).motors
    names = ("cth_winding", "rth_winding_housing", "rth_housing_ambient", "resistance")
    known = np.isfinite(side.shafts.vector).all(axis=1)
    for name in names:
        known &= np.isfinite(gather(motors, name, side.choice.motor))
    return np.nonzero(known)[0]


def state(trial: Trial) -> tuple[ThermalCycle, NDArray[np.intp]]:
    """Settled temperature rises of the motor sides whose data are known, and which these are.

    Worked out once per trial.
    """
    if "winding" not in trial.kept:
        trial.kept["winding"] = _state(trial)
    found: tuple[ThermalCycle, NDArray[np.intp]] = trial.kept["winding"]
    return found


def _state(trial: Trial) -> tuple[ThermalCycle, NDArray[np.intp]]:
    side = trial.motor_side
    rows = _known(side)
    motors, chosen = tables(side.line).motors, side.choice.motor[rows]
    windings, shafts = side.windings.take(rows), side.shafts.take(rows)
    cut = strips(trial.out, shafts, windings.linear_torque[:, None])
    length = np.where(cut.duration > 0, cut.duration, 1.0)
    square = cut.integral(windings.current(cut.torque) ** 2) / length
    copper = square * copper_loss(1.0, gather(motors, "resistance", chosen))[:, None]
    rated = gather(motors, "speed_rated", chosen)[:, None, None]
    exponent = gather(motors, "iron_exponent", chosen)
    exponent = np.where(np.isnan(exponent), IRON_EXPONENT, exponent)[:, None, None]
    iron = gather(motors, "iron_loss_rated", chosen)
    iron_mean = cut.integral((np.abs(cut.speed) / rated) ** exponent) / length * iron[:, None]
    network = _network(side, _ambient(trial), rows)
    return periodic_state(copper, iron_mean, cut.duration, network), rows


def temperature(trial: Trial) -> Outcome:
    """Largest rise of the winding in the settled cycle against its limit."""
    side = trial.motor_side
    long = trial.out.cycle_time > SHORT * trial.winding_time
    if trial.screening and not long.any():
        nothing = np.full(trial.size, np.nan)
        return Outcome(nothing, nothing, applies=False)
    rise = np.full(side.choice.size, np.nan)
    cycle, rows = state(trial)
    rise[rows] = cycle.winding_max
    return Outcome(
        demand=trial.at_motor(rise),
        limit=trial.motor("winding_limit") - _ambient(trial),
        needs=(
            "motor.winding_limit",
            *NETWORK,
            "motor.speed_rated",
            "motor.iron_loss_rated",
            *CURRENT,
        ),
        severity=np.where(long, "must", "note"),
    )


def runaway(trial: Trial) -> Outcome:
    """How far the copper's own warming feeds back, against 1 where no steady state exists."""
    limit = np.ones(trial.size)
    if trial.screening:
        low, high = (_feedback(trial, c) for c in trial.motor_side.current_bounds)
        demand = trial.decided("thermal-runaway", low, high, limit, _exact_feedback)
    else:
        demand = _exact_feedback(trial)
    return Outcome(demand=demand, limit=limit, needs=(*NETWORK, *CURRENT))


def _exact_feedback(trial: Trial) -> Array:
    return _feedback(trial, trial.motor_side.rms_current)


def _feedback(trial: Trial, current: Array) -> Array:
    """Gain of the feedback at an rms current of each motor side, one element per combination."""
    side = trial.motor_side
    rows = _known(side)
    resistance = gather(tables(side.line).motors, "resistance", side.choice.motor)
    gain = np.full(side.choice.size, np.nan)
    loss = copper_loss(current[rows], resistance[rows])
    gain[rows] = feedback_gain(loss, _network(side, _ambient(trial), rows))
    return trial.at_motor(gain)
