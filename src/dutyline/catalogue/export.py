"""A product line written as a folder that reads as the same line."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from dutyline.catalogue.content import content_hash, plain_tables
from dutyline.catalogue.edition import FILE, Edition, edition_text
from dutyline.catalogue.library import THRESHOLDS, TRACE, line_of
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.retold import retold
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError


def write_line(
    line: ProductLine,
    folder: str | os.PathLike[str],
    beside: Mapping[str, bytes] | None = None,
) -> Path:
    """Write a line as a folder: its tables in plain form, edition and thresholds.

    What was estimated for it is left out: nobody stated it. Reading the folder again gives the same
    parts and the same content hash; that is tried before anything is written. The whole folder
    appears at once, or nothing does.

    Parameters
    ----------
    line : ProductLine
    folder : str or PathLike
        A new folder, or an empty one.
    beside : mapping of str to bytes, optional
        Further files to stand in it, by name.

    Returns
    -------
    Path
        The folder.

    Raises
    ------
    InputError
        The folder holds something already or cannot be written, or the line holds what no file
        of a line can say.
    """
    expect(line, ProductLine, "line", 'Read one first: read_line("my-line").')
    expect(folder, PATH, "folder", 'Name a folder: write_line(line, "my-line").')
    target = Path(folder)
    line = line.as_stated or line
    _require_room(target)
    tables = plain_tables(line)
    files = {**tables, **_around(line, target, tables), **(beside or {})}
    again = line_of(target.name, "", files, [])
    if content_hash(again) != content_hash(line):
        read = "holds values that no file of a line gives back."
        raise InputError(line.name, [Fault("", "line", read, "Read the line from its files.")])
    try:
        _store(target, files)
    except OSError as error:
        raise _unwritable(target, error.strerror or str(error)) from None
    return target


def _around(line: ProductLine, target: Path, tables: Mapping[str, bytes]) -> dict[str, bytes]:
    """``line.toml`` where the line says something of itself, ``audit.toml``, ``origins.csv``."""
    stated = Edition(line.name, line.edition, line.date, line.note, line.currency)
    found: dict[str, bytes] = {}
    if stated != Edition(target.resolve().name):
        found[FILE] = edition_text(stated).encode()
    if line.thresholds is not None:
        found[THRESHOLDS] = line.thresholds
    trace = retold(line, tables)
    if trace is not None:
        found[TRACE] = trace
    return found


def _require_room(target: Path) -> None:
    try:
        taken = os.path.lexists(target) and (not target.is_dir() or any(target.iterdir()))
        parent = target.resolve().parent.is_dir()
    except (OSError, ValueError) as error:
        raise _unwritable(target, getattr(error, "strerror", None) or str(error)) from None
    if taken:
        read = "something stands there already; a new or an empty folder is needed."
        raise InputError(str(target), [Fault("", "folder", read, "Name another folder.")])
    if not parent:
        read = f'there is no folder "{target.parent}".'
        raise InputError(str(target), [Fault("", "folder", read, "Make it first.")])


def _unwritable(target: Path, reason: str) -> InputError:
    fault = Fault("", "folder", f"this cannot be written: {reason}.", "Name another folder.")
    return InputError(str(target), [fault])


def _store(target: Path, files: Mapping[str, bytes]) -> None:
    real = target.resolve()
    part = real.with_name(f".dutyline-{os.getpid()}.part")
    part.mkdir()
    try:
        for name, content in files.items():
            (part / name).write_bytes(content)
        part.replace(real)
    except BaseException:
        shutil.rmtree(part, ignore_errors=True)
        raise
