"""The DC bus: power at the terminals, store of the capacitors, what the braking resistor burns.

Steps of one cycle stand in the order of time on the last axis; leading axes are combinations.
Energy is positive when it is surplus: when the motors return more than everything consumes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.physics.ranges import Array, above, at_least, numbers, segments
from dutyline.physics.warming import periodic_response

CAPACITY_SHARE = 0.8
"""Part of the nominal capacitance to be counted on: tolerance and age (common practice)."""
BOUNDLESS = 1e30
"""[J] capacity of a store that takes everything."""


@dataclass(frozen=True, slots=True)
class BusCycle:
    """A course of the bus: a settled cycle, or one pass."""

    stored: Array
    """[J] above idle before each step and after the last, (..., n + 1)."""
    overflow: Array
    """[J] more than the capacitors can take, per step, (..., n)."""
    duration: Array
    """[s] of the steps, (..., n)."""
    overflow_peak: Array
    """[W] largest power that the resistor has to take."""
    pulse: Array
    """[J] largest overflow without a break; infinite where it never breaks."""
    most: Array
    """[J] that capacitors without a limit would store, infinite where that grows for ever."""

    @property
    def overflow_total(self) -> Array:
        """[J] per cycle."""
        return numbers(self.overflow.sum(axis=-1))

    @property
    def overflow_mean(self) -> Array:
        """[W] mean over the cycle."""
        return numbers(self.overflow_total / self.duration.sum(axis=-1))


def capacitor_energy(
    capacitance: ArrayLike, voltage_high: ArrayLike, voltage_low: ArrayLike
) -> Array:
    """Energy that a capacitor takes up between two voltages, ``C (V2**2 - V1**2)/2`` [J].

    Parameters
    ----------
    capacitance : array_like [F]
        Zero or more.
    voltage_high, voltage_low : array_like [V]
        Zero or more. Nothing is stored where the first is not above the second.

    Source
    ------
    Textbooks on circuits.

    Examples
    --------
    >>> round(float(capacitor_energy(1.12e-3, 385.0, 325.0)), 3)
    23.856
    """
    c = at_least("capacitance", capacitance, 0.0, "F")
    gain = numbers(voltage_high) ** 2 - numbers(voltage_low) ** 2
    return numbers(0.5 * c * np.maximum(gain, 0.0))


def bus_power(
    shaft_power: ArrayLike,
    current: ArrayLike,
    resistance: ArrayLike,
    iron_loss: ArrayLike = 0.0,
    drive_loss: ArrayLike = 0.0,
) -> Array:
    """Power that one axis draws from the bus [W]; negative when it returns.

    Parameters
    ----------
    shaft_power : array_like [W]
        Torque times speed at the motor shaft.
    current : array_like [A rms]
        Of the motor lines.
    resistance : array_like [ohm]
        Of one phase: hot when sizing the supply, cold when sizing the resistor.
    iron_loss, drive_loss : array_like [W]
        Zero or more.

    Source
    ------
    Power balance.

    Examples
    --------
    >>> float(bus_power(-1000.0, 5.0, 1.0, 10.0, 15.0))
    -900.0
    """
    copper = 3.0 * numbers(resistance) * numbers(current) ** 2
    return numbers(numbers(shaft_power) + copper + numbers(iron_loss) + numbers(drive_loss))


def settled_cycle(surplus: ArrayLike, duration: ArrayLike, capacity: ArrayLike) -> BusCycle:
    """Store and overflow of a bus whose cycle repeats for ever from the idle state.

    ``e -> clamp(e + surplus, 0, capacity)``: the mains refills at the bottom, what does not fit
    at the top goes to the braking resistor.

    Parameters
    ----------
    surplus, duration : (..., n) array_like [J, s]
        Energy of each step. No step may hold both signs: cut where the power changes its sign.
        A step of no length changes nothing.
    capacity : (...) array_like [J]
        See :func:`capacitor_energy`; zero or more.

    Source
    ------
    Derived here. Clamped steps combine to ``clamp(e + total, low, high)``, so the settled start
    is known after one pass: ``high`` for a surplus over the cycle, else ``low``.

    Examples
    --------
    >>> found = settled_cycle([-50.0, 40.0], [1.0, 1.0], 25.0)
    >>> found.stored.tolist(), found.overflow.tolist(), float(found.overflow_mean)
    ([25.0, 0.0, 25.0], [0.0, 15.0], 7.5)
    """
    gain, dt = segments(surplus=surplus, duration=duration)
    top = np.broadcast_to(at_least("capacity", capacity, 0.0, "J"), gain.shape[:-1])
    tops = np.stack([top, np.full(top.shape, BOUNDLESS)])
    return _course(gain, dt, tops, _settled_start(gain, tops), around=True)


def single_pass(
    surplus: ArrayLike, duration: ArrayLike, capacity: ArrayLike, stored: ArrayLike
) -> BusCycle:
    """Store and overflow of a bus over one pass that nothing follows.

    Parameters
    ----------
    surplus, duration, capacity : array_like
        As for :func:`settled_cycle`.
    stored : (...) array_like [J]
        Above idle at the beginning, not more than the capacity.

    Source
    ------
    Derived here: the steps of :func:`settled_cycle`, once.

    Examples
    --------
    >>> found = single_pass([-10.0, 40.0], [1.0, 1.0], 25.0, 25.0)
    >>> found.stored.tolist(), float(found.pulse)
    ([25.0, 15.0, 25.0], 30.0)
    """
    gain, dt = segments(surplus=surplus, duration=duration)
    top = np.broadcast_to(at_least("capacity", capacity, 0.0, "J"), gain.shape[:-1])
    start = np.broadcast_to(np.clip(numbers(stored), 0.0, top), gain.shape[:-1])
    tops = np.stack([top, np.full(top.shape, BOUNDLESS)])
    return _course(gain, dt, tops, np.stack([start, np.zeros(start.shape)]), around=False)


def _settled_start(gain: Array, top: Array) -> Array:
    """What the bus holds when a cycle that repeats itself begins."""
    ends = np.stack([np.zeros(top.shape), top])
    for step in np.moveaxis(gain, -1, 0):
        ends = np.minimum(np.maximum(ends + step, 0.0), top)
    return numbers(np.where(np.cumsum(gain, axis=-1)[..., -1] > 0.0, ends[1], ends[0]))


def _stored(gain: Array, top: Array, start: Array) -> tuple[Array, Array]:
    """What the bus holds before each step and after the last, and where each step leads unheld."""
    count = gain.shape[-1]
    stored, level = np.empty((count + 1, *start.shape)), np.empty((count, *start.shape))
    stored[0] = start
    for k, step in enumerate(np.moveaxis(gain, -1, 0)):
        np.add(stored[k], step, out=level[k])
        np.minimum(np.maximum(level[k], 0.0), top, out=stored[k + 1])
    held, led = (np.ascontiguousarray(np.moveaxis(steps, 0, -1)) for steps in (stored, level))
    return held, led


def _course(gain: Array, dt: Array, tops: Array, starts: Array, *, around: bool) -> BusCycle:
    """From the capacities with and without a limit, and what is stored at the beginning with each.

    Without a limit one pass begins at idle: the most that it would store is asked for alone.
    """
    stored, level = _stored(gain, tops, starts)
    burnt = np.maximum(level[0] - tops[0, ..., None], 0.0)
    power = np.where(burnt > 0.0, gain / np.where(dt > 0.0, dt, 1.0), 0.0)
    growing = around & (np.cumsum(gain, axis=-1)[..., -1] > 0.0)
    return BusCycle(
        stored=stored[0],
        overflow=burnt,
        duration=dt,
        overflow_peak=power.max(axis=-1),
        pulse=_largest_pulse(burnt, gain, dt, around),
        most=np.where(growing, np.inf, stored[1].max(axis=-1)),
    )


def resistor_window(
    voltage: ArrayLike, peak_power: ArrayLike, resistance_min: ArrayLike
) -> tuple[Array, Array]:
    """Smallest and largest resistance that fit a drive and its peak of returned power [ohm].

    Parameters
    ----------
    voltage : array_like [V]
        At which the chopper works.
    peak_power : array_like [W]
        Largest overflow; infinite resistance where there is none.
    resistance_min : array_like [ohm]
        That the chopper tolerates.

    Source
    ------
    Ohm's law: the resistor takes at most ``V**2/R``.

    Examples
    --------
    >>> [round(float(r), 2) for r in resistor_window(385.0, 1159.671, 22.0)]
    [22.0, 127.82]
    """
    with np.errstate(divide="ignore"):
        most = numbers(voltage) ** 2 / numbers(peak_power)
    return numbers(resistance_min), numbers(most)


def resistor_heat_use(
    power: ArrayLike, duration: ArrayLike, power_mean: ArrayLike, time_constant: ArrayLike
) -> Array:
    """Largest temperature rise of a resistor in a settled cycle over its permitted rise [1].

    Parameters
    ----------
    power, duration : (..., n) array_like [W, s]
        Burnt in each step.
    power_mean : (...) array_like [W]
        Rated for ever; more than 0.
    time_constant : (...) array_like [s]
        Of the resistor; more than 0.

    Source
    ------
    First-order heating, see :func:`dutyline.physics.warming.periodic_response`.

    Examples
    --------
    >>> round(float(resistor_heat_use([500.0, 0.0], [1.0, 9.0], 60.0, 30.0)), 4)
    0.9638
    """
    p, dt = segments(power=power, duration=duration)
    rated = above("power_mean", power_mean, 0.0, "W")[..., None]
    return numbers(periodic_response(p / rated, dt, time_constant).max(axis=-1))


def ripple(
    power: ArrayLike,
    capacitance: ArrayLike,
    voltage: ArrayLike,
    mains_frequency: ArrayLike,
    phases: ArrayLike,
) -> Array:
    """Peak to peak ripple of the bus voltage behind a diode bridge [V], an upper estimate.

    Parameters
    ----------
    power : array_like [W]
        Drawn from the bus.
    capacitance, voltage, mains_frequency : array_like [F, V, Hz]
        More than 0.
    phases : array_like
        1 or 3.

    Source
    ------
    Charge balance between two peaks of the bridge; textbooks on power electronics (from memory).

    Examples
    --------
    >>> ripple(500.0, 1e-3, 310.0, 50.0, [1, 3]).round(2).tolist()
    [16.13, 5.38]
    """
    pulses = np.where(numbers(phases) == 1, 2.0, 6.0)
    charge = pulses * numbers(mains_frequency) * numbers(voltage)
    return numbers(numbers(power) / (charge * above("capacitance", capacitance, 0.0, "F")))


def _largest_pulse(burnt: Array, gain: Array, duration: Array, around: bool) -> Array:
    """Largest sum of overflow over neighbouring steps; of a cycle around its end too."""
    flows: NDArray[np.bool_] = ((burnt > 0.0) & (gain > 0.0)) | (duration == 0.0)
    some: NDArray[np.bool_] = np.any(flows, axis=tuple(range(flows.ndim - 1)))
    columns = np.moveaxis(flows, -1, 0), np.moveaxis(burnt, -1, 0)
    steps = list(zip(*columns, some.tolist(), strict=True))
    none = run = best = np.zeros(burnt.shape[:-1])
    for flowing, more, anywhere in steps:
        if not anywhere:
            run = none
            continue
        run = np.where(flowing, run + more, 0.0)
        best = np.maximum(best, run)
    for flowing, more, anywhere in steps if around else ():
        if not anywhere:
            break  # from here on as the first time
        run = np.where(flowing, run + more, 0.0)
        best = np.maximum(best, run)
    endless = np.all(flows, axis=-1)
    return numbers(np.where(around & endless, np.inf, best))
