"""Two columns of numbers from a CSV file: separators, both decimal conventions, units."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass, field

from dutyline.core.errors import Fault
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.reading import read_value

MOST_ROWS = 20_000
"""Samples of one file."""
MOST_TOLD = 10
"""Faults of one file told one by one."""
_NUMBER = re.compile(r"[+-]?(?:\d[\d.,]*|[.,]\d+)(?:[eE][+-]?\d+)?")
_UNIT = (
    re.compile(r"[\[(]\s*([^\])]+?)\s*[\])]\s*$"),
    re.compile(r"\bin\s+(\S+)\s*$"),
    re.compile(r"/\s*(\S+)\s*$"),
)
_HEADER = "Write the first row like time [ms];position [mm]."
_SIGNS = str.maketrans({"\u2212": "-", "\u00a0": " ", "\u202f": " "})


@dataclass(frozen=True, slots=True)
class Column:
    """What a column may hold: dimensions in order of preference, and what it is for people."""

    noun: str
    kinds: tuple[str, ...]


@dataclass(slots=True)
class Sheet:
    """What a file holds in SI, and what is wrong with it."""

    file: str
    rows: list[tuple[float, float]] = field(default_factory=list)
    kinds: list[str] = field(default_factory=list)
    """Dimension of each column."""
    faults: list[Fault] = field(default_factory=list)
    path: str = ""

    def add(self, row: int | None, read: str, remedy: str = "") -> None:
        """One more fault; those beyond the first few are not told."""
        if len(self.faults) < MOST_TOLD:
            place = self.file if row is None else f"{self.file}:{row}"
            self.faults.append(Fault(place, self.path, read, remedy))


def read_sheet(file: str, path: str, text: str, columns: tuple[Column, Column]) -> Sheet:
    """Two columns of a text; units stand in the first row, or with every number.

    Parameters
    ----------
    file : str
        Name of the file, for faults.
    path : str
        Field that names it, for faults.
    text : str
    columns : pair of Column
    """
    sheet = Sheet(file, path=path)
    rows = _rows(sheet, text)
    if sheet.faults:
        return sheet
    if not rows:
        sheet.add(None, "the file is empty.", _HEADER)
        return sheet
    first = rows[0][1]
    headed = not all(_NUMBER.match(cell.translate(_SIGNS)) for cell in first)
    units = _units(sheet, rows[0], columns) if headed else [None, None]
    body = rows[1:] if headed else rows
    if sheet.faults:
        return sheet
    if not body:
        sheet.add(rows[0][0], "there is no row of numbers behind the header.", "Add the samples.")
        return sheet
    if len(body) > MOST_ROWS:
        read = f"there are {len(body)} rows; {MOST_ROWS} are read."
        sheet.add(body[MOST_ROWS][0], read, "Thin them out.")
        return sheet
    comma = _decimal_comma(sheet, body)
    for number, cells in body:
        values = [
            _value(sheet, number, cell, column, unit, comma)
            for cell, column, unit in zip(cells, columns, units, strict=True)
        ]
        one, other = values
        if one is not None and other is not None:
            sheet.rows.append((one[0], other[0]))
            sheet.kinds = [one[1], other[1]]
    return sheet


def _rows(sheet: Sheet, text: str) -> list[tuple[int, list[str]]]:
    """Number and two cells of every row that holds something; remarks begin with #."""
    lines = [
        (n, line) for n, line in enumerate(text.splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]  # fmt: skip
    if not lines:
        return []
    separator = next((s for s in ("\t", ";") if s in lines[0][1]), ",")
    found = []
    for number, line in lines[: MOST_ROWS + 2]:
        try:
            cells = next(csv.reader(io.StringIO(line), delimiter=separator, strict=True))
        except (csv.Error, StopIteration):
            sheet.add(number, f"read {quoted(line[:40])}; a quote stays open.", "Close it.")
            continue
        cells = [cell.strip() for cell in cells]
        while len(cells) > 2 and not cells[-1]:
            cells.pop()
        if len(cells) != 2 or not all(cells):
            word = {"\t": "tabulators", ";": "semicolons", ",": "commas"}[separator]
            read = f"read {quoted(line[:40])}, {len(cells)} cells between {word}; two are needed."
            remedy = "Keep two columns." if separator != "," else (
                "Keep two columns; with decimal commas separate them by semicolons."
            )  # fmt: skip
            sheet.add(number, read, remedy)
        found.append((number, cells))
    return found


def _units(
    sheet: Sheet, head: tuple[int, list[str]], columns: tuple[Column, Column]
) -> list[tuple[float, str] | None]:
    """Factor and dimension of each column from its heading; None where it names no unit."""
    found: list[tuple[float, str] | None] = []
    for cell, column in zip(head[1], columns, strict=True):
        text = next((m[1] for pattern in _UNIT if (m := pattern.search(cell))), None)
        if text is None:
            found.append(None)
            continue
        try:
            found.append(_first(f"1 {text}", column))
        except ValueFault:
            read = f"read {quoted(cell)}; {column.noun} has no unit {quoted(text)}."
            sheet.add(head[0], read, _HEADER)
            found.append(None)
    return found


def _first(text: str, column: Column) -> tuple[float, str]:
    """SI value and dimension by the first dimension that takes the text."""
    fault: ValueFault | None = None
    for kind in column.kinds:
        try:
            return read_value(text, kind).si, kind
        except ValueFault as error:
            fault = fault or error
    assert fault is not None
    raise fault


def _decimal_comma(sheet: Sheet, body: list[tuple[int, list[str]]]) -> bool:
    """Whether numbers of a file are written with a comma; both marks in turn are refused."""
    comma = point = 0
    for number, cells in body:
        for cell in cells:
            text = (_NUMBER.match(cell.translate(_SIGNS)) or [""])[0]
            marks = [mark for mark in ".," if mark in text]
            if not marks:
                continue
            if max(marks, key=text.rindex) == ",":
                comma = comma or number
            else:
                point = point or number
    if comma and point:
        read = f"decimal commas (row {comma}) and decimal points (row {point}) stand side by side."
        sheet.add(max(comma, point), read, "Write one of them throughout.")
    return bool(comma)


def _value(
    sheet: Sheet,
    row: int,
    cell: str,
    column: Column,
    unit: tuple[float, str] | None,
    comma: bool,
) -> tuple[float, str] | None:
    text = cell.translate(_SIGNS)
    number = _NUMBER.match(text)
    if number is None:
        sheet.add(row, f"read {quoted(cell)}; a number is needed.", "Correct it, or drop the row.")
        return None
    plain = number[0].replace(".", "").replace(",", ".") if comma else number[0].replace(",", "")
    rest = text[number.end() :].strip()
    try:
        if rest:
            return _first(f"{plain} {rest}", column)
        if unit is None:
            read = f"read {quoted(cell)} without a unit; {column.noun} needs one."
            sheet.add(row, read, _HEADER)
            return None
        return float(plain) * unit[0], unit[1]
    except ValueFault as fault:
        sheet.add(row, fault.read, fault.remedy or _HEADER)
    except ValueError:
        sheet.add(row, f"read {quoted(cell)}; a number is needed.", "Correct it, or drop the row.")
    return None
