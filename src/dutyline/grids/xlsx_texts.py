"""Texts of a workbook that cells refer to by number."""

from __future__ import annotations

import re

from dutyline.grids.limits import DEEPEST, LONGEST_CELL, MOST_CELLS, MOST_TEXT, refused
from dutyline.grids.markup import Attributes, too_deep

_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")


class SharedTexts:
    """A handler of ``sharedStrings.xml``: the texts, without formats and phonetic hints."""

    def __init__(self, file: str, part: str) -> None:
        self.found: list[str] = []
        self._file, self._part, self._place = file, part, f"part {part}"
        self._depth = 0
        self._pieces: list[str] = []
        self._length = 0
        self._total = 0
        self._in_text = False
        self._hints = 0

    def start(self, name: str, attributes: Attributes) -> None:
        """Begin a text."""
        self._depth += 1
        if self._depth > DEEPEST:
            raise too_deep(self._file, self._part)
        if name == "rPh":
            self._hints += 1
        self._in_text = name == "t" and not self._hints

    def end(self, name: str) -> None:
        """Keep the text when all of it is known."""
        self._depth -= 1
        self._in_text = False
        if name == "rPh":
            self._hints -= 1
        elif name == "si":
            if len(self.found) >= MOST_CELLS:
                read = f"holds more than {MOST_CELLS} texts."
                raise refused(self._file, self._place, read, "Split the file.")
            self.found.append(unescaped("".join(self._pieces)).strip())
            self._pieces.clear()
            self._length = 0

    def text(self, text: str) -> None:
        """Gather a piece."""
        if not self._in_text:
            return
        self._pieces.append(text)
        self._length += len(text)
        self._total += len(text)
        if self._length > LONGEST_CELL:
            read = f"holds a text of more than {LONGEST_CELL} characters."
            raise refused(self._file, self._place, read, "Shorten the cell.")
        if self._total > MOST_TEXT:
            read = f"holds more than {MOST_TEXT} characters."
            raise refused(self._file, self._place, read, "Split the file.")


def unescaped(text: str) -> str:
    r"""A text with characters that XML cannot hold put back.

    Source: ECMA-376-1, 22.9.2.19 (ST_Xstring).

    >>> unescaped("a_x000A_b")
    'a\nb'
    """
    if "_x" not in text:
        return text
    plain = _ESCAPE.sub(lambda found: chr(int(found[1], 16)), text)
    return plain.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
