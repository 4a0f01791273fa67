"""Checks of the winding's temperature by the network of winding and housing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.tables import tables
from dutyline.checks.lacking import CURRENT, NETWORK
from dutyline.checks.records import Outcome, no_line
from dutyline.checks.sides import MotorSide, gather
from dutyline.checks.trial import Trial
from dutyline.core.numbers import group, lasting, quantity
from dutyline.demand.motor import strips
from dutyline.physics.continuous_duty import copper_loss
from dutyline.physics.continuous_torque import IRON_EXPONENT
from dutyline.physics.thermal import ThermalCycle, feedback_gain, periodic_state
from dutyline.physics.two_nodes import Network
from dutyline.physics.warm_up import WarmUp, cooling_time, rested, warm_up

Array = NDArray[np.float64]

AGEING = 5.0
"""[K] below the limit from which a mean temperature is said to age the insulation (common
practice; halving per 10 K after IEC 60085)."""
RESTART = 60.0
"""[s] that a drive takes to be switched off and on again."""

WINDING_LEAST = 20.0
"""[s] that no winding takes less than (common practice): a cycle as long as that has to be judged
where the time constant is not stated."""
SHORT = 0.1
"""Cycle over time constant of the winding below which the mean losses decide alone."""


def _network(side: MotorSide, ambient: float, rows: NDArray[np.intp]) -> Network:
    motors, chosen = tables(side.line).motors, side.choice.motor[rows]
    names = ("cth_winding", "cth_housing", "rth_winding_housing", "rth_housing_ambient")
    winding, housing, inner, outer = (gather(motors, name, chosen) for name in names)
    return Network(winding, housing, inner, outer, ambient)


def ambient_of(trial: Trial) -> float:
    """[degC]; colder places are not credited."""
    return max(trial.site.ambient, 40.0)


def _known(side: MotorSide) -> NDArray[np.intp]:
    motors = tables(side.line).motors
    names = ("cth_winding", "rth_winding_housing", "rth_housing_ambient", "resistance")
    known = np.isfinite(side.shafts.vector).all(axis=1)
    for name in names:
        known &= np.isfinite(gather(motors, name, side.choice.motor))
    return np.nonzero(known)[0]


@dataclass(frozen=True, slots=True)
class Heating:
    """Losses of one cycle in the motor sides whose data are known, and what they come to."""

    rows: NDArray[np.intp]
    copper: Array
    """(c, s) [W] at 20 degC"""
    iron: Array
    """(c, s) [W]"""
    duration: Array
    """(c, s) [s]"""
    network: Network
    settled: ThermalCycle

    def one(self, row: int) -> Heating | None:
        """Of one motor side alone, without leading axes; None where data are missing."""
        place = np.nonzero(self.rows == row)[0]
        if place.size == 0:
            return None
        k, net = int(place[0]), self.network
        own = Network(
            float(np.asarray(net.winding_capacity)[k]),
            float(np.asarray(net.housing_capacity)[k]),
            float(np.asarray(net.winding_resistance)[k]),
            float(np.asarray(net.housing_resistance)[k]),
            net.ambient,
        )
        part = self.copper[k], self.iron[k], self.duration[k]
        return Heating(self.rows[[k]], *part, own, periodic_state(*part, own))


def heating(trial: Trial) -> Heating:
    """Losses and settled temperature rises of the motor sides; worked out once per trial."""
    if "winding" not in trial.kept:
        trial.kept["winding"] = _heating(trial)
    found: Heating = trial.kept["winding"]
    return found


def _heating(trial: Trial) -> Heating:
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
    network = _network(side, ambient_of(trial), rows)
    settled = periodic_state(copper, iron_mean, cut.duration, network)
    return Heating(rows, copper, iron_mean, cut.duration, network, settled)


@dataclass(frozen=True, slots=True)
class Warming:
    """From cold to the settled cycle and back, one element per motor side of :class:`Heating`."""

    up: WarmUp
    restart: Array
    """[K] rise of the winding :data:`RESTART` after the end of a settled cycle"""
    cold_after: Array
    """[s] at rest from there until the motor counts as cold"""


def warming(trial: Trial) -> Warming:
    """Worked out once per trial."""
    if "warming" not in trial.kept:
        found = heating(trial)
        end = found.settled.winding[:, -1], found.settled.housing[:, -1]
        limit = trial.motor("winding_limit") - ambient_of(trial)
        own = limit[trial.first_of_motor_side][found.rows]
        trial.kept["warming"] = Warming(
            warm_up(found.copper, found.iron, found.duration, found.network, own, found.settled),
            rested(*end, RESTART, found.network)[0],
            cooling_time(*end, found.network),
        )
    kept: Warming = trial.kept["warming"]
    return kept


def figures(trial: Trial) -> dict[str, Array]:
    """Temperatures of the settled cycle and of the way there, by name; SI, degC.

    Worked out once per trial.
    """
    if "winding figures" not in trial.kept:
        trial.kept["winding figures"] = _figures(trial)
    found: dict[str, Array] = trial.kept["winding figures"]
    return found


def _figures(trial: Trial) -> dict[str, Array]:
    found, way = heating(trial), warming(trial)
    base, cycle = ambient_of(trial), trial.out.cycle_time
    columns = {
        "max": base + found.settled.winding_max,
        "min": base + found.settled.winding_min,
        "mean": base + found.settled.winding_mean,
        "ripple": found.settled.ripple,
        "housing_max": base + found.settled.housing_max,
        "first_cycle_max": base + way.up.first,
        "cycles_to_warm": way.up.passes,
        "time_to_warm": way.up.passes * cycle,
        "cycles_from_cold": way.up.allowed,
        "restart": base + way.restart,
        "time_to_cold": way.cold_after,
    }
    return {name: _spread(trial, found.rows, column) for name, column in columns.items()}


def _spread(trial: Trial, rows: NDArray[np.intp], value: Array) -> Array:
    """A result of the known motor sides, one element per combination."""
    if rows.size == trial.motor_side.choice.size:
        return trial.at_motor(value)
    column = np.full(trial.motor_side.choice.size, np.nan)
    column[rows] = value
    return trial.at_motor(column)


def temperature(trial: Trial) -> Outcome:
    """Largest rise of the winding in the settled cycle against its limit."""
    known = trial.winding_time
    time = np.where(np.isnan(known), WINDING_LEAST, known)
    long = trial.out.cycle_time > SHORT * time
    if trial.screening and not long.any():
        return no_line(trial.size)
    found = heating(trial)
    return Outcome(
        demand=_spread(trial, found.rows, found.settled.winding_max),
        limit=trial.motor("winding_limit") - ambient_of(trial),
        needs=(
            "motor.winding_limit",
            *NETWORK,
            "motor.winding_time",
            "motor.speed_rated",
            "motor.iron_loss_rated",
            *CURRENT,
        ),
        severity=np.where(long, "must", "note"),
        text=None if trial.screening else _told(trial),
    )


def _told(trial: Trial) -> Callable[[int], str]:
    """How long it takes to get warm; where the settled cycle is too hot, what fits from cold."""

    def text(k: int) -> str:
        own = {name: float(column[k]) for name, column in figures(trial).items()}
        if np.isnan(own["cycles_from_cold"]):
            return ""
        said = [_from_cold(trial, own)]
        if own["mean"] > trial.motor("winding_limit")[k] - AGEING:
            said.append(
                f"the mean is within {quantity(AGEING, 'K')} of the limit, and insulation lives "
                "half as long for every 10 K"
            )
        return "; ".join(said)

    return text


def _from_cold(trial: Trial, own: dict[str, float]) -> str:
    runs = own["cycles_from_cold"]
    if np.isinf(runs):
        return f"warm after {lasting(own['time_to_warm'])}"
    if runs < 1:
        first = quantity(own["first_cycle_max"], "degC")
        return f"even one cycle from cold reaches {first}"
    count = "one cycle fits" if runs == 1 else f"{group(runs, 0)} cycles fit"
    long = lasting(runs * trial.out.cycle_time)
    rest = own["time_to_cold"]
    after = f", then {lasting(rest)} of rest until cold" if np.isfinite(rest) else ""
    return f"from cold {count}, {long}{after} (duty type S2)"


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
    gain[rows] = feedback_gain(loss, _network(side, ambient_of(trial), rows))
    return trial.at_motor(gain)
