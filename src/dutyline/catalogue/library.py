"""Product lines from a folder of CSV files: all of it, or every reason why not."""

from __future__ import annotations

import functools
import gc
import math
import os
import stat
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import MISSING as NO_DEFAULT
from dataclasses import fields, replace
from fractions import Fraction
from itertools import groupby, pairwise, repeat
from pathlib import Path
from typing import Any, cast

from dutyline.catalogue.columns import ACCESSORIES, FORMS, PAIRING_KINDS, FileForm
from dutyline.catalogue.edition import FILE as EDITION
from dutyline.catalogue.edition import Edition, read_edition
from dutyline.catalogue.parts import Curve, Gearhead, ProductLine
from dutyline.catalogue.patterns import check_patterns
from dutyline.catalogue.sheets import MOST_BYTES, Faults, Sheet, nearest, quoted, read_sheet
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.core.places import DATA
from dutyline.grids.files import MISSING, content, found_inside

Sheets = Mapping[str, Sheet]
_EMPTY = Sheet()

_FILES = tuple(form.file for form in FORMS)
THRESHOLDS = "audit.toml"
"""File beside the others with the thresholds of the audit; a line may do without it."""
TRACE = "origins.csv"
"""File beside the others that says from which foreign cell each of ours came."""
MOST_TRACE = 20 * MOST_BYTES
_OPTIONAL = (THRESHOLDS, EDITION, ACCESSORIES.file, TRACE)
_INDEXED = ("motors.csv", "gearheads.csv", "drives.csv", "brakes.csv", "resistors.csv")


def read_line(folder: str | os.PathLike[str]) -> ProductLine:
    """Product line of a folder with the seven files of :data:`dutyline.catalogue.columns.FORMS`.

    ``line.toml``, ``audit.toml``, ``accessories.csv`` and ``origins.csv`` may stand beside them;
    other files in the folder are ignored. Data that a file does not give are None.

    Raises
    ------
    InputError
        Anything that cannot be used; all faults at once, each with file, row and column.
    """
    expect(folder, PATH, "folder", 'Name a folder: read_line("my-line").')
    path = Path(folder)
    _require_folder(path)
    data: dict[str, bytes] = {}
    faults: list[Fault] = []
    for name in _FILES:
        content = _content(path, name)
        if isinstance(content, Fault):
            faults.append(content)
        else:
            data[name] = content
    for name in (n for n in _OPTIONAL if os.path.lexists(path / n)):
        content = _content(path, name, MOST_TRACE if name == TRACE else MOST_BYTES)
        if isinstance(content, Fault):
            faults.append(content)
        else:
            data[name] = content
    return line_of(path.resolve().name, str(path), data, faults)


@functools.cache
def demo_line() -> ProductLine:
    """The invented product line that ships with the package; always the same object."""
    files = (*_FILES, EDITION, ACCESSORIES.file)
    data = {name: (DATA / "demo-line" / name).read_bytes() for name in files}
    return line_of("demo line", "", data, [])


def _require_folder(path: Path) -> None:
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        mode = None
    if mode is None or not stat.S_ISDIR(mode):
        read = "there is no such folder." if mode is None else "is not a folder."
        remedy = f"Give a folder that holds {', '.join(_FILES)}."
        raise InputError("product line", [Fault(quoted(str(path)), "", read, remedy)])


def _content(folder: Path, name: str, most: int = MOST_BYTES) -> bytes | Fault:
    """Bytes of one file that truly lies in the folder."""
    found = found_inside(folder, name)
    if isinstance(found, Path):
        return content(found, name, most)
    return replace(found, remedy=_missing_remedy(folder, name)) if found.read == MISSING else found


def _missing_remedy(folder: Path, name: str) -> str:
    try:
        others = sorted(entry.name for entry in folder.iterdir() if entry.name not in _FILES)
    except OSError:
        others = []
    near = nearest(name, others[:10_000])
    part = name.removesuffix(".csv")
    return near or f"A line without {part} still needs the file with its row of column names."


@contextmanager
def _collector_at_rest() -> Iterator[None]:
    """No search for unused cycles: reading leaves none, and each search would walk all rows."""
    at_work = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if at_work:
            gc.enable()


@_collector_at_rest()
def line_of(
    name: str, folder: str, data: Mapping[str, bytes], missing: Iterable[Fault] = ()
) -> ProductLine:
    """Parse, check across files and build; nothing is built while there is a fault.

    Parameters
    ----------
    name : str
        Of the line, where its ``line.toml`` gives none.
    folder : str
        As it was given; empty where the files stand in none.
    data : mapping of str to bytes
        Content of the files by name.
    missing : iterable of Fault
        Why files are not among them.
    """
    forms = (*FORMS, ACCESSORIES)
    notes = {form.file: Faults(form.file) for form in forms}
    sheets = {
        form.file: read_sheet(form, data[form.file], notes[form.file])
        for form in forms
        if form.file in data
    }
    names = {file: _names(sheets.get(file, _EMPTY), notes[file], _form(file)) for file in _INDEXED}
    certain = {
        file: names[file]
        for file in _INDEXED
        if file in data and not notes[file].stopped and None not in sheets[file].column("name")
    }
    _check_references(sheets, certain, notes)
    curves = _curves(
        sheets.get("curves.csv", _EMPTY), certain.get("motors.csv"), notes["curves.csv"]
    )
    _check_pairs(sheets.get("pairings.csv", _EMPTY), notes["pairings.csv"])
    beside = sheets.get(ACCESSORIES.file, _EMPTY)
    _names(beside, notes[ACCESSORIES.file], ACCESSORIES)
    check_patterns(beside, certain, notes[ACCESSORIES.file])
    faults = [*missing, *(fault for kept in notes.values() for fault in kept.all())]
    own = read_edition(data[EDITION], faults) if EDITION in data else Edition()
    if faults:
        raise InputError(f"product line {quoted(folder or name)}", faults)
    parts = {file: _parts(_form(file), sheets[file]) for file in (*_INDEXED, "pairings.csv")}
    line = ProductLine(
        name=own.name or name,
        folder=folder,
        motors=parts["motors.csv"],
        gearheads=parts["gearheads.csv"],
        drives=parts["drives.csv"],
        brakes=parts["brakes.csv"],
        resistors=parts["resistors.csv"],
        curves=curves,
        pairings=parts["pairings.csv"],
        accessories=_parts(ACCESSORIES, beside),
        edition=own.edition,
        date=own.date,
        note=own.note,
        currency=own.currency,
        thresholds=data.get(THRESHOLDS),
    )
    line.files.update(data)
    return line


def _form(file: str) -> FileForm:
    return FORMS[_FILES.index(file)]


def _parts(form: FileForm, sheet: Sheet) -> tuple[Any, ...]:
    """A record of each row; what is not given is as the record has it by itself."""
    columns: dict[str, Iterable[Any]] = dict(sheet.columns)
    if form.record is Gearhead:
        exact = cast("list[Fraction]", sheet.column("ratio"))
        floats = {id(ratio): float(ratio) for ratio in exact}  # equal cells are one object
        columns.update(ratio=[floats[id(ratio)] for ratio in exact], ratio_exact=exact)
    for own in fields(form.record):
        if own.name not in columns:
            columns[own.name] = repeat(own.default, len(sheet))
        elif own.default is not None and own.default is not NO_DEFAULT:
            given = columns[own.name]
            columns[own.name] = [own.default if value is None else value for value in given]
    return tuple(map(form.record, *(columns[own.name] for own in fields(form.record))))


def _names(sheet: Sheet, faults: Faults, form: FileForm) -> dict[str, int]:
    """Row number by part name; a name that comes twice is a fault."""
    seen: dict[str, int] = {}
    for name, number in zip(sheet.column("name"), sheet.numbers, strict=True):
        if not isinstance(name, str):
            continue
        if seen.setdefault(name, number) != number:
            faults.add(
                number,
                form.part,
                f"{quoted(name)} stands in row {seen[name]} already; every name is needed once.",
                "Rename or remove one of the two.",
            )
    return seen


def _check_references(
    sheets: Sheets,
    names: Mapping[str, Mapping[str, int]],
    notes: Mapping[str, Faults],
) -> None:
    """Every name used in one file must be a part of another, where its names are known."""

    def strange(word: object, target: str) -> bool:
        return isinstance(word, str) and target in names and word not in names[target]

    def check(file: str, row: int, column: str, word: object, target: str) -> None:
        if strange(word, target):
            known = [] if notes[file].full else list(names[target])
            remedy = nearest(str(word), known) or f"Add it to {target}, or name another."
            read = f"read {quoted(str(word))}; a name from {target} is needed."
            notes[file].add(row, column, read, remedy)

    for file, column, target in (
        ("motors.csv", "brake", "brakes.csv"),
        ("curves.csv", "motor", "motors.csv"),
    ):
        sheet = sheets.get(file, _EMPTY)
        words = sheet.column(column)
        if any(strange(word, target) for word in set(words)):
            for row, word in zip(sheet.numbers, words, strict=True):
                check(file, row, column, word, target)
    sheet = sheets.get("pairings.csv", _EMPTY)
    kinds, lefts, rights = map(sheet.column, ("kind", "left", "right"))
    if any(
        isinstance(kind, str) and strange(word, PAIRING_KINDS[kind][side])
        for side, words in enumerate((lefts, rights))
        for kind, word in set(zip(kinds, words, strict=True))
    ):
        for row, kind, left, right in zip(sheet.numbers, kinds, lefts, rights, strict=True):
            if isinstance(kind, str):
                check("pairings.csv", row, "left", left, PAIRING_KINDS[kind][0])
                check("pairings.csv", row, "right", right, PAIRING_KINDS[kind][1])


def _check_pairs(sheet: Sheet, faults: Faults) -> None:
    keys = list(zip(*map(sheet.column, ("kind", "left", "right", "mains", "phases")), strict=True))
    if len(set(keys)) == len(keys):
        return
    seen: dict[tuple[Any, ...], int] = {}
    for key, number in zip(keys, sheet.numbers, strict=True):
        if None not in key[:3] and seen.setdefault(key, number) != number:
            read = f"repeats row {seen[key]}; every pairing is needed once."
            faults.add(number, "", read, "Remove one of the two.")


def _curves(sheet: Sheet, motors: Mapping[str, int] | None, faults: Faults) -> tuple[Curve, ...]:
    """Curves of known motors gathered from their points, in the order of their first points."""
    columns = ("motor", "mains", "phases", "kind", "speed", "torque")
    motor, mains, phases, kind, speed, torque = (
        cast("list[Any]", sheet.column(name)) for name in columns
    )
    places: dict[tuple[str, float, int, str], list[int]] = {}
    begun = 0
    for key, own in groupby(zip(motor, mains, phases, kind, strict=True)):
        end = begun + len(list(own))
        if None not in key and (motors is None or key[0] in motors):
            places.setdefault(key, []).extend(range(begun, end))
        begun = end
    found = []
    for key, rows in places.items():
        points = [k for k in rows if speed[k] is not None and torque[k] is not None]
        if points:
            made = Curve(*key, tuple(speed[k] for k in points), tuple(torque[k] for k in points))
            _check_curve(made.speed, [sheet.numbers[k] for k in points], faults)
            found.append(made)
    return tuple(found)


def _check_curve(speed: Sequence[float], rows: Sequence[int], faults: Faults) -> None:
    if speed[0] != 0.0:
        read = "a curve begins here; its first speed must be 0."
        faults.add(rows[0], "speed_rpm", read, "Add a row with speed 0 before it.")
    if len(speed) < 2:
        read = "the curve has one point; two or more are needed."
        faults.add(rows[0], "", read, "Add a point, or remove the curve.")
    for k, (before, point) in enumerate(pairwise(speed)):
        if point <= before:
            faults.add(
                rows[k + 1],
                "speed_rpm",
                f"read {_rpm(point)}, not above the {_rpm(before)} of row {rows[k]} of "
                "the same curve; rising speeds are needed.",
                "Sort the rows of the curve, and give every speed once.",
            )


def _rpm(speed: float) -> str:
    return f"{speed * 30.0 / math.pi:.10g}"
