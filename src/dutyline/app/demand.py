"""What the axis asks of the shaft to which a gearhead or motor is fitted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from dutyline.axis.model import Axis
from dutyline.core import series
from dutyline.core.arguments import expect
from dutyline.demand.output import OutputDemand, output_demand
from dutyline.demand.points import FREE, MOVING
from dutyline.demand.stop_ramps import stop_axes
from dutyline.physics.supply import mains_current

_HELD_BY = {"brake": "brake", "off": "nothing"}


@dataclass(frozen=True, slots=True)
class PhaseDemand:
    """One phase: motion of the load, demand at the output shaft."""

    name: str
    do: str
    start: float
    """[s]"""
    duration: float
    """[s]"""
    distance: float
    """Signed travel of the load [m or rad]."""
    load_top_speed: float
    """[m/s or rad/s]"""
    load_top_acceleration: float
    """[m/s^2 or rad/s^2]"""
    mass: float
    """Moving mass on board [kg], 0 where it is not known."""
    carry: tuple[str, ...]
    top_speed: float
    """Largest magnitude at the output shaft [rad/s or m/s]."""
    peak_torque: float
    """Largest magnitude at the output shaft [N*m or N]."""
    rms_torque: float
    """[N*m or N]"""
    held_by: str
    """``moving``, ``motor``, ``brake`` or ``nothing``"""


def demand(axis: Axis) -> OutputDemand:
    """Demand of an axis at its output shaft; no rotor, brake or gearhead is in it.

    Parameters
    ----------
    axis : Axis
        As :func:`dutyline.read_axis` returns it.

    Returns
    -------
    OutputDemand
        Peak, rms and mean figures in SI, and the pieces they come from.
    """
    expect(axis, Axis, "axis", 'Read one first: read_axis("lift.toml").')
    with axis.reader.served():
        return output_demand(axis)


def linear_shaft(axis: Axis) -> bool:
    """True where the output shaft is the slide of a linear motor."""
    return axis.train.linear_motor


def effort_unit(demand: OutputDemand) -> str:
    """``N*m``, or ``N`` where the output shaft is a linear motor's."""
    return "N" if linear_shaft(demand.axis) else "N*m"


def speed_unit(demand: OutputDemand) -> str:
    """``rad/s``, or ``m/s`` where the output shaft is a linear motor's."""
    return "m/s" if effort_unit(demand) == "N" else "rad/s"


def peak_power(demand: OutputDemand) -> tuple[float, float]:
    """Largest power put in and largest power returned at the output shaft, both >= 0 [W].

    Speed and torque are polynomials of ``n - 1`` degrees inside a piece, so their product is
    known exactly at ``2 n`` points; its extremes lie at the ends of pieces or where it turns.
    """
    z, _ = series.gauss(2 * demand.torque.shape[1])
    speed, torque = (series.at(series.coefficients(v), z) for v in (demand.speed, demand.torque))
    power = series.coefficients(speed * torque)
    row, place = series.roots(series.slope(power))
    turning = series.at(power[row], place[:, None])[:, 0]
    every = np.concatenate([demand.ends.speed * demand.ends.torque, turning])
    return float(every.max(initial=0.0)), float((-every).max(initial=0.0))


def supply_currents(demand: OutputDemand) -> tuple[tuple[float, float], ...]:
    """Voltages of a dc supply and what the peak power draws from each of them [(V, A)].

    The stated voltage, and the lowest where it is another. Losses of motor, gearhead and drive
    are not in it. Empty where the mains are not dc.
    """
    site = demand.axis.site
    if site is None or site.phases != "dc":
        return ()
    voltages = dict.fromkeys((site.mains, site.mains * (1.0 + site.mains_low)))
    power, _ = peak_power(demand)
    return tuple((v, float(mains_current(power, v, 1, 1.0))) for v in voltages)


@dataclass(frozen=True, slots=True)
class StopDemand:
    """One emergency ramp from one of its worst states."""

    name: str
    """Stop, phase and instant it starts from."""
    speed: float
    """Of the load at the command [m/s or rad/s]."""
    distance: float
    """Signed, reaction included [m or rad]."""
    time: float
    """[s] reaction included"""
    peak_torque: float
    """Largest magnitude at the output shaft [N*m or N]."""
    returned: float
    """[J] that the output shaft gives back"""


def stop_table(demand: OutputDemand) -> tuple[StopDemand, ...]:
    """Every emergency ramp that the drive keeps, from the states that ask most of it."""
    rows = []
    for axis in stop_axes(demand.axis, demand):
        out, phase = output_demand(axis), axis.cycle.phases[0]
        rows.append(
            StopDemand(axis.case, phase.top_speed, phase.distance, phase.duration,
                       out.peak_torque, out.energy_regenerated)
        )  # fmt: skip
    return tuple(rows)


@dataclass(frozen=True, slots=True)
class CaseDemand:
    """What one case of an axis asks of the output shaft."""

    name: str
    peak_speed: float
    """[rad/s or m/s]"""
    peak_torque: float
    """[N*m or N]"""
    rms_torque: float
    """[N*m or N]"""
    inertia_max: float
    """[kg*m^2 or kg]"""


def case_table(demand: OutputDemand, most: int | None = None) -> tuple[CaseDemand, ...]:
    """The demand itself and that of every case beside it; empty where there is none beside it.

    Parameters
    ----------
    demand : OutputDemand
        Of one case, with the others in its axis.
    most : int, optional
        Cases told beside it; all where left out.
    """
    others = demand.of_cases[:most]
    if not others:
        return ()
    return tuple(
        CaseDemand(d.axis.case, d.peak_speed, d.peak_torque, d.rms_torque, d.inertia_max)
        for d in (demand, *others)
    )


@dataclass(frozen=True, slots=True)
class Worst:
    """The case in which a figure is largest."""

    figure: str
    """``peak_speed``, ``peak_torque``, ``rms_torque`` or ``energy_regenerated``"""
    value: float
    """[rad/s or m/s, N*m or N, J]"""
    case: str


FIGURES = ("peak_speed", "peak_torque", "rms_torque", "energy_regenerated")
"""What is looked at in every case."""


def worst_cases(demand: OutputDemand) -> tuple[Worst, ...]:
    """Every figure in the case where it is largest; nothing where there is one case only."""
    if not demand.axis.cases:
        return ()
    every = [demand, *demand.of_cases]
    found = []
    for figure in FIGURES:
        most = max(every, key=lambda out: abs(getattr(out, figure)))
        found.append(Worst(figure, float(getattr(most, figure)), most.axis.case))
    return tuple(found)


def phase_table(demand: OutputDemand) -> tuple[PhaseDemand, ...]:
    """Every phase of the cycle with its demand, in order of time."""
    return tuple(_row(demand, index) for index in range(len(demand.axis.cycle.phases)))


def _row(demand: OutputDemand, index: int) -> PhaseDemand:
    phase = demand.axis.cycle.phases[index]
    inside = demand.phase == index
    at_ends = inside[demand.ends.piece]
    squares = float((demand.weight[inside] * demand.torque[inside] ** 2).sum())
    base = demand.axis.train.chain.load.total(phase.carry)
    held = demand.hold[inside]
    moving = bool((held == MOVING).any())
    loose = bool(held.size and (held == FREE).all())
    return PhaseDemand(
        name=phase.name,
        do=phase.do,
        start=phase.start,
        duration=phase.duration,
        distance=phase.distance,
        load_top_speed=phase.top_speed,
        load_top_acceleration=phase.top_acceleration,
        mass=base.mass,
        carry=phase.carry,
        top_speed=float(np.abs(demand.ends.speed[at_ends]).max(initial=0.0)),
        peak_torque=_peak(demand, inside),
        rms_torque=float(np.sqrt(squares / phase.duration)) if phase.duration else 0.0,
        held_by="moving" if moving else _HELD_BY.get(phase.hold, "motor") if loose else "motor",
    )


def _peak(demand: OutputDemand, inside: np.typing.NDArray[np.bool_]) -> float:
    """Largest magnitude over the ends and the turning points inside some pieces."""
    ends = np.abs(demand.ends.torque[inside[demand.ends.piece]]).max(initial=0.0)
    coefficients = series.coefficients(demand.torque[inside])
    row, place = series.roots(series.slope(coefficients))
    turning = np.abs(series.at(coefficients[row], place[:, None])[:, 0]).max(initial=0.0)
    return float(max(ends, turning))
