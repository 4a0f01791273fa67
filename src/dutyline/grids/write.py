"""Rows of cells as a CSV file or a workbook in which no spreadsheet runs anything."""

from __future__ import annotations

import io
import math
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from dutyline.core.errors import Fault, InputError, RangeError
from dutyline.grids.csv_grid import SEPARATORS
from dutyline.grids.guards import guarded, runs
from dutyline.grids.limits import LONGEST_CELL
from dutyline.grids.xlsx_styles import shortest


@dataclass(frozen=True, slots=True)
class Formula:
    """A cell that a spreadsheet works out; only a program writes one, never a text from outside."""

    text: str
    """``=B2/C2``, in the English words and with the commas of the file format."""
    value: float | str
    """What it gives, shown until it is worked out again; all that a CSV file holds of it."""


class Title(str):
    """A text set bold, above a table inside a sheet."""

    __slots__ = ()


Cell = str | int | float | bool | Formula | None
"""What a cell may be given as; None is an empty cell."""

_QUOTED = frozenset('",;\t\r\n')
_WIDEST = 60
_LONGEST_NAME = 31
_NOT_IN_NAMES = str.maketrans(dict.fromkeys("[]:*?/\\", " "))
_CREATED = datetime(2000, 1, 1)
_MOST_EXACT = 2**53
_THIN, _STRONG = 1, 2
"""Lines under cells by their numbers in a workbook."""
_GREY, _BLACK = "#D0D0D0", "#000000"
_LINE = 15.0
"""Height of a line of text [pt]."""
_WIDE_FONT = 0.85
"""Characters of a wide font over those of the usual one in the same width."""
_A4 = 9
"""Paper by its number in a workbook."""


def csv_bytes(
    rows: Iterable[Sequence[Cell]],
    *,
    separator: str = ",",
    decimal: str = ".",
    mark: bool = False,
) -> bytes:
    r"""A CSV file in UTF-8; texts that a spreadsheet would run are :func:`guarded`.

    Parameters
    ----------
    rows : iterable of sequences of cells
        Texts, numbers and truth values; texts stay as they are, also those with digits.
    separator : str
        A comma, semicolon or tab.
    decimal : str
        What stands in numbers, a point or a comma.
    mark : bool
        Whether a byte-order mark stands first, by which some spreadsheets know the encoding.

    Returns
    -------
    bytes
        The same for the same rows.

    Raises
    ------
    RangeError
        Another separator or decimal mark, both the same, or a number that is not finite.

    Examples
    --------
    >>> csv_bytes([["part", "torque"], ["=A1", -2.5]], separator=";", decimal=",").decode()
    "part;torque\n'=A1;-2,5\n"
    """
    if separator not in SEPARATORS or decimal not in (".", ",") or decimal == separator:
        raise RangeError(
            f"got separator {separator!r} and decimal {decimal!r}; a comma, semicolon or tab, "
            "and another one of comma or point, are needed"
        )
    lines = (separator.join(_csv_cell(cell, decimal) for cell in row) + "\n" for row in rows)
    return "".join(["\ufeff" if mark else "", *lines]).encode()


@dataclass(frozen=True, slots=True)
class Look:
    """How the sheets of a workbook that people read and print are laid out."""

    widths: tuple[int, ...]
    """Of the columns, in characters; longer texts are wrapped."""
    prices: frozenset[int] = frozenset()
    """Columns of numbers with two decimals, counted from 0."""
    shares: frozenset[int] = frozenset()
    """Columns of shares, shown as percent."""


def xlsx_bytes(
    sheets: Mapping[str, Sequence[Sequence[Cell]]], look: Look | Mapping[str, Look] | None = None
) -> bytes:
    """A workbook without links, the first row of each sheet as its head.

    The only formulas are cells given as :class:`Formula`; a text never becomes one.

    Parameters
    ----------
    sheets : mapping of str to rows
        By name of the sheet, as :func:`csv_bytes` takes them. Names are cut to what a workbook
        takes.
    look : Look or mapping of str to Look, optional
        Widths and wrapped texts for sheets to be read and printed, of all or by their names; else
        as wide as their texts.

    Returns
    -------
    bytes
        The same for the same sheets.

    Raises
    ------
    InputError
        xlsxwriter is not installed.
    RangeError
        A number that is not finite, or a text of more than 32767 characters.
    """
    try:
        import xlsxwriter
    except ImportError:
        read = "a workbook needs xlsxwriter, which is not installed."
        remedy = "Install dutyline with its report extra, or ask for CSV."
        raise InputError("The workbook", [Fault("", "", read, remedy)]) from None
    out = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(out, options) as book:
        book.set_properties({"created": _CREATED})
        for name, (own, rows) in zip(sheet_names(sheets), sheets.items(), strict=True):
            seen = look.get(own) if isinstance(look, Mapping) else look
            formats = _Formats(book, seen)
            sheet = book.add_worksheet(name)
            _fill(sheet, rows, formats)
            if seen is not None:
                _lay_out(sheet, rows, seen, formats)
    return out.getvalue()


def sheet_names(names: Iterable[str]) -> list[str]:
    r"""Names as a workbook takes them: at most 31 characters, without ``[]:*?/\``, each once.

    >>> sheet_names(["Motors", "motors", "a/b"])
    ['Motors', 'motors 2', 'a b']
    """
    found: list[str] = []
    taken = {"history"}
    for name in names:
        plain = "".join(c for c in name.translate(_NOT_IN_NAMES) if c.isprintable())
        plain = plain.strip(" '") or "Sheet"
        new, number = plain[:_LONGEST_NAME].strip(" '"), 1
        while new.lower() in taken:
            number += 1
            new = f"{plain[: _LONGEST_NAME - 1 - len(str(number))]} {number}"
        taken.add(new.lower())
        found.append(new)
    return found


class _Formats:
    """Formats of cells: the head, and texts that stay texts when somebody edits them."""

    def __init__(self, book: Any, look: Look | None) -> None:
        calm: dict[str, Any] = {}
        ruled: dict[str, Any] = {}
        if look is not None:
            calm = {"text_wrap": True, "valign": "top", "bottom": _THIN, "bottom_color": _GREY}
            ruled = {"bottom": _STRONG, "bottom_color": _BLACK}
        self.prices = frozenset() if look is None else look.prices
        self.shares = frozenset() if look is None else look.shares
        self.head = book.add_format({"bold": True, "quote_prefix": True, **calm, **ruled})
        self.text = book.add_format({"quote_prefix": True, **calm})
        self.plain = book.add_format(calm) if calm else None
        self.title = book.add_format({"bold": True, "quote_prefix": True, **calm})
        self.price = book.add_format({"num_format": "#,##0.00", **calm})
        self.share = book.add_format({"num_format": "0.0%", **calm})

    def of(self, row: int, column: int, cell: Cell) -> Any:
        """The format of one cell, None for none."""
        if row == 0:
            return self.head
        if isinstance(cell, Title):
            return self.title
        if isinstance(cell, str):
            return self.text if runs(cell) else self.plain
        if column in self.shares:
            return self.share
        return self.price if column in self.prices else self.plain


def _lay_out(sheet: Any, rows: Sequence[Sequence[Cell]], look: Look, formats: _Formats) -> None:
    """Columns as wide as asked for; on paper across, one page wide, the head on each."""
    for column, width in enumerate(look.widths):
        sheet.set_column(column, column, width)
    for row, cells in enumerate(rows):
        sheet.set_row(row, _LINE * max(map(_lines, cells, look.widths), default=1))
        for column, cell in enumerate(cells):
            if cell is None or cell == "":
                sheet.write_blank(row, column, None, formats.of(row, column, cell))
    sheet.set_landscape()
    sheet.set_paper(_A4)
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def _lines(cell: Cell, width: int) -> int:
    """Lines that a text takes in a wide font; not every program finds that out by itself."""
    if not isinstance(cell, str):
        return 1
    return max(len(textwrap.wrap(cell, max(round(_WIDE_FONT * width), 1))), 1)


def _fill(sheet: Any, rows: Sequence[Sequence[Cell]], formats: _Formats) -> None:
    widths: dict[int, int] = {}
    for row, cells in enumerate(rows):
        for column, cell in enumerate(cells):
            if cell is None or cell == "":
                continue
            _put(sheet, row, column, cell, formats)
            widths[column] = max(widths.get(column, 0), len(_shown(cell)))
    for column, width in widths.items():
        sheet.set_column(column, column, min(width + 2, _WIDEST))
    if len(rows) > 1:
        sheet.freeze_panes(1, 0)


def _put(sheet: Any, row: int, column: int, cell: Cell, formats: _Formats) -> None:
    form = formats.of(row, column, cell)
    if isinstance(cell, Formula):
        value = cell.value if isinstance(cell.value, str) else _finite(cell.value)
        done = sheet.write_formula(row, column, cell.text, form, value)
    elif isinstance(cell, bool):
        done = sheet.write_boolean(row, column, cell, form)
    elif isinstance(cell, (int, float)) and abs(_finite(cell)) <= _MOST_EXACT:
        done = sheet.write_number(row, column, cell, form)
    else:
        text = cell if isinstance(cell, str) else _shown(cell)
        if len(text) > LONGEST_CELL:
            raise RangeError(f"got a text of {len(text)} characters; at most {LONGEST_CELL} fit")
        done = sheet.write_string(row, column, text, form)
    if done:
        raise RangeError(f"row {row + 1}, column {column + 1} is beyond what a workbook holds")


def _csv_cell(cell: Cell, decimal: str) -> str:
    if isinstance(cell, Formula):
        cell = cell.value
    if not isinstance(cell, str):
        return _shown(cell).replace(".", decimal)
    text = guarded(cell)
    if _QUOTED.isdisjoint(text) and text == text.strip():
        return text
    return '"' + text.replace('"', '""') + '"'


def _shown(cell: Cell) -> str:
    if isinstance(cell, Formula):
        cell = cell.value
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    return cell if isinstance(cell, str) else shortest(_finite(cell))


def _finite(number: float) -> float:
    if isinstance(number, float) and not math.isfinite(number):
        raise RangeError(f"got {number}; a finite number is needed")
    return number
