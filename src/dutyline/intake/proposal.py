"""All tables of a file or folder with what they seem to be, and the mapping file of that."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import quoted
from dutyline.core.new_files import write_new
from dutyline.grids.files import inside
from dutyline.grids.read import CSV_ENDINGS, XLSX, read_grids
from dutyline.grids.records import Grid
from dutyline.intake.proposal_text import mapping_text
from dutyline.intake.propose import Table, proposed

MOST_FILES = 200
"""Files of a folder that are looked at."""
_TABLES = (*CSV_ENDINGS, XLSX)
_ENCODINGS = ("cp1252", "utf-16")
_NOT_OURS = ("origins.csv",)


@dataclass(frozen=True, slots=True)
class Proposal:
    """What was found in a file or folder."""

    folder: Path
    """Where the tables lie."""
    name: str
    tables: tuple[Table, ...]
    notes: tuple[str, ...] = ()
    """What was passed over."""

    @property
    def open(self) -> int:
        """How many questions there are."""
        columns = (column for table in self.tables for column in table.columns)
        return sum(len(t.open) for t in self.tables) + sum(len(c.open) for c in columns)

    def text(self) -> str:
        """The mapping file."""
        return mapping_text(self.tables, self.name)


def proposal_of(path: Path) -> Proposal:
    """What a file, or every table in a folder, seems to be.

    Raises
    ------
    InputError
        There is no table to look at.
    """
    notes: list[str] = []
    try:
        folder = path if path.is_dir() else path.parent
        names = sorted(e.name for e in path.iterdir()) if path.is_dir() else [path.name]
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(str(path), [Fault(str(path), "", f"cannot be read: {reason}.")]) from None
    if path.is_dir():
        names = [n for n in names if n.lower().endswith(_TABLES) and n not in _NOT_OURS]
        if len(names) > MOST_FILES:
            notes.append(f"{len(names)} tables are there; the first {MOST_FILES} were looked at.")
    tables: list[Table] = []
    for name in names[:MOST_FILES]:
        try:
            grids, encoding = _grids(inside(folder, name))
        except InputError as error:
            if not path.is_dir():
                raise
            notes += [f"{name} is left out: {fault.read}" for fault in error.faults]
            continue
        shown = [grid for grid in grids if not grid.hidden and any(any(r) for r in grid.rows)]
        hidden = [grid.sheet for grid in grids if grid.hidden]
        notes += [f"{name}: sheet {sheet} is hidden and left out." for sheet in hidden]
        tables += [proposed(grid, encoding) for grid in shown]
    if not tables:
        told = [Fault(str(path), "", "no table was found; CSV or XLSX is needed.")]
        told += [Fault(str(path), "", note) for note in notes]
        raise InputError(str(path), told)
    called = path.resolve().name if path.is_dir() else path.stem
    return Proposal(folder, called, tuple(tables), tuple(notes))


def _grids(path: Path) -> tuple[tuple[Grid, ...], str]:
    """Tables of a file, also in the older code pages, and the encoding where it has to be said."""
    try:
        return read_grids(path), ""
    except InputError:
        if path.suffix.lower() == XLSX:
            raise
        for encoding in _ENCODINGS:
            try:
                return read_grids(path, encoding=encoding), encoding
            except InputError:
                continue
        raise


def write_mapping(proposal: Proposal, target: Path) -> None:
    """The mapping beside the tables it names; nothing is replaced.

    Raises
    ------
    InputError
        The file exists, lies elsewhere or has another ending, or cannot be written.
    """
    fault = None
    try:
        if target.suffix.lower() != ".toml":
            fault = f"read {quoted(target.name)}; the name of a mapping ends in .toml."
        elif target.resolve().parent != proposal.folder.resolve():
            fault = "a mapping has to lie in the folder of its tables."
        if fault is None:
            write_new(target, proposal.text())
    except FileExistsError:
        fault = "there is such a file already; it is kept."
    except (OSError, ValueError) as error:
        fault = f"this cannot be written: {getattr(error, 'strerror', None) or error}."
    if fault is not None:
        beside = proposal.folder / "mapping.toml"
        raise InputError(str(target), [Fault("", "--to", fault, f"Name it like {beside}.")])
