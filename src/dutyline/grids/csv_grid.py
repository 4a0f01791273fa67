"""Grid of a CSV file of any form; separator and encoding are found by looking and told."""

from __future__ import annotations

import codecs
import csv
import io
from collections import Counter
from collections.abc import Iterator
from itertools import islice

from dutyline.core.errors import InputError
from dutyline.core.faults import quoted
from dutyline.grids.limits import (
    LONGEST_CELL,
    LONGEST_ROW,
    MOST_COLUMNS,
    MOST_ROWS,
    Budget,
    refused,
)
from dutyline.grids.records import Grid

SEPARATORS = {";": "semicolon", "\t": "tab", ",": "comma"}
"""What may stand between cells, with its word."""
ENCODINGS = ("utf-8", "utf-16", "utf-16-le", "utf-16-be", "cp1252")
"""What may be named as encoding; only the first two are ever found by looking."""
_LOOKED_AT = 200
"""Rows from which the separator is found."""
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def csv_grid(file: str, data: bytes, encoding: str | None, separator: str | None) -> Grid:
    """Cells of a CSV file.

    Parameters
    ----------
    file : str
        Its name, for faults and places.
    data : bytes
        What it holds.
    encoding : str or None
        One of ENCODINGS. None: UTF-8, or what a byte-order mark says.
    separator : str or None
        One of SEPARATORS. None: the one that cuts the rows most evenly.

    Raises
    ------
    InputError
        The file goes beyond a limit or is not text in rows; two separators fit alike.
    """
    code = _code(file, data, encoding)
    if separator is not None and separator not in SEPARATORS:
        words = ", ".join(SEPARATORS.values())
        read = f"read the separator {quoted(separator)}; one of {words} is needed."
        raise refused(file, "", read)
    start = 0
    stated = _stated(data, code)
    if stated:
        start, separator = 1, separator or stated
    if separator is None:
        separator = _found(file, data, code)
    budget = Budget(file)
    rows: list[tuple[str, ...]] = []
    lines: list[int] = []
    for number, cells in islice(_records(file, data, code, separator), start, None):
        place = f"row {number}"
        row = _stripped(cells)
        if row:
            _check(file, place, row)
        budget.take(len(row) or 1, sum(map(len, row)), place)
        if len(rows) >= MOST_ROWS:
            if not row:
                continue
            read = f"is beyond the {MOST_ROWS} rows that a file may hold."
            raise refused(file, place, read, "Split the file.")
        rows.append(row)
        lines.append(number)
    while rows and not rows[-1]:
        rows.pop()
        lines.pop()
    if not rows:
        raise refused(
            file, "", "is empty; rows of cells are needed.", "Check that it is the right file."
        )
    even = all(number == place for place, number in enumerate(lines, 1))
    return Grid(file, "", rows, () if even else lines, separator=separator, encoding=code)


def _stripped(cells: list[str]) -> tuple[str, ...]:
    """Cells without blanks around them, up to the last filled one."""
    row = [cell.strip() for cell in cells]
    while row and not row[-1]:
        row.pop()
    return tuple(row)


def _code(file: str, data: bytes, named: str | None) -> str:
    if named is not None:
        try:
            name = codecs.lookup(named).name
        except (LookupError, ValueError):
            name = ""
        if name not in ENCODINGS:
            read = f"read the encoding {quoted(named)}; one of {', '.join(ENCODINGS)} is needed."
            raise refused(file, "", read)
        return "utf-8-sig" if name == "utf-8" else name
    for mark, code in _MARKS:
        if data.startswith(mark):
            return code
    return "utf-8-sig"


def _stated(data: bytes, code: str) -> str:
    """Separator that a first line ``sep=;`` states."""
    first = data[:16].decode(code, "ignore")
    line = first.splitlines()[0] if first else ""
    return line[4:] if line.startswith("sep=") and line[4:] in SEPARATORS else ""


def _records(file: str, data: bytes, code: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    """Number of its first line and the cells of every row."""
    lines = _Lines(file, data, code)
    reader = csv.reader(lines, strict=True, delimiter=separator)
    while True:
        number = lines.begin_row()
        try:
            cells = next(reader, None)
        except csv.Error as error:
            read = f"is not a CSV row ({error})."
            raise refused(file, f"row {number}", read, "Look for a quote left open.") from None
        except UnicodeError:
            raise _undecoded(file, data, code) from None
        if cells is None:
            return
        yield number, cells


class _Lines:
    """Lines of a text, for a reader that would otherwise gather a row without end."""

    def __init__(self, file: str, data: bytes, code: str) -> None:
        self._text = io.TextIOWrapper(io.BytesIO(data), code, newline="")
        self._file = file
        self._number = 0
        self._first = 1
        self._length = 0

    def begin_row(self) -> int:
        """Number of the line with which the next row begins."""
        self._first, self._length = self._number + 1, 0
        return self._first

    def __iter__(self) -> _Lines:
        return self

    def __next__(self) -> str:
        line = self._text.readline(LONGEST_ROW + 1)
        if not line:
            raise StopIteration
        self._number += 1
        self._length += len(line)
        if self._length > LONGEST_ROW:
            read = f"has more than {LONGEST_ROW} characters."
            raise refused(self._file, f"row {self._first}", read, "Look for a quote left open.")
        return line


def _undecoded(file: str, data: bytes, code: str) -> InputError:
    word = {"utf-8-sig": "UTF-8", "cp1252": "Windows text (cp1252)"}.get(code, code.upper())
    try:
        data.decode(code)
    except UnicodeDecodeError as error:
        start = error.start + 3 * (code == "utf-8-sig" and data.startswith(codecs.BOM_UTF8))
        start = min(start, len(data) - 1)
        row = data.count(b"\n", 0, start) + 1
        read = f"byte 0x{data[start]:02x} is not {word}."
        remedy = "Save the file as CSV UTF-8"
        if code == "utf-8-sig":
            remedy += ', or name what it is: encoding = "cp1252" for older Windows files'
        return refused(file, f"row {row}", read, f"{remedy}.")
    except UnicodeError as error:
        return refused(file, "", f"is not {word} ({error}).", "Save the file as CSV UTF-8.")
    return refused(file, "", f"is not {word}.", "Save the file as CSV UTF-8.")


def _check(file: str, place: str, row: tuple[str, ...]) -> None:
    if len(row) > MOST_COLUMNS:
        read = f"has {len(row)} cells, beyond the {MOST_COLUMNS} columns that a file may hold."
        raise refused(file, place, read, "Check its separators and quotes.")
    for cell in row:
        if len(cell) > LONGEST_CELL:
            read = f"has a cell of {len(cell)} characters; at most {LONGEST_CELL} are read."
            raise refused(file, place, read, "Look for a quote left open.")
        if "\0" in cell:
            read = "holds a zero character; text is needed."
            raise refused(
                file, place, read, 'Save it as CSV UTF-8, or state encoding = "utf-16-le".'
            )


def _found(file: str, data: bytes, code: str) -> str:
    """The separator that cuts most rows into one and the same number of cells above one."""
    best: dict[str, float] = {}
    for mark in SEPARATORS:
        counts: Counter[int] = Counter()
        try:
            for _, cells in islice(_records(file, data, code, mark), _LOOKED_AT):
                counts[len(cells)] += any(cell.strip() for cell in cells)
        except InputError:
            if not counts:
                continue
        most = max((number for width, number in counts.items() if width > 1), default=0)
        if most:
            best[mark] = most / counts.total()
    if not best:
        return ","
    fit = [mark for mark, share in best.items() if share == max(best.values())]
    if len(fit) > 1:
        words = " and ".join(SEPARATORS[mark] for mark in fit)
        read = f"{words} cut the rows equally well; which one separates cells is needed."
        raise refused(file, "", read, 'Name it, such as separator = ";".')
    return fit[0]
