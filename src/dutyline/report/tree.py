"""The document as frozen records: what stands in the report, not how it looks.

PDF and HTML are made from the same tree. Text is data everywhere; the only thing that is ever
interpreted is a formula, and that by :mod:`dutyline.report.formula` alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, TypeAlias

from dutyline.core.steps import HandStep

__all__ = [
    "Answer",
    "Bar",
    "Block",
    "Cautions",
    "Cell",
    "Column",
    "Document",
    "Figure",
    "Group",
    "HandStep",
    "Head",
    "Inline",
    "Legend",
    "Listing",
    "Mark",
    "Math",
    "Paragraph",
    "Ref",
    "Row",
    "Run",
    "Section",
    "Side",
    "StatusWord",
    "Table",
    "Words",
    "cell",
    "plain",
    "strong",
    "words",
]


@dataclass(frozen=True, slots=True)
class Run:
    """Some words in one style."""

    text: str
    style: str = ""
    """``strong``, ``soft``, ``code``, or a mark's name for its colour; empty for plain."""


@dataclass(frozen=True, slots=True)
class Math:
    """A formula or symbol in plain text: ``T = F k / eta_B``."""

    text: str
    display: bool = False
    """With fractions built up."""


@dataclass(frozen=True, slots=True)
class Mark:
    """The shape of a state; its word always follows."""

    state: str


@dataclass(frozen=True, slots=True)
class StatusWord:
    """Where an input came from, underlined in its way."""

    status: str


@dataclass(frozen=True, slots=True)
class Ref:
    """The number of another section."""

    key: str


@dataclass(frozen=True, slots=True)
class Bar:
    """Used share of a limit with the reserve hatched."""

    used: float
    reserve: float
    state: str


Inline: TypeAlias = Run | Math | Mark | StatusWord | Ref | Bar
Words: TypeAlias = tuple[Inline, ...]


def words(*parts: str | Inline) -> Words:
    """Several pieces in a row; a bare string is a plain run."""
    return tuple(Run(p) if isinstance(p, str) else p for p in parts if p != "")


def strong(text: str) -> Run:
    """Words that carry weight."""
    return Run(text, "strong")


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table."""

    title: Words
    width: float | None = None
    """[mm]; None shares what is left."""
    align: str = "left"
    """``left`` or ``right``"""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell."""

    words: Words
    span: int = 1


def cell(*parts: str | Inline, span: int = 1) -> Cell:
    """A cell made of words."""
    return Cell(words(*parts), span)


@dataclass(frozen=True, slots=True)
class Row:
    """A row, with a sentence under it where there is more to say."""

    cells: tuple[Cell, ...]
    second: Words = ()
    second_from: int = 1
    """Column in which the sentence starts."""
    sum: bool = False
    """True for a line of totals."""


@dataclass(frozen=True, slots=True)
class Group:
    """A heading inside a table."""

    title: str


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads; heads repeat on the next page."""

    columns: tuple[Column, ...]
    rows: tuple[Row | Group, ...]
    pad: float = 1.15
    """Space above and below the text of a row [mm]."""
    gutter: float = 3.0
    """[mm]"""
    size: float = 8.2
    """[pt]"""
    middle: bool = False
    """True when cells are centred upright (formulas)."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Words across the page."""

    words: Words
    size: str = "body"
    """``body``, ``table``, ``small``, ``lead`` (a head of its own) or ``ruled``"""


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing with its description for those who cannot see it."""

    svg: str
    alt: str
    caption: Words = ()
    width: float = 174.0
    """[mm]"""
    numbered: bool = True


@dataclass(frozen=True, slots=True)
class Legend:
    """The marks with their words."""

    states: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Listing:
    """Numbered sentences."""

    items: tuple[Words, ...]
    start: int = 1
    """Number of the first one."""


@dataclass(frozen=True, slots=True)
class Cautions:
    """Sentences that nobody may overlook: a lead and what it means."""

    items: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Side:
    """Blocks or sections beside each other."""

    left: tuple[Block | Section, ...]
    right: tuple[Block | Section, ...]
    left_width: float = 84.0
    """[mm]"""
    gap: float = 6.0
    """[mm]"""


@dataclass(frozen=True, slots=True)
class Section:
    """A numbered part of the report."""

    key: str
    title: str
    blocks: tuple[Block, ...]
    remark: Words = ()
    room: float = 0.0
    """Height that its first part needs [mm]; where less is left it begins on a new page."""


Block: TypeAlias = Paragraph | Table | Figure | Legend | Listing | Cautions | Side


@dataclass(frozen=True, slots=True)
class Head:
    """What identifies the document; repeated in the foot of every page."""

    title: str
    project: str
    customer: str
    author: str
    revision: str
    date: str
    """As printed; empty when none was given."""
    day: tuple[int, int, int] | None
    """Year, month, day for the document's data; None where no date was given."""
    version: str
    checksum: str
    """All digits of the axis file's checksum, or of the content hash of a line."""
    foot: str = ""
    """Project and title, short enough for the foot of every page."""
    what: str = "Servo axis record"
    """What kind of document it is."""
    digits: str = "checksum"
    """What the digits are, as printed before them."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The verdict in a sentence."""

    states: tuple[str, ...]
    """Marks before it."""
    sentence: str
    rest: str = ""
    """What is still needed, in one sentence."""


@dataclass(frozen=True, slots=True)
class Document:
    """The whole report."""

    head: Head
    answer: Answer
    opening: tuple[Block, ...]
    """Duty line and train, before the first section."""
    sections: tuple[Section | Side, ...]
    closing: tuple[Block, ...] = ()
    """Behind the last section."""

    def numbers(self) -> Mapping[str, int]:
        """Number of every section by its key, in reading order."""
        return {s.key: n for n, s in enumerate(_sections(self.sections), start=1)}


def _sections(parts: tuple[Any, ...]) -> Iterator[Section]:
    for part in parts:
        if isinstance(part, Section):
            yield part
        elif isinstance(part, Side):
            yield from _sections((*part.left, *part.right))


def plain(node: Any) -> Any:
    """Any part of the tree as dictionaries, lists, text and numbers, each with its ``kind``."""
    if is_dataclass(node) and not isinstance(node, type):
        body = {f.name: plain(getattr(node, f.name)) for f in fields(node)}
        return {"kind": type(node).__name__.lower(), **body}
    if isinstance(node, tuple | list):
        return [plain(part) for part in node]
    return node
