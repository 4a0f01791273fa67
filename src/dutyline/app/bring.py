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
    from dutyline.intake.proposal import Proposal

MAPPING = "mapping.toml"
"""Name by which a mapping is found in a folder."""
KINDS = ("motors", "gearheads", "drives", "brakes", "resistors", "curves", "pairings",
         "accessories")  # fmt: skip

__all__ = [
    "KINDS",
    "bring",
    "brought_json",
    "is_mapping",
    "proposal_json",
    "propose",
    "read_line",
    "write_line",
    "write_proposal",
]


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
    from dutyline.intake.sources import ours_of, source_of

    expect(path, PATH, "path", 'Name a mapping: bring("my-line/mapping.toml").')
    file = Path(path)
    mapping = mapping_of(file if file.suffix.lower() == ".toml" else file / MAPPING)
    return run(mapping, source_of(mapping), ours_of(mapping))


def propose(path: str | os.PathLike[str]) -> Proposal:
    """What a file, or every table in a folder, seems to be; nothing of it is certain.

    Parameters
    ----------
    path : str or PathLike
        A CSV file or workbook, or a folder of such files.

    Returns
    -------
    Proposal
        Tables with their columns: what was understood and why, and what has to be answered.

    Raises
    ------
    InputError
        There is no table, or a file cannot be read.
    """
    from dutyline.intake.proposal import proposal_of

    expect(path, PATH, "path", 'Name a file or folder: propose("motors.xlsx").')
    return proposal_of(Path(path))


def write_proposal(proposal: Proposal, path: str | os.PathLike[str]) -> None:
    """Write a proposal as a mapping file beside the tables; a file that exists is kept.

    Raises
    ------
    InputError
        The file exists, lies elsewhere, or cannot be written.
    """
    from dutyline.intake.proposal import write_mapping

    expect(path, PATH, "path", 'Name a file: "my-line/mapping.toml".')
    write_mapping(proposal, Path(path))


def proposal_json(proposal: Proposal, written: str | None = None) -> dict[str, Any]:
    """A proposal for programs, ``dutyline.proposal/1``."""
    return {
        "schema": "dutyline.proposal/1",
        "tables": [_proposed(table) for table in proposal.tables],
        "open": proposal.open,
        "notes": list(proposal.notes),
        "mapping": proposal.text(),
        "written": written,
    }


def _proposed(table: Any) -> dict[str, Any]:
    return {
        "file": table.file,
        "sheet": table.sheet or None,
        "into": table.kind or None,
        "heading": list(table.heading),
        "units": table.units,
        "turned": table.turned,
        "decimal": table.numerals.decimal or None,
        "thousands": table.numerals.thousands or None,
        "unknown": list(table.unknown),
        "open": list(table.open),
        "columns": [
            {
                "heading": c.heading,
                "first": c.sample or None,
                "field": c.field or None,
                "unit": c.unit or None,
                "conventions": dict(c.answers),
                "why": c.why or None,
                "open": list(c.open),
            }
            for c in table.columns
        ],
    }


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
        "rows": table.table.count,
        "columns": [
            {"field": name, "unit": manner.unit or None, "conventions": dict(manner.answers or {})}
            for name, manner in table.manners.items()
        ],
        "stated": list(table.stated),
        "ignored": list(table.ignored),
        "not_named": list(table.left_out),
    }
