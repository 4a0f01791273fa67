"""Screws and worms: lead angle, efficiencies of sliding threads, preload of ball nuts."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.core.errors import RangeError
from dutyline.physics.ranges import Array, above, at_least, numbers, within

STEEPEST = np.radians(89.0)


def lead_angle(lead: ArrayLike, mean_diameter: ArrayLike) -> Array:
    """Lead angle of a thread on its mean diameter.

    Parameters
    ----------
    lead : array_like [m]
        Travel per turn: pitch times the number of starts.
    mean_diameter : array_like [m]

    Returns
    -------
    ndarray [rad]

    Raises
    ------
    RangeError
        A number is not above zero.

    Source
    ------
    Shigley's Mechanical Engineering Design, chapter on power screws (from memory).

    Examples
    --------
    >>> round(float(np.degrees(lead_angle(0.005, 0.0215))), 4)
    4.2336
    """
    girth = np.pi * above("mean_diameter", mean_diameter, 0.0)
    return numbers(np.arctan(above("lead", lead, 0.0) / girth))


def thread_friction_angle(
    friction: ArrayLike, flank: ArrayLike = 0.0, lead_angle: ArrayLike = 0.0
) -> Array:
    """Effective friction angle of a thread with inclined flanks.

    Parameters
    ----------
    friction : array_like [1]
        Friction coefficient of the flanks.
    flank : array_like [rad]
        Angle of the flank from the normal plane, half the thread angle: 15 deg metric trapezoidal.
    lead_angle : array_like [rad]

    Returns
    -------
    ndarray [rad]

    Raises
    ------
    RangeError
        Negative friction, or an angle outside 0 to 90 deg.

    Notes
    -----
    ``tan rho' = mu / cos(a_n)``, the flank taken in the normal section:
    ``tan a_n = tan a cos lambda``.

    Source
    ------
    Shigley's Mechanical Engineering Design, chapter on power screws (from memory); derived again.

    Examples
    --------
    >>> angle = thread_friction_angle(0.12, np.radians(15), np.radians(4.23363))
    >>> round(float(np.degrees(angle)), 4)
    7.0805
    """
    slope = within("flank", at_least("flank", flank, 0.0), -1.0, STEEPEST, "rad")
    lean = within("lead_angle", at_least("lead_angle", lead_angle, 0.0), -1.0, STEEPEST, "rad")
    normal = np.arctan(np.tan(slope) * np.cos(lean))
    return numbers(np.arctan(at_least("friction", friction, 0.0) / np.cos(normal)))


def sliding_efficiencies(
    lead_angle: ArrayLike, friction_angle: ArrayLike, collar: ArrayLike = 0.0
) -> tuple[Array, Array]:
    """Efficiencies of a sliding screw or worm, motor to load and load to motor.

    Parameters
    ----------
    lead_angle : array_like [rad]
        Above 0, under 90 deg.
    friction_angle : array_like [rad]
        Effective, see :func:`thread_friction_angle`.
    collar : array_like [1]
        Collar friction coefficient times collar over thread mean diameter.

    Returns
    -------
    forward, back : ndarray [1]
        ``back`` is zero or less for a self-locking thread; then the load cannot drive the motor
        and lowering takes ``-back`` times the power of the load from the motor.

    Raises
    ------
    RangeError
        An angle out of range, or so much friction that the thread cannot be driven at all.

    Notes
    -----
    ``forward = tan l / (tan(l + r) + c)``, ``back = (tan(l - r) - c) / tan l``.

    Source
    ------
    Shigley's Mechanical Engineering Design, chapter on power screws (from memory); derived from
    the inclined plane.

    Examples
    --------
    >>> forward, back = sliding_efficiencies(np.radians(16.4941385), np.radians(2.95520612))
    >>> round(float(forward), 5), round(float(back), 5)
    (0.83852, 0.81322)
    """
    lean = within("lead_angle", lead_angle, 0.0, STEEPEST, "rad")
    rub = at_least("friction_angle", friction_angle, 0.0)
    ring = at_least("collar", collar, 0.0)
    if np.any(lean + rub >= np.pi / 2):
        raise RangeError(
            "Lead angle and friction angle together reach 90 deg: the thread cannot be driven."
        )
    forward = np.tan(lean) / (np.tan(lean + rub) + ring)
    back = (np.tan(lean - rub) - ring) / np.tan(lean)
    return forward, back


def sliding_back_efficiency(lead_angle: ArrayLike, forward: ArrayLike) -> Array:
    """Efficiency load to motor of a sliding screw or worm of which the other one is known.

    Parameters
    ----------
    lead_angle : array_like [rad]
        Above 0, under 90 deg.
    forward : array_like [1]
        Motor to load, above 0 and at most 1; all loss taken to be in the thread.

    Returns
    -------
    ndarray [1]
        Zero or less for a self-locking thread.

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    :func:`sliding_efficiencies` solved for the friction angle first. ``2 - 1/forward`` differs
    from it the more, the steeper the lead: a thread of 16 deg and 0.5 is not self-locking.

    Source
    ------
    As :func:`sliding_efficiencies`.

    Examples
    --------
    >>> round(float(sliding_back_efficiency(np.radians(16.4941385), 0.83852)), 4)
    0.8132
    """
    lean = within("lead_angle", lead_angle, 0.0, STEEPEST, "rad")
    slope = np.tan(lean)
    rub = np.arctan(slope / within("forward", forward, 0.0, 1.0)) - lean
    return numbers(np.tan(lean - rub) / slope)


def self_locking(efficiency_back: ArrayLike) -> NDArray[np.bool_]:
    """Whether the load cannot drive the motor through a contact.

    Parameters
    ----------
    efficiency_back : array_like [1]

    Returns
    -------
    ndarray of bool

    Source
    ------
    Definition: no power comes through when the efficiency from load to motor is zero or less.

    Examples
    --------
    >>> bool(self_locking(-0.67)), bool(self_locking(0.81))
    (True, False)
    """
    return numbers(efficiency_back) <= 0


def preload_drag(
    preload: ArrayLike, lead: ArrayLike, efficiency: ArrayLike, efficiency_back: ArrayLike
) -> Array:
    """No-load drag of two nut halves braced against each other.

    Parameters
    ----------
    preload : array_like [N]
    lead : array_like [m]
        Travel per turn.
    efficiency, efficiency_back : array_like [1]
        Of one unbraced half, motor to load and load to motor.

    Returns
    -------
    ndarray [N*m]
        Drag torque at the screw. It fades once the load passes 2.83 times the preload; taken as
        constant it is on the safe side.

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    One half is driven by the screw, the other drives it: ``T = F L / (2 pi) (1/eta_f - eta_b)``.

    Source
    ------
    Derived here from the balance of both halves.

    Examples
    --------
    >>> round(float(preload_drag(1500, 0.02, 0.95, 18 / 19)), 5)
    0.50259
    """
    forward = within("efficiency", efficiency, 0.0, 1.0)
    back = within("efficiency_back", efficiency_back, -np.inf, 1.0)
    per_turn = at_least("preload", preload, 0.0) * above("lead", lead, 0.0) / (2 * np.pi)
    return per_turn * (1 / forward - back)


def preload_drag_from_lead(preload: ArrayLike, lead: ArrayLike, diameter: ArrayLike) -> Array:
    """No-load drag of a preloaded ball nut when nothing but the preload is known.

    Parameters
    ----------
    preload : array_like [N]
    lead, diameter : array_like [m]

    Returns
    -------
    ndarray [N*m]

    Raises
    ------
    RangeError
        A number outside its range.

    Notes
    -----
    ``T = 0.05 / sqrt(tan b) F L / (2 pi)`` with the lead angle b on the nominal diameter.

    Source
    ------
    JIS B 1192 (from memory).

    Examples
    --------
    >>> round(float(preload_drag_from_lead(1500, 0.01, 0.032)), 4)
    0.3785
    """
    slope = np.tan(lead_angle(lead, diameter))
    per_turn = at_least("preload", preload, 0.0) * numbers(lead) / (2 * np.pi)
    return 0.05 / np.sqrt(slope) * per_turn


def preloaded_forces(load: ArrayLike, preload: ArrayLike) -> tuple[Array, Array]:
    """Forces on the two halves of a preloaded ball nut under an outer load.

    Parameters
    ----------
    load : array_like [N]
        Zero or more; the direction decides which half it presses.
    preload : array_like [N]
        More than zero.

    Returns
    -------
    pressed, relieved : ndarray [N]
        ``pressed - relieved = load``; the relieved half is free from 2.83 times the preload on.

    Raises
    ------
    RangeError
        Negative load, or a preload that is not above zero.

    Notes
    -----
    ``F1 = F_pr (1 + F / (2^1.5 F_pr))^1.5`` until the other half lifts off; ball contacts give
    way with the power 2/3 of the force.

    Source
    ------
    ISO 3408-5:2006 (from memory); within 2.5 % of the exact solution of the contact law.

    Examples
    --------
    >>> pressed, relieved = preloaded_forces(2000, 1500)
    >>> round(float(pressed), 1), round(float(relieved), 1)
    (2677.3, 677.3)
    """
    outer, inner = at_least("load", load, 0.0), above("preload", preload, 0.0)
    free = 2**1.5 * inner
    pressed = np.where(outer < free, inner * (1 + outer / free) ** 1.5, outer)
    return pressed, np.maximum(pressed - outer, 0.0)


def trapezoidal_root(diameter: float, pitch: float) -> float:
    """Root diameter of a metric trapezoidal thread, ``d - P - 2 a_c`` [m].

    Parameters
    ----------
    diameter : float [m]
        Nominal.
    pitch : float [m]
        Of one thread, not the lead.

    Returns
    -------
    float [m]
        nan for threads outside the standard (pitch under 1.5 mm or over 44 mm).

    Source
    ------
    ISO 2904 (from memory): crest clearance 0.15 mm at 1.5 mm of pitch, 0.25 mm from 2 mm,
    0.5 mm from 6 mm, 1 mm from 14 mm.

    Examples
    --------
    Tr 12x3, Tr 24x5, Tr 40x7:

    >>> [round(1e3 * trapezoidal_root(d, p), 3) for d, p in
    ...  ((0.012, 0.003), (0.024, 0.005), (0.040, 0.007))]
    [8.5, 18.5, 32.0]
    """
    steps = ((0.014, 1e-3), (0.006, 5e-4), (0.002, 2.5e-4), (0.0015, 1.5e-4))
    near = pitch * (1 + 1e-9)
    if pitch > 0.044 * (1 + 1e-9):
        return float("nan")
    clearance = next((c for least, c in steps if near >= least), float("nan"))
    return diameter - pitch - 2 * clearance
