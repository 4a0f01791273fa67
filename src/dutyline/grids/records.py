"""A table as found in a file: texts of cells, and where each stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field


class Cells(AbstractSet[tuple[int, int]]):
    """A set of cells by row and column that takes little room: one bit for each column of a row."""

    __slots__ = ("_rows",)

    def __init__(self, cells: Iterable[tuple[int, int]] = ()) -> None:
        self._rows: dict[int, int] = {}
        for row, column in cells:
            self.add(row, column)

    def add(self, row: int, column: int) -> None:
        """Put a cell in."""
        self._rows[row] = self._rows.get(row, 0) | 1 << column

    def fill(self, row: int, first: int, last: int, whether: bool) -> None:
        """Put the cells from one column to another in, or take them out."""
        bits = (1 << last + 1 - first) - 1 << first
        kept = self._rows.get(row, 0)
        if whether:
            self._rows[row] = kept | bits
        elif kept:
            self._rows[row] = kept & ~bits

    def meet(self, row: int, first: int, last: int) -> bool:
        """Whether any cell from one column to another is in."""
        return bool(self._rows.get(row, 0) >> first & (1 << last + 1 - first) - 1)

    def __contains__(self, cell: object) -> bool:
        if not (isinstance(cell, tuple) and len(cell) == 2):
            return False
        row, column = cell
        return column >= 0 and bool(self._rows.get(row, 0) >> column & 1)

    def __iter__(self) -> Iterator[tuple[int, int]]:
        for row, bits in self._rows.items():
            for column in range(bits.bit_length()):
                if bits >> column & 1:
                    yield row, column

    def __len__(self) -> int:
        return sum(bits.bit_count() for bits in self._rows.values())

    def __repr__(self) -> str:
        return f"Cells({list(self)})"


@dataclass(frozen=True, slots=True)
class Grid:
    """One CSV file, or one sheet of a workbook. Rows and columns count from 0 in here.

    Numbers of a workbook are written as their shortest text with a decimal point; dates and truth
    values as ISO dates, ``TRUE`` and ``FALSE``. Rows may differ in length.
    """

    file: str
    """Name of the file as given, without its folder."""
    sheet: str
    """Name of the sheet; empty for a CSV file."""
    rows: Sequence[Sequence[str]]
    """Texts without blanks around them; an empty text is an empty cell."""
    lines: Sequence[int] = ()
    """Number of each row as an editor counts, where it is not its place plus one."""
    numbers: AbstractSet[tuple[int, int]] = frozenset()
    """Cells that a workbook holds as numbers: a decimal comma or thousands mark cannot be there."""
    formulas: Mapping[tuple[int, int], str] = field(default_factory=dict)
    """Cells that hold a formula, with its text; their text in ``rows`` is the formula too."""
    merged: Sequence[tuple[int, int, int, int]] = ()
    """First row, first column, last row, last column of merged cells; every cell of the range
    holds the text of the first in ``rows``."""
    errors: AbstractSet[tuple[int, int]] = frozenset()
    """Cells of a workbook that hold an error such as ``#DIV/0!``, which is their text, too."""
    percents: AbstractSet[tuple[int, int]] = frozenset()
    """Numbers that a workbook shows as percent: the text 0.95 is seen as 95 %."""
    separator: str = ""
    """Of a CSV file."""
    encoding: str = ""
    """Of a CSV file, as Python calls it."""
    hidden: bool = False
    """True for a sheet that the workbook hides."""
    remarks: Sequence[str] = ()
    """What a reader of the file should know, as sentences: links to other files, hidden rows."""

    def text(self, row: int, column: int) -> str:
        """Text of a cell; empty beyond the end of a row."""
        if not 0 <= row < len(self.rows):
            return ""
        cells = self.rows[row]
        return cells[column] if 0 <= column < len(cells) else ""

    def place(self, row: int, column: int | None = None) -> str:
        """Where a cell or row stands, for people: ``motors.xlsx, sheet Data, cell C7``."""
        number = self.lines[row] if row < len(self.lines) else row + 1
        sheet = f", sheet {self.sheet}" if self.sheet else ""
        if column is None:
            return f"{self.file}{sheet}, row {number}"
        return f"{self.file}{sheet}, cell {letters(column)}{number}"


def letters(column: int) -> str:
    """Letters of a column that counts from 0.

    >>> [letters(n) for n in (0, 25, 26, 701, 702)]
    ['A', 'Z', 'AA', 'ZZ', 'AAA']
    """
    found = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        found = chr(65 + rest) + found
    return found
