"""The files that a mapping names, inside its folder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fnmatch import fnmatchcase
from pathlib import Path

from dutyline.catalogue.sheets import MOST_BYTES
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import quoted
from dutyline.core.spelling import nearest
from dutyline.grids.files import content, found_inside, inside
from dutyline.grids.read import read_grids
from dutyline.grids.records import Grid
from dutyline.intake.bring import Source
from dutyline.intake.mapping import LineMap, TableRule

MOST_FILES = 2000
"""Files that one pattern may name."""


def source_of(mapping: LineMap) -> Source:
    """What reads the tables of a mapping; every file is read once for each way of reading it."""
    held: dict[tuple[Path, str | None, str | None], Sequence[Grid]] = {}

    def grids(rule: TableRule) -> Sequence[Grid]:
        found: list[Grid] = []
        for path in _paths(mapping, rule):
            key = (path, rule.encoding, rule.separator)
            if key not in held:
                held[key] = read_grids(path, encoding=rule.encoding, separator=rule.separator)
            found += _sheets(held[key], rule, path.name, mapping)
        return found

    return grids


def ours_of(mapping: LineMap) -> dict[str, bytes | Fault]:
    """The files of our own form that a mapping names, or why they cannot be read."""
    found: dict[str, bytes | Fault] = {}
    for k, name in enumerate(mapping.ours):
        place = mapping.document.place(("ours", k))
        if mapping.folder is None:
            found[name] = Fault(place, "ours", "a mapping given as text has no folder.")
            continue
        path = found_inside(mapping.folder, name)
        read = path if isinstance(path, Fault) else content(path, name, MOST_BYTES)
        if isinstance(read, Fault):
            read = replace(read, place=f"{name} ({place})")
        found[name] = read
    return found


def _paths(mapping: LineMap, rule: TableRule) -> list[Path]:
    place = mapping.document.place((*rule.keys, "file"))
    folder = mapping.folder
    if folder is None:
        read = "a mapping given as text has no folder to read files from."
        raise InputError(rule.file, [Fault(place, "file", read)])
    if "*" not in rule.file:
        try:
            return [inside(folder, rule.file)]
        except InputError as error:
            told = [Fault(place, "file", f"{f.place}: {f.read}", _near(folder, rule.file) or
                          f.remedy) for f in error.faults]  # fmt: skip
            raise InputError(rule.file, told) from None
    parent, _, pattern = rule.file.rpartition("/")
    names: list[str] = []
    if "*" not in parent:
        try:
            names = sorted(e.name for e in (folder / parent).iterdir() if e.is_file())
        except (OSError, ValueError):
            names = []
    chosen = [name for name in names if fnmatchcase(name, pattern)]
    if not chosen or len(chosen) > MOST_FILES:
        read = f"{len(chosen) or 'no'} files are named {quoted(rule.file)}; 1 to {MOST_FILES} are "
        raise InputError(rule.file, [Fault(place, "file", read + "needed.", "Check the pattern.")])
    return [inside(folder, f"{parent}/{name}" if parent else name) for name in chosen]


def _near(folder: Path, name: str) -> str:
    try:
        there = [entry.name for entry in folder.iterdir()][:10_000]
    except OSError:
        return ""
    near = nearest(name, there)
    return f'The nearest is "{near}".' if near else ""


def _sheets(grids: Sequence[Grid], rule: TableRule, file: str, mapping: LineMap) -> Sequence[Grid]:
    """The sheet that the rule names, every one for ``*``, or the only one."""
    if rule.sheet == "*":
        return [grid for grid in grids if grid.rows]
    if rule.sheet:
        found = [grid for grid in grids if grid.sheet == rule.sheet]
        names = [grid.sheet for grid in grids]
        near = nearest(rule.sheet, names)
        read = f"{file} has no sheet {quoted(rule.sheet)}; it has {', '.join(names) or 'none'}."
        remedy = f'The nearest is "{near}".' if near else ""
    else:
        found = [grid for grid in grids if not grid.hidden and grid.rows]
        if len(found) > 1:
            listed = ", ".join(f'"{grid.sheet}"' for grid in found)
            read = f"{file} has {len(found)} sheets; the mapping has to name one."
            remedy = f"Write sheet = one of {listed}."
            found = []
        else:
            read, remedy = f"{file} holds no table.", ""
    if not found:
        place = mapping.document.place((*rule.keys, "sheet"))
        raise InputError(rule.file, [Fault(place, "sheet", read, remedy)])
    return found
