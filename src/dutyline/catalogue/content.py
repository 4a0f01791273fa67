"""What a product line says, as plain tables, and the hash over them.

The plain tables of a line are its seven files in one form: the columns in the order of
:data:`dutyline.catalogue.columns.FORMS`, those left out in which no row holds a value and which a
file may do without; rows in their order, the points of each curve together; numbers in the unit of
the heading in their shortest form; ratios as reduced fractions; words that a spreadsheet would run
behind an apostrophe (:mod:`dutyline.grids.guards`); commas, line ends of one byte, no
byte-order mark. Two folders that give the same parts give the same tables.
"""

from __future__ import annotations

import csv
import hashlib
import io
import math
from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import chain
from typing import Any, cast

from dutyline.catalogue.columns import FORMS, FURTHER, UNITS, Column, FileForm
from dutyline.catalogue.parts import Curve, ProductLine
from dutyline.core.arguments import expect
from dutyline.grids.guards import guarded

_DIGITS = 15
"""Digits of which every decimal text comes back from a double (IEEE 754, binary64)."""
_NEIGHBOURS = 8


def content_hash(line: ProductLine) -> str:
    """sha256 over what a line says: its plain tables one behind the other, as 64 hex digits.

    The same for every layout of the same data, another one for another value, another name or
    another order of the rows (the first of several pairings gives the drive where none is named,
    and lists keep the order of the files). Edition, thresholds and notes on origins are not in it.
    What was estimated beside it is not in it either. Computed at the first question and kept with
    the line.

    Parameters
    ----------
    line : ProductLine

    Examples
    --------
    What ``sha256sum`` gives for the files that :func:`dutyline.write_line` leaves:

    >>> from dutyline.catalogue.library import demo_line
    >>> whole = b"".join(plain_tables(demo_line()).values())
    >>> hashlib.sha256(whole).hexdigest() == content_hash(demo_line())
    True
    """
    expect(line, ProductLine, "line", 'Read one first: read_line("my-line").')
    line = line.as_stated or line
    if "content" not in line.derived:
        digest = hashlib.sha256()
        for form in _forms(line):
            digest.update(plain_table(line, form))
        line.derived["content"] = digest.hexdigest()
    return cast("str", line.derived["content"])


def thresholds_checksum(line: ProductLine) -> str:
    """sha256 of ``audit.toml`` beside the tables; empty where there is none."""
    return "" if line.thresholds is None else hashlib.sha256(line.thresholds).hexdigest()


def plain_tables(line: ProductLine) -> dict[str, bytes]:
    """The plain tables by the names of their files, in the order of ``FORMS``."""
    return {form.file: plain_table(line, form) for form in _forms(line)}


def _forms(line: ProductLine) -> list[FileForm]:
    return [*FORMS, *(form for form in FURTHER if getattr(line, _kind(form)))]


def _kind(form: FileForm) -> str:
    return form.file.removesuffix(".csv")


def plain_table(line: ProductLine, form: FileForm) -> bytes:
    """One plain table: UTF-8 with a heading, and of what is stated alone, without estimates."""
    line = line.as_stated or line
    given = [(column, _texts(column, line, form)) for column in form.columns]
    shown = [(column, texts) for column, texts in given if column.required or any(texts)]
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([column.name for column, _ in shown])
    writer.writerows(zip(*(texts for _, texts in shown), strict=True))
    return text.getvalue().encode()


def plain_text(column: Column, value: Any) -> str:
    """A value in SI as the plain cell of a column; empty for what is not stated.

    >>> inertia = next(c for c in FORMS[0].columns if c.field == "inertia")
    >>> plain_text(inertia, 4.7e-5), plain_text(inertia, None)
    ('0.47', '')
    """
    return _writer(column)(value)


def _texts(column: Column, line: ProductLine, form: FileForm) -> list[str]:
    text = _writer(column)
    cells = [text(value) for value in _values(column, line, form)]
    return [guarded(cell) for cell in cells] if column.kind in ("text", "name") else cells


def _values(column: Column, line: ProductLine, form: FileForm) -> Iterator[Any]:
    if form.record is Curve:
        curves = line.curves
        if column.field in ("speed", "torque"):
            return chain.from_iterable(getattr(c, column.field) for c in curves)
        return (getattr(c, column.field) for c in curves for _ in c.speed)
    field = "ratio_exact" if column.kind == "ratio" else column.field
    return (getattr(part, field) for part in getattr(line, _kind(form)))


def _writer(column: Column) -> Callable[[Any], str]:
    """From a value of a column to its plain cell."""

    def number(value: float | None) -> str:
        return "" if value is None else _number(column, value)

    def numbers(values: tuple[float, ...]) -> str:
        return ";".join(_number(column, v) for v in values)

    def pairs(values: tuple[tuple[float, float], ...]) -> str:
        return ";".join(f"{_number(column, a)}:{_number(column, b)}" for a, b in values)

    def other(value: str | int | Fraction | None) -> str:
        return "" if value is None else str(value)

    def whole(values: tuple[int, ...]) -> str:
        return ";".join(map(str, values))

    writers = {"number": number, "list": numbers, "pairs": pairs, "ints": whole}
    return cast("Callable[[Any], str]", writers.get(column.kind, other))


def _number(column: Column, si: float) -> str:
    """Shortest decimal in the unit of the file that is read as this very value.

    Fifteen digits suffice for every number written with no more; beyond, the double next to the
    value turned back is sought among its neighbours. A value that no text gives becomes the
    nearest that one does.
    """
    times, over, _ = UNITS[column.unit]
    near = si * over / times + 0.0
    text = f"{near:.{_DIGITS}g}"
    if column.si(float(text)) == si or not math.isfinite(near):
        return text
    low = high = near
    for _ in range(_NEIGHBOURS):
        for candidate in (low, high):
            if column.si(candidate) == si:
                return _shortest(column, candidate)
        low, high = math.nextafter(low, -math.inf), math.nextafter(high, math.inf)
    return _number(column, column.si(near))


def _shortest(column: Column, value: float) -> str:
    si = column.si(value)
    sixteen = f"{value:.16g}"
    return sixteen if column.si(float(sixteen)) == si else repr(value)
