"""What a measured record must hold before anything is read off it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import quoted
from dutyline.core.numbers import quantity
from dutyline.grids.records import Grid

Array = NDArray[np.float64]

MOST_SPEED = 1e5
"""[rad/s] of a motor shaft: a million turns a minute."""
MOST_TORQUE = 1e6
"""[N*m] at a motor shaft."""
STEPS = 1e-7, 1.0
"""Least and most time between two samples [s]; slower ones show no peak."""
GAP = 20.0
"""Time between two samples over the usual one from which a part of the record is missing."""


def check_columns(grid: Grid, names: Sequence[str], places: Sequence[int]) -> None:
    """Every quantity needs a column of its own that is there.

    Raises
    ------
    InputError
        Two are read from one column, or a number names no column.
    """
    width = max((len(row) for row in grid.rows), default=0)
    for k, (name, place) in enumerate(zip(names, places, strict=True)):
        if not 0 <= place < width:
            read = f"there is no column {place + 1}; the columns are 1 to {width}."
        elif place in places[:k]:
            other = names[places.index(place)]
            read = f"is read from the same column as the {other}; each needs one of its own."
        else:
            continue
        raise InputError(grid.file, [Fault(grid.file, f"trace.{name}", read,
                                           f"Name the column of the {name}.")])  # fmt: skip


def check_samples(
    grid: Grid, rows: Sequence[int], places: Sequence[int], time: Array, speed: Array, torque: Array
) -> None:
    """Times that rise without a gap, figures that a shaft can have, and a torque at all.

    Parameters
    ----------
    grid : Grid
    rows, places : sequence of int
        Where the samples stand in it.
    time, speed, torque : (n,) ndarray [s], [rad/s], [N*m]

    Raises
    ------
    InputError
        With the cell.
    """
    for values, place, most, unit, name in (
        (speed, places[1], MOST_SPEED, "rad/s", "speed"),
        (torque, places[2], MOST_TORQUE, "N*m", "torque"),
    ):
        beyond = np.flatnonzero(~(np.abs(values) <= most))
        if beyond.size:
            row = rows[int(beyond[0])]
            read = (f"read {quoted(grid.text(row, place))}; a {name} of a motor shaft, at most "
                    f"{quantity(most, unit)}, is needed.")  # fmt: skip
            raise _refused(grid, row, place, name, read, "Check the cell and the unit.")
    steps = np.diff(time)
    back = np.flatnonzero(~((steps > 0.0) & np.isfinite(time[1:])))
    if back.size:
        row = rows[int(back[0]) + 1]
        read = "the time does not rise here; every sample needs a later time."
        raise _refused(grid, row, places[0], "time", read, "Cut the record into one run.")
    usual = float(np.median(steps))
    if not STEPS[0] <= usual <= STEPS[1]:
        read = (f"the samples are {usual:.3g} s apart; {STEPS[0]:g} s to {STEPS[1]:g} s are "
                "needed to see peaks.")  # fmt: skip
        raise _refused(grid, rows[0], places[0], "time", read, "Check the unit of the time.")
    gap = np.flatnonzero(steps > GAP * usual)
    if gap.size:
        k = int(gap[0])
        read = (f"{quantity(float(steps[k]), 's')} are missing before this sample, others are "
                f"{quantity(usual, 's')} apart; what happened between is not known.")  # fmt: skip
        raise _refused(grid, rows[k + 1], places[0], "time", read, "Cut the record into one run.")
    if not np.any(torque):
        read = "the torque is zero in every sample: no duty can be read off it."
        raise _refused(grid, rows[0], places[2], "torque", read, "Check what the column holds.")


def _refused(grid: Grid, row: int, place: int, name: str, read: str, remedy: str) -> InputError:
    return InputError(grid.file, [Fault(grid.place(row, place), f"trace.{name}", read, remedy)])
