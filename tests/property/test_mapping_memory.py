"""What a line through a mapping keeps does not grow beyond its cells."""

from __future__ import annotations

import tracemalloc
from pathlib import Path

from dutyline.app.bring import read_line

COLUMNS = ("torque_rated", "torque_peak", "torque_stall", "mass", "power_rated", "current_peak")
UNITS = ("lb*in", "lb*in", "lb*in", "lb", "kW", "A")
MOST = 450
"""[byte] at the peak for each cell: its text, its row, our files and the trace; 300 when this was
written."""


def write(folder: Path, rows: int) -> None:
    head = ",".join(("name", *COLUMNS))
    body = (",".join([f"M{n}", *(f"{n + k}.{k}5" for k in range(6))]) for n in range(1, rows + 1))
    (folder / "m.csv").write_text("\n".join([head, *body]) + "\n", "utf-8")
    told = "".join(
        f'"{name}" = {{ field = "{name}", unit = "{unit}"'
        + (', ampere = "rms", current = "line"' if unit == "A" else "")
        + " }\n"
        for name, unit in zip(COLUMNS, UNITS, strict=True)
    )
    (folder / "mapping.toml").write_text(
        'schema = 1\n[[table]]\ninto = "motors"\nfile = "m.csv"\ndecimal = "."\n[table.columns]\n'
        f'"name" = "name"\n{told}',
        "utf-8",
    )


def test_memory_of_a_cell(tmp_path):
    """Between two sizes, so that what is loaded once does not count."""
    peaks = []
    for rows in (500, 2500):
        write(tmp_path, rows)
        read_line(tmp_path)
        tracemalloc.start()
        read_line(tmp_path)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    per_cell = (peaks[1] - peaks[0]) / (2000 * 7)
    assert per_cell < MOST
