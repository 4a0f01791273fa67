"""What voltage and current leave of a servo motor's torque: permanent magnets, sinusoidal emf.

Resistance and inductance are those of one phase (half of terminal to terminal, star), the flux
linkage and phase voltages are peak values, currents are rms of the line unless stated. Torque is
motoring; with the motor generating the copper drop helps, so the same limits are safe there.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.core.errors import RangeError
from dutyline.physics.continuous_duty import COPPER, REFERENCE
from dutyline.physics.ranges import Array, above, at_least, numbers, within

BUS_THREE_PHASE = 1.35
"""[1] loaded bus over mains: mean of the six-pulse bridge, ``3*sqrt(2)/pi``."""
BUS_SINGLE_PHASE = 1.30
"""[1] loaded bus over mains with the ripple of one phase; common practice is 1.20 to 1.32."""
MODULATION_RESERVE = 0.95
"""[1] kept for dead time, device drop and current loop; common practice is 0.92 to 0.97."""


def bus_voltage(mains: ArrayLike, phases: int | str) -> Array:
    """Loaded bus behind a rectifier with capacitor [V].

    Parameters
    ----------
    mains : array_like [V]
        Line to line for three phases, line to neutral or line to line for one; the bus itself
        for ``dc``. More than 0.
    phases : 1, 3 or "dc"

    Raises
    ------
    RangeError
        Mains of 0 or less, or another number of phases.

    Source
    ------
    Six-pulse mean value from power electronics textbooks (from memory); one phase: common
    practice, no source.

    Examples
    --------
    >>> [float(bus_voltage(230.0, p).round(1)) for p in (3, 1, "dc")]
    [310.5, 299.0, 230.0]
    """
    factors = {1: BUS_SINGLE_PHASE, 3: BUS_THREE_PHASE, "dc": 1.0}
    if phases not in factors:
        raise RangeError(f"phases is {phases!r}; it must be 1, 3 or 'dc'")
    return numbers(factors[phases] * above("mains", mains, 0.0, "V"))


def bus_idle(mains: ArrayLike, phases: int | str) -> Array:
    """Bus to which the crest of the mains charges the capacitor, nothing drawn [V].

    Parameters
    ----------
    mains : array_like [V]
        As in :func:`bus_voltage`; the highest that occurs leaves the capacitor least.
    phases : 1, 3 or "dc"

    Raises
    ------
    RangeError
        Mains of 0 or less.

    Source
    ------
    Crest of a sine.

    Examples
    --------
    >>> [float(bus_idle(240.0, p).round(1)) for p in (1, 3, "dc")]
    [339.4, 339.4, 240.0]
    """
    crest = 1.0 if phases == "dc" else np.sqrt(2.0)
    return numbers(crest * above("mains", mains, 0.0, "V"))


def phase_voltage(bus: ArrayLike, reserve: ArrayLike = MODULATION_RESERVE) -> Array:
    """Largest phase voltage that an inverter forms from its bus, peak [V].

    Parameters
    ----------
    bus : array_like [V]
    reserve : array_like [1]
        Share of the linear range that may be used, above 0 and at most 1.

    Source
    ------
    Linear range of space-vector modulation, ``V_bus/sqrt(3)``: textbooks on electrical drives,
    from memory. The reserve is common practice without source.

    Examples
    --------
    >>> float(phase_voltage(1.35 * 230.0).round(4))
    170.3039
    """
    share = within("reserve", reserve, 0.0, 1.0)
    return numbers(share * above("bus", bus, 0.0, "V") / np.sqrt(3.0))


def flux_linkage(voltage_constant: ArrayLike, pole_pairs: ArrayLike) -> Array:
    """Peak flux linkage of one phase [V*s].

    Parameters
    ----------
    voltage_constant : array_like [V*s/rad]
        Rms line to line.
    pole_pairs : array_like

    Source
    ------
    Emf ``w_e*psi`` of a phase and ``sqrt(3/2)`` from phase peak to line rms; derived here.

    Examples
    --------
    27 V per 1000 r/min:

    >>> float(flux_linkage(27.0 * 30 / (1000 * np.pi), 5).round(8))
    0.04210363
    """
    return numbers(numbers(voltage_constant) * np.sqrt(2.0 / 3.0) / numbers(pole_pairs))


def torque_constant_of_emf(voltage_constant: ArrayLike) -> Array:
    """Torque per ampere rms that belongs to an emf constant [N*m/A].

    Parameters
    ----------
    voltage_constant : array_like [V*s/rad]
        Rms line to line.

    Source
    ------
    Power balance of a sinusoidal machine: ``sqrt(3) U I = T w``, so ``Kt = sqrt(3) Ke``.

    Examples
    --------
    >>> float(torque_constant_of_emf(27.0 * 30 / (1000 * np.pi)).round(7))
    0.4465764
    """
    return numbers(np.sqrt(3.0) * numbers(voltage_constant))


def hot_resistance(resistance: ArrayLike, temperature: ArrayLike) -> Array:
    """Resistance of copper at a temperature [ohm].

    Parameters
    ----------
    resistance : array_like [ohm]
        At 20 degC.
    temperature : array_like [degC]

    Source
    ------
    Temperature coefficient 0.00393 per kelvin at 20 degC (IEC 60028, from memory).

    Examples
    --------
    >>> float(hot_resistance(10.0, 140.0).round(3))
    14.716
    """
    return numbers(numbers(resistance) * (1.0 + COPPER * (numbers(temperature) - REFERENCE)))


def voltage_limited_current(
    speed: ArrayLike,
    voltage: ArrayLike,
    resistance: ArrayLike,
    inductance: ArrayLike,
    flux: ArrayLike,
    pole_pairs: ArrayLike,
) -> Array:
    """Largest torque-forming current that the voltage drives at a speed, rms [A].

    No field weakening (``i_d = 0``). Zero at and beyond the no-load limit; no limit of the motor
    or drive is in it.

    Parameters
    ----------
    speed : array_like [rad/s]
        Of the shaft; its magnitude counts.
    voltage : array_like [V]
        Phase, peak.
    resistance, inductance : array_like [ohm, H]
        Of one phase, the resistance at working temperature.
    flux : array_like [V*s]
    pole_pairs : array_like

    Source
    ------
    Voltage equations of the permanent-magnet machine in rotor coordinates (textbooks: Krishnan;
    Novotny and Lipo, from memory). The root of
    ``(R i + w psi)**2 + (w L i)**2 = V**2`` is written here so that no digits cancel.

    Examples
    --------
    >>> w = np.array([0.0, 6500.0, 8000.0]) * np.pi / 30
    >>> voltage_limited_current(w, 170.3039, 2.4, 0.0068, 0.04210363, 5).round(3).tolist()
    [50.176, 2.384, 0.0]
    """
    w = np.abs(numbers(speed)) * numbers(pole_pairs)
    v, r, psi = at_least("voltage", voltage, 0.0, "V"), numbers(resistance), numbers(flux)
    square = r**2 + (w * numbers(inductance)) ** 2
    root = v**2 * square - (w**2 * numbers(inductance) * psi) ** 2
    left = v**2 - (w * psi) ** 2
    with np.errstate(divide="ignore", invalid="ignore"):
        current = left / (r * w * psi + np.sqrt(np.maximum(root, 0.0)))
    return numbers(np.where(left <= 0.0, 0.0, current) / np.sqrt(2.0))


def peak_torque(
    speed: ArrayLike,
    voltage: ArrayLike,
    resistance: ArrayLike,
    inductance: ArrayLike,
    flux: ArrayLike,
    pole_pairs: ArrayLike,
    current_peak: ArrayLike,
    current_stall: ArrayLike = np.inf,
    saturation_peak: ArrayLike = 1.0,
    torque_constant: ArrayLike | None = None,
) -> Array:
    """Torque that voltage and peak current leave at a speed [N*m].

    Parameters
    ----------
    speed, voltage, resistance, inductance, flux, pole_pairs
        As in :func:`voltage_limited_current`.
    current_peak, current_stall, saturation_peak
        As in :func:`saturation_factor`; without the last two the iron does not saturate.
    torque_constant : array_like [N*m/A rms], optional
        At working temperature; the one of the flux linkage when left out.

    Source
    ------
    ``T = Kt I sat(I)`` with the smaller of peak and voltage-limited current; as for these.

    Examples
    --------
    >>> w = np.array([4200.0, 6500.0]) * np.pi / 30
    >>> peak_torque(w, 170.3039, 2.4, 0.0068, 0.04210363, 5, 5.6).round(4).tolist()
    [2.5008, 1.0644]
    """
    driven = voltage_limited_current(speed, voltage, resistance, inductance, flux, pole_pairs)
    current = np.minimum(driven, at_least("current_peak", current_peak, 0.0, "A"))
    if torque_constant is None:
        torque_constant = 1.5 * np.sqrt(2.0) * numbers(pole_pairs) * numbers(flux)
    return torque_of_current(current, torque_constant, current_stall, current_peak, saturation_peak)


def corner_speed(
    current: ArrayLike,
    voltage: ArrayLike,
    resistance: ArrayLike,
    inductance: ArrayLike,
    flux: ArrayLike,
    pole_pairs: ArrayLike,
) -> Array:
    """Speed up to which the voltage drives a current, ``i_d = 0`` [rad/s].

    Zero where the voltage does not drive it at standstill. For current 0 the no-load limit.

    Parameters
    ----------
    current : array_like [A rms]
        Zero or more.
    voltage, resistance, inductance, flux, pole_pairs
        As in :func:`voltage_limited_current`.

    Source
    ------
    As for :func:`voltage_limited_current`, solved for the speed; derived here.

    Examples
    --------
    >>> w = corner_speed([5.6, 0.0], 170.3039, 2.4, 0.0068, 0.04210363, 5)
    >>> (w * 30 / np.pi).round(1).tolist()
    [4412.6, 7725.1]
    """
    i = np.sqrt(2.0) * at_least("current", current, 0.0, "A")
    v, psi = at_least("voltage", voltage, 0.0, "V"), numbers(flux)
    drop = numbers(resistance) * i
    stiff = (numbers(inductance) * i) ** 2 + psi**2
    left = v**2 - drop**2
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.sqrt((drop * psi) ** 2 + stiff * np.maximum(left, 0.0))
        found = np.where(left <= 0.0, 0.0, left / (drop * psi + root))
    return numbers(found / numbers(pole_pairs))


def saturation_factor(
    current: ArrayLike,
    current_stall: ArrayLike,
    current_peak: ArrayLike,
    saturation_peak: ArrayLike,
) -> Array:
    """Torque over torque constant times current [1].

    1 up to the stall current, then falling along a straight line to ``saturation_peak`` at the
    peak current, beyond which it stays: there the motor is overloaded anyhow, and numbers stay
    finite. 1 everywhere where the peak current is not above the stall current.

    Parameters
    ----------
    current, current_stall, current_peak : array_like [A rms]
    saturation_peak : array_like [1]

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> saturation_factor([1.0, 2.0, 3.0, 9.0], 1.0, 3.0, 0.95).round(3).tolist()
    [1.0, 0.975, 0.95, 0.95]
    """
    counted = np.fmin(np.abs(numbers(current)), numbers(current_peak))
    above_stall = np.maximum(counted - numbers(current_stall), 0.0)
    slope = _fall(current_stall, current_peak, saturation_peak)
    with np.errstate(invalid="ignore"):
        straight = (slope == 0.0) | (above_stall == 0.0)
        return numbers(np.where(straight, 1.0, 1.0 - slope * above_stall))


def torque_of_current(
    current: ArrayLike,
    torque_constant: ArrayLike,
    current_stall: ArrayLike,
    current_peak: ArrayLike,
    saturation_peak: ArrayLike,
) -> Array:
    """Torque of a current with saturating iron, sign of the current [N*m].

    Parameters
    ----------
    current : array_like [A rms]
    torque_constant : array_like [N*m/A rms]
    current_stall, current_peak, saturation_peak
        As in :func:`saturation_factor`.

    Source
    ------
    ``T = Kt I sat(I)``, saturation as in :func:`saturation_factor`.

    Examples
    --------
    >>> torque_of_current([1.0, -3.0], 0.5, 1.0, 3.0, 0.95).round(3).tolist()
    [0.5, -1.425]
    """
    factor = saturation_factor(current, current_stall, current_peak, saturation_peak)
    return numbers(numbers(torque_constant) * numbers(current) * factor)


def current_of_torque(
    torque: ArrayLike,
    torque_constant: ArrayLike,
    current_stall: ArrayLike,
    current_peak: ArrayLike,
    saturation_peak: ArrayLike,
) -> Array:
    """Current that a torque needs with saturating iron, sign of the torque [A rms].

    Parameters
    ----------
    torque : array_like [N*m]
    torque_constant : array_like [N*m/A rms]
    current_stall, current_peak, saturation_peak
        As in :func:`saturation_factor`.

    Source
    ------
    The inverse of :func:`torque_of_current`: smaller root of
    ``b I**2 - (1 + b I_0) I + T/Kt = 0`` up to the peak current; derived here.

    Examples
    --------
    >>> current_of_torque([0.5, -1.425, 4.75], 0.5, 1.0, 3.0, 0.95).round(3).tolist()
    [1.0, -3.0, 10.0]
    """
    straight = np.abs(numbers(torque)) / numbers(torque_constant)
    plain = straight <= numbers(current_stall)
    if plain.all():
        return numbers(np.copysign(straight, numbers(torque)))
    slope = _fall(current_stall, current_peak, saturation_peak)
    with np.errstate(invalid="ignore", divide="ignore"):
        middle = 1.0 + np.where(slope == 0.0, 0.0, slope * numbers(current_stall))
        root = middle**2 - 4.0 * slope * straight
        bent = 2.0 * straight / (middle + np.sqrt(np.maximum(root, 0.0)))
        at_peak = numbers(saturation_peak)
        beyond = (slope != 0.0) & (straight > at_peak * numbers(current_peak))
        bent = np.where(beyond, straight / at_peak, bent)
        size = np.where(plain, straight, bent)
    return numbers(np.copysign(size, numbers(torque)))


def _fall(current_stall: ArrayLike, current_peak: ArrayLike, saturation_peak: ArrayLike) -> Array:
    """Saturation lost per ampere above the stall current [1/A]."""
    span = numbers(current_peak) - numbers(current_stall)
    lost = 1.0 - numbers(saturation_peak)
    with np.errstate(divide="ignore", invalid="ignore"):
        fall = lost / span
    return numbers(np.where((span <= 0.0) | (lost == 0.0), 0.0, fall))
