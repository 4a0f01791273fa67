"""Many cells at once: each different text of a column is read one time."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.catalogue.cells import CellError, CellValue, cell_value
from dutyline.catalogue.columns import Column
from dutyline.grids.guards import unguarded

Values = list[CellValue | None]


class Readings(dict[str, CellValue | None]):
    """Values of the cells of one column by what is written in them; None where that is nothing.

    A cell asked for the first time is read by :func:`dutyline.catalogue.cells.cell_value`, which
    alone knows what it means; equal cells share one value.
    """

    def __init__(self, column: Column) -> None:
        super().__init__()
        self.column = column

    def __missing__(self, cell: str) -> CellValue | None:
        text = unguarded(cell.strip())
        if not text and self.column.required:
            raise CellError("a value")
        value = self[cell] = cell_value(self.column, text) if text else None
        return value


def all_read(
    readings: Sequence[Readings | None], rows: Sequence[Sequence[str]]
) -> list[Values | None] | None:
    """Values of some rows, column by column; None in all where any cell or row is at fault.

    Parameters
    ----------
    readings : (k,) sequence
        Of each cell of the heading, None for one that is not read.
    rows : (n,) sequence of sequence of str
        Cells as written.

    Returns
    -------
    list
        (k,) of (n,) values.
    """
    if set(map(len, rows)) != {len(readings)}:
        return None
    columns = zip(*rows, strict=True)
    try:
        return [
            None if known is None else list(map(known.__getitem__, cells))
            for known, cells in zip(readings, columns, strict=True)
        ]
    except CellError:
        return None
