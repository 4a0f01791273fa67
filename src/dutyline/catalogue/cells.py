"""One cell of a product file: from text to a value in SI units, or why not."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from itertools import pairwise

from dutyline.catalogue.columns import Column

CellValue = str | float | int | Fraction | tuple[float, ...] | tuple[tuple[float, float], ...]

LONGEST_NAME = 80
LONGEST_TEXT = 500
LONGEST_NUMBER = 40
MOST_ITEMS = 50

_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_WHOLE = re.compile(r"[+-]?[0-9]+(?:\.0*)?")
_UNIT_BEHIND = re.compile(r"[+-]?[0-9.]+\s*[A-Za-zµ%°Ω][^,;]*")


class CellError(Exception):
    """A cell that cannot be used: what is needed and what helps."""

    def __init__(self, need: str, remedy: str = "") -> None:
        self.need = need
        self.remedy = remedy
        super().__init__(need)


def cell_value(column: Column, text: str) -> CellValue:
    """Value of a cell that is not empty, in SI units.

    Raises
    ------
    CellError
        The text is not what the column holds.
    """
    match column.kind:
        case "number":
            return _number(column, text)
        case "text" | "name":
            return _words(column, text)
        case "int":
            return _whole(column, text)
        case "ratio":
            return _ratio(column, text)
        case "list":
            return tuple(_number(column, item) for item in _items(text))
        case "ints":
            return _different(tuple(_whole(column, item) for item in _items(text)))
        case "pairs":
            return _pairs(column, text)


def need_of(column: Column) -> str:
    """What a cell of the column needs to hold, in words."""
    unit = f" in {column.unit}" if column.unit else ""
    number = f"number {column.limits.text}{unit}"
    if column.choices and column.kind != "ints":
        return f"one of {', '.join(column.choices)}"
    match column.kind:
        case "number":
            return f"a {number}"
        case "name":
            return "a name"
        case "text":
            return "text on one line"
        case "int":
            return f"a whole {number}"
        case "ratio":
            return "a ratio above 0, as a number (9 or 12.25) or a fraction (91/9)"
        case "list":
            return f"numbers {column.limits.text}{unit}, separated by ;"
        case "ints":
            return f"one or more of {', '.join(column.choices)}, separated by ;"
        case "pairs":
            return "load factors with their times in s, as factor:seconds;factor:seconds"


def _number(column: Column, text: str) -> float:
    value = column.si(_plain(column, text))
    if not math.isfinite(value):
        raise CellError(need_of(column))
    return value


def _plain(column: Column, text: str) -> float:
    if len(text) > LONGEST_NUMBER or not _NUMBER.fullmatch(text):
        raise CellError(need_of(column), _number_remedy(text))
    value = float(text)
    if not (column.limits.hold(value) and math.isfinite(value)):
        raise CellError(need_of(column), _zero_remedy(column, value))
    return value


def _number_remedy(text: str) -> str:
    if _COMMA.fullmatch(text):
        return f"That is a decimal comma. Write a point: {text.replace(',', '.')}."
    if "," in text:
        return "Write the decimal as a point and no thousands separator."
    if text.lower().lstrip("+-") in ("nan", "inf", "infinity", "-", "n/a", "na", "none", "null"):
        return "Leave the cell empty where the value is not known."
    if _UNIT_BEHIND.fullmatch(text):
        return "The unit stands in the heading. Write the number alone."
    return ""


def _zero_remedy(column: Column, value: float) -> str:
    if value == 0.0 and column.limits.low == 0.0 and not column.required:
        return "Leave the cell empty where the value is not known."
    return ""


def _whole(column: Column, text: str) -> int:
    if len(text) > LONGEST_NUMBER or not _WHOLE.fullmatch(text):
        raise CellError(need_of(column), _number_remedy(text))
    value = int(text.split(".")[0])
    if column.choices:
        if str(value) not in column.choices:
            raise CellError(need_of(column))
    elif not column.limits.hold(value):
        raise CellError(need_of(column))
    return value


def _words(column: Column, text: str) -> str:
    longest = LONGEST_NAME if column.kind == "name" else LONGEST_TEXT
    if len(text) > longest:
        raise CellError(f"at most {longest} characters")
    if not text.isprintable():
        raise CellError(f"{need_of(column)} without line breaks or control characters")
    if column.choices and text not in column.choices:
        raise CellError(need_of(column))
    return text


def _ratio(column: Column, text: str) -> Fraction:
    parts = [part.strip() for part in text.split("/")]
    whole = all(len(part) <= LONGEST_NUMBER and _NUMBER.fullmatch(part) for part in parts)
    if len(parts) > 2 or not whole:
        raise CellError(need_of(column), _number_remedy(text))
    top = Fraction(parts[0])
    bottom = Fraction(parts[1]) if len(parts) == 2 else Fraction(1)
    if bottom == 0 or not Fraction(1, 10**6) <= top / bottom <= 10**6:
        raise CellError(f"{need_of(column)}, between 1/1000000 and 1000000")
    ratio = top / bottom
    if max(len(str(ratio.numerator)), len(str(ratio.denominator))) > LONGEST_NUMBER:
        raise CellError(f"{need_of(column)}, of at most {LONGEST_NUMBER} digits as a fraction")
    return ratio


def _items(text: str) -> list[str]:
    items = [item.strip() for item in text.split(";")]
    if len(items) > MOST_ITEMS:
        raise CellError(f"at most {MOST_ITEMS} items in a list")
    return items


def _different(items: tuple[int, ...]) -> tuple[int, ...]:
    if len(set(items)) < len(items):
        raise CellError("every number once")
    return items


def _pairs(column: Column, text: str) -> tuple[tuple[float, float], ...]:
    pairs = []
    for item in _items(text):
        halves = [half.strip() for half in item.split(":")]
        if len(halves) != 2:
            raise CellError(need_of(column))
        pairs.append((_plain(column, halves[0]), _plain(column, halves[1])))
    rising = all(a[0] < b[0] for a, b in pairwise(pairs))
    falling = all(a[1] >= b[1] for a, b in pairwise(pairs))
    if pairs[0][0] <= 1.0 or not rising or not falling:
        raise CellError(
            "load factors above 1 that rise from pair to pair, with times that do not rise"
        )
    return tuple(pairs)
