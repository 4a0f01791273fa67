"""``line.toml`` beside the files of a line: what the line calls itself and which edition it is."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.side_files import table_of
from dutyline.core.errors import Fault
from dutyline.core.spelling import nearest

FILE = "line.toml"

_LONGEST = {"name": 80, "edition": 40, "note": 500}
_CURRENCY = re.compile(r"[A-Z]{3}")


@dataclass(frozen=True, slots=True)
class Edition:
    """What ``line.toml`` says; empty where it does not."""

    name: str = ""
    edition: str = ""
    """As the maker counts: ``2026-11``, ``3``."""
    date: str = ""
    """``2026-11-29``"""
    note: str = ""
    currency: str = ""
    """Of every price, three letters of ISO 4217: ``EUR``."""


def read_edition(data: bytes, faults: list[Fault]) -> Edition:
    """The edition that a ``line.toml`` states; what is wrong goes to ``faults``."""
    known = len(faults)
    content = table_of(FILE, data, faults)
    if len(faults) > known:
        return Edition()
    for key in content:
        if key not in ("schema", "line"):
            read = f'there is no section "{key}"; [line] is needed.'
            faults.append(Fault(FILE, key, read, f"There are {', '.join(_READERS)} in it."))
    if content.get("schema", 1) != 1:
        faults.append(Fault(FILE, "schema", "schema = 1 is needed.", "Write 1, or leave it out."))
    table = content.get("line")
    if not isinstance(table, dict):
        remedy = 'Write [line] and below it edition = "2026-11", for example.'
        faults.append(Fault(FILE, "line", "a table [line] is needed.", remedy))
        return Edition()
    values: dict[str, str] = {}
    for key, value in table.items():
        if key not in _READERS:
            close = nearest(key, _READERS)
            remedy = f'The nearest is "{close}".' if close else f"There are {', '.join(_READERS)}."
            faults.append(Fault(FILE, f"line.{key}", "there is no such field.", remedy))
            continue
        try:
            values[key] = _READERS[key](key, value)
        except _UnfitError as unfit:
            faults.append(Fault(FILE, f"line.{key}", unfit.read, unfit.remedy))
    return Edition(**values)


def titled(line: ProductLine) -> str:
    """``demo line, edition 2026-11``: the line as sentences name it."""
    return f"{line.name}, edition {line.edition}" if line.edition else line.name


def edition_text(edition: Edition) -> str:
    """A ``line.toml`` that says the same."""
    rows = [
        f"{field} = {_quoted(value)}"
        for field in _READERS
        if (value := getattr(edition, field))
    ]  # fmt: skip
    return "\n".join(["schema = 1", "", "[line]", *rows, ""])


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


class _UnfitError(Exception):
    """A value that cannot be used."""

    def __init__(self, read: str, remedy: str) -> None:
        self.read = read
        self.remedy = remedy
        super().__init__(read)


def _words(key: str, value: Any) -> str:
    if not isinstance(value, str):
        example = '"3"' if key == "edition" else '"..."'
        raise _UnfitError("a text in quotes is needed.", f"Write {key} = {example}.")
    text = value.strip()
    if not text or not text.isprintable() or len(text) > _LONGEST[key]:
        need = f"text on one line, of at most {_LONGEST[key]} characters, is needed."
        raise _UnfitError(need, "Shorten it, or leave the field out.")
    return text


def _day(key: str, value: Any) -> str:
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    try:
        day = datetime.date.fromisoformat(value) if len(value) == 10 else None
    except (TypeError, ValueError):
        day = None
    if day is None:
        raise _UnfitError("a day is needed, as year, month, day.", f"Write {key} = 2026-11-29.")
    return day.isoformat()


def _currency(key: str, value: Any) -> str:
    if not isinstance(value, str) or not _CURRENCY.fullmatch(value):
        raise _UnfitError("three capital letters are needed.", f'Write {key} = "EUR".')
    return value


_READERS: dict[str, Callable[[str, Any], str]] = {
    "name": _words,
    "edition": _words,
    "date": _day,
    "note": _words,
    "currency": _currency,
}
