"""Numbers as people read them: grouped, rounded, with the unit of the trade.

Thin no-break space (U+202F) between groups of three and before the percent sign, no-break space
(U+00A0) before a unit, minus U+2212. Inside the package everything is SI; the units that readers
expect (r/min, mm, kg·cm², or the inch-pound family) and the decimal mark are chosen here, for the
reader that :mod:`dutyline.core.reader` tells.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from dutyline.core.reader import reader

THIN = "\u202f"
"""Thin no-break space: between groups of digits and before the percent sign."""
SPACE = "\u00a0"
"""No-break space: before a unit."""
MINUS = "\u2212"

_POUND = 0.45359237  # kg, exact by definition
_INCH = 0.0254  # m, exact by definition
_GRAVITY = 9.80665  # m/s^2, exact by definition
_TURN = 2.0 * math.pi


@dataclass(frozen=True, slots=True)
class Scale:
    """A unit to show, with its size in SI."""

    size: float
    """SI value of one such unit."""
    text: str
    """As printed: ``r/min``, ``kg·cm²``; empty for bare numbers."""


_SCALES: dict[str, tuple[Scale, ...]] = {
    # SI unit: scales from coarse to fine; the first that leaves a number of at least its floor
    "1": (Scale(1.0, ""),),
    "rad/s": (Scale(_TURN / 60.0, "r/min"),),
    "rad/s^2": (Scale(1.0, "rad/s²"),),
    "rad": (Scale(math.pi / 180.0, "°"), Scale(math.pi / 10800.0, "arcmin")),
    "m": (Scale(1.0, "m"), Scale(1e-3, "mm"), Scale(1e-6, "μm")),
    "m^2": (Scale(1.0, "m²"), Scale(1e-6, "mm²")),
    "kg*m^2": (Scale(1.0, "kg·m²"), Scale(1e-4, "kg·cm²")),
    "N": (Scale(1e3, "kN"), Scale(1.0, "N")),
    "F": (Scale(1e-6, "μF"),),
    "H": (Scale(1e-3, "mH"),),
    "N/m": (Scale(1e3, "N/mm"),),
    "Hz": (Scale(1e3, "kHz"), Scale(1.0, "Hz")),
    "Pa": (Scale(1e6, "MPa"), Scale(1e5, "bar")),
    "Pa*m/s": (Scale(1e6, "MPa·m/s"),),
    "m*rad/s": (Scale(1e-3 * _TURN / 60.0, "mm·r/min"),),
    "J": (Scale(3.6e6, "kWh"), Scale(1.0, "J")),
    "N*m/rad": (Scale(180.0 / math.pi, "N·m/°"),),
    "degC": (Scale(1.0, "°C"),),
    "ohm": (Scale(1.0, "Ω"),),
    "s": (Scale(3600.0, "h"), Scale(1.0, "s")),
}

_FLOORS: dict[str, tuple[float, ...]] = {
    # smallest SI magnitude for which the scale of the same place is taken
    "rad": (math.radians(1.0), 0.0),
    "m": (2.0, 1e-3, 0.0),
    "m^2": (0.1, 0.0),
    "kg*m^2": (0.1, 0.0),
    "N": (1e4, 0.0),
    "Pa": (2e6, 0.0),
    "Hz": (1e4, 0.0),
    "J": (1e7, 0.0),
    "s": (7200.0, 0.0),
}
_AT_ZERO = {"rad": 0, "m": 1}
"""Place of the scale in which nothing is shown; else the finest."""

_INCH_SCALES: dict[str, Scale] = {
    "m": Scale(_INCH, "in"),
    "m^2": Scale(_INCH**2, "in²"),
    "kg": Scale(_POUND, "lb"),
    "N": Scale(_POUND * _GRAVITY, "lbf"),
    "N*m": Scale(_POUND * _GRAVITY * _INCH, "lbf·in"),
    "N/m": Scale(_POUND * _GRAVITY / _INCH, "lbf/in"),
    "Pa": Scale(_POUND * _GRAVITY / _INCH**2, "psi"),
    "N*m/rad": Scale(_POUND * _GRAVITY * _INCH * 180.0 / math.pi, "lbf·in/°"),
    "kg*m^2": Scale(_POUND * _INCH**2, "lb·in²"),
    "m/s": Scale(_INCH, "in/s"),
    "m/s^2": Scale(_INCH, "in/s²"),
    "m/s^3": Scale(_INCH, "in/s³"),
}
_FOOT = Scale(12.0 * _INCH, "ft")
_FEET_FROM = 20.0 * _FOOT.size
_MIL = Scale(1e-3 * _INCH, "mil")
_MILS_BELOW = 100.0 * _MIL.size
_MICROINCH = Scale(1e-6 * _INCH, "μin")
_SMALL_BELOW = 1e-3 * _INCH


def pretty_unit(unit: str) -> str:
    """The SI unit as printed: ``N*m`` becomes N·m, ``m/s^2`` becomes m/s², ``1`` nothing."""
    if unit in ("1", ""):
        return ""
    text = unit.replace("ohm", "Ω").replace("degC", "°C").replace("*", "·")
    return text.replace("^2", "²").replace("^3", "³").replace("A_rms", "A rms")


def scale_for(unit: str, size: float = 1.0, system: str | None = None) -> Scale:
    """The unit in which a value of about this size [``unit``] is shown.

    ``system`` is ``si`` or ``inch``; left out, it is that of the reader.
    """
    if (system or reader().units) == "inch" and unit in _INCH_SCALES:
        if unit == "m" and 0.0 < abs(size) < _MILS_BELOW:
            return _MIL
        if unit == "m" and 0.0 < abs(size) < _SMALL_BELOW:
            return _MICROINCH
        return _FOOT if unit == "m" and abs(size) >= _FEET_FROM else _INCH_SCALES[unit]
    scales = _SCALES.get(unit)
    if scales is None:
        return _plain(unit)
    if size == 0.0:
        return scales[_AT_ZERO.get(unit, -1)]
    for scale, floor in zip(scales, _FLOORS.get(unit, (0.0,)), strict=True):
        if abs(size) >= floor:
            return scale
    return scales[-1]


@lru_cache(maxsize=256)
def _plain(unit: str) -> Scale:
    """The SI unit itself."""
    return Scale(1.0, pretty_unit(unit))


def group(x: float, digits: int = 0) -> str:
    """``x`` with this many decimals, groups of three and a true minus.

    >>> group(-1234567.891, 1).replace(THIN, "_").replace(MINUS, "-")
    '-1_234_567.9'
    """
    return marked(_group(x, digits))


def _group(x: float, digits: int) -> str:
    """As :func:`group`, with a decimal point for every reader."""
    if math.isnan(x):
        return "not known"
    if math.isinf(x):
        return "unlimited" if x > 0 else MINUS + "unlimited"
    text = f"{abs(x):,.{digits}f}"
    negative = x < 0 and any(c not in "0.," for c in text)
    return (MINUS if negative else "") + text.replace(",", THIN)


def marked(text: str) -> str:
    """The digits of one number, with the decimal mark of the reader for their point."""
    return text.replace(".", ",") if reader().comma else text


def bare(x: float, n: int = 6) -> str:
    """``x`` with at most ``n`` significant digits and no groups, for a sentence.

    >>> bare(0.30000000001), bare(1234567.0)
    ('0.3', '1.23457e+06')
    """
    return marked(f"{x:.{n}g}")


def fixed(x: float, digits: int) -> str:
    """``x`` with so many decimals and no groups, for a sentence."""
    return marked(f"{x:.{digits}f}")


def decimals(x: float, n: int = 3) -> int:
    """Decimals that leave ``x`` with ``n`` significant digits, none below the point cut off.

    >>> decimals(2.6017), decimals(3281.2), decimals(9.996)
    (2, 0, 1)
    """
    if x == 0 or not math.isfinite(x):
        return 0
    exponent = int(f"{abs(x):.{max(n - 1, 0)}e}".partition("e")[2])
    return max(0, n - 1 - exponent)


def significant(x: float, n: int = 3) -> str:
    """``x`` with ``n`` significant digits; digits before the point always stay.

    >>> significant(2.6017), significant(0.000576), significant(9.996)
    ('2.60', '0.000576', '10.0')
    """
    return group(x, decimals(x, n))


def lasting(seconds: float) -> str:
    """A length of time as people say it.

    >>> [lasting(s).replace(SPACE, " ") for s in (38.4, 1620.0, 8100.0)]
    ['38.4 s', '27.0 min', '2.25 h']
    """
    size, unit = next(
        (scale for scale in ((3600.0, "h"), (60.0, "min")) if seconds >= 2.0 * scale[0]), (1.0, "s")
    )
    return f"{significant(seconds / size)}{SPACE}{unit}"


def percent(x: float) -> str:
    """A share as percent; never rounds onto the limit from either side.

    >>> shares = (percent(s) for s in (0.731, 1.004, 0.9971, 0.001))
    >>> [s.replace(THIN, ' ').replace(SPACE, ' ') for s in shares]
    ['73 %', '100.4 %', '99.7 %', '< 1 %']
    """
    if not math.isfinite(x):
        return group(x)
    value = 100.0 * x
    if 0.0 < value < 0.5:
        return f"<{SPACE}1{THIN}%"
    digits = 0
    while digits < 3 and value != 100.0 and round(value, digits) == 100.0:
        digits += 1
    return f"{group(value, digits)}{THIN}%"


def deviation(x: float) -> str:
    """A deviation as percent with its sign.

    >>> deviation(0.1).replace(THIN, " "), deviation(-0.1).replace(THIN, " ").replace(MINUS, "-")
    ('+10 %', '-10 %')
    """
    return ("+" if x > 0 else "") + percent(x)


def with_unit(number: str, unit: str) -> str:
    """Number and unit text joined by a no-break space; degrees of angle stand close."""
    if not unit:
        return number
    return number + unit if unit == "°" else f"{number}{SPACE}{unit}"


def stated_quantity(si: float, unit: str, n: int = 4, system: str | None = None) -> str:
    """A value that was given, as by :func:`stated`, in the unit a reader expects."""
    number, shown = _stated_in(si, unit, n, system or reader().units)
    return with_unit(marked(number), shown)


@lru_cache(maxsize=2048)
def _stated_in(si: float, unit: str, n: int, system: str) -> tuple[str, str]:
    """Number, with a decimal point for every reader, and unit of a value that was given."""
    if not math.isfinite(si):
        return _group(si, 0), ""
    scale = scale_for(unit, si, system)
    return _stated(si / scale.size, n), scale.text


def quantity(si: float, unit: str, system: str | None = None, n: int = 3) -> str:
    """An SI value in the unit a reader expects, ``n`` significant digits.

    Parameters
    ----------
    si : float
        Value in SI.
    unit : str
        Its SI unit as in :class:`dutyline.core.values.Value`.
    system : str, optional
        ``si``, or ``inch`` for the inch-pound family where it has a unit of this kind; left out,
        that of the reader.
    n : int
        Significant digits.

    Examples
    --------
    >>> quantity(343.6, "rad/s").replace(THIN, "_").replace(SPACE, " ")
    '3_281 r/min'
    >>> quantity(3.0029, "kg", "inch").replace(SPACE, " ")
    '6.62 lb'
    """
    if not math.isfinite(si):
        return group(si)
    scale = scale_for(unit, si, system)
    return with_unit(significant(si / scale.size, n), scale.text)


def floored_quantity(si: float, unit: str, n: int = 3) -> str:
    r"""A positive limit with its unit, not above itself at ``n`` digits.

    >>> floored_quantity(10.5263, "N*m"), floored_quantity(2.6399, "N*m")
    ('10.5\xa0N·m', '2.63\xa0N·m')
    """
    scale = scale_for(unit, si)
    shown = si / scale.size
    if not shown > 0.0:
        return quantity(si, unit, n=n)
    step = 10.0 ** (math.floor(math.log10(shown)) + 1 - n)
    down = math.floor(shown / step * (1.0 + 1e-12)) * step
    return quantity(down * scale.size, unit, n=n)


def even_quantity(si: float, unit: str, digits: int) -> str:
    """An SI value in the unit a reader expects with so many decimals, for a column."""
    scale = scale_for(unit, si)
    return with_unit(group(si / scale.size, digits), scale.text)


def stated(x: float, n: int = 5) -> str:
    """At most ``n`` significant digits, fewer where they already say it exactly.

    >>> stated(72.0), stated(0.97), stated(7.030682, 4)
    ('72', '0.97', '7.031')
    """
    return marked(_stated(x, n))


def _stated(x: float, n: int) -> str:
    """As :func:`stated`, with a decimal point for every reader."""
    for digits in range(1, n):
        if math.isclose(float(f"{x:.{digits - 1}e}"), x, rel_tol=1e-12):
            return _group(x, decimals(x, digits))
    return _group(x, decimals(x, n))


def judged(si: float, low: float, high: float, unit: str, *, inch: bool = False) -> str:
    """The value that was taken from a stated range, and the range.

    >>> judged(70.0, 60.0, 80.0, "kg").replace(SPACE, " ")
    '70 kg, the middle of 60 to 80 kg'
    """
    scale = scale_for(unit, high)
    ends = stated(low / scale.size, 4), with_unit(stated(high / scale.size, 4), scale.text)
    span = f"{ends[0]} to {ends[1]}"
    if inch and echo(high, unit):
        both = (stated_quantity(end, unit) + echo(end, unit) for end in (low, high))
        span = " to ".join(both)
    place = "the middle of" if math.isclose(2.0 * si, low + high, rel_tol=1e-9) else "stated as"
    own = stated_quantity(si, unit) + (echo(si, unit) if inch else "")
    return f"{own}, {place} {span}"


def pair(demand: float, limit: float, unit: str, n: int = 3) -> tuple[str, str, str]:
    """Demand, limit and unit as text, both numbers in one unit that suits the limit.

    The demand is not printed finer than the limit unless nothing of it would be left.

    >>> pair(0.9505, 1.0339, "N*m")[:2], pair(0.0399, 1.0, "1")[:2]
    (('0.95', '1.03'), ('0.04', '1.00'))
    """
    sized = limit if math.isfinite(limit) and limit != 0.0 else demand
    scale = scale_for(unit, sized)
    a, b = demand / scale.size, limit / scale.size
    fine, coarse = decimals(a, n), decimals(b, n)
    digits = fine
    if coarse < fine and math.isfinite(b):
        digits = min(fine, max(coarse, decimals(a, 1)))
    first, second = group(a, digits), group(b, coarse)
    while first == second and a != b and digits < fine + 3:
        digits, coarse = digits + 1, coarse + 1
        first, second = group(a, digits), group(b, coarse)
    return first, second, scale.text


def echo(si: float, unit: str) -> str:
    """The inch-pound echo in brackets with a space before it, or nothing where there is none.

    A reader in inches and pounds reads them as results and needs no echo.

    >>> echo(7.031, "kg").replace(SPACE, " ")
    ' (15.5 lb)'
    """
    if unit not in _INCH_SCALES or not math.isfinite(si) or reader().units == "inch":
        return ""
    return f" ({quantity(si, unit, 'inch')})"
