"""A small evaluator for the formulas of a workbook, apart from the program that wrote them."""

from __future__ import annotations

import io
import math
import re
from typing import Any

import openpyxl

_TOKEN = re.compile(
    r"\s*(?:(?P<number>\d+\.?\d*(?:[eE][+-]?\d+)?)|(?P<text>\"[^\"]*\")|"
    r"(?P<place>(?:[A-Za-z]+!)?\$?[A-Z]{1,2}\$?\d+(?::\$?[A-Z]{1,2}\$?\d+)?)|"
    r"(?P<name>[A-Z]+)(?=\()|(?P<sign><=|>=|<>|[-+*/^(),<>=]))"
)


class Book:
    """A workbook with every formula worked out from the cells it names, stored values unread."""

    def __init__(self, content: bytes) -> None:
        self.sheets = openpyxl.load_workbook(io.BytesIO(content))
        self.stored = openpyxl.load_workbook(io.BytesIO(content), data_only=True)
        self.known: dict[tuple[str, str], Any] = {}

    def formulas(self) -> list[tuple[str, str]]:
        """Sheet and place of every formula."""
        return [
            (sheet.title, cell.coordinate)
            for sheet in self.sheets
            for row in sheet.iter_rows()
            for cell in row
            if cell.data_type == "f"
        ]

    def set(self, sheet: str, place: str, value: Any) -> None:
        """Another value in a cell; everything is worked out anew."""
        self.sheets[sheet][place] = value
        self.known.clear()

    def value(self, sheet: str, place: str) -> Any:
        """What a cell holds or gives."""
        place = place.replace("$", "")
        key = sheet, place
        if key not in self.known:
            cell = self.sheets[sheet][place]
            found = cell.value
            if cell.data_type == "f":
                found = _Formula(self, sheet, found[1:]).result()
            self.known[key] = found
        return self.known[key]

    def range(self, sheet: str, place: str) -> list[Any]:
        """The cells of a range, row by row."""
        cells = self.sheets[sheet][place.replace("$", "")]
        return [self.value(sheet, c.coordinate) for row in cells for c in row]


class _Formula:
    def __init__(self, book: Book, sheet: str, text: str) -> None:
        self.book, self.sheet = book, sheet
        self.tokens = [(m.lastgroup, m.group(m.lastgroup or 0)) for m in _TOKEN.finditer(text)]
        assert "".join(t for _, t in self.tokens) == text.replace(" ", "")
        self.at = 0

    def result(self) -> Any:
        found = self.compared()
        assert self.at == len(self.tokens)
        return found

    def peek(self) -> str:
        return self.tokens[self.at][1] if self.at < len(self.tokens) else ""

    def take(self) -> tuple[str | None, str]:
        self.at += 1
        return self.tokens[self.at - 1]

    def compared(self) -> Any:
        left = self.added()
        if self.peek() in ("<", ">", "<=", ">=", "="):
            sign, right = self.take()[1], self.added()
            return {"<": left < right, ">": left > right, "<=": left <= right,
                    ">=": left >= right, "=": left == right}[sign]  # fmt: skip
        return left

    def added(self) -> Any:
        left = self.times()
        while self.peek() in ("+", "-"):
            sign, right = self.take()[1], self.times()
            left = left + right if sign == "+" else left - right
        return left

    def times(self) -> Any:
        left = self.raised()
        while self.peek() in ("*", "/"):
            sign, right = self.take()[1], self.raised()
            left = left * right if sign == "*" else left / right
        return left

    def raised(self) -> Any:
        left = self.single()
        while self.peek() == "^":
            self.take()
            left = left ** self.single()
        return left

    def single(self) -> Any:
        kind, text = self.take()
        if text == "-":
            return -self.single()
        if text == "(":
            found = self.compared()
            assert self.take()[1] == ")"
            return found
        if kind == "number":
            return float(text)
        if kind == "text":
            return text[1:-1]
        if kind == "place":
            sheet, _, place = text.rpartition("!")
            sheet = sheet or self.sheet
            if ":" in place:
                return self.book.range(sheet, place)
            return self.book.value(sheet, place) or 0.0
        assert kind == "name", text
        return self.called(text)

    def called(self, name: str) -> Any:
        assert self.take()[1] == "("
        given = [self.compared()]
        while self.peek() == ",":
            self.take()
            given.append(self.compared())
        assert self.take()[1] == ")"
        flat = [v for g in given for v in (g if isinstance(g, list) else [g])]
        numbers = [v for v in flat if isinstance(v, (int, float))]
        if name == "SUMPRODUCT":
            return math.fsum(math.prod(row) for row in zip(*given, strict=True))
        if name == "COUNTIFS":
            pairs = list(zip(given[::2], given[1::2], strict=True))
            return sum(all(r[k] == word for r, word in pairs) for k in range(len(pairs[0][0])))
        if name == "IF":
            return given[1] if given[0] else given[2]
        return {"SUM": math.fsum, "MAX": max, "MIN": min, "SQRT": lambda v: math.sqrt(v[0])}[name](
            numbers
        )
