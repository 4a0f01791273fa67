"""Mains and cabinet: current, inrush, conductors, heat, yearly energy."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers

SECTIONS = (0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0)
"""[mm^2] copper sections of :data:`CURRENTS` (IEC 60228)."""
CURRENTS = {
    "B1": (8.6, 10.3, 13.5, 18.3, 24.0, 31.0, 44.0, 59.0, 77.0, 96.0),
    "B2": (8.5, 10.1, 13.1, 17.4, 23.0, 30.0, 40.0, 54.0, 70.0, 86.0),
    "C": (9.8, 11.7, 15.2, 21.0, 28.0, 36.0, 50.0, 66.0, 84.0, 104.0),
    "E": (10.4, 12.4, 16.1, 22.0, 30.0, 37.0, 52.0, 70.0, 88.0, 110.0),
}
"""[A] copper, PVC, three loaded conductors, 40 degC air, by way of laying: B1 conduit with single
cores, B2 conduit with a cable, C on a surface, E on a tray (IEC 60204-1 table 6, from memory)."""
INSULATION_LIMIT = 70.0
"""[degC] PVC"""
COPPER_HOT = 2.25e-8
"""[ohm*m] copper at 70 degC (from memory)."""
WALL = 5.5
"""[W/(m^2*K)] painted steel walls (common practice)."""


def mains_current(
    power: ArrayLike, voltage: ArrayLike, phases: ArrayLike, power_factor: ArrayLike
) -> Array:
    """Line current at the mains [A rms].

    Parameters
    ----------
    power : array_like [W]
    voltage : array_like [V rms]
        Line to line with three phases; the lowest that occurs gives the highest current.
    phases : array_like
        1 or 3.
    power_factor : array_like [1]
        Power over apparent power, distortion included.

    Source
    ------
    Definition of apparent power.

    Examples
    --------
    >>> mains_current(1000.0, 200.0, [1, 3], 0.7).round(3).tolist()
    [7.143, 4.124]
    """
    apparent = numbers(power) / above("power_factor", power_factor, 0.0)
    legs = np.where(numbers(phases) == 3, np.sqrt(3.0), 1.0)
    return numbers(apparent / (legs * above("voltage", voltage, 0.0, "V")))


def inrush_current(voltage: ArrayLike, resistance: ArrayLike) -> Array:
    """Peak current into an empty bus at the crest of the mains [A].

    Parameters
    ----------
    voltage : array_like [V rms]
    resistance : array_like [ohm]
        Charging resistor and line; more than 0.

    Source
    ------
    Ohm's law.

    Examples
    --------
    >>> round(float(inrush_current(230.0, 25.0)), 2)
    13.01
    """
    return numbers(np.sqrt(2.0) * numbers(voltage) / above("resistance", resistance, 0.0, "ohm"))


def inrush_energy(current: ArrayLike, voltage: ArrayLike, capacitance: ArrayLike) -> Array:
    """Let-through energy (I2t) of a bus that is charged through a resistor [A^2*s].

    Parameters
    ----------
    current : array_like [A]
        At the first instant, see :func:`inrush_current`.
    voltage : array_like [V]
        To which the bus is charged; the crest of the mains.
    capacitance : array_like [F]
        Of the bus.

    Source
    ------
    Integral of the square of ``I exp(-t/(R C))`` with ``R = V/I``; textbooks on circuits. A mains
    that stays at its crest is on the safe side.

    Examples
    --------
    >>> round(float(inrush_energy(14.0, 325.0, 1e-3)), 3)
    2.275
    """
    charge = numbers(voltage) * at_least("capacitance", capacitance, 0.0, "F")
    return numbers(0.5 * numbers(current) * charge)


def temperature_factor(ambient: ArrayLike, limit: float = INSULATION_LIMIT) -> Array:
    """Current of a conductor in warm air over that at 40 degC [1].

    Parameters
    ----------
    ambient : array_like [degC]
        Zero comes out at the limit of the insulation and above.
    limit : float [degC]

    Source
    ------
    Derived here: equal loss per kelvin to the limit of the insulation.

    Examples
    --------
    >>> temperature_factor([30.0, 40.0, 50.0]).round(2).tolist()
    [1.15, 1.0, 0.82]
    """
    room = np.maximum(limit - numbers(ambient), 0.0)
    return numbers(np.sqrt(room / (limit - 40.0)))


def conductor_current(section: float, method: str, ambient: float) -> float:
    """Current that a copper conductor in PVC carries for ever [A].

    Parameters
    ----------
    section : float [m^2]
        Between two nominal sections the smaller one counts.
    method : str
        Way of laying, a key of :data:`CURRENTS`.
    ambient : float [degC]

    Returns
    -------
    float
        nan below the smallest section of the table.

    Source
    ------
    IEC 60204-1 table 6 (from memory, 40 degC, three loaded conductors, one circuit), times
    :func:`temperature_factor`.

    Examples
    --------
    >>> conductor_current(2.5e-6, "B2", 40.0), round(conductor_current(3e-6, "B2", 50.0), 2)
    (17.4, 14.21)
    """
    smaller = [k for k, nominal in enumerate(SECTIONS) if nominal * 1e-6 <= section * (1 + 1e-9)]
    if not smaller:
        return float("nan")
    return CURRENTS[method][smaller[-1]] * float(temperature_factor(ambient))


def voltage_drop(
    current: ArrayLike,
    length: ArrayLike,
    section: ArrayLike,
    phases: ArrayLike = 3,
    resistivity: ArrayLike = COPPER_HOT,
) -> Array:
    """Voltage lost along a cable, inductance left out [V].

    Parameters
    ----------
    current : array_like [A rms]
    length, section : array_like [m, m^2]
    phases : array_like
        1 or 3.
    resistivity : array_like [ohm*m]

    Source
    ------
    Ohm's law; line to line with three phases.

    Examples
    --------
    >>> round(float(voltage_drop(10.0, 20.0, 2.5e-6)), 3)
    3.118
    """
    loop = np.where(numbers(phases) == 3, np.sqrt(3.0), 2.0)
    resistance = numbers(resistivity) * numbers(length) / above("section", section, 0.0, "m^2")
    return numbers(loop * resistance * numbers(current))


def cabinet_rise(heat: ArrayLike, surface: ArrayLike, wall: ArrayLike = WALL) -> Array:
    """Temperature rise inside a closed cabinet [K].

    Parameters
    ----------
    heat : array_like [W]
    surface : array_like [m^2]
        That gives heat away; more than 0.
    wall : array_like [W/(m^2*K)]

    Source
    ------
    Steady heat through walls; IEC TR 60890 treats the surface (from memory).

    Examples
    --------
    >>> float(cabinet_rise(110.0, 2.0))
    10.0
    """
    return numbers(numbers(heat) / (numbers(wall) * above("surface", surface, 0.0, "m^2")))


def drive_heat(
    fixed: ArrayLike, per_ampere: ArrayLike, current_rms: ArrayLike, idle: ArrayLike = 0.0
) -> Array:
    """Heat of a drive in its cabinet, ``P0 + k I + idle`` [W].

    Parameters
    ----------
    fixed, idle : array_like [W]
    per_ampere : array_like [W/A]
    current_rms : array_like [A rms]

    Source
    ------
    Linear model, common practice.

    Examples
    --------
    >>> float(drive_heat(10.0, 1.5, 4.0))
    16.0
    """
    heat = numbers(fixed) + numbers(per_ampere) * np.abs(numbers(current_rms))
    return numbers(heat + numbers(idle))


def yearly_energy(mean_power: ArrayLike, hours: ArrayLike, idle_power: ArrayLike = 0.0) -> Array:
    """Energy bought in a year [J].

    Parameters
    ----------
    mean_power : array_like [W]
        From the mains while running.
    hours : array_like [s]
        Running time in the year, 0 to 8760 h.
    idle_power : array_like [W]
        For the rest of the year.

    Source
    ------
    Definition.

    Examples
    --------
    >>> round(float(yearly_energy(200.0, 4000 * 3600.0, 10.0)) / 3.6e6, 1)
    847.6
    """
    run = at_least("hours", hours, 0.0, "s")
    rest = np.maximum(8760.0 * 3600.0 - run, 0.0)
    return numbers(numbers(mean_power) * run + numbers(idle_power) * rest)
