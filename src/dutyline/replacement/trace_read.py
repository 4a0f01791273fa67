"""A measured record of the old motor's shaft, from cells to SI."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.numbers import percent
from dutyline.core.reading import read_value
from dutyline.grids.records import Grid
from dutyline.physics.plates import CurrentForm, current_rms
from dutyline.replacement.records import Plate
from dutyline.replacement.trace_limits import check_columns, check_samples

Array = NDArray[np.float64]

LEAST_SAMPLES = 20
HEAD_ROWS = 60
"""Rows from the top in which the heads may stand."""
UNEVEN = 0.02
"""Share of the time step by which samples may stray before the record is drawn on an even grid."""
LEAST_RATE = 250.0
"""[Hz] below which peaks and rms are told as too low (common practice)."""
_FLAT, _MUCH = 2e-4, 0.01
"""Torque within this share of its peak, over more than this share of the samples: a limit acts."""
ALIASED = 0.03
"""Share by which the rms at half the rate may differ (common practice)."""
_MOST_FAULTS = 20
_PLAIN = re.compile(r"[+\-−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_GROUPED = re.compile(r"[+\-−]?[1-9]\d{0,2},\d{3}")


@dataclass(frozen=True, slots=True)
class Trace:
    """Speed and torque of the old motor, evenly sampled."""

    step: float
    """[s]"""
    speed: Array
    """(n,) [rad/s]"""
    torque: Array
    """(n,) [N*m] at the shaft, the rotor's share in it"""
    file: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Column:
    """One wanted column: where it stands and what its numbers are times."""

    path: str
    place: int
    scale: float


def trace_of(grid: Grid, plate: Plate) -> Trace:
    """The record of a grid by the mapping in ``[trace]`` of a plate file.

    Parameters
    ----------
    grid : Grid
        Cells as found in the file.
    plate : Plate
        With ``trace.time``, ``trace.speed`` and ``trace.torque`` or ``trace.current``.

    Raises
    ------
    InputError
        A column that is not there, a unit or 100 % that is not told, cells that are no numbers,
        times that do not rise, or too few samples.
    """
    words = plate.words
    if "trace.time" not in words:
        read = "the plate file has no [trace]; it tells which column is what."
        remedy = 'Add [trace] with time = "t", speed = "n", torque = "M".'
        raise InputError(grid.file, [Fault(plate.file, "trace", read, remedy)])
    wanted = ["time", "speed"]
    wanted.append("torque" if "trace.torque" in words else "current")
    if wanted[2] == "current" and "trace.current" not in words:
        read = "neither a torque nor a current column is named."
        remedy = 'Add torque = "M" or current = "I".'
        raise InputError(grid.file, [Fault(plate.file, "trace.torque", read, remedy)])
    head, places = _heads(grid, [words[f"trace.{name}"] for name in wanted], wanted, plate)
    check_columns(grid, wanted, places)
    columns = [
        _Column(f"trace.{name}", place, _scale(name, plate))
        for name, place in zip(wanted, places, strict=True)
    ]
    comma = _comma(grid, columns, head, plate)
    rows, values = _numbers(grid, columns, head, comma)
    with np.errstate(over="ignore"):
        time, speed, effort = (values[:, k] * column.scale for k, column in enumerate(columns))
    check_samples(grid, rows, places, time, speed, effort)
    return _even(time, speed, effort, grid.file)


def _heads(
    grid: Grid, said: Sequence[str], names: Sequence[str], plate: Plate
) -> tuple[int, list[int]]:
    """Row of the heads and the columns; columns may be named by their number from 1."""
    plain = [word.strip().casefold() for word in said]
    if all(word.isdecimal() for word in plain):
        return -1, [int(word) - 1 for word in plain]
    for row in range(min(HEAD_ROWS, len(grid.rows))):
        cells = [cell.strip().casefold() for cell in grid.rows[row]]
        if all(word in cells or word.isdecimal() for word in plain):
            doubled = [w for w in plain if cells.count(w) > 1]
            if doubled:
                read = f"the head {quoted(doubled[0])} stands twice."
                remedy = "Name the column by its number, the first is 1."
                raise InputError(grid.file, [Fault(grid.place(row), "", read, remedy)])
            return row, [cells.index(w) if w in cells else int(w) - 1 for w in plain]
    heads = next((r for r in grid.rows[:HEAD_ROWS] if sum(bool(c) for c in r) > 1), ())
    seen = ", ".join(quoted(cell) for cell in heads[:12] if cell)
    faults = [
        Fault(plate.file, f"trace.{name}", f"no column is headed {quoted(word)}.",
              f"There are {seen}." if seen else "Name it by its number, the first is 1.")
        for name, word in zip(names, said, strict=True)
        if word.strip().casefold() not in {c.strip().casefold() for r in grid.rows[:HEAD_ROWS]
                                           for c in r}
    ]  # fmt: skip
    faults = faults or [Fault(grid.file, "", "the heads named do not stand in one row.",
                              "Name the columns by their numbers, the first is 1.")]  # fmt: skip
    raise InputError(grid.file, faults)


def _scale(name: str, plate: Plate) -> float:
    """What one of the file is in SI; for currents the torque it makes."""
    unit = plate.words[f"trace.{name}_unit"].strip()
    kinds = {"time": "time", "speed": "angular-speed", "torque": "torque", "current": "current"}
    if unit in ("%", "percent") and name != "time":
        scale = _full(name, plate) / 100.0
    else:
        try:
            one = read_value(f"1 {unit}", kinds[name])
            if one.low is not None:
                raise ValueFault(f"read {quoted(unit)}; a unit alone is needed.", "")
            scale = one.si
        except ValueFault as fault:
            raise InputError(
                plate.file, [Fault(plate.file, f"trace.{name}_unit", fault.read, fault.remedy)]
            ) from None
    if name != "current":
        return scale
    form, constant = plate.words.get("trace.current_form"), plate.si("motor.torque_constant")
    faults = []
    if form is None:
        read = "whether the current of the trace is rms or crest is not stated."
        faults.append(Fault(plate.file, "trace.current_form", read,
                            'Write current_form = "rms" or "peak".'))  # fmt: skip
    if constant is None:
        read = "the torque constant of the old motor is not known, so a current tells no torque."
        faults.append(Fault(plate.file, "motor.torque_constant", read,
                            "Give it, or torque with its current."))  # fmt: skip
    if faults or constant is None or form is None:
        raise InputError(plate.file, faults)
    asked: CurrentForm = "rms" if form == "rms" else "peak"
    return float(current_rms(scale, asked)) * constant


def _full(name: str, plate: Plate) -> float:
    full = plate.si(f"trace.{name}_full")
    if full is None:
        read = f"the {name} is in per cent, and what 100 % means is not stated."
        sample = {"speed": "3000 r/min", "torque": "2.4 N*m", "current": "4.2 A"}[name]
        remedy = f'Write {name}_full = "{sample}": rated or peak value of motor or drive?'
        raise InputError(plate.file, [Fault(plate.file, f"trace.{name}_full", read, remedy)])
    return full


def _comma(grid: Grid, columns: Sequence[_Column], head: int, plate: Plate) -> bool:
    """Whether the decimal mark is a comma: as stated, else as the cells tell."""
    stated = plate.words.get("trace.decimal")
    if stated is not None:
        return stated == "comma"
    cells = [
        grid.text(row, column.place)
        for row in range(head + 1, len(grid.rows))
        for column in columns
    ]
    commas = [cell for cell in cells if "," in cell]
    if not commas:
        return False
    points = any("." in cell for cell in cells)
    telling = any(_PLAIN.fullmatch(c) and not _GROUPED.fullmatch(c) for c in commas)
    if points or not telling:
        read = f"read {quoted(commas[0])}; the comma may be a decimal mark or group digits."
        remedy = 'Write decimal = "comma" or decimal = "point" in [trace].'
        raise InputError(grid.file, [Fault(plate.file, "trace.decimal", read, remedy)])
    return True


def _numbers(
    grid: Grid, columns: Sequence[_Column], head: int, comma: bool
) -> tuple[list[int], Array]:
    """Rows of numbers, and their numbers.

    Rows below the heads that hold no number at all, units for example, are passed; so are at most
    as many as heads may take where columns are named by number.
    """
    read: Callable[[str], float | None] = _with_comma if comma else _with_point

    def cells(row: int) -> list[float | None]:
        return [read(grid.text(row, column.place)) for column in columns]

    rows = len(grid.rows)
    begins: Callable[[list[float | None]], bool] = (
        (lambda row: None not in row) if head < 0 else (lambda row: row.count(None) < len(row))
    )
    above = range(head + 1, min(rows, head + 1 + HEAD_ROWS))
    first = next((r for r in above if begins(cells(r))), None)
    if first is None:
        said = "no row holds a number in every column named."
        raise InputError(grid.file, [Fault(grid.file, "", said, "Check columns and decimal mark.")])
    found, where, faults = [], [], []
    for row in range(first, rows):
        if not any(grid.text(row, column.place) for column in columns):
            continue
        numbers = cells(row)
        if None not in numbers:
            found.append(numbers)
            where.append(row)
            continue
        column = columns[numbers.index(None)]
        said = f"read {quoted(grid.text(row, column.place))}; a number is needed."
        faults.append(Fault(grid.place(row, column.place), column.path, said,
                            "Take the row out, or mend it."))  # fmt: skip
        if len(faults) >= _MOST_FAULTS:
            break
    if faults:
        raise InputError(grid.file, faults)
    if len(found) < LEAST_SAMPLES:
        said = f"the record has {len(found)} samples; {LEAST_SAMPLES} or more are needed."
        raise InputError(grid.file, [Fault(grid.file, "", said, "Record a whole cycle.")])
    return where, np.array(found, dtype=np.float64)


def _with_point(text: str) -> float | None:
    if "," in text or not _PLAIN.fullmatch(text):
        return None
    return float(text.replace("−", "-"))


def _with_comma(text: str) -> float | None:
    if "." in text or not _PLAIN.fullmatch(text):
        return None
    return float(text.replace("−", "-").replace(",", "."))


def _even(time: Array, speed: Array, torque: Array, file: str) -> Trace:
    """The record on an even grid of its median step, with what a reader must know."""
    steps = np.diff(time)
    step = float(np.median(steps))
    notes = []
    if float(np.abs(steps / step - 1.0).max()) > UNEVEN:
        count = int((time[-1] - time[0]) / step) + 1
        even = time[0] + step * np.arange(count)
        speed, torque = np.interp(even, time, speed), np.interp(even, time, torque)
        notes.append("The samples are not evenly spaced; they were drawn on an even grid.")
    else:
        step = float((time[-1] - time[0]) / (time.size - 1))
    if 1.0 / step < LEAST_RATE:
        notes.append(
            f"{1.0 / step:.0f} samples a second: peaks and rms may be higher than recorded."
        )
    notes += _doubts(speed, torque)
    return Trace(step, speed, torque, file, tuple(notes))


def _doubts(speed: Array, torque: Array) -> list[str]:
    """What makes a record doubtful (common practice)."""
    notes = []
    top = float(np.abs(speed).max())
    if top > 0.0 and abs(float(speed[0] - speed[-1])) > 0.05 * top:
        notes.append("The record starts and ends at different speeds: it may not be whole cycles, "
                     "which moves rms and mean.")  # fmt: skip
    whole, half = (float(np.sqrt(np.mean(t**2))) for t in (torque, torque[::2]))
    if abs(half - whole) > ALIASED * whole:
        notes.append(
            f"At half the rate of sampling the rms torque differs by more than {percent(ALIASED)}: "
            "parts faster than the samples may be folded into it."
        )
    peak = float(np.abs(torque).max())
    flat = np.abs(torque) >= (1.0 - _FLAT) * peak
    if peak > 0.0 and float(np.mean(flat)) > _MUCH:
        notes.append("The torque stays at its top: a torque limit may have been active, the true "
                     "need may be higher.")  # fmt: skip
    return notes
