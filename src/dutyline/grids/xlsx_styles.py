"""What the number formats of a workbook make of a number: a date, a time, a percentage."""

from __future__ import annotations

import math
import re
from datetime import datetime, timedelta
from typing import Literal

Shown = Literal["number", "date", "time", "percent"]

_DATES = {*range(14, 18), 22, *range(27, 37), *range(50, 59)}
_TIMES = {18, 19, 20, 21, 45, 46, 47}
_PERCENTS = {9, 10}
_LITERAL = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', re.IGNORECASE)
_DAY = 86_400


def shown_by(number: int, code: str | None) -> Shown:
    """How a number format shows numbers, from its number and, for formats of the file, its code.

    Source: ECMA-376-1, 18.8.30 (numFmt) and 18.8.31 (numFmts), built-in formats and format codes.
    """
    if code is None:
        if number in _DATES:
            return "date"
        if number in _TIMES:
            return "time"
        return "percent" if number in _PERCENTS else "number"
    plain = _LITERAL.sub("", code.split(";")[0]).lower()
    if "general" in plain:
        return "number"
    if re.search(r"[dy]", plain) or ("m" in plain and not re.search(r"[hs]", plain)):
        return "date"
    if re.search(r"[hs]", plain):
        return "time"
    return "percent" if "%" in plain else "number"


def shortest(number: float) -> str:
    """The shortest text that reads back as the number.

    >>> shortest(3.0), shortest(0.1), shortest(-2.5e-7)
    ('3', '0.1', '-2.5e-07')
    """
    text = repr(number)
    return text[:-2] if text.endswith(".0") else text


def moment(serial: float, shown: Shown, from_1904: bool) -> str:
    """Date, time or both of a serial number of days as ISO text; the number where it is none.

    Source: ECMA-376-1, 18.17.4.1: day 1 is 1900-01-01 with a 29 February 1900 that never was, or
    day 0 is 1904-01-01.

    >>> moment(45292.5, "date", False), moment(0.75, "time", False), moment(61.0, "date", False)
    ('2024-01-01T12:00:00', '18:00:00', '1900-03-01')
    """
    if not 0.0 <= serial < 2_958_466.0:
        return shortest(serial)
    seconds = math.floor(serial * _DAY + 0.5)
    if shown == "time":
        hours, rest = divmod(seconds, 3600)
        return f"{hours:02d}:{rest // 60:02d}:{rest % 60:02d}"
    days, second = divmod(seconds, _DAY)
    if not from_1904 and days in (0, 60):
        return shortest(serial)
    start = datetime(1904, 1, 1) if from_1904 else datetime(1899, 12, 31 if days < 60 else 30)
    try:
        day = start + timedelta(days=days, seconds=second)
    except OverflowError:
        return shortest(serial)
    return day.isoformat() if second else day.date().isoformat()
