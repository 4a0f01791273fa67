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
from functools import cache
from itertools import pairwise
from pathlib import Path

from dutyline.audit.records import Audit
from dutyline.audit.run import audit
from dutyline.audit.slips import known
from dutyline.catalogue.column_words import spoken_heading
from dutyline.catalogue.columns import FORMS
from dutyline.catalogue.library import read_line
from dutyline.core.errors import InputError
from dutyline.core.places import DATA

TRIALS = 600
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
    """``refused`` by the reader, ``named`` (the very cell), ``doubted`` (told as one of two),
    ``beside`` (a finding, but of another cell) or ``missed``"""
    false: int
    """Findings on other cells."""

    @property
    def change(self) -> float:
        """Larger over smaller of the two numbers."""
        a, b = abs(float(self.before)), abs(float(self.after))
        return math.inf if 0 in (a, b) else max(a, b) / min(a, b)


@cache
def tables() -> dict[str, Table]:
    """Cells of every file, the heading first."""
    return {
        form.file: list(csv.reader(io.StringIO((SHIPPED / form.file).read_text("utf-8"))))
        for form in FORMS
    }


def unit_of(file: str, heading: str) -> str:
    """Unit of a column, as its heading says it."""
    form = next(f for f in FORMS if f.file == file)
    return next(c.unit for c in form.columns if c.name == heading)


def is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


@dataclass(frozen=True)
class Spot:
    """A cell with a number."""

    file: str
    row: int
    column: int

    @property
    def table(self) -> Table:
        return tables()[self.file]

    @property
    def text(self) -> str:
        return self.table[self.row][self.column]

    @property
    def heading(self) -> str:
        return self.table[0][self.column]


def digits(rng: random.Random, spot: Spot) -> str:
    """Two neighbouring digits exchanged."""
    text = spot.text
    places = [k for k, c in enumerate(text) if c.isdigit()]
    pairs = [(a, b) for a, b in pairwise(places) if text[a] != text[b]]
    if not pairs:
        return text
    a, b = rng.choice(pairs)
    cells = list(text)
    cells[a], cells[b] = cells[b], cells[a]
    return "".join(cells)


def typed(rng: random.Random, spot: Spot) -> str:
    """One digit typed wrong."""
    text = spot.text
    place = rng.choice([k for k, c in enumerate(text) if c.isdigit()])
    other = rng.choice([d for d in "0123456789" if d != text[place]])
    return text[:place] + other + text[place + 1 :]


def point(rng: random.Random, spot: Spot) -> str:
    """The decimal point moved by one to three places."""
    places = rng.choice([-3, -2, -1, 1, 2, 3])
    return f"{float(spot.text) * 10.0**places:.10g}"


def factors(file: str, heading: str) -> list[float]:
    """Factors of the slips of a column, in both directions; ten where it has none."""
    own = unit_of(file, heading)
    found = [slip.factor for slip in known() if own and own in slip.units] or [10.0]
    return [f for factor in found for f in (factor, 1 / factor)]


def unit(rng: random.Random, spot: Spot) -> str:
    """A factor between units or conventions of the column."""
    factor = rng.choice(factors(spot.file, spot.heading))
    return f"{float(spot.text) * factor:.4g}"


def shifted(rng: random.Random, spot: Spot) -> str:
    """The cell of a neighbouring column."""
    row = spot.table[spot.row]
    places = [k for k in (spot.column - 1, spot.column + 1) if 0 <= k < len(row)]
    return rng.choice([row[k] for k in places if is_number(row[k])] or [spot.text])


def repeated(rng: random.Random, spot: Spot) -> str:
    """The cell of a neighbouring row."""
    rows = [k for k in (spot.row - 1, spot.row + 1) if 0 < k < len(spot.table)]
    near = [spot.table[k][spot.column] for k in rows]
    return rng.choice([t for t in near if is_number(t)] or [spot.text])


KINDS: dict[str, Callable[[random.Random, Spot], str]] = {
    "digits exchanged": digits,
    "digit mistyped": typed,
    "decimal point": point,
    "unit or convention": unit,
    "column shifted": shifted,
    "row repeated": repeated,
}


def columns() -> list[tuple[str, int]]:
    """Every column of every file that holds a number."""
    return [
        (file, k)
        for file, table in tables().items()
        for k in range(len(table[0]))
        if any(is_number(row[k]) for row in table[1:])
    ]


def corrupted(rng: random.Random, kind: str) -> tuple[Spot, str]:
    """A cell, and what is written in its place."""
    while True:
        file, column = rng.choice(columns())
        table = tables()[file]
        row = rng.choice([k for k in range(1, len(table)) if is_number(table[k][column])])
        spot = Spot(file, row, column)
        after = KINDS[kind](rng, spot)
        before = float(spot.text)
        if not is_number(after) or abs(float(after) - before) > LEAST_CHANGE * abs(before):
            return spot, after


class Bench:
    """A folder with the line that ships, in which cells are rewritten and put back."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.content = {name: (SHIPPED / name).read_text("utf-8") for name in tables()}
        for name, text in self.content.items():
            (folder / name).write_text(text, encoding="utf-8")

    def audited(self, file: str, cells: dict[tuple[int, int], str]) -> Audit | None:
        """The audit with some cells of a file rewritten; None where the reader refuses it."""
        table = [list(row) for row in tables()[file]]
        for (row, column), text in cells.items():
            table[row][column] = text
        out = io.StringIO()
        csv.writer(out, lineterminator="\n").writerows(table)
        (self.folder / file).write_text(out.getvalue(), encoding="utf-8")
        try:
            return audit(read_line(self.folder))
        except InputError:
            return None
        finally:
            (self.folder / file).write_text(self.content[file], encoding="utf-8")


def outcome(result: Audit | None, spot: Spot) -> tuple[str, int]:
    """What reader and audit say of a corrupted cell, and how many findings accuse another."""
    if result is None:
        return "refused", 0
    found, place = result.findings, (spot.file, spot.heading, spot.row + 1)
    own = [f for f in found if (f.file, f.column, f.row) == place]
    if own:
        return "named", len(found) - len(own)
    name = spot.table[spot.row][0]
    words, _ = spoken_heading(spot.file, spot.heading)
    doubted = [f for f in found if f"{words} of {name}" in f.doubt]
    if doubted:
        return "doubted", len(found) - len(doubted)
    return ("beside" if found else "missed"), len(found)


def trials(count: int, seed: int) -> Iterator[Trial]:
    """Trials in turn over the kinds of corruption."""
    rng = random.Random(seed)
    with tempfile.TemporaryDirectory() as work:
        bench = Bench(Path(work))
        for k in range(count):
            kind = list(KINDS)[k % len(KINDS)]
            spot, after = corrupted(rng, kind)
            said, false = outcome(bench.audited(spot.file, {(spot.row, spot.column): after}), spot)
            yield Trial(kind, spot.file, spot.heading, spot.row + 1, spot.text, after, said, false)


def whole_columns() -> list[tuple[str, str, float, bool]]:
    """File, heading, factor, and whether a whole column times a factor of its slips is seen."""
    found = []
    with tempfile.TemporaryDirectory() as work:
        bench = Bench(Path(work))
        for file, column in columns():
            table = tables()[file]
            factor = factors(file, table[0][column])[0]
            cells = {
                (k, column): f"{float(row[column]) * factor:.6g}"
                for k, row in enumerate(table)
                if k and is_number(row[column])
            }
            result = bench.audited(file, cells)
            seen = result is None or bool(result.findings)
            found.append((file, table[0][column], factor, seen))
    return found


@dataclass(frozen=True)
class Score:
    """Shares over some trials."""

    count: int
    caught: float
    """All but the missed, over all."""
    named: float
    """Refused, named or doubted, over all."""
    precision: float
    """Findings that name or doubt the very cell over all findings."""


def score(found: list[Trial]) -> Score:
    """Recall and precision of trials."""
    count = len(found)
    seen = sum(t.outcome != "missed" for t in found)
    named = sum(t.outcome in ("refused", "named", "doubted") for t in found)
    own = sum(t.outcome in ("named", "doubted") for t in found)
    told = own + sum(t.false for t in found)
    return Score(count, seen / count, named / count, own / told if told else 1.0)


def report(found: list[Trial]) -> list[tuple[str, Score]]:
    """Scores over all, by kind of corruption, by file and by size of the change."""
    groups = [("all", found)]
    groups += [(kind, [t for t in found if t.kind == kind]) for kind in KINDS]
    groups += [(form.file, [t for t in found if t.file == form.file]) for form in FORMS]
    ends = [1.0, 1.05, 1.2, 2.0, 10.0, math.inf]
    for low, high in pairwise(ends):
        name = f"changed {low:g} to {high:g} times" if high < math.inf else "changed more"
        groups.append((name, [t for t in found if low <= t.change < high or high == t.change]))
    return [(name, score(some)) for name, some in groups if some]


def unseen(found: list[Trial]) -> list[tuple[str, str, int, int]]:
    """File, heading, missed and tried of the columns in which some goes unseen, most first."""
    missed = Counter((t.file, t.column) for t in found if t.outcome == "missed")
    every = Counter((t.file, t.column) for t in found)
    return [(f, c, n, every[f, c]) for (f, c), n in missed.most_common()]


def main(arguments: list[str]) -> None:
    count = int(arguments[0]) if arguments else TRIALS
    seed = int(arguments[1]) if len(arguments) > 1 else SEED
    begun = time.perf_counter()
    found = list(trials(count, seed))
    print(f"{count} corruptions of one cell, seed {seed}, {time.perf_counter() - begun:.1f} s")
    print(f"{'':34} trials  caught  named  precision")
    for name, s in report(found):
        print(f"{name:34} {s.count:6}  {s.caught:6.1%} {s.named:6.1%}  {s.precision:9.1%}")
    print("columns in which most goes unseen:")
    for file, column, n, of in unseen(found)[:40]:
        print(f"  {file} {column}: {n} of {of}")
    whole = whole_columns()
    print(f"whole columns in another unit: {sum(w[3] for w in whole)} of {len(whole)} seen; not:")
    print("  " + ", ".join(f"{w[0]} {w[1]}" for w in whole if not w[3]))


if __name__ == "__main__":
    main(sys.argv[1:])
