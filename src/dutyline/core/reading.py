"""Values as typed: text with a unit, a bare number, or a table with status, note and range."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

from dutyline.core.amounts import flywheel, no_unit
from dutyline.core.arithmetic import amount
from dutyline.core.dimensions import TABLE, Dimension, dimension
from dutyline.core.faults import ValueFault, listed, quoted
from dutyline.core.number_text import plain, scan
from dutyline.core.values import STATUSES, Status, Value

_KEYS = ("value", "status", "note", "range")
_LARGEST = 1e15
_SMALLEST = 1e-30

_ABOUT = re.compile(r"(?:about|around|roughly|approx(?:imately)?\.?|circa|ca?\.|ca|~) ?", re.I)
_RANGE = re.compile(r" ?\.\.+ ?| to ")
_PARTS = re.compile(
    r".[+±~]|\.\.|[0-9] ?[x*] ?[0-9]| to |^(?:about|around|roughly|approx|ca?\.)", re.I
)
"""Marks of a text of which a fault may concern a part only."""
_SHORT = 80
"""Letters of a text that is worth keeping once read."""


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
    >>> round(read_value("25 lbf.in", "torque").si, 6)
    2.824621
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
        raise no_unit(typed, wanted)
    try:
        si = float(number)
    except OverflowError:
        si = math.inf
    return Value(_bounded(si, str(number)[:40], wanted), wanted.si, typed=str(number)[:40])


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
    status = _status(table["status"]) if "status" in table else value.status
    note = table.get("note", "")
    if not isinstance(note, str):
        raise ValueFault(f"read the note {quoted(_toml(note))}; text is needed.")
    return replace(value, status=status, note=note)


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
    """Of a text; short ones are kept, since cases, variants and re-runs read them again."""
    try:
        return _kept(typed, wanted) if len(typed) <= _SHORT else _read(typed, wanted)
    except ValueFault as fault:
        if not fault.meanings:
            raise
        meant = tuple(m for m in fault.meanings if _reads(m, wanted))
        whole = len(meant) > 1 and not _PARTS.search(typed)
        raise ValueFault(fault.read, fault.remedy, meant if whole else ()) from None


def _reads(typed: str, wanted: Dimension) -> bool:
    try:
        _read(typed, wanted)
    except ValueFault:
        return False
    return True


@lru_cache(maxsize=4096)
def _kept(typed: str, wanted: Dimension) -> Value:
    return _read(typed, wanted)


def _read(typed: str, wanted: Dimension) -> Value:
    text = plain(typed)
    if not re.search("[0-9]", text):
        what = f"{quoted(typed)}, which holds no number" if text else "an empty text"
        raise ValueFault(
            f"read {what}; {wanted.noun} is needed.",
            f"Write a number; {wanted.noun.split(' ', 1)[1]} is given in {wanted.examples}."
            if wanted.name != "number"
            else f"Write it like {wanted.examples}.",
        )
    status: Status = "given"
    about = _ABOUT.match(text)
    if about:
        text, status = text[about.end() :], "assumed"
    mark = 0
    if wanted.name == "inertia":
        text, mark = flywheel(text)
    low, middle, high, inch = _ends(text, wanted, typed, mark)
    for si in (low, middle, high):
        _bounded(si, typed, wanted)
    if low == high:
        return Value(middle, wanted.si, typed, status, inch=inch)
    return Value(middle, wanted.si, typed, status, low=low, high=high, inch=inch)


def _ends(text: str, wanted: Dimension, typed: str, mark: int) -> tuple[float, float, float, bool]:
    """Lower end, value and upper end of one value, a range or a tolerance."""
    tolerance = re.split(r" ?(?:±|\+/-|\+-) ?", text)
    if len(tolerance) == 2:
        return _tolerance(tolerance[0], tolerance[1], wanted, typed)
    ends = _RANGE.split(text)
    if len(ends) == 1:
        one = amount(text, wanted, typed, mark)
        return one.si, one.si, one.si, one.inch
    if len(ends) != 2 or not all(ends):
        raise ValueFault(
            f"read {quoted(typed)}; a range has two ends.", 'Write it like "12..15 kg".'
        )
    last = amount(ends[1], wanted, typed, mark)
    first = amount(_with_unit_of(ends[0], ends[1]), wanted, typed, mark)
    if first.si > last.si:
        raise ValueFault(
            f"read {quoted(typed)}; a range starts with its lower end.", "Exchange the ends."
        )
    middle = first.si + (last.si - first.si) / 2
    return first.si, middle, last.si, first.inch or last.inch


def _with_unit_of(first: str, last: str) -> str:
    """``12`` of ``12..15 kg`` with the unit of its other end."""
    if "(" in first or scan(first)[1] < len(first):
        return first
    unit = "(" if last.startswith("(") else last[scan(last)[1] :].strip()
    if unit == "(" or re.search(r"\+|[ '\"°][0-9]", unit):
        raise ValueFault(
            f"read {quoted(f'{first}..{last}')}; the first end has no unit of its own.",
            "Write each end with its unit.",
        )
    return f"{first} {unit}"


def _tolerance(
    middle: str, width: str, wanted: Dimension, typed: str
) -> tuple[float, float, float, bool]:
    """``40 kg +/- 5 kg``, ``40 +/- 5 kg`` or ``40 kg +/- 10 %``."""
    if not middle or wanted.name == "temperature":
        raise ValueFault(
            f"read {quoted(typed)}; {wanted.noun} is needed.",
            "Leave out the sign, or write a range with two dots.",
        )
    share = width.endswith("%") and not middle.endswith("%") and wanted.name != "number"
    if not share and scan(width)[1] == len(width):
        width = _with_unit_of(width, middle)
    elif not share:
        middle = _with_unit_of(middle, width)
    value = amount(middle, wanted, typed, 0)
    if share:
        half = abs(value.si) * amount(width, TABLE["number"], typed, 0).si
    else:
        half = amount(width, wanted, typed, 0).si
    if half < 0.0:
        raise ValueFault(f"read {quoted(typed)}; a tolerance is not negative.", "Check the sign.")
    return value.si - half, value.si, value.si + half, value.inch
