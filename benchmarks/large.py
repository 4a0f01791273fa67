"""Large lines: time to read and to audit beside plain reading of the same CSV files, and memory.

Each size in a fresh process. Plain reading is ``csv.reader`` over every file, rows dropped as they
come. Nothing here passes or fails.

    python benchmarks/large.py
"""

from __future__ import annotations

import csv
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from copies import PRODUCTS, write_copies

SIZES = (1_000, 10_000, 50_000)
RUNS = 5


def plain(folder: Path) -> float:
    """Median CPU time of plain reading [s]."""
    times = []
    for _ in range(RUNS):
        begun = time.process_time()
        for file in folder.glob("*.csv"):
            with file.open(encoding="utf-8", newline="") as content:
                for _row in csv.reader(content):
                    pass
        times.append(time.process_time() - begun)
    return statistics.median(times)


def memory() -> float:
    """Largest memory of this process so far [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def one(folder: Path) -> None:
    """Figures of one line: products, plain [s], loading, audit, findings and three memories."""
    from dutyline.audit.run import audit
    from dutyline.catalogue.library import demo_line, read_line

    audit(demo_line())
    own = plain(folder)
    bare = memory()
    begun = time.process_time()
    line = read_line(folder)
    loaded = time.process_time()
    held = memory()
    found = audit(line)
    audited = time.process_time()
    count = sum(
        len(getattr(line, kind))
        for kind in ("motors", "gearheads", "drives", "brakes", "resistors")
    )
    print(
        count, own, (loaded - begun) / own, (audited - loaded) / own, len(found.findings),
        bare, held, memory(),
    )  # fmt: skip


def main() -> None:
    print("products     rows  plain, s  loading  audit  findings  kB per product  peak, MB")
    print("                   of csv    times that                  read   audited")
    for differing in (False, True):
        print(
            "every copy with figures of its own" if differing else "copies of the line that ships"
        )
        for size in SIZES:
            with tempfile.TemporaryDirectory() as work:
                rows = write_copies(Path(work), round(size / PRODUCTS), differing=differing)
                command = [sys.executable, __file__, work]
                done = subprocess.run(command, check=True, capture_output=True, text=True)
            count, own, load, audit, found, bare, held, peak = map(float, done.stdout.split())
            print(
                f"{count:8,.0f} {rows:8,d}  {own:8.4f}  {load:7.1f}  {audit:5.1f}  {found:8.0f}  "
                f"{1024 * (held - bare) / count:5.1f}  {1024 * (peak - bare) / count:7.1f}  "
                f"{peak:8.0f}"
            )


if __name__ == "__main__":
    if len(sys.argv) > 1:
        one(Path(sys.argv[1]))
    else:
        main()
