"""Speed as ratios beside a plain reference in one run; nothing here passes or fails.

Each figure is the median of several runs. The reference is the dense block of
:mod:`block`, timed on a sample of the same combinations in the same process.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import block
import numpy as np
import synthetic

from dutyline.axis.model import Axis
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import read_line
from dutyline.checks.ledger import MEETS
from dutyline.checks.listing import CHECKS
from dutyline.checks.verdict import trial_of
from dutyline.core.places import DATA
from dutyline.demand.output import output_demand
from dutyline.selection.search import decide, tries

RUNS = 5
SIZES = ((25, 10, 4), (100, 100, 10), (250, 400, 10))
SAMPLE = 4096
SHIPPED = DATA / "demo-line"


def median_time(work: Callable[[], object], runs: int = RUNS) -> float:
    """Median wall time of several runs [s]."""
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def verdict_rates() -> None:
    """Full verdicts per second beside the dense block, and that no verdict differs."""
    axis = synthetic.lift_axis()
    reserve = {check.id: check.reserve for check in CHECKS}
    print(f"axis: {len(axis.cycle.pieces)} pieces, {axis.cycle.duration:.3f} s")
    print(f"prepare one axis: {1e3 * median_time(lambda: output_demand(axis).moments):.1f} ms")
    print("combinations   verdict, s   per second   block per second   ratio   verdicts differing")
    for size in SIZES:
        _one_size(axis, size, reserve)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"largest memory of this process: {memory:.0f} MB")


def _one_size(axis: Axis, size: tuple[int, int, int], reserve: dict[str, float]) -> None:
    line = synthetic.product_line(*size)
    choice = synthetic.every_combination(line)
    trial = trial_of(axis, line, choice)
    found = decide(trial)
    took = median_time(lambda: decide(trial_of(axis, line, choice, trial.out)))
    pick = np.linspace(0, choice.size - 1, min(SAMPLE, choice.size)).astype(np.intp)
    some = choice.take(pick)
    begun = time.perf_counter()
    meets = block.verdicts(axis, line, some, reserve)
    plain = time.perf_counter() - begun
    differ = int((meets != (found.state[pick] == MEETS)).sum())
    rate, peer = choice.size / took, pick.size / plain
    print(
        f"{choice.size:12,d}   {took:10.3f}   {rate:10,.0f}   {peer:16,.0f}   "
        f"{rate / peer:5.0f}   {differ} of {pick.size}"
    )


LAUNCHER = """
import os, subprocess, sys, time
begun = time.perf_counter()
child = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
_, _, used = os.wait4(child.pid, 0)
print(time.perf_counter() - begun, used.ru_maxrss / 1024)
"""
"""Starts a command and prints its wall time [s] and largest memory [MB].

A process counts as its own what the one that started it had in use, so a small one must start it.
"""


def fresh(command: list[str], bytecode: str) -> tuple[float, float]:
    """Median wall time [s] and largest memory [MB] of a command, each run in a fresh process.

    Compiled modules are kept in the folder ``bytecode``, as an installed package has them; the
    first run, which writes them, is not counted.
    """
    around = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    around["PYTHONPYCACHEPREFIX"] = bytecode
    runs = []
    for _ in range(RUNS + 1):
        launch = [sys.executable, "-S", "-c", LAUNCHER, *command]
        done = subprocess.run(launch, env=around, check=True, capture_output=True, text=True)
        runs.append([float(word) for word in done.stdout.split()])
    times, memory = zip(*runs[1:], strict=True)
    return statistics.median(times), max(memory)


def cold_start() -> None:
    """`dutyline select` in a fresh process: as it ships, and with every drive for every motor."""
    file = Path(__file__).parent.parent / "examples" / "lift" / "axis.toml"
    axis = read_axis(file)
    with tempfile.TemporaryDirectory() as work:
        bytecode, every = f"{work}/bytecode", f"{work}/every-drive"
        shutil.copytree(SHIPPED, every)
        rows = (SHIPPED / "pairings.csv").read_text(encoding="utf-8").splitlines(keepends=True)
        kept = [row for row in rows if not row.startswith("motor-drive,")]
        Path(every, "pairings.csv").write_text("".join(kept), encoding="utf-8")
        base, _ = fresh([sys.executable, "-c", "import numpy"], bytecode)
        print(f"cold start of a process that only imports numpy: {base:.3f} s")
        for folder in (str(SHIPPED), every):
            select = [sys.executable, "-m", "dutyline", "select", str(file), "--line", folder]
            took, memory = fresh(select, bytecode)
            count = tries(axis, read_line(folder), output_demand(axis)).size
            print(f"cold start of select, {count} combinations: {took:.3f} s, {memory:.0f} MB")


if __name__ == "__main__":
    verdict_rates()
    cold_start()
