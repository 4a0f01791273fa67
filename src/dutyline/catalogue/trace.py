"""From which foreign cells ours came: ``origins.csv``, one row for each run of a column.

A run is rows of ours, one below the other, whose foreign cells lie below or beside each other, or
are one and the same, under one unit and one convention. The cells between the first and the last
follow from their places; what stood in them is one row of CSV within a cell.
"""

from __future__ import annotations

import csv
import io
import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from dutyline.grids.guards import guarded, unguarded
from dutyline.grids.records import letters

HEADING = ("file", "column", "row", "from_file", "from_sheet", "from_cell", "to_cell", "unit",
           "convention", "raw", "text")  # fmt: skip
LONGEST_RUN = 1000
"""Rows of a run; longer ones are cut."""
_MOST_CHARACTERS = 30_000
"""Of the cells of a run that is not cut any further, well below what a reader of CSV takes."""
_CELL = re.compile(r"([A-Z]{1,3})([0-9]{1,9})")


@dataclass(frozen=True, slots=True)
class Trace:
    """The foreign cell behind one of ours, where the line came through a mapping."""

    file: str
    sheet: str
    cell: str
    """``C7``; several are joined with ``+``; ``line 12`` for a constant of the mapping."""
    raw: str
    """As it stood."""
    unit: str = ""
    """As said by the mapping, the heading, the row of units or the cell."""
    convention: str = ""
    """What was applied: ``ampere peak; current line``."""

    def place(self) -> str:
        """For people: ``motors.xlsx, sheet Data, cell C7``."""
        if not self.cell[:1].isupper():
            return f"{self.file}, {self.cell}" if self.cell else self.file
        sheet = f", sheet {self.sheet}" if self.sheet else ""
        return f"{self.file}{sheet}, cell {self.cell}"

    def text(self) -> str:
        """Place, cell as it stood, unit and convention: ``..., cell C7: "10,5" lb-in``."""
        unit = f" {self.unit}" if self.unit and self.unit != "cell" else ""
        convention = f" ({self.convention})" if self.convention else ""
        return f'{self.place()}: "{self.raw}"{unit}{convention}'


@dataclass(frozen=True, slots=True)
class Run:
    """Rows of one of our columns, one below the other, and the foreign cells behind them."""

    file: str
    column: str
    row: int
    """The first, as an editor counts."""
    source: tuple[str, str]
    """File and sheet."""
    first: str
    """Foreign cell of the first row."""
    last: str
    """Of the last one."""
    unit: str
    convention: str
    raws: Sequence[str]
    """(n,) as they stood; empty where nothing was known."""
    texts: Sequence[str]
    """(n,) cells of ours made of them."""

    def cell(self, place: int) -> str:
        """The foreign cell of a row of the run, from 0."""
        if place == 0 or self.first == self.last:
            return self.first
        ends = _CELL.fullmatch(self.first), _CELL.fullmatch(self.last)
        if ends[0] is None or ends[1] is None:
            return self.first
        if ends[0][1] == ends[1][1]:
            return f"{ends[0][1]}{int(ends[0][2]) + place}"
        return f"{letters(number_of(ends[0][1]) + place)}{ends[0][2]}"

    def trace(self, place: int) -> Trace:
        """The foreign cell of a row of the run with what stood in it."""
        return Trace(*self.source, self.cell(place), self.raws[place], self.unit, self.convention)

    def part(self, begin: int, end: int, row: int, texts: Sequence[str]) -> Run:
        """Some of its rows, as they stand in another file of the same cells."""
        return Run(self.file, self.column, row, self.source, self.cell(begin), self.cell(end - 1),
                   self.unit, self.convention, self.raws[begin:end], texts)  # fmt: skip


def number_of(word: str) -> int:
    """Place of a column, from 0, by its letters.

    >>> [number_of(word) for word in ("A", "Z", "AA", "ZZ", "AAA")]
    [0, 25, 26, 701, 702]
    """
    number = 0
    for char in word:
        number = number * 26 + ord(char) - 64
    return number - 1


def runs_bytes(runs: Iterable[Run]) -> bytes:
    """``origins.csv`` of the runs, cut to length; those that give nothing are left out."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADING)
    for run in runs:
        for short in _cut(run):
            texts = "" if short.raws == short.texts else _listed(short.texts)
            writer.writerow(
                [short.file, short.column, short.row, *map(guarded, short.source), short.first,
                 short.last, guarded(short.unit), guarded(short.convention),
                 guarded(_listed(short.raws)), guarded(texts)]
            )  # fmt: skip
    return text.getvalue().encode()


def _cut(run: Run) -> Iterator[Run]:
    if not any(run.texts):
        return
    count = len(run.texts)
    long = count > 1 and sum(map(len, run.raws)) + sum(map(len, run.texts)) > _MOST_CHARACTERS
    if count <= LONGEST_RUN and not long:
        yield run
        return
    middle = LONGEST_RUN if count > LONGEST_RUN else count // 2
    for begin in range(0, count, middle):
        end = min(begin + middle, count)
        yield from _cut(run.part(begin, end, run.row + begin, run.texts[begin:end]))


def _listed(cells: Sequence[str]) -> str:
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="").writerow(cells)
    return text.getvalue()


def read_runs(data: bytes) -> list[Run]:
    """Runs of ``origins.csv``; none of a file of another form, and without rows that are none."""
    try:
        rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))
    except (UnicodeDecodeError, csv.Error):
        return []
    if not rows or tuple(rows[0]) != HEADING:
        return []
    return [run for run in map(_run, rows[1:]) if run is not None]


def _run(row: list[str]) -> Run | None:
    if len(row) != len(HEADING) or not (row[2].isascii() and row[2].isdecimal()):
        return None
    file, column, number, *source, unit, convention, raw, text = map(unguarded, row)
    try:
        raws = next(csv.reader([raw], strict=True), [""])
        texts = next(csv.reader([text], strict=True)) if text else raws
    except csv.Error:
        return None
    if len(raws) != len(texts) or len(number) > 9:
        return None
    return Run(file, column, int(number), (source[0], source[1]), source[2], source[3], unit,
               convention, raws, texts)  # fmt: skip


class Traced:
    """Runs by column, to be asked for single cells."""

    def __init__(self, runs: Iterable[Run]) -> None:
        found: dict[tuple[str, str], list[Run]] = {}
        for run in runs:
            found.setdefault((run.file, run.column), []).append(run)
        self._runs: Mapping[tuple[str, str], list[Run]] = {
            key: sorted(own, key=lambda run: run.row) for key, own in found.items()
        }

    def find(self, file: str, column: str, row: int, text: str) -> Trace | None:
        """The foreign cell of one of ours; None where ours holds another text by now."""
        own = self._runs.get((file, column), [])
        at = bisect_right(own, row, key=lambda run: run.row) - 1
        if at < 0 or not 0 <= row - own[at].row < len(own[at].texts):
            return None
        run, place = own[at], row - own[at].row
        return run.trace(place) if text and run.texts[place] == text else None
