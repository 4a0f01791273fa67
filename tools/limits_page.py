"""The page of limits: what is written beside each of them in the code."""

from __future__ import annotations

import ast
import inspect
from collections.abc import Callable
from itertools import pairwise
from types import ModuleType

from dutyline.catalogue import sheets
from dutyline.grids import limits

Table = Callable[[list[str], list[list[str]]], str]

_INTRO = (
    "A file from elsewhere may be careless or hostile. It is read within these limits, and refused "
    "beyond them with its place, what was read and what helps. Tests attack each of them, and hold "
    "the memory against a bound in a process of its own (`tests/unit/grids`)."
)
_RULES = """\
- A **formula** is read as its text, never as the value it last gave, and never worked out:
  paste values in its place.
- **Links** to other files, connections and macros in a workbook are told, and never opened or
  run.
- XML with a **document type** or entities is refused; so are encrypted, doubled or oddly packed
  parts, and names that leave the workbook.
- Sizes in the list of parts are not believed: what is unpacked is counted as it comes.
- A **name of a file** is refused where it leaves the folder of the file that names it, by `..`,
  a root, a drive or a link, and where it is a folder, pipe or device.
- **Hidden** sheets, rows and columns are read and told.
- What is **written** runs in no spreadsheet: a text that begins like a formula gets an
  apostrophe in CSV, also behind a mark at which another spreadsheet would cut the row, and
  reading a line takes it off again; in a workbook texts are texts, without links. Plain numbers
  stay numbers. xlsxwriter keeps sixteen digits of a number, CSV all of them.
- A spreadsheet still decides for itself what a plain text such as `1/2` or `3-4` means when it
  opens a CSV file."""


def limits_page(made: str, table: Table) -> str:
    """The whole page; ``table`` writes one in Markdown."""
    own = [
        ["20 MB", "of a file of a product line"],
        [_number(sheets.MOST_ROWS), "rows of a file of a product line"],
    ]
    assert sheets.MOST_BYTES == 20_000_000
    return "\n".join(
        [
            made,
            "",
            "# Limits for files",
            "",
            _INTRO,
            "",
            "## Tables from elsewhere (CSV and .xlsx)",
            "",
            table(["at most", "of what"], _stated(limits)),
            "",
            "## Files of a product line",
            "",
            table(["at most", "of what"], own),
            "",
            "## What is told, and what is refused",
            "",
            _RULES,
            "",
        ]
    )


def _stated(module: ModuleType) -> list[list[str]]:
    """Constants of a module with the text below each."""
    body = ast.parse(inspect.getsource(module)).body
    found = []
    for line, below in pairwise(body):
        if isinstance(line, ast.Assign) and isinstance(below, ast.Expr):
            name = ast.unparse(line.targets[0])
            said = ast.literal_eval(below.value).split("\n")
            found.append([_number(getattr(module, name)), " ".join(word.strip() for word in said)])
    return found


def _number(value: int) -> str:
    return f"{value:,}".replace(",", "\N{NARROW NO-BREAK SPACE}")
