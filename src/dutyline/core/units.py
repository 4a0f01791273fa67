"""The one place that knows units other than SI: what people type, and what they are shown."""

from __future__ import annotations

from fractions import Fraction

from dutyline.core.dimensions import DIMENSIONS, dimension, named
from dutyline.core.faults import ValueFault
from dutyline.core.number_text import parse_number
from dutyline.core.numbers import quantity, significant, with_unit
from dutyline.core.reading import read_value
from dutyline.core.unit_list import UNITS

__all__ = [
    "DIMENSIONS",
    "ValueFault",
    "format_si",
    "parse_number",
    "read_value",
    "show",
    "unit_table",
    "unit_text",
]


def unit_text(dimension_name: str) -> str:
    """The SI unit of a dimension as printed in results: ``N*m``, ``1`` for bare numbers."""
    return dimension(dimension_name).si


def format_si(value_si: float, dimension_name: str) -> str:
    """An SI value as text that :func:`read_value` reads back to the same bits.

    >>> format_si(0.01, "length"), format_si(0.92, "number")
    ('0.01 m', '0.92')
    """
    unit = unit_text(dimension_name)
    return repr(float(value_si)) if unit == "1" else f"{float(value_si)!r} {unit}"


def show(si: float, dimension_name: str, units: str = "si", n: int = 3) -> str:
    """An SI value in the unit a reader expects; rates come per minute.

    Parameters
    ----------
    si : float
        The value in SI.
    dimension_name : str
        Its dimension.
    units : str
        ``si`` or ``inch``.
    n : int
        Significant digits.
    """
    if dimension(dimension_name).name == "rate":
        return with_unit(significant(60.0 * si, n), "/min")
    return quantity(si, unit_text(dimension_name), units, n)


def unit_table() -> tuple[tuple[str, str, float, str], ...]:
    """Every unit that is read: dimension, spellings, size in SI and SI unit.

    Products and quotients of these are read too.
    """
    rows = []
    for unit in UNITS:
        kinds = named(unit.vector)
        noun = kinds[0].noun.split(" ", 1)[1] if kinds else "count"
        si = kinds[0].si if kinds else "1"
        rows.append((noun, " ".join(unit.spellings), unit.size.of(Fraction(1)), si))
    return tuple(rows)
