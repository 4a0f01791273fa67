"""Files of foreign tables to grids: CSV of any form, and workbooks."""

from __future__ import annotations

import os
from pathlib import Path

from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import quoted
from dutyline.grids.csv_grid import csv_grid
from dutyline.grids.files import content
from dutyline.grids.limits import MOST_BYTES, refused
from dutyline.grids.records import Grid
from dutyline.grids.xlsx_grid import xlsx_grids

CSV_ENDINGS = (".csv", ".tsv", ".txt")
XLSX = ".xlsx"
_AS = "Save the table as .xlsx or as CSV UTF-8."
_OTHERS = {
    ".xls": "is a workbook of the older form .xls",
    ".xlsm": "is a workbook with macros",
    ".xlsb": "is a workbook of the binary form .xlsb",
    ".ods": "is an OpenDocument sheet",
    ".numbers": "is a sheet of the form .numbers",
    ".pdf": "is a printed page; no cells can be read from it",
}
_ZIP = b"PK\x03\x04"
_OLE = bytes.fromhex("d0cf11e0a1b11ae1")


def read_grids(
    path: str | os.PathLike[str],
    *,
    encoding: str | None = None,
    separator: str | None = None,
) -> tuple[Grid, ...]:
    """Tables of a file, before anything is understood.

    Parameters
    ----------
    path : path
        A file that ends in .csv, .tsv, .txt or .xlsx.
    encoding : str, optional
        Of a CSV file: utf-8, utf-16, utf-16-le, utf-16-be or cp1252. Left out, the file is UTF-8,
        or what its byte-order mark says.
    separator : str, optional
        Of a CSV file: a comma, semicolon or tab. Left out, it is found by looking and told by
        :attr:`Grid.separator`.

    Returns
    -------
    tuple of Grid
        One for a CSV file, one for each sheet of a workbook, hidden ones included.

    Raises
    ------
    InputError
        The file cannot be read, is of another form, or goes beyond a limit of
        :mod:`dutyline.grids.limits`.
    """
    expect(path, PATH, "path", 'Name a file: read_grids("motors.xlsx").')
    name = Path(path).name or str(path) or "."
    data = content(Path(path), name)
    if isinstance(data, Fault):
        raise InputError(name, [data])
    return grids_of(name, data, encoding=encoding, separator=separator)


def grids_of(
    name: str,
    data: bytes,
    *,
    encoding: str | None = None,
    separator: str | None = None,
) -> tuple[Grid, ...]:
    """As :func:`read_grids`, for bytes that are at hand.

    Parameters
    ----------
    name : str
        Of the file, with its ending.
    data : bytes
        What it holds.
    encoding, separator : str, optional
        As there.

    Raises
    ------
    InputError
        As there.
    """
    ending = Path(name).suffix.lower()
    if len(data) > MOST_BYTES:
        read = f"is larger than {MOST_BYTES // 1_000_000} MB; a smaller file is needed."
        raise refused(name, "", read, "Check that it is the right file, or split it.")
    if ending in CSV_ENDINGS:
        if data.startswith((_ZIP, _OLE)):
            read = f"is a workbook by what it holds; its name ends in {ending}."
            raise refused(name, "", read, "Give the file its true ending, such as .xlsx.")
        return (csv_grid(name, data, encoding, separator),)
    if ending != XLSX:
        what = _OTHERS.get(ending, f"ends in {quoted(ending)}" if ending else "has no ending")
        raise refused(name, "", f"{what}; .csv, .tsv, .txt or .xlsx is needed.", _AS)
    if encoding is not None or separator is not None:
        read = "is a workbook; encoding and separator belong to CSV files."
        raise refused(name, "", read, "Leave them out.")
    if data.startswith(_OLE):
        read = "is protected by a password, or of the older form .xls; a plain .xlsx is needed."
        raise refused(name, "", read, "Save it as .xlsx without a password.")
    if not data.startswith(_ZIP):
        read = "is not a workbook by what it holds; its name ends in .xlsx."
        raise refused(name, "", read, "If it is text, give it the ending .csv.")
    return xlsx_grids(name, data)
