"""A large line through a mapping: time beside plain reading of the same CSV files, and memory.

Every copy has figures of its own; the mapping names each of our columns, with and without units to
convert. Each in a fresh process. Nothing here passes or fails.

    python benchmarks/bring.py
"""

from __future__ import annotations

import csv
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from copies import PRODUCTS, write_copies
from large import memory, plain

from dutyline.catalogue.columns import FORMS, Column
from dutyline.intake.conventions import ASKED, BY_KEY, COIL
from dutyline.intake.units import needs_unit

SIZES = (1_000, 10_000, 20_000)
_UNITS = {
    "A rms": "A", "N*m/A rms": "N*m/A", "V rms line-line per 1000 r/min": "V/krpm",
    "% per K": "%/K", "% per 100 m": "%/(100 m)", "": "1",
}  # fmt: skip
_OTHERS = {"N*m": "lb*in", "mm": "in", "kg": "lb", "N": "lbf", "r/min": "rad/s"}
"""Units of other tables. The figures are not changed: lengths and speeds then are those of no
machine, but as long to read."""
_ANSWERS = {"at": "20 degC", "count": "pairs"}


def write_mapping(folder: Path, *, converted: bool) -> int:
    """Write a mapping of every column of a folder in our form; its cells."""
    lines = ["schema = 1"]
    cells = 0
    for form in FORMS:
        kind = form.file.removesuffix(".csv")
        with (folder / form.file).open(encoding="utf-8", newline="") as content:
            rows = csv.reader(content)
            heading = next(rows)
            cells += len(heading) * sum(1 for _ in rows)
        lines += ["[[table]]", f'into = "{kind}"', f'file = "{form.file}"', 'decimal = "."']
        lines.append("[table.columns]")
        known = {column.name: column for column in form.columns}
        lines += [f'"{name}" = {{ {_told(kind, known[name], converted)} }}' for name in heading]
    (folder / "mapping.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return cells


def _told(kind: str, column: Column, converted: bool) -> str:
    told = [f'field = "{column.field}"']
    if needs_unit(column):
        unit = "s" if column.kind == "pairs" else _UNITS.get(column.unit, column.unit)
        plain_number = column.kind == "number"
        told.append(f'unit = "{_OTHERS.get(unit, unit) if converted and plain_number else unit}"')
    for key in ASKED.get((kind, column.field), ()):
        answer = _ANSWERS.get(key) or next(iter(BY_KEY[key].answers))
        if key == "count" and column.field != "pole_pairs":
            answer = "bits"
        told.append(f'{key} = "{COIL[column.field] if key == "coil" else answer}"')
    return ", ".join(told)


def one(folder: Path, cells: int) -> None:
    """Figures of one line: plain [s], bringing and writing in times of it, and bytes a cell."""
    from dutyline.app.bring import read_line, write_line
    from dutyline.catalogue.library import demo_line

    demo_line()
    own = plain(folder)
    bare = memory()
    begun = time.process_time()
    line = read_line(folder / "mapping.toml")
    brought = time.process_time()
    held = memory()
    write_line(line, folder / "out")
    written = time.process_time()
    print(
        own, (brought - begun) / own, (written - brought) / own, (held - bare) * 2**20 / cells,
        (memory() - bare) * 2**20 / cells,
    )  # fmt: skip


def main() -> None:
    print("products     cells  plain, s  bringing  writing  bytes per cell")
    print("                    of csv     times that       brought  written")
    for converted in (False, True):
        print("in units of other tables" if converted else "in our units")
        for size in SIZES:
            with tempfile.TemporaryDirectory() as work:
                write_copies(Path(work), round(size / PRODUCTS), differing=True)
                cells = write_mapping(Path(work), converted=converted)
                command = [sys.executable, __file__, work, str(cells)]
                done = subprocess.run(command, check=True, capture_output=True, text=True)
            own, bring, write, held, peak = map(float, done.stdout.split())
            print(
                f"{size:8,d} {cells:9,d}  {own:8.4f}  {bring:8.1f}  {write:7.1f}  {held:9.0f}  "
                f"{peak:7.0f}"
            )


if __name__ == "__main__":
    if len(sys.argv) > 2:
        one(Path(sys.argv[1]), int(sys.argv[2]))
    else:
        main()
