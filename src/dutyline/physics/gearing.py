"""Electronic gear: whole numbers of encoder counts per unit of the command, kept exactly."""

from __future__ import annotations

from fractions import Fraction

from dutyline.core.errors import RangeError


def gear(counts_per_turn: int, ratio: Fraction, units_per_load_turn: Fraction) -> Fraction:
    """Encoder counts per unit of the command.

    Parameters
    ----------
    counts_per_turn : int
        Of the motor encoder.
    ratio : Fraction
        Motor turns per load turn.
    units_per_load_turn : Fraction
        Command units per load turn, more than 0.

    Source
    ------
    Definition.

    Examples
    --------
    >>> gear(2**20, Fraction(24), Fraction(360000))
    Fraction(131072, 1875)
    """
    if units_per_load_turn <= 0:
        raise RangeError(f"units_per_load_turn is {units_per_load_turn}; it must be more than 0")
    return counts_per_turn * ratio / units_per_load_turn


def recognised(value: float, denominator_most: int = 2000) -> Fraction | None:
    """The plain fraction that a measured-out number stands for, or None where it is none.

    Leads, teeth and degrees give fractions of small denominators; pi times a module does not. A
    float holds 16 digits, so a fraction that agrees to 14 of them is meant.

    Parameters
    ----------
    value : float
        More than 0.
    denominator_most : int

    Source
    ------
    Continued fractions.

    Examples
    --------
    >>> recognised(0.02 / 3 / 1e-6), recognised(3.141592653589793)
    (Fraction(20000, 3), None)
    """
    if not 0.0 < value < float("inf"):
        return None
    found = Fraction(value).limit_denominator(denominator_most)
    near = found > 0 and abs(float(found) / value - 1.0) <= 1e-14
    return found if near else None


def nearest_gear(wanted: float, denominator_most: int) -> tuple[Fraction, float]:
    """Best fraction for a gear that is not rational, and its relative error.

    Parameters
    ----------
    wanted : float
        Counts per unit, more than 0.
    denominator_most : int
        That the register of the drive holds.

    Returns
    -------
    Fraction, float
        The error is signed and relative; it adds up on endless axes.

    Source
    ------
    Continued fractions.

    Examples
    --------
    >>> import math
    >>> turn = math.pi * 2.0 * 20 * 1000  # micrometres of a rack per pinion turn
    >>> found, error = nearest_gear(2**20 * 9 / turn, 500)
    >>> found, round(1e6 * error, 5)
    (Fraction(23581, 314), 0.02652)
    """
    if not wanted > 0.0:
        raise RangeError(f"wanted is {wanted:g}; it must be more than 0")
    best = Fraction(wanted).limit_denominator(denominator_most)
    return best, float(best) / wanted - 1.0


def range_wraps(turns: int, ratio: Fraction) -> int:
    """Full ranges of a multi-turn encoder after which the load stands as before.

    1 means that the place of an endless table is never lost; more must be counted and kept.

    Parameters
    ----------
    turns : int
        Motor turns that the encoder counts.
    ratio : Fraction
        Motor turns per load turn, more than 0.

    Source
    ------
    Smallest whole multiple: the denominator of turns over ratio in lowest terms.

    Examples
    --------
    >>> range_wraps(2**16, Fraction(24)), range_wraps(2**16, Fraction(16))
    (3, 1)
    """
    if ratio <= 0:
        raise RangeError(f"ratio is {ratio}; it must be more than 0")
    return (turns / ratio).denominator


def command_frequency(speed: float, unit: float) -> float:
    """Pulses per second of a pulse command [Hz].

    Parameters
    ----------
    speed : float [m/s or rad/s]
        Magnitude counts.
    unit : float [m or rad]
        Travel per pulse, more than 0.

    Source
    ------
    Definition.

    Examples
    --------
    >>> round(command_frequency(1.2, 1e-6))
    1200000
    """
    if not unit > 0.0:
        raise RangeError(f"unit is {unit:g}; it must be more than 0")
    return abs(speed) / unit
