"""Temperatures from cold and the bus over the cycle, as data for their plots."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.courses import BusCourse, HeatCourse
from dutyline.checks.records import Verdict
from dutyline.core.numbers import lasting, quantity
from dutyline.physics.thermal import single_pass
from dutyline.physics.two_nodes import Flow
from dutyline.report.figures.bus import bus as draw_bus
from dutyline.report.figures.data import BusData, WarmData
from dutyline.report.figures.warm import warm as draw_warm
from dutyline.report.tree import Figure, words

Array = NDArray[np.float64]

_WIDE = 84.0
_EACH = 40
"""Cycles up to which every one is drawn from cold; beyond, their lowest and highest."""
_POINTS = 80
_FINE = 24
"""Samples of a cycle at least, and of the time constant of the winding."""
_MOST = 2000
"""Samples of a cycle at most."""
_MELTING = 1085.0
"""[degC] of copper (ITS-90 gives 1084.62 degC), where a course from cold ends."""
_LEAST = 1e-3
"""Share of the energy drawn that must return for the bus to be drawn."""


def _finer(course: HeatCourse) -> tuple[Array, Array, Array]:
    """Losses and lengths of the strips, parted so that a straight line between two is good."""
    heat, net = course.heating, course.heating.network
    tau = float(np.asarray(net.winding_capacity)) * float(np.asarray(net.winding_resistance))
    most = max(min(tau / 8, course.cycle_time / _FINE), course.cycle_time / _MOST)
    parts = np.maximum(np.ceil(heat.duration / most), 1).astype(int)
    copper, iron, each = (np.repeat(v, parts) for v in (heat.copper, heat.iron, heat.duration))
    return copper, iron, each / np.repeat(parts, parts)


def warm_data(course: HeatCourse) -> WarmData | None:
    """The way from cold and one settled cycle; without a settled cycle the first hundred.

    It ends where copper melts; None where that is at once.
    """
    copper, iron, length = _finer(course)
    net, settled = course.heating.network, course.heating.settled
    flow = Flow.of(copper, iron, length, net)
    ever = bool(np.isfinite(settled.winding_max))
    cycles = 1.15 * course.time_to_warm / course.cycle_time if ever else 100.0
    count = max(int(np.ceil(cycles)), 2)

    def path(passed: float) -> Array:
        return flow.path(flow.before(np.asarray(float(passed))))

    within = np.concatenate([[0.0], np.cumsum(length)])
    if count <= _EACH:
        rows = [path(k) for k in range(count)]
        time = np.concatenate([k * course.cycle_time + within for k in range(count)])
        winding = np.concatenate([row[:, 0] for row in rows])
        low = high = winding
        housing = np.concatenate([row[:, 1] for row in rows])
    else:
        passed = np.unique(np.rint(count * np.linspace(0.0, 1.0, _POINTS) ** 2))
        rows = [path(k) for k in passed]
        time = np.concatenate([[0.0], (passed + 0.5) * course.cycle_time])
        low = np.array([0.0, *(row[:, 0].min() for row in rows)])
        high = np.array([0.0, *(row[:, 0].max() for row in rows)])
        with np.errstate(over="ignore"):
            housing = np.array([0.0, *(row[:, 1].mean() for row in rows)])
    base = course.ambient
    molten = np.flatnonzero(~(base + high < _MELTING))
    if molten.size:
        ever = False
        time, low, high, housing = (v[: molten[0]] for v in (time, low, high, housing))
    if time.size < 2:
        return None
    size, unit = next(
        ((s, u) for s, u in ((3600.0, "h"), (60.0, "min")) if time[-1] >= 2 * s), (1.0, "s")
    )
    start = (settled.winding[0], settled.housing[0])
    cycle = single_pass(copper, iron, length, net, start) if ever else None
    return WarmData(
        up_time=time / size,
        up_low=base + low,
        up_high=base + high,
        up_housing=base + housing,
        time=np.zeros(0) if cycle is None else within,
        winding=np.zeros(0) if cycle is None else base + cycle.winding,
        housing=np.zeros(0) if cycle is None else base + cycle.housing,
        limit=course.limit,
        limit_label=f"winding limit {quantity(course.limit, 'degC')}",
        up_title=f"From cold, {unit}",
    )


def warm_figure(verdict: Verdict) -> Figure | None:
    """Temperatures of the motor; None where the thermal data are not known."""
    course = verdict.extra.get("heat")
    if not isinstance(course, HeatCourse):
        return None
    data = warm_data(course)
    if data is None:
        return None
    top = float(data.up_high.max())
    said = f"The winding reaches {quantity(top, 'degC')}"
    if data.time.size:
        top = float(data.winding.max())
        said = (
            f"Settled, the winding swings between {quantity(float(data.winding.min()), 'degC')} "
            f"and {quantity(top, 'degC')}; it is warm after {lasting(course.time_to_warm)}"
        )
    limit = "" if np.isnan(data.limit) else f", its limit is {quantity(data.limit, 'degC')}"
    caption = (
        f"Temperatures in air of {course.ambient:.0f}\u00a0°C, from cold and over one cycle once "
        "settled. The winding (band: from lowest to highest of each cycle) must stay below the "
        "solid line; the housing is dashed."
    )
    return Figure(draw_warm(data), f"{said}{limit}.", words(caption), _WIDE)


def warm_answer(verdict: Verdict) -> str:
    """How warm the motor gets, and after how long; empty where it is not known."""
    found = verdict.demand.get("winding", {})
    top, housing, after = (found.get(n) for n in ("max", "housing_max", "time_to_warm"))
    if top is None or housing is None:
        return ""
    if after is None or not np.isfinite(after):
        return "It runs away: copper warms its own losses faster than they leave."
    return (
        f"Winding {quantity(top, 'degC')}, housing {quantity(housing, 'degC')} once settled; "
        f"from cold that takes {lasting(after)}."
    )


def bus_data(course: BusCourse) -> BusData | None:
    """Voltage and power at the bus; None where next to nothing returns."""
    trace = course.trace
    step = np.diff(trace.time)

    def energy(power: Array) -> float:
        return float(np.sum(step * (power[1:] + power[:-1]) / 2))

    back, burnt = energy(np.maximum(-trace.drawn, 0.0)), energy(trace.burnt)
    if back <= _LEAST * energy(np.maximum(trace.drawn, 0.0)):
        return None
    taken = ""
    if burnt > 0:
        where = "resistor" if course.resistor else "nothing takes"
        taken = f"{where} {quantity(burnt, 'J')}"
    return BusData(
        time=trace.time,
        voltage=course.voltage,
        power=trace.drawn,
        burnt=trace.burnt,
        idle=course.idle,
        switching=course.switching,
        trip=course.trip,
        switching_label="resistor on" if course.resistor else "would switch a resistor on",
        returned=quantity(back, "J"),
        burnt_label=taken,
    )


def bus_figure(verdict: Verdict) -> Figure | None:
    """The bus over the cycle; None where nothing returns or data are missing."""
    course = verdict.extra.get("bus")
    data = bus_data(course) if isinstance(course, BusCourse) else None
    if data is None:
        return None
    alt = (
        f"The bus rises from {quantity(data.idle, 'V')} to "
        f"{quantity(float(data.voltage.max()), 'V')}; {data.returned} return to it per cycle"
    )
    alt += f", {data.burnt_label}." if data.burnt_label else ", all of it stays in the capacitor."
    caption = (
        "The bus over the cycle, on the highest mains: what returns is hatched, filled where the "
        "capacitor is full and the resistor takes it."
    )
    return Figure(draw_bus(data), alt, words(caption), _WIDE)
