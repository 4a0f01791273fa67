"""Product lines from files of any form: through a mapping, or from a folder of our own form."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dutyline.app.records_json import product_line_json
from dutyline.catalogue import library
from dutyline.catalogue.export import write_line
from dutyline.catalogue.parts import ProductLine
from dutyline.core.arguments import PATH, expect

if TYPE_CHECKING:
    from dutyline.intake.bring import Brought

MAPPING = "mapping.toml"
"""Name by which a mapping is found in a folder."""
KINDS = ("motors", "gearheads", "drives", "brakes", "resistors", "curves", "pairings")

__all__ = ["KINDS", "bring", "brought_json", "is_mapping", "read_line", "write_line"]


def read_line(path: str | os.PathLike[str]) -> ProductLine:
    """Read a product line.

    Parameters
    ----------
    path : str or PathLike
        A folder with the CSV files of our form; or a mapping file, or a folder that holds one
        named ``mapping.toml``: then the files that it names are read.

    Returns
    -------
    ProductLine
        Data that no file gives are None.

    Raises
    ------
    InputError
        Anything that cannot be used; all faults at once, each with its place.
    """
    expect(path, PATH, "path", 'Name a folder: read_line("my-line").')
    if is_mapping(path):
        return bring(path).line
    return library.read_line(path)


def is_mapping(path: str | os.PathLike[str]) -> bool:
    """Whether a line is told by a mapping: a file that ends in .toml, or a folder with one."""
    found = Path(path)
    try:
        return found.suffix.lower() == ".toml" or (found / MAPPING).is_file()
    except (OSError, ValueError):
        return False


def bring(path: str | os.PathLike[str]) -> Brought:
    """Read foreign files through a mapping, and keep what was done to every cell.

    Parameters
    ----------
    path : str or PathLike
        The mapping file, or a folder that holds one named ``mapping.toml``.

    Returns
    -------
    Brought
        The line, with the files in our form and the foreign cell behind each of ours.

    Raises
    ------
    InputError
        Anything that cannot be used, and every question that the mapping leaves open.
    """
    from dutyline.intake.bring import bring as run
    from dutyline.intake.read_mapping import mapping_of
    from dutyline.intake.sources import source_of

    expect(path, PATH, "path", 'Name a mapping: bring("my-line/mapping.toml").')
    file = Path(path)
    mapping = mapping_of(file if file.suffix.lower() == ".toml" else file / MAPPING)
    return run(mapping, source_of(mapping))


def brought_json(brought: Brought, folder: str | None = None) -> dict[str, Any]:
    """What came, for programs, ``dutyline.bring/1``."""
    line: Any = brought.line
    return {
        "schema": "dutyline.bring/1",
        "line": product_line_json(line),
        "mapping": brought.mapping.document.file,
        "counts": {kind: len(getattr(line, kind)) for kind in KINDS},
        "tables": [_table(table) for table in brought.tables],
        "remarks": list(brought.remarks),
        "folder": folder,
    }


def _table(table: Any) -> dict[str, Any]:
    return {
        "file": table.file,
        "sheet": table.sheet or None,
        "into": table.rule.kind,
        "rows": len(table.records),
        "columns": [
            {"field": name, "unit": manner.unit or None, "conventions": dict(manner.answers or {})}
            for name, manner in table.manners.items()
        ],
        "ignored": list(table.ignored),
        "not_named": list(table.left_out),
    }
