"""Equivalents for an old motor."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from dutyline.app.inputs import STANDARD_INPUT
from dutyline.app.report import DOCUMENTS, target_path
from dutyline.axis.model import Axis
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.core.new_files import write_new
from dutyline.grids.records import Grid
from dutyline.overview.cells import Sheet
from dutyline.replacement.blank import blank
from dutyline.replacement.read import read_plate
from dutyline.replacement.records import (
    Compared,
    Equivalent,
    Hurt,
    Plate,
    Replacement,
)
from dutyline.replacement.search import find
from dutyline.replacement.tables import (
    WORDS,
    axis_lines,
    contradiction_lines,
    equivalents_sheet,
    missing_lines,
    name_of,
    plate_sheet,
    property_sheet,
    question_lines,
    sentence,
    settings_text,
    shown,
    source_lines,
    worked_sheet,
)

__all__ = [
    "WORDS",
    "Compared",
    "Equivalent",
    "Hurt",
    "Plate",
    "Replacement",
    "Sheet",
    "axis_lines",
    "contradiction_lines",
    "equivalents",
    "equivalents_sheet",
    "missing_lines",
    "name_of",
    "plate_sheet",
    "property_sheet",
    "question_lines",
    "read_plate",
    "sentence",
    "settings_text",
    "shown",
    "source_lines",
    "worked_sheet",
]  # fmt: skip

PLATE_FILE = "plate.toml"
"""Where an empty plate file is left without another name."""


def equivalents(
    plate: Plate | str | os.PathLike[str],
    line: ProductLine | None = None,
    *,
    axis: Axis | None = None,
    trace: str | os.PathLike[str] | None = None,
) -> Replacement:
    """Equivalents for an old motor over a product line, the nearest first.

    Parameters
    ----------
    plate : Plate, str or PathLike
        As :func:`read_plate` returns it, or its file.
    line : ProductLine, optional
        The invented line that ships when left out.
    axis : Axis, optional
        What the motor drives: old motor and equivalents are verified on it.
    trace : str or PathLike, optional
        A measured CSV file of the old motor, its columns told in ``[trace]`` of the plate file.

    Returns
    -------
    Replacement
        Every choice with its table of properties, what can hurt, and what has to be set.

    Raises
    ------
    InputError
        A plate, axis or trace that cannot be used.
    """
    if not isinstance(plate, Plate):
        expect(plate, PATH, "plate", 'Name a file: equivalents("plate.toml").')
        plate = read_plate(Path(plate))
    if line is not None:
        expect(line, ProductLine, "line", 'Read one first: read_line("folder").')
    if axis is not None:
        expect(axis, Axis, "axis", 'Read one first: read_axis("axis.toml").')
    if axis is not None and trace is not None:
        fault = Fault("", "--trace", "an axis and a trace are named.", "Name one of the two.")
        raise InputError("the duty", [fault])
    with plate.reader.served():
        product_line = demo_line() if line is None else line
        if axis is not None:
            from dutyline.replacement.on_axis import find_on_axis

            return find_on_axis(plate, product_line, axis)
        if trace is not None:
            from dutyline.replacement.on_trace import find_on_trace
            from dutyline.replacement.trace_read import trace_of

            expect(trace, PATH, "trace", 'Name a file: trace="trace.csv".')
            return find_on_trace(plate, product_line, trace_of(_grid(trace), plate))
        return find(plate, product_line)


def _grid(path: str | os.PathLike[str]) -> Grid:
    """The first table of a measured file that is not hidden."""
    from dutyline.grids.read import read_grids

    shown = [grid for grid in read_grids(path) if not grid.hidden]
    if not shown:
        name = Path(path).name
        raise InputError(name, [Fault(name, "", "all its sheets are hidden.", "Show the one.")])
    return shown[0]


def plate_from(file: str | None) -> Plate:
    """The plate of a file, or of standard input (``-``).

    Raises
    ------
    InputError
        No file is named, or it cannot be used.
    """
    if file is None:
        remedy = 'Name one, or leave an empty one with "dutyline replace --new".'
        raise InputError("the command", [Fault("", "", "no plate file is named.", remedy)])
    if file != "-":
        return read_plate(Path(file))
    if sys.stdin is None:
        fault = Fault("", "", "standard input is closed.", "Name a file, or send the text to it.")
        raise InputError(STANDARD_INPUT, [fault])
    text = sys.stdin.buffer.read().decode("utf-8", "surrogateescape")
    return read_plate(STANDARD_INPUT, text=text)


def write_blank(file: str | None) -> str:
    """Leave a plate file with every field as a comment; never over another file.

    Raises
    ------
    InputError
        A file of this name is there already, or it cannot be written.
    """
    path = Path(file or PLATE_FILE)
    try:
        write_new(path, blank())
    except FileExistsError:
        fault = Fault(str(path), "", "a file of this name is there already.", "Name another.")
        raise InputError(str(path), [fault]) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        fault = Fault(str(path), "", f"this cannot be written: {reason}.", "Name another file.")
        raise InputError(str(path), [fault]) from None
    return str(path)


def write_record(found: Replacement, path: str | os.PathLike[str]) -> None:
    """Write a replacement record as PDF or HTML by the ending of its name.

    Raises
    ------
    InputError
        The ending names no form, or the file cannot be written.
    """
    from dutyline.report.build import write_document
    from dutyline.report.replacement import replacement_document

    expect(path, PATH, "path", 'Name a file: "replacement.pdf".')
    target = target_path(os.fspath(path), None, None, DOCUMENTS)
    with found.plate.reader.served():
        document = replacement_document(found)
        try:
            write_document(document, target, DOCUMENTS[target.suffix.lower()])  # type: ignore[arg-type]
        except OSError as error:
            reason = error.strerror or str(error)
            fault = Fault("", "--to", f"this cannot be written: {reason}.",
                          "Name another with --to.")  # fmt: skip
            raise InputError(str(path), [fault]) from None
