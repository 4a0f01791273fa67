"""Temperatures on a scale: degC stays, degF and kelvin are converted."""

from __future__ import annotations

from fractions import Fraction

from dutyline.core.dimensions import Dimension
from dutyline.core.faults import ValueFault, listed, quoted
from dutyline.core.fitting import fit

_ZERO = Fraction("273.15")
_BARE = ("deg", "degs", "degree", "degrees", "°")
_KELVIN = ("K", "k", "degK")


def thermometer(number: Fraction, unit: str, wanted: Dimension, typed: str) -> tuple[float, bool]:
    """The temperature in degC, and whether it was typed in degF.

    Raises
    ------
    ValueFault
        No unit of temperature, or degrees without a scale, or below absolute zero.
    """
    name = unit.rstrip(".")
    if not name or name.casefold() in _BARE:
        raise _no_scale(number, typed)
    found = fit(name, wanted, number, typed)
    scale = found.text
    if scale == "degF":
        celsius = (number - 32) * Fraction(5, 9)
    elif scale == "K":
        celsius = number - _ZERO
    else:
        celsius = number
    if celsius < -_ZERO:
        raise ValueFault(
            f"read {quoted(typed)}, which is below absolute zero.", "Check the number and its unit."
        )
    return float(celsius), found.inch


def _no_scale(number: Fraction, typed: str) -> ValueFault:
    shown = listed(float(number))
    return ValueFault(
        f"read {quoted(typed)}, which names no scale: {shown} degC, or {shown} degF "
        f"({listed(float((number - 32) * Fraction(5, 9)))} degC).",
        f'Write "{shown} degC" or "{shown} degF".',
        (f"{shown} degC", f"{shown} degF"),
    )
