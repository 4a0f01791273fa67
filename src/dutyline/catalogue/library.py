"""Product lines from a folder of CSV files: all of it, or every reason why not."""

from __future__ import annotations

import functools
import math
import os
import stat
from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any, cast

from dutyline.catalogue.columns import ACCESSORIES, FORMS, PAIRING_KINDS, FileForm
from dutyline.catalogue.edition import FILE as EDITION
from dutyline.catalogue.edition import Edition, read_edition
from dutyline.catalogue.parts import Curve, Gearhead, Pairing, ProductLine
from dutyline.catalogue.patterns import check_patterns
from dutyline.catalogue.sheets import MOST_BYTES, Faults, Row, nearest, quoted, read_sheet
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.core.places import DATA
from dutyline.grids.files import MISSING, content, found_inside

Sheets = Mapping[str, list[Row]]

_FILES = tuple(form.file for form in FORMS)
THRESHOLDS = "audit.toml"
"""File beside the others with the thresholds of the audit; a line may do without it."""
_OPTIONAL = (THRESHOLDS, EDITION, ACCESSORIES.file)
_INDEXED = ("motors.csv", "gearheads.csv", "drives.csv", "brakes.csv", "resistors.csv")


def read_line(folder: str | os.PathLike[str]) -> ProductLine:
    """Product line of a folder with the seven files of :data:`dutyline.catalogue.columns.FORMS`.

    ``line.toml``, ``audit.toml`` and ``accessories.csv`` may stand beside them; other files in the
    folder are ignored. Data that a file does not give are None.

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
        content = _content(path, name)
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


def _content(folder: Path, name: str) -> bytes | Fault:
    """Bytes of one file that truly lies in the folder."""
    found = found_inside(folder, name)
    if isinstance(found, Path):
        return content(found, name, MOST_BYTES)
    return replace(found, remedy=_missing_remedy(folder, name)) if found.read == MISSING else found


def _missing_remedy(folder: Path, name: str) -> str:
    try:
        others = sorted(entry.name for entry in folder.iterdir() if entry.name not in _FILES)
    except OSError:
        others = []
    near = nearest(name, others[:10_000])
    part = name.removesuffix(".csv")
    return near or f"A line without {part} still needs the file with its row of column names."


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
    names = {file: _names(sheets.get(file, ()), notes[file], _form(file)) for file in _INDEXED}
    certain = {
        file: names[file]
        for file in _INDEXED
        if file in data
        and not notes[file].stopped
        and all("name" in row.values for row in sheets[file])
    }
    _check_references(sheets, certain, notes)
    curves = _curves(sheets.get("curves.csv", ()), certain.get("motors.csv"), notes["curves.csv"])
    _check_pairs(sheets.get("pairings.csv", ()), notes["pairings.csv"])
    beside = sheets.get(ACCESSORIES.file, [])
    _names(beside, notes[ACCESSORIES.file], ACCESSORIES)
    check_patterns(beside, certain, notes[ACCESSORIES.file])
    faults = [*missing, *(fault for kept in notes.values() for fault in kept.all())]
    own = read_edition(data[EDITION], faults) if EDITION in data else Edition()
    if faults:
        raise InputError(f"product line {quoted(folder or name)}", faults)
    parts = {file: tuple(_part(_form(file), row) for row in sheets[file]) for file in _INDEXED}
    line = ProductLine(
        name=own.name or name,
        folder=folder,
        motors=parts["motors.csv"],
        gearheads=parts["gearheads.csv"],
        drives=parts["drives.csv"],
        brakes=parts["brakes.csv"],
        resistors=parts["resistors.csv"],
        curves=curves,
        pairings=tuple(
            Pairing(**cast("dict[str, Any]", row.values)) for row in sheets["pairings.csv"]
        ),
        accessories=tuple(_part(ACCESSORIES, row) for row in beside),
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


def _part(form: FileForm, row: Row) -> Any:
    values: dict[str, Any] = dict(row.values)
    if form.record is Gearhead:
        exact: Fraction = values["ratio"]
        values.update(ratio=float(exact), ratio_exact=exact)
    return form.record(**values)


def _names(rows: Iterable[Row], faults: Faults, form: FileForm) -> dict[str, int]:
    """Row number by part name; a name that comes twice is a fault."""
    seen: dict[str, int] = {}
    for row in rows:
        name = row.values.get("name")
        if not isinstance(name, str):
            continue
        if name in seen:
            faults.add(
                row.number,
                form.part,
                f"{quoted(name)} stands in row {seen[name]} already; every name is needed once.",
                "Rename or remove one of the two.",
            )
        else:
            seen[name] = row.number
    return seen


def _check_references(
    sheets: Sheets,
    names: Mapping[str, Mapping[str, int]],
    notes: Mapping[str, Faults],
) -> None:
    """Every name used in one file must be a part of another, where its names are known."""

    def check(file: str, row: Row, column: str, target: str) -> None:
        word = row.values.get(column)
        if not isinstance(word, str) or target not in names or word in names[target]:
            return
        remedy = nearest(word, list(names[target])) or f"Add it to {target}, or name another."
        read = f"read {quoted(word)}; a name from {target} is needed."
        notes[file].add(row.number, column, read, remedy)

    for row in sheets.get("motors.csv", ()):
        check("motors.csv", row, "brake", "brakes.csv")
    for row in sheets.get("curves.csv", ()):
        check("curves.csv", row, "motor", "motors.csv")
    for row in sheets.get("pairings.csv", ()):
        kind = row.values.get("kind")
        if isinstance(kind, str):
            left, right = PAIRING_KINDS[kind]
            check("pairings.csv", row, "left", left)
            check("pairings.csv", row, "right", right)


def _check_pairs(rows: Iterable[Row], faults: Faults) -> None:
    seen: dict[tuple[Any, ...], int] = {}
    for row in rows:
        key = tuple(row.values.get(f) for f in ("kind", "left", "right", "mains", "phases"))
        if None in key[:3]:
            continue
        if key in seen:
            read = f"repeats row {seen[key]}; every pairing is needed once."
            faults.add(row.number, "", read, "Remove one of the two.")
        seen.setdefault(key, row.number)


def _curves(
    rows: Iterable[Row], motors: Mapping[str, int] | None, faults: Faults
) -> tuple[Curve, ...]:
    """Curves of known motors gathered from their points, in the order of their first points."""
    points: dict[tuple[str, float, int, str], list[tuple[int, float, float]]] = {}
    for row in rows:
        v = cast("dict[str, Any]", row.values)
        if len(v) == 6 and (motors is None or v["motor"] in motors):
            key = (v["motor"], v["mains"], v["phases"], v["kind"])
            points.setdefault(key, []).append((row.number, v["speed"], v["torque"]))
    for curve in points.values():
        _check_curve(curve, faults)
    return tuple(
        Curve(*key, tuple(p[1] for p in curve), tuple(p[2] for p in curve))
        for key, curve in points.items()
    )


def _check_curve(curve: list[tuple[int, float, float]], faults: Faults) -> None:
    first = curve[0]
    if first[1] != 0.0:
        read = "a curve begins here; its first speed must be 0."
        faults.add(first[0], "speed_rpm", read, "Add a row with speed 0 before it.")
    if len(curve) < 2:
        read = "the curve has one point; two or more are needed."
        faults.add(first[0], "", read, "Add a point, or remove the curve.")
    for before, point in pairwise(curve):
        if point[1] <= before[1]:
            faults.add(
                point[0],
                "speed_rpm",
                f"read {_rpm(point[1])}, not above the {_rpm(before[1])} of row {before[0]} of "
                "the same curve; rising speeds are needed.",
                "Sort the rows of the curve, and give every speed once.",
            )


def _rpm(speed: float) -> str:
    return f"{speed * 30.0 / math.pi:.10g}"
