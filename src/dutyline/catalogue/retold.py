"""The trace of a line's cells, told of its plain tables."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from dutyline.catalogue.library import TRACE
from dutyline.catalogue.origins import (
    KINDS,
    places,
    places_by_key,
)
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.sheets import Faults, raw_columns, read_sheet
from dutyline.catalogue.trace import Run, read_runs, runs_bytes
from dutyline.grids.guards import unguarded


def retold(line: ProductLine, tables: Mapping[str, bytes]) -> bytes | None:
    """``origins.csv`` for the plain tables of a line; None where nothing is known of its cells.

    A cell that was changed since it came has no trace any more.
    """
    data = line.files.get(TRACE)
    if data is None:
        return None
    files = [file for file in line.files if file in tables]
    moved = {file: _moved(line, file, tables) for file in files}
    before = {file: raw_columns(line.files[file]) for file in files}
    now = {file: raw_columns(tables[file]) for file in files}

    def told() -> Iterator[Run]:
        for run in read_runs(data):
            own, new = before.get(run.file, {}), now.get(run.file, {})
            if run.column in own and run.column in new:
                yield from _retold(run, moved[run.file], own[run.column], new[run.column])

    return runs_bytes(told())


def _retold(
    run: Run, moved: Mapping[int, tuple[int, int, int]], own: list[str], new: list[str]
) -> Iterator[Run]:
    """The parts of a run that still hold, as long as their rows stay below each other."""
    begin, row, texts = 0, 0, list[str]()
    for place, text in enumerate(run.texts):
        found = moved.get(run.row + place)
        held = found is not None and text != "" and unguarded(own[found[0]]) == text
        cell = unguarded(new[found[1]]) if held and found else ""
        follows = found is not None and found[2] == row + len(texts)
        if texts and not follows:
            yield run.part(begin, begin + len(texts), row, texts)
            texts = []
        if found is not None:
            if not texts:
                begin, row = place, found[2]
            texts.append(cell)
    if texts:
        yield run.part(begin, begin + len(texts), row, texts)


def _moved(
    line: ProductLine, file: str, tables: Mapping[str, bytes]
) -> dict[int, tuple[int, int, int]]:
    """By the number of a row of the line's own file: its place, that in the plain one, its row."""
    kind = file.removesuffix(".csv")
    if kind not in KINDS:
        return {}
    plain = read_sheet(KINDS[kind], tables[file], Faults(file))
    by_key = places_by_key(kind, plain)
    own, own_by_key = places(line, kind)
    return {
        own.numbers[place]: (place, by_key[key], plain.numbers[by_key[key]])
        for key, place in own_by_key.items()
        if key in by_key
    }
