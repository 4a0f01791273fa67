"""What the few figures of a motor's plate say of each other, and the forms they are given in."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers
from dutyline.physics.torque_speed import phase_voltage

CurrentForm = Literal["rms", "peak"]
EmfForm = Literal["line rms", "line peak", "phase rms", "phase peak"]

CURRENT_FORMS: tuple[CurrentForm, ...] = ("rms", "peak")
EMF_FORMS: tuple[EmfForm, ...] = ("line rms", "line peak", "phase rms", "phase peak")

_RMS_OF = {"rms": 1.0, "peak": 1.0 / np.sqrt(2.0)}
_LINE_RMS_OF = {
    "line rms": 1.0,
    "line peak": 1.0 / np.sqrt(2.0),
    "phase rms": np.sqrt(3.0),
    "phase peak": np.sqrt(1.5),
}


def shaft_torque(power: ArrayLike, speed: ArrayLike) -> Array:
    """Torque of a power at a speed [N*m].

    Parameters
    ----------
    power : array_like [W]
    speed : array_like [rad/s]
        More than 0.

    Source
    ------
    Definition of power.

    Examples
    --------
    >>> float(shaft_torque(750.0, 3000 * np.pi / 30).round(4))
    2.3873
    """
    return numbers(numbers(power) / above("speed", speed, 0.0, "rad/s"))


def shaft_power(torque: ArrayLike, speed: ArrayLike) -> Array:
    """Power of a torque at a speed [W].

    Parameters
    ----------
    torque : array_like [N*m]
    speed : array_like [rad/s]

    Source
    ------
    Definition of power.

    Examples
    --------
    >>> float(shaft_power(2.0, 100.0))
    200.0
    """
    return numbers(numbers(torque) * numbers(speed))


def current_rms(current: ArrayLike, form: CurrentForm) -> Array:
    """Line current as rms [A].

    Parameters
    ----------
    current : array_like [A]
    form : "rms" or "peak"

    Source
    ------
    Crest of a sine.

    Examples
    --------
    >>> float(current_rms(10.0, "peak").round(3))
    7.071
    """
    return numbers(numbers(current) * _RMS_OF[form])


def torque_constant_rms(constant: ArrayLike, form: CurrentForm) -> Array:
    """Torque constant per ampere rms of the line [N*m/A].

    Parameters
    ----------
    constant : array_like [N*m/A]
        Per ampere rms or per ampere peak.
    form : "rms" or "peak"

    Source
    ------
    Crest of a sine: one ampere rms is sqrt(2) amperes peak.

    Examples
    --------
    >>> float(torque_constant_rms(0.5, "peak").round(4))
    0.7071
    """
    return numbers(numbers(constant) / _RMS_OF[form])


def voltage_constant_rms(constant: ArrayLike, form: EmfForm) -> Array:
    """Voltage constant as rms between two terminals [V*s/rad].

    Parameters
    ----------
    constant : array_like [V*s/rad]
    form : "line rms", "line peak", "phase rms" or "phase peak"

    Source
    ------
    Star connection and the crest of a sine.

    Examples
    --------
    >>> [float(voltage_constant_rms(1.0, form).round(4)) for form in EMF_FORMS]
    [1.0, 0.7071, 1.7321, 1.2247]
    """
    return numbers(numbers(constant) * _LINE_RMS_OF[form])


def voltage_constant_of_torque(torque_constant: ArrayLike) -> Array:
    """Voltage constant that a torque constant implies, rms between terminals [V*s/rad].

    Parameters
    ----------
    torque_constant : array_like [N*m/A rms]

    Source
    ------
    Inverse of :func:`dutyline.physics.torque_speed.torque_constant_of_emf`.

    Examples
    --------
    >>> float(voltage_constant_of_torque(np.sqrt(3.0)).round(12))
    1.0
    """
    return numbers(numbers(torque_constant) / np.sqrt(3.0))


def line_voltage(bus: ArrayLike) -> Array:
    """Largest sinusoidal voltage between two terminals that a bus can form, rms [V].

    Parameters
    ----------
    bus : array_like [V]

    Source
    ------
    ``V_bus/sqrt(2)``: the phase voltage of :func:`dutyline.physics.torque_speed.phase_voltage`
    without reserve, between two terminals of a star.

    Examples
    --------
    >>> float(line_voltage(325.0).round(1))
    229.8
    """
    return numbers(np.sqrt(1.5) * phase_voltage(bus, 1.0))


def input_limit(
    torque_out: ArrayLike,
    ratio: ArrayLike,
    mesh: ArrayLike = 1.0,
    no_load_torque: ArrayLike = 0.0,
) -> Array:
    """Torque at the input of a gearhead that brings its output to a torque [N*m].

    Parameters
    ----------
    torque_out : array_like [N*m]
    ratio : array_like [1]
        More than 0.
    mesh : array_like [1]
        Efficiency of the tooth contact. Where it is not known, 1 is the safe side.
    no_load_torque : array_like [N*m]
        At the input; 0 is the safe side.

    Source
    ------
    Inverse of :func:`dutyline.physics.gears.output_torque`.

    Examples
    --------
    >>> float(input_limit(70.0, 7.0, 0.95).round(3))
    10.526
    """
    lever = above("ratio", ratio, 0.0) * above("mesh", mesh, 0.0)
    return numbers(numbers(torque_out) / lever + at_least("no_load_torque", no_load_torque, 0.0))


def inertia_ratio(load: ArrayLike, rotor: ArrayLike) -> Array:
    """Load inertia at the motor shaft over rotor inertia [1].

    Parameters
    ----------
    load : array_like [kg*m^2]
    rotor : array_like [kg*m^2]
        More than 0.

    Source
    ------
    Definition.

    Examples
    --------
    >>> float(inertia_ratio(14e-4, 2.8e-4).round(6))
    5.0
    """
    return numbers(numbers(load) / above("rotor", rotor, 0.0, "kg*m^2"))


def torque_with_rotor(
    torque: ArrayLike,
    acceleration: ArrayLike,
    rotor_before: ArrayLike,
    rotor_after: ArrayLike,
    scale: float = 1.0,
) -> Array:
    """Torque that another rotor needs for a motion on which torque was measured [N*m].

    Parameters
    ----------
    torque : (n,) array_like [N*m]
        Measured at the shaft of the old motor, its rotor's share in it.
    acceleration : (n,) array_like [rad/s^2]
        Of the old motor.
    rotor_before, rotor_after : array_like [kg*m^2]
        Rotors, with their brakes.
    scale : float [1]
        New gear ratio over the old one; more than 0. Losses of both gearheads count as equal.

    Source
    ------
    Newton's law: the load's share is the torque less the old rotor's; at another ratio the load
    is divided and the motion multiplied by the scale.

    Examples
    --------
    >>> torque_with_rotor([1.0, -0.5], [1000.0, -1000.0], 2e-4, 1e-4).round(6).tolist()
    [0.9, -0.4]
    """
    moved = numbers(acceleration)
    load = numbers(torque) - numbers(rotor_before) * moved
    by = above("scale", scale, 0.0)
    return numbers(load / by + numbers(rotor_after) * moved * by)


def counts_of_lines(lines: int) -> int:
    """Counts per turn of an incremental encoder: every line has four edges on two tracks.

    Source
    ------
    Quadrature; common practice.

    Examples
    --------
    >>> counts_of_lines(2500)
    10000
    """
    return 4 * lines
