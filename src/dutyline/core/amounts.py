"""One amount of a quantity: a number with its unit, equal parts, mixed units, or a sum of those."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from dutyline.core.dimensions import FORCE_AREA, TABLE, Dimension
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.fitting import Fit, fit
from dutyline.core.number_text import scan
from dutyline.core.temperature import thermometer
from dutyline.core.unit_list import GRAVITY, Size

_SUM = re.compile(r"(?<!^)(?<![0-9.,][eE]) ?\+ ?(?=[0-9.,])| - (?=[0-9.,])")
_TIMES = re.compile(r"([0-9]{1,4}) ?[x*] ?(?=[0-9.,+-])(?!10 ?\^)")
PARTS = re.compile(r"(?<=[A-Za-z'\"°.]) (?=[0-9])|(?<=['\"°])-?(?=[0-9])")
_FLYWHEEL = re.compile(r"\(? ?\b(GD|WR|WK) ?\^? ?2\b ?\)? ?[=:]? ?", re.I)
_MIXED_UNITS = frozenset({"length", "angle", "time", "mass"})
_MOST_TERMS = 20
_WEIGHT_AREA = Dimension("weight-area", "a weight times an area", "N*m^2", FORCE_AREA, "N*m^2")


@dataclass(frozen=True, slots=True)
class Amount:
    """One number with its unit, in SI."""

    si: float
    inch: bool
    size: float
    """SI value of one unit."""


def no_unit(typed: str, wanted: Dimension) -> ValueFault:
    """The fault of a number that stands alone."""
    alone = re.fullmatch(r" *[+-]?[0-9][0-9., ]* *", typed) is not None
    first = re.split(", | or ", wanted.examples)[0]
    return ValueFault(
        f"read {quoted(typed)}, a number without a unit; {wanted.noun} is needed.",
        f'Write "{typed.strip()} {first}", or another unit: {wanted.examples}.'
        if alone
        else f"Write every number with its unit: {wanted.examples}.",
    )


def flywheel(text: str) -> tuple[str, int]:
    """The text without its mark, and by what it is divided: 4 for GD2, 1 for WR2, 0 unmarked."""
    marks = _FLYWHEEL.findall(text)
    if not marks:
        return text, 0
    rest = _FLYWHEEL.sub("", text).strip()
    return rest, 4 if marks[0].upper() == "GD" else 1


def amount(text: str, wanted: Dimension, typed: str, mark: int) -> Amount:
    """``12 kg + 15.5 lb``; a single value is a sum of one."""
    terms = _SUM.split(text)
    if len(terms) == 1:
        return term(text, wanted, typed, mark)
    if wanted.name == "temperature" or len(terms) > _MOST_TERMS:
        raise ValueFault(f"read {quoted(typed)}; one value is needed.", "Write the sum.")
    if wanted.name == "number":
        check_shares((part.rstrip().endswith("%") for part in terms), typed)
    amounts = [term(part, wanted, typed, mark) for part in terms]
    signs = ["+", *(m[0].strip() for m in _SUM.finditer(text))]
    total = math.fsum(
        -a.si if sign == "-" else a.si for sign, a in zip(signs, amounts, strict=True)
    )
    return Amount(total, any(a.inch for a in amounts), amounts[0].size)


def check_shares(shares: Iterable[bool], typed: str) -> None:
    """Refuse a sum of numbers and shares: ``100 + 12 %`` may be a change by percent."""
    if len(set(shares)) > 1:
        raise ValueFault(
            f"read {quoted(typed)}; it may be a sum or a change by percent.", "Write the result."
        )


def term(text: str, wanted: Dimension, typed: str, mark: int) -> Amount:
    """``2x35 kg``, ``5 ft 6 in`` or a plain number with its unit."""
    text = text.strip()
    times = _TIMES.match(text)
    if times:
        if not wanted.adds:
            raise ValueFault(
                f"read {quoted(typed)}; one value is needed.", f"Write one: {wanted.examples}."
            )
        if int(times[1]) == 0:
            raise ValueFault(f"read {quoted(typed)}; nothing times a value.", "Write the value.")
        one = term(text[times.end() :], wanted, typed, mark)
        return replace(one, si=int(times[1]) * one.si)
    number, end = scan(text)
    parts = PARTS.split(text[end:].strip()) if wanted.name in _MIXED_UNITS else [text[end:].strip()]
    if len(parts) == 1:
        return single(number, parts[0], wanted, typed, mark)
    if len(parts) > 3:
        raise ValueFault(f"read {quoted(typed)}; one value is needed.", "Write it in one unit.")
    total = single(number, parts[0], wanted, typed, mark)
    size = total.size
    for part in parts[1:]:
        inner, stop = scan(part)
        more = single(inner, part[stop:].strip(), wanted, typed, mark)
        if not more.size < size or more.si < 0.0:
            raise ValueFault(f"read {quoted(typed)}; one value is needed.", "Write it in one unit.")
        size = more.size
        si = total.si - more.si if text.startswith("-") else total.si + more.si
        total = replace(total, si=si)
    return total


def single(number: Fraction, unit: str, wanted: Dimension, typed: str, mark: int) -> Amount:
    """A number in a unit."""
    if wanted.name == "temperature":
        return Amount(*thermometer(number, unit, wanted, typed), 1.0)
    if not unit and wanted.name == "number":
        return Amount(float(number), False, 1.0)
    if not unit:
        raise no_unit(typed, wanted)
    if unit.startswith("-") and unit[1:2].isdigit():
        raise ValueFault(
            f"read {quoted(typed)}; it may be a range or a difference.",
            'A range is written "12..15 kg", a difference "15 kg - 12 kg".',
            _range_or_difference(number, unit),
        )
    found = flywheel_fit(unit, number, typed, mark) if mark else fit(unit, wanted, number, typed)
    return Amount(found.si(number), found.inch, found.size.of(Fraction(1)))


def _range_or_difference(number: Fraction, unit: str) -> tuple[str, ...]:
    """Both readings of ``12-15 kg``."""
    last = re.fullmatch(r"-([0-9.,]+) ?([^0-9].*)", unit)
    if last is None:
        return ()
    first = f"{float(number):.12g}"
    return f"{first}..{last[1]} {last[2]}", f"{first} {last[2]} - {last[1]} {last[2]}"


def flywheel_fit(unit: str, number: Fraction, typed: str, mark: int) -> Fit:
    """GD2 and WR2 in mass or in weight times length squared."""
    part = Size(Fraction(1, mark))
    for kind, gravity in ((TABLE["inertia"], Fraction(1)), (_WEIGHT_AREA, GRAVITY)):
        try:
            found = fit(unit, kind, number, typed)
        except ValueFault:
            continue
        return replace(found, size=found.size * part * Size(1 / gravity))
    raise ValueFault(
        f"read {quoted(typed)}; a mass or weight times a length squared is needed.",
        'Write it like "GD2 0.32 kgf*m^2" or "3.1 lb*ft^2 (WR2)".',
    )
