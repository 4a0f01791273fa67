"""Lines of any size: copies of the line that ships, each with names of its own."""

from __future__ import annotations

import csv
from pathlib import Path

from dutyline.catalogue.columns import FORMS, Column
from dutyline.core.places import DATA

SHIPPED = DATA / "demo-line"
PRODUCTS = 74
"""Of the line that ships."""
MOST_CURVES = 200
"""Copies of its curves that go into one file of at most 200 000 rows."""
_NAMED = {
    "motors.csv": ("motor", "size", "brake"), "gearheads.csv": ("gearhead",),
    "drives.csv": ("drive",), "brakes.csv": ("brake",), "resistors.csv": ("resistor",),
    "pairings.csv": ("left", "right"), "curves.csv": ("motor",),
}  # fmt: skip
_SPREAD = 1e-4
"""Share by which torques, inertias and masses grow from copy to copy where they differ."""


def write_copies(folder: Path, count: int, *, differing: bool = False, paired: bool = True) -> int:
    """Write a line of some copies; rows in all.

    Parameters
    ----------
    folder : Path
        Where; it need not be there.
    count : int
        Copies.
    differing : bool
        Whether every copy has torques, inertias, masses and curve speeds of its own, in five
        digits, so that hardly two cells are alike.
    paired : bool
        Whether pairings say what goes together; rules of flange, shaft and class do otherwise.
    """
    folder.mkdir(exist_ok=True)
    rows = 0
    for form in FORMS:
        with (SHIPPED / form.file).open(encoding="utf-8", newline="") as content:
            heading, *table = csv.reader(content)
        own = [heading.index(name) for name in _NAMED[form.file]]
        columns = {c.name: c for c in form.columns}
        grown = [k for k, h in enumerate(heading) if differing and _grows(columns[h])]
        copies = min(count, MOST_CURVES) if form.file == "curves.csv" else count
        if form.file == "pairings.csv" and not paired:
            copies = 0
        with (folder / form.file).open("w", encoding="utf-8", newline="") as out:
            writer = csv.writer(out, lineterminator="\n")
            writer.writerow(heading)
            for n in range(copies):
                for row in table:
                    made = [f"{c}-{n}" if k in own and c else c for k, c in enumerate(row)]
                    for k in grown:
                        made[k] = f"{float(made[k]) * (1 + n * _SPREAD):.5g}" if made[k] else ""
                    writer.writerow(made)
        rows += copies * len(table)
    return rows


def _grows(column: Column) -> bool:
    return column.kind == "number" and (
        column.unit in ("N*m", "kg*cm^2", "kg", "N") or column.name == "speed_rpm"
    )
