"""Units of foreign columns against those of our files, exactly."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from dutyline.catalogue.columns import Column
from dutyline.core.amounts import flywheel_fit
from dutyline.core.dimensions import TABLE, Dimension
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.fitting import fit
from dutyline.core.number_text import plain
from dutyline.intake.exact import Exact, exact, of_size

_PER_KELVIN = Dimension(
    "share-per-kelvin", "a share per kelvin", "1/K", (0, 0, 0, 0, 0, -1, 0), "%/K", shares=True
)
_PER_METRE = Dimension(
    "share-per-length", "a share per length", "1/m", (-1, 0, 0, 0, 0, 0, 0), "%/100 m or %/km",
    shares=True,
)  # fmt: skip
_LOSS = Dimension("loss-per-ampere", "a loss per ampere", "W/A", TABLE["voltage"].vector, "W/A")

_OURS: dict[str, tuple[Dimension, Exact]] = {
    # unit of a column of ours: its kind, and its size in SI
    "V": (TABLE["voltage"], exact(1)),
    "W": (TABLE["power"], exact(1)),
    "W/A": (_LOSS, exact(1)),
    "J": (TABLE["energy"], exact(1)),
    "J/K": (TABLE["heat-capacity"], exact(1)),
    "K/W": (TABLE["thermal-resistance"], exact(1)),
    "ohm": (TABLE["resistance"], exact(1)),
    "A": (TABLE["current"], exact(1)),
    "A rms": (TABLE["current"], exact(1)),
    "N": (TABLE["force"], exact(1)),
    "N*m": (TABLE["torque"], exact(1)),
    "N*m/A rms": (TABLE["torque-constant"], exact(1)),
    "kg": (TABLE["mass"], exact(1)),
    "m": (TABLE["length"], exact(1)),
    "s": (TABLE["time"], exact(1)),
    "degC": (TABLE["temperature"], exact(1)),
    "mm": (TABLE["length"], exact("1e-3")),
    "kg*cm^2": (TABLE["inertia"], exact("1e-4")),
    "r/min": (TABLE["angular-speed"], Exact(Fraction(1, 30), 1)),
    "V rms line-line per 1000 r/min": (TABLE["voltage-constant"], Exact(Fraction(3, 100), -1)),
    "mH": (TABLE["inductance"], exact("1e-3")),
    "uF": (TABLE["capacitance"], exact("1e-6")),
    "ms": (TABLE["time"], exact("1e-3")),
    "min": (TABLE["time"], exact(60)),
    "h": (TABLE["time"], exact(3600)),
    "kHz": (TABLE["frequency"], exact(1000)),
    "%": (TABLE["number"], exact("0.01")),
    "% per K": (_PER_KELVIN, exact("0.01")),
    "% per 100 m": (_PER_METRE, exact("1e-4")),
    "arcmin": (TABLE["angle"], Exact(Fraction(1, 10800), 1)),
    "N*m/arcmin": (TABLE["torsional-stiffness"], Exact(Fraction(10800), -1)),
    "deg": (TABLE["angle"], Exact(Fraction(1, 180), 1)),
}

SHARES = frozenset({"efficiency", "saturation_peak", "oil_seal_factor", "brake_factor"})
"""Fields without a unit that tables give as a share or in percent."""

SECONDS = Column("time", "time", unit="s")
WARM = Fraction(300)
"""A temperature of any scale, to try a unit with."""

_NONE = frozenset({"1", "-", "–", "p.u."})
_SPEED = re.compile(r"(?:r|rev|revs|U|tr|Upm|giri|1)\s?(?:/|per)\s?min\.?|min\s?(?:-1|\^-1|⁻¹)")
_DIGIT_UNIT = re.compile(r"(?<![A-Za-z^])(10+)(?=[A-Za-z])")
_TEN = r"(?:10\s?\^?\s?|1[eE])-\s?([0-9]{1,2})"
_POWER = re.compile(
    rf"(?:[x*·]\s?)?{_TEN}\s?[x*·]?\s?(?=[A-Za-z])|(?<=[A-Za-z0-9])\s?[x*·]\s?{_TEN}$"
)
_SINE = re.compile(
    r"(?<=[AVv])[\s_·]*\(?(?:(?P<rms>rms|RMS|eff|Eff|EFF)|(?P<peak>pk|PK|peak|Peak|p|pp|0-p"
    r"|crest|Spitze|crête|pico|picco))\)?(?![A-Za-z])"
)
_ACROSS = re.compile(
    r"[\s_(]*\b(?:LL|L-L|ll|l-l|L/L|line[- ]to[- ]line|line[- ]line|ph-ph|Ph-Ph)\b\)?"
)


@dataclass(frozen=True, slots=True)
class UnitText:
    """A unit as a table writes it, with what it says beside the unit."""

    text: str
    """The unit alone."""
    answers: tuple[tuple[str, str], ...] = ()
    """``ampere``, ``voltage`` and ``across`` as far as they are said."""


def unit_text(typed: str) -> UnitText:
    """A unit as written, with rms, peak and line-line taken out of it.

    >>> unit_text("Nm/Arms")
    UnitText(text='Nm/A', answers=(('ampere', 'rms'),))
    """
    answers: list[tuple[str, str]] = []

    def sine(found: re.Match[str]) -> str:
        letter = typed_unit[found.start() - 1]
        key = "ampere" if letter == "A" else "voltage"
        answers.append((key, "rms" if found["rms"] else "peak"))
        return ""

    typed_unit = typed.strip()
    typed_unit, count = _ACROSS.subn("", typed_unit)
    if count:
        answers.append(("across", "line-line"))
    text = _SINE.sub(sine, typed_unit)
    text = _SPEED.sub("rpm", text)
    text = _DIGIT_UNIT.sub(r"\1 ", text)
    return UnitText(" ".join(text.split()), tuple(answers))


def needs_unit(column: Column) -> bool:
    """Whether a foreign column has to say its unit."""
    if column.kind not in ("number", "list"):
        return column.kind == "pairs"
    return bool(column.unit) or column.field in SHARES


def kind_of(column: Column) -> Dimension:
    """What a column of ours measures."""
    return _OURS[column.unit][0] if column.unit else TABLE["number"]


def factor(column: Column, unit: str, gd2: bool = False) -> Exact:
    """By what a number in a foreign unit is multiplied to stand in our column.

    Parameters
    ----------
    column : Column
        Not a temperature; those are :func:`celsius`.
    unit : str
        The unit alone, as :func:`unit_text` leaves it.
    gd2 : bool
        True where the figure is GD2; the quarter is in the factor then.

    Raises
    ------
    ValueFault
        Unknown unit, unit of another kind, or two meanings.
    """
    dimension, ours = _OURS[column.unit] if column.unit else (TABLE["number"], exact(1))
    if dimension.name == "number" and unit in _NONE:
        return exact(1) / ours
    clean, power = _without_power(plain(unit))
    if not clean:
        raise ValueFault(f"no unit is said; {dimension.noun} is needed.")
    if gd2:
        size = of_size(flywheel_fit(clean, Fraction(1), unit, 4).size)
        return size * power / ours
    return of_size(fit(clean, dimension, Fraction(1), unit).size) * power / ours


def _without_power(unit: str) -> tuple[str, Exact]:
    """``10^-4 kg m2`` as its unit and the power of ten; only negative powers are a unit's own."""
    found = _POWER.search(unit)
    if not found:
        return unit, exact(1)
    tens = int(found[1] or found[2])
    return unit[: found.start()] + unit[found.end() :], exact(Fraction(1, 10**tens))


def celsius(number: Fraction, unit: str) -> Fraction:
    """A temperature on its scale [degC], exactly.

    Raises
    ------
    ValueFault
        No scale of temperature, or below absolute zero.
    """
    scale = fit(plain(unit), TABLE["temperature"], number, unit).text
    value = number
    if scale == "degF":
        value = (number - 32) * Fraction(5, 9)
    elif scale == "K":
        value = number - Fraction("273.15")
    if value < Fraction("-273.15"):
        raise ValueFault(f"read {quoted(f'{number} {unit}')}, which is below absolute zero.")
    return value


def kelvins(number: Fraction, unit: str) -> Fraction:
    """A difference of temperatures [K], exactly.

    Raises
    ------
    ValueFault
        No unit of temperature.
    """
    found = fit(plain(unit), TABLE["temperature-difference"], number, unit)
    return number * found.size.fraction
