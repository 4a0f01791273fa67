"""Values as typed: text with a unit, a bare number, or a table with status, note and range."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from dutyline.core.dimensions import TABLE, Dimension, dimension
from dutyline.core.faults import ValueFault, listed, quoted
from dutyline.core.fitting import Fit, fit
from dutyline.core.number_text import plain, scan
from dutyline.core.spellings import GRAVITY, Size
from dutyline.core.temperature import thermometer
from dutyline.core.values import STATUSES, Status, Value

_KEYS = ("value", "status", "note", "range")
_LARGEST = 1e15
_SMALLEST = 1e-30

_ABOUT = re.compile(r"(?:about|around|roughly|approx(?:imately)?\.?|circa|ca?\.|ca|~) ?", re.I)
_FLYWHEEL = re.compile(r"\(? ?\b(GD|WR|WK) ?\^? ?2\b ?\)? ?[=:]? ?", re.I)
_RANGE = re.compile(r" ?\.\.+ ?| to ")
_SUM = re.compile(r" ?\+ ?(?=[0-9.,])| - (?=[0-9.,])")
_TIMES = re.compile(r"([0-9]{1,4}) ?[x*] ?(?=[0-9.,+-])(?!10 ?\^)")
_NEXT = re.compile(r"(?<=[A-Za-z'\"°.]) (?=[0-9])|(?<=['\"°])-?(?=[0-9])")
_PARTS = frozenset({"length", "angle", "time", "mass"})


@dataclass(frozen=True, slots=True)
class _Amount:
    """One number with its unit, in SI."""

    si: float
    inch: bool
    size: float
    """SI value of one unit."""


def read_value(text: str | int | float | bool | Mapping[str, object], dimension: str) -> Value:
    """The value that was typed into a field of this dimension.

    Parameters
    ----------
    text : str, int, float or mapping
        ``"40 kg"``; a bare number where the dimension is ``number``; or a table
        ``{value, status, note, range}``.
    dimension : str
        A name of :data:`dutyline.core.dimensions.DIMENSIONS`.

    Returns
    -------
    Value
        In SI, with what was typed, its status and a stated range.

    Raises
    ------
    ValueFault
        Nothing usable, a unit of another kind, or two readings.
    KeyError
        There is no such dimension.

    Examples
    --------
    >>> read_value("25 lbf.in", "torque").si
    2.824620725690...
    >>> read_value("36..46 kg", "mass").si
    41.0
    """
    wanted = _dimension(dimension)
    if isinstance(text, Mapping):
        return _from_table(text, wanted)
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise ValueFault(
            f"read {quoted(_toml(text))}; {wanted.noun} is needed.",
            f"Write it as text with its unit: {wanted.examples}.",
        )
    if isinstance(text, str):
        return _from_text(text, wanted)
    return _from_number(text, wanted)


def _dimension(name: str) -> Dimension:
    return dimension(name)


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return "a list" if isinstance(value, list | tuple) else str(value)


def _from_number(number: float, wanted: Dimension) -> Value:
    if wanted.name != "number":
        typed = str(number)
        raise _no_unit(typed, wanted)
    try:
        si = float(number)
    except OverflowError:
        si = math.inf
    return Value(_bounded(si, str(number)[:40], wanted), wanted.si, typed=str(number)[:40])


def _no_unit(typed: str, wanted: Dimension) -> ValueFault:
    first = re.split(", | or ", wanted.examples)[0]
    return ValueFault(
        f"read {quoted(typed)}, a number without a unit; {wanted.noun} is needed.",
        f'Write "{typed.strip()} {first}", or another unit: {wanted.examples}.',
    )


def _bounded(si: float, typed: str, wanted: Dimension) -> float:
    if math.isnan(si):
        raise ValueFault(f"read {quoted(typed)}, which is no number; {wanted.noun} is needed.")
    if abs(si) > _LARGEST or 0.0 < abs(si) < _SMALLEST:
        word = "large" if abs(si) > 1.0 else "small"
        raise ValueFault(
            f"read {quoted(typed)}, too {word} for {wanted.noun}.", "Check the number and its unit."
        )
    return si


def _from_table(table: Mapping[str, object], wanted: Dimension) -> Value:
    for key in table:
        if key not in _KEYS:
            near = difflib.get_close_matches(str(key)[:40], _KEYS, n=1)
            known = f'The nearest is "{near[0]}".' if near else f"Known are {', '.join(_KEYS)}."
            raise ValueFault(f"read the field {quoted(key)}, which no value has.", known)
    if "value" not in table:
        raise ValueFault("read a table without value; a value is needed.", 'Add value = "...".')
    inner = table["value"]
    if isinstance(inner, Mapping):
        raise ValueFault("read a table inside value; a text with its unit is needed.")
    value = read_value(inner, wanted.name)  # type: ignore[arg-type]
    if "range" in table:
        value = _ranged(value, table["range"], wanted)
    if "status" in table:
        value = replace(value, status=_status(table["status"]))
    note = table.get("note", "")
    if not isinstance(note, str):
        raise ValueFault(f"read the note {quoted(_toml(note))}; text is needed.")
    return replace(value, note=note)


def _status(word: object) -> Status:
    for status in STATUSES:
        if word == status:
            return status
    raise ValueFault(
        f"read the status {quoted(_toml(word))}; one of {', '.join(STATUSES)} is needed."
    )


def _ranged(value: Value, given: object, wanted: Dimension) -> Value:
    """The value with the range of its table, which has to hold it."""
    if isinstance(given, list | tuple) and len(given) == 2:
        low, high = (read_value(end, wanted.name).si for end in given)
    elif isinstance(given, str):
        both = read_value(given, wanted.name)
        if both.low is None or both.high is None:
            raise ValueFault(f"read the range {quoted(given)}; two ends are needed.")
        low, high = both.low, both.high
    else:
        raise ValueFault(
            f"read the range {quoted(_toml(given))}; a list of two values is needed.",
            'Write range = ["36 kg", "46 kg"].',
        )
    if not low <= value.si <= high:
        raise ValueFault(
            f"read {quoted(value.typed)}, which lies outside its range "
            f"{listed(low)} to {listed(high)} {wanted.si}.",
            "Check the value and its range.",
        )
    return replace(value, low=low, high=high)


def _from_text(typed: str, wanted: Dimension) -> Value:
    text = plain(typed)
    if not text:
        raise ValueFault(
            f"read an empty text; {wanted.noun} is needed.", f"Units: {wanted.examples}."
        )
    status: Status = "given"
    about = _ABOUT.match(text)
    if about:
        text, status = text[about.end() :], "assumed"
    share = 0
    if wanted.name == "inertia":
        text, share = _flywheel(text)
    low, middle, high, inch = _ends(text, wanted, typed, share)
    for si in (low, middle, high):
        _bounded(si, typed, wanted)
    if low == high:
        return Value(middle, wanted.si, typed, status, inch=inch)
    return Value(middle, wanted.si, typed, status, low=low, high=high, inch=inch)


def _flywheel(text: str) -> tuple[str, int]:
    """The text without its mark, and by what it is divided: 4 for GD2, 1 for WR2, 0 unmarked."""
    marks = _FLYWHEEL.findall(text)
    if not marks:
        return text, 0
    rest = _FLYWHEEL.sub("", text).strip()
    return rest, 4 if marks[0].upper() == "GD" else 1


def _ends(text: str, wanted: Dimension, typed: str, share: int) -> tuple[float, float, float, bool]:
    """Lower end, value and upper end of one value, a range or a tolerance."""
    tolerance = re.split(r" ?(?:±|\+/-|\+-) ?", text)
    if len(tolerance) == 2:
        return _tolerance(tolerance[0], tolerance[1], wanted, typed)
    ends = _RANGE.split(text)
    if len(ends) == 1:
        one = _sum(text, wanted, typed, share)
        return one.si, one.si, one.si, one.inch
    if len(ends) != 2 or not all(ends):
        raise ValueFault(
            f"read {quoted(typed)}; a range has two ends.", 'Write it like "12..15 kg".'
        )
    last = _sum(ends[1], wanted, typed, share)
    first = _sum(_with_unit_of(ends[0], ends[1]), wanted, typed, share)
    if first.si > last.si:
        raise ValueFault(
            f"read {quoted(typed)}; a range starts with its lower end.", "Exchange the ends."
        )
    middle = first.si + (last.si - first.si) / 2
    return first.si, middle, last.si, first.inch or last.inch


def _with_unit_of(first: str, last: str) -> str:
    """``12`` of ``12..15 kg`` with the unit of its other end."""
    if scan(first)[1] < len(first):
        return first
    return first + " " + last[scan(last)[1] :].strip()


def _tolerance(
    middle: str, width: str, wanted: Dimension, typed: str
) -> tuple[float, float, float, bool]:
    """``40 kg +/- 5 kg``, ``40 +/- 5 kg`` or ``40 kg +/- 10 %``."""
    if not middle or wanted.name == "temperature":
        raise ValueFault(
            f"read {quoted(typed)}; {wanted.noun} is needed.",
            "Leave out the sign, or write a range with two dots.",
        )
    share = width.endswith("%") and not middle.endswith("%")
    if not share and scan(width)[1] == len(width):
        width = _with_unit_of(width, middle)
    elif not share:
        middle = _with_unit_of(middle, width)
    value = _sum(middle, wanted, typed, 0)
    if share:
        half = abs(value.si) * _sum(width, TABLE["number"], typed, 0).si
    else:
        half = _sum(width, wanted, typed, 0).si
    return value.si - half, value.si, value.si + half, value.inch


def _sum(text: str, wanted: Dimension, typed: str, share: int) -> _Amount:
    """``12 kg + 15.5 lb``; a single value is a sum of one."""
    marks = [""] + [m[0].strip() for m in _SUM.finditer(text)]
    terms = _SUM.split(text)
    if len(terms) == 1:
        return _amount(text, wanted, typed, share)
    if wanted.name == "temperature" or len(terms) > 20:
        raise ValueFault(f"read {quoted(typed)}; one value is needed.", "Write the sum.")
    amounts = [_amount(term, wanted, typed, share) for term in terms]
    total = math.fsum(
        -a.si if mark == "-" else a.si for mark, a in zip(marks, amounts, strict=True)
    )
    return _Amount(total, any(a.inch for a in amounts), amounts[0].size)


def _amount(text: str, wanted: Dimension, typed: str, share: int) -> _Amount:
    """``2x35 kg``, ``5 ft 6 in`` or a plain number with its unit."""
    text = text.strip()
    times = _TIMES.match(text)
    if times:
        if not wanted.adds:
            raise ValueFault(
                f"read {quoted(typed)}; one value is needed.", f"Write one: {wanted.examples}."
            )
        one = _amount(text[times.end() :], wanted, typed, share)
        return replace(one, si=int(times[1]) * one.si)
    number, end = scan(text)
    parts = _NEXT.split(text[end:].strip()) if wanted.name in _PARTS else [text[end:].strip()]
    if len(parts) == 1:
        return _single(number, parts[0], wanted, typed, share)
    if len(parts) > 3:
        raise ValueFault(f"read {quoted(typed)}; one value is needed.", "Write it in one unit.")
    total = _single(number, parts[0], wanted, typed, share)
    size = total.size
    for part in parts[1:]:
        inner, stop = scan(part)
        more = _single(inner, part[stop:].strip(), wanted, typed, share)
        if not more.size < size or more.si < 0.0:
            raise ValueFault(f"read {quoted(typed)}; one value is needed.", "Write it in one unit.")
        size = more.size
        si = total.si - more.si if text.startswith("-") else total.si + more.si
        total = replace(total, si=si)
    return total


def _single(number: Fraction, unit: str, wanted: Dimension, typed: str, share: int) -> _Amount:
    if wanted.name == "temperature":
        return _Amount(*thermometer(number, unit, wanted, typed), 1.0)
    if not unit and wanted.name == "number":
        return _Amount(float(number), False, 1.0)
    if not unit:
        raise _no_unit(typed, wanted)
    if unit.startswith("-") and unit[1:2].isdigit():
        raise ValueFault(
            f"read {quoted(typed)}; it may be a range or a difference.",
            'A range is written "12..15 kg", a difference "15 kg - 12 kg".',
        )
    found = _flywheel_fit(unit, number, typed, share) if share else fit(unit, wanted, number, typed)
    return _Amount(found.si(number), found.inch, found.size.of(Fraction(1)))


def _flywheel_fit(unit: str, number: Fraction, typed: str, share: int) -> Fit:
    """GD2 and WR2 in mass or in weight times length squared."""
    weight = Dimension("weight", "a weight times area", "N*m^2", (3, 1, -2, 0, 0, 0, 0), "N*m^2")
    part = Size(Fraction(1, share))
    try:
        by_mass = fit(unit, TABLE["inertia"], number, typed)
    except ValueFault:
        by_weight = fit(unit, weight, number, typed)
        return replace(by_weight, size=by_weight.size * part * Size(1 / GRAVITY))
    return replace(by_mass, size=by_mass.size * part)
