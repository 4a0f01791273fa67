"""What the audit catches: random corruptions of single cells of the line that ships.

Each trial rewrites one cell and audits the line. Only cells with a number are hit: first a file and
column at random, then a row. A corruption that changes the number by less than a tenth of a per
cent is drawn again. Same seed, same trials.

    python benchmarks/audit.py [trials] [seed]
"""

from __future__ import annotations

import csv
import io
import math
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from dutyline.audit.run import audit
from dutyline.audit.slips import known
from dutyline.catalogue.columns import FORMS
from dutyline.catalogue.library import read_line
from dutyline.core.errors import InputError
from dutyline.core.places import DATA

TRIALS = 1000
SEED = 20
SHIPPED = DATA / "demo-line"
LEAST_CHANGE = 1e-3
Table = list[list[str]]


@dataclass(frozen=True)
class Trial:
    """One corruption and what came of it."""

    kind: str
    file: str
    column: str
    row: int
    before: str
    after: str
    outcome: str
    """``refused`` by the reader, ``named`` (the very cell), ``beside`` (a finding, but another
    cell is named first) or ``missed``"""
    false: int
    """Findings on other cells."""

    @property
    def change(self) -> float:
        """Larger over smaller of the two numbers."""
        a, b = abs(float(self.before)), abs(float(self.after))
        return math.inf if 0 in (a, b) else max(a, b) / min(a, b)


def tables() -> dict[str, Table]:
    """Cells of every file, the heading first."""
    return {
        form.file: list(csv.reader(io.StringIO((SHIPPED / form.file).read_text("utf-8"))))
        for form in FORMS
    }


def is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def digits(rng: random.Random, table: Table, row: int, column: int) -> str:
    """Two neighbouring digits exchanged."""
    text = table[row][column]
    places = [k for k, c in enumerate(text) if c.isdigit()]
    pairs = [(a, b) for a, b in pairwise(places) if text[a] != text[b]]
    if not pairs:
        return text
    a, b = rng.choice(pairs)
    cells = list(text)
    cells[a], cells[b] = cells[b], cells[a]
    return "".join(cells)


def typed(rng: random.Random, table: Table, row: int, column: int) -> str:
    """One digit typed wrong."""
    text = table[row][column]
    place = rng.choice([k for k, c in enumerate(text) if c.isdigit()])
    other = rng.choice([d for d in "0123456789" if d != text[place]])
    return text[:place] + other + text[place + 1 :]


def point(rng: random.Random, table: Table, row: int, column: int) -> str:
    """The decimal point moved by one to three places."""
    places = rng.choice([-3, -2, -1, 1, 2, 3])
    return f"{float(table[row][column]) * 10.0**places:.10g}"


def unit(rng: random.Random, table: Table, row: int, column: int) -> str:
    """A factor between units or conventions of the column."""
    form = next(f for f in FORMS if any(c.name == table[0][column] for c in f.columns))
    own = {c.name: c.unit for f in FORMS for c in f.columns}[table[0][column]] if form else ""
    factors = [s.factor for s in known() if own and own in s.units] or [10.0, 0.1]
    factor = rng.choice([f for g in factors for f in (g, 1 / g)])
    return f"{float(table[row][column]) * factor:.4g}"


def shifted(rng: random.Random, table: Table, row: int, column: int) -> str:
    """The cell of a neighbouring column."""
    beside = [
        table[row][k]
        for k in (column - 1, column + 1)
        if 0 <= k < len(table[row]) and is_number(table[row][k])
    ]
    return rng.choice(beside) if beside else table[row][column]


def repeated(rng: random.Random, table: Table, row: int, column: int) -> str:
    """The cell of a neighbouring row."""
    near = [table[k][column] for k in (row - 1, row + 1) if 0 < k < len(table)]
    return rng.choice([t for t in near if is_number(t)] or [table[row][column]])


KINDS: dict[str, Callable[[random.Random, Table, int, int], str]] = {
    "digits exchanged": digits,
    "digit mistyped": typed,
    "decimal point": point,
    "unit or convention": unit,
    "column shifted": shifted,
    "row repeated": repeated,
}


def corrupted(rng: random.Random, kind: str) -> tuple[str, int, int, str, str]:
    """File, row, column, cell before and after."""
    content = tables()
    columns = [
        (file, k)
        for file, table in content.items()
        for k in range(len(table[0]))
        if any(is_number(row[k]) for row in table[1:])
    ]
    while True:
        file, column = rng.choice(columns)
        table = content[file]
        rows = [k for k in range(1, len(table)) if is_number(table[k][column])]
        row = rng.choice(rows)
        before = table[row][column]
        after = KINDS[kind](rng, table, row, column)
        same = is_number(after) and abs(float(after) - float(before)) <= LEAST_CHANGE * abs(
            float(before)
        )
        if not same:
            return file, row, column, before, after


def outcome(folder: Path, file: str, heading: str, number: int, after: str) -> tuple[str, int]:
    """What reader and audit say of a folder."""
    try:
        found = audit(read_line(folder)).findings
    except InputError:
        return "refused", 0
    own = [f for f in found if (f.file, f.column, f.row) == (file, heading, number)]
    other = len(found) - len(own)
    if own:
        return "named", other
    doubted = any(heading in doubt for f in found for doubt in f.doubt)
    return ("beside" if found else "missed"), (0 if doubted and other == 1 else other)


def trials(count: int, seed: int) -> Iterator[Trial]:
    """Trials in turn over the kinds of corruption."""
    rng = random.Random(seed)
    content = {name: (SHIPPED / name).read_text("utf-8") for name in tables()}
    with tempfile.TemporaryDirectory() as work:
        folder = Path(work)
        for name, text in content.items():
            (folder / name).write_text(text, encoding="utf-8")
        for k in range(count):
            kind = list(KINDS)[k % len(KINDS)]
            file, row, column, before, after = corrupted(rng, kind)
            table = tables()[file]
            table[row][column] = after
            out = io.StringIO()
            csv.writer(out, lineterminator="\n").writerows(table)
            (folder / file).write_text(out.getvalue(), encoding="utf-8")
            heading = table[0][column]
            said, false = outcome(folder, file, heading, row + 1, after)
            (folder / file).write_text(content[file], encoding="utf-8")
            yield Trial(kind, file, heading, row + 1, before, after, said, false)


@dataclass(frozen=True)
class Score:
    """Shares over some trials."""

    count: int
    caught: float
    """Refused, named or beside, over all."""
    named: float
    """Refused or the very cell named, over all."""
    precision: float
    """Findings that name the very cell over all findings."""


def score(found: list[Trial]) -> Score:
    """Recall and precision of trials."""
    count = len(found)
    seen = sum(t.outcome != "missed" for t in found)
    named = sum(t.outcome in ("refused", "named") for t in found)
    own = sum(t.outcome == "named" for t in found)
    told = own + sum(t.false for t in found)
    return Score(count, seen / count, named / count, own / told if told else 1.0)


def report(found: list[Trial]) -> list[tuple[str, Score]]:
    """Scores over all, by kind of corruption, by file and by size of the change."""
    groups = [("all", found)]
    groups += [(kind, [t for t in found if t.kind == kind]) for kind in KINDS]
    groups += [(form.file, [t for t in found if t.file == form.file]) for form in FORMS]
    bands = [(1.0, 1.05), (1.05, 1.2), (1.2, 2.0), (2.0, 10.0), (10.0, math.inf)]
    for low, high in bands:
        name = f"changed by a factor of {low:g} to {high:g}" if high < math.inf else "more"
        groups.append((name, [t for t in found if low <= t.change < high or high == t.change]))
    return [(name, score(some)) for name, some in groups if some]


def main(arguments: list[str]) -> None:
    count = int(arguments[0]) if arguments else TRIALS
    seed = int(arguments[1]) if len(arguments) > 1 else SEED
    begun = time.perf_counter()
    found = list(trials(count, seed))
    print(f"{count} corruptions of one cell, seed {seed}, {time.perf_counter() - begun:.1f} s")
    print(f"{'':34} trials  caught  named  precision")
    for name, s in report(found):
        print(f"{name:34} {s.count:6}  {s.caught:6.1%} {s.named:6.1%}  {s.precision:9.1%}")
    missed = Counter((t.file, t.column) for t in found if t.outcome == "missed")
    every = Counter((t.file, t.column) for t in found)
    print("columns in which most goes unseen:")
    for (file, column), n in missed.most_common(40):
        print(f"  {file} {column}: {n} of {every[file, column]}")


if __name__ == "__main__":
    main(sys.argv[1:])
