"""XML of a workbook, read as a stream: no document types, no entities, nothing fetched."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import NoReturn, Protocol
from xml.parsers import expat

from dutyline.core.errors import InputError
from dutyline.grids.archive import Archive
from dutyline.grids.limits import DEEPEST, LONGEST_TAG, MOST_KEPT, MOST_MARKS, refused

Attributes = Mapping[str, str]

_ANEW = "Open it in a spreadsheet and save it anew as .xlsx."


class Handler(Protocol):
    """What is told of a stream of XML; names of elements come without their prefix."""

    def start(self, name: str, attributes: Attributes) -> None:
        """An element begins."""

    def end(self, name: str) -> None:
        """An element ends."""

    def text(self, text: str) -> None:
        """A piece of text."""


def local(name: str) -> str:
    """A name without the prefix of its namespace."""
    return name.rpartition(":")[2]


def attribute(attributes: Attributes, name: str) -> str:
    """Value of an attribute by its name without prefix; empty where there is none."""
    if name in attributes:
        return attributes[name]
    for key, value in attributes.items():
        if local(key) == name:
            return value
    return ""


def follow(archive: Archive, part: str, handler: Handler) -> None:
    """Tell a handler what stands in a part.

    Raises
    ------
    InputError
        No well-formed XML, or with a document type, entities or longer marks than any workbook has.
    """
    file, place = archive.file, f"part {part}"
    parser = expat.ParserCreate()
    parser.buffer_text = True

    def declared(*_: object) -> NoReturn:
        read = "declares a document type; plain XML is needed."
        raise refused(file, place, read, _ANEW)

    def root(name: str, attributes: Attributes) -> None:
        """Prefixes are taken off where the first element has one."""
        plain = ":" not in name
        parser.StartElementHandler = (
            handler.start if plain else lambda name, found: handler.start(local(name), found)
        )
        parser.EndElementHandler = handler.end if plain else lambda name: handler.end(local(name))
        handler.start(local(name), attributes)

    parser.StartElementHandler = root
    parser.CharacterDataHandler = handler.text
    parser.StartDoctypeDeclHandler = declared
    given = 0
    try:
        for piece in archive.pieces(part):
            archive.marks += piece.count(b"<") + piece.count(b"/>")
            if archive.marks > MOST_MARKS:
                read = f"has more than {MOST_MARKS} beginnings and ends of elements of XML."
                raise refused(file, place, read, "Split the file.")
            parser.Parse(piece, False)
            given += len(piece)
            if given - max(parser.CurrentByteIndex, 0) > LONGEST_TAG:
                read = f"has a mark of more than {LONGEST_TAG} bytes."
                raise refused(file, place, read, _ANEW)
        parser.Parse(b"", True)
    except (expat.ExpatError, ValueError, LookupError) as error:
        raise refused(file, place, f"is not well-formed XML ({error}).", _ANEW) from None


def too_deep(file: str, part: str) -> InputError:
    """The error of a part whose elements stand within each other without end."""
    read = f"nests elements more than {DEEPEST} deep."
    return refused(file, f"part {part}", read, _ANEW)


class Kept:
    """A handler that keeps the elements of some names, with what stands around them.

    Parameters
    ----------
    file, part : str
        For the fault of a part that has too many.
    wanted : collection of str
        Names of the elements that are kept.
    """

    def __init__(self, file: str, part: str, wanted: Collection[str]) -> None:
        self.found: list[tuple[str, str, Attributes]] = []
        """Name of the element around it, own name, attributes."""
        self._file, self._part, self._wanted = file, part, wanted
        self._size = 0
        self._within: list[str] = []

    def start(self, name: str, attributes: Attributes) -> None:
        """Keep the element if it is wanted."""
        if name in self._wanted:
            self._size += sum(map(len, attributes.values()))
            if len(self.found) >= MOST_KEPT or self._size > 100 * MOST_KEPT:
                read = f"has more than {MOST_KEPT} elements {name}, or overlong ones."
                raise refused(self._file, f"part {self._part}", read, _ANEW)
            self.found.append((self._within[-1] if self._within else "", name, attributes))
        self._within.append(name)
        if len(self._within) > DEEPEST:
            raise too_deep(self._file, self._part)

    def end(self, name: str) -> None:
        """Leave the element."""
        self._within.pop()

    def text(self, text: str) -> None:
        """Nothing: text is of no use here."""
