"""How much a file may hold, and how it is refused beyond that."""

from __future__ import annotations

from dutyline.core.errors import Fault, InputError

MOST_BYTES = 50_000_000
"""[byte] of a file."""
MOST_ROWS = 200_000
"""Rows of a CSV file or a sheet, counted to the last filled one."""
MOST_COLUMNS = 1_000
"""Columns, counted to the last filled one."""
MOST_CELLS = 4_000_000
"""Cells of a file; a row counts up to its last filled one, cells spread over a range count too."""
LONGEST_CELL = 32_767
"""Characters of a cell, as in a spreadsheet."""
MOST_TEXT = 100_000_000
"""Characters of all cells of a file; a text that stands in many cells counts in each."""
LONGEST_ROW = 2_000_000
"""Characters of a row of a CSV file."""
MOST_SHEETS = 100
"""Sheets of a workbook."""
MOST_PARTS = 2_000
"""Files packed in a workbook."""
MOST_INFLATED = 400_000_000
"""[byte] that the parts read from a workbook may take once unpacked."""
MOST_RATIO = 400
"""Unpacked size of a part over its packed size, asked of parts that unpack beyond the next size."""
RATIO_FROM = 1_000_000
"""[byte] of a part below which no ratio is asked."""
LONGEST_TAG = 1_000_000
"""[byte] of one mark of XML."""
MOST_MARKS = 18_000_000
"""Beginnings and ends of elements of XML that are read from a workbook; a number takes four."""
MOST_FORMULAS = 200_000
"""Cells of a workbook that hold formulas."""
MOST_KEPT = 100_000
"""Elements with number formats, sheets and relations, which are kept while reading."""
DEEPEST = 64
"""Elements of XML within each other."""


def refused(file: str, place: str, read: str, remedy: str = "") -> InputError:
    """The error of a file that cannot be used.

    Parameters
    ----------
    file : str
        Its name, without its folder.
    place : str
        Where in it, as ``row 7`` or ``sheet Data, cell C7``; empty for all of it.
    read, remedy : str
        What was read and what is needed; what would help.
    """
    where = f"{file}, {place}" if place else file
    return InputError(file, [Fault(where, "", read, remedy)])


class Budget:
    """What the cells of one file have taken of the limits so far."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.cells = 0
        self.text = 0
        self.formulas = 0

    def take(self, cells: int, text: int, place: str) -> None:
        """Count some more cells and characters.

        Raises
        ------
        InputError
            More than a file may hold.
        """
        self.cells += cells
        self.text += text
        if self.cells > MOST_CELLS:
            read = f"goes beyond the {MOST_CELLS} cells that a file may hold."
            raise refused(self.file, place, read, "Split the file.")
        if self.text > MOST_TEXT:
            read = f"goes beyond the {MOST_TEXT} characters that the cells of a file may hold."
            raise refused(self.file, place, read, "Split the file.")

    def take_formula(self, place: str) -> None:
        """Count one more formula.

        Raises
        ------
        InputError
            More than a workbook may hold.
        """
        self.formulas += 1
        if self.formulas > MOST_FORMULAS:
            read = f"goes beyond the {MOST_FORMULAS} formulas that a workbook may hold."
            raise refused(self.file, place, read, "Paste values in place of formulas.")
