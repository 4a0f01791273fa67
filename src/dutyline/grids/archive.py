"""The parts packed in a workbook: inflated piece by piece, never by what their headers say."""

from __future__ import annotations

import io
import posixpath
import struct
import zipfile
import zlib
from collections.abc import Iterator

from dutyline.core.faults import quoted
from dutyline.grids.limits import (
    MOST_INFLATED,
    MOST_PARTS,
    MOST_RATIO,
    RATIO_FROM,
    refused,
)

_PIECE = 65_536
_ENTRY = b"PK\x01\x02"
_ANEW = "Open it in a spreadsheet and save it anew as .xlsx."
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    EOFError,
    OSError,
    RuntimeError,
    ValueError,
    OverflowError,
    LookupError,
)
"""What the zip reader of the standard library raises on broken files."""


class Archive:
    """A zip file whose list of parts has been judged.

    Raises
    ------
    InputError
        No zip file; too many parts, or encrypted, doubled or oddly packed ones, or names that
        leave it.
    """

    def __init__(self, file: str, data: bytes) -> None:
        self.file = file
        self._inflated = 0
        self.marks = 0
        """Marks of XML read so far, counted by who reads them."""
        if data.count(_ENTRY) > MOST_PARTS:
            read = f"packs more than the {MOST_PARTS} parts that a workbook may hold."
            raise refused(file, "", read, _ANEW)
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(data))
            entries = self._zip.infolist()
        except _BROKEN as error:
            raise refused(file, "", f"is not a whole zip file ({error}).", _ANEW) from None
        self._parts: dict[str, zipfile.ZipInfo] = {}
        for entry in entries:
            self._admit(entry)

    @property
    def names(self) -> tuple[str, ...]:
        """Names of all parts as they stand."""
        return tuple(entry.filename for entry in self._parts.values())

    def holds(self, name: str) -> bool:
        """Whether there is such a part; letters count alike in either case."""
        return name.lower() in self._parts

    def pieces(self, name: str) -> Iterator[bytes]:
        """Bytes of a part, piece by piece.

        Raises
        ------
        InputError
            The part is missing or broken, or inflates beyond a limit.
        """
        entry = self._parts.get(name.lower())
        if entry is None:
            raise refused(self.file, "", f"lacks the part {quoted(name)}; it is needed.", _ANEW)
        place = f"part {entry.filename}"
        size = 0
        try:
            with self._zip.open(entry) as part:
                while piece := part.read(_PIECE):
                    size += len(piece)
                    self._inflated += len(piece)
                    self._weigh(place, size, entry.compress_size)
                    yield piece
        except _BROKEN as error:
            raise refused(self.file, place, f"is broken ({error}).", _ANEW) from None

    def _weigh(self, place: str, size: int, packed: int) -> None:
        if self._inflated > MOST_INFLATED:
            read = f"unpacks to more than {MOST_INFLATED // 1_000_000} MB; less is needed."
            raise refused(self.file, place, read, "Split the file.")
        if size > RATIO_FROM and size > MOST_RATIO * packed:
            read = f"unpacks to more than {MOST_RATIO} times its size; less is needed."
            raise refused(self.file, place, read, _ANEW)

    def _admit(self, entry: zipfile.ZipInfo) -> None:
        name = entry.filename
        place = f"part {quoted(name)}"
        if name.startswith("/") or "\\" in name or ":" in name or ".." in name.split("/"):
            raise refused(self.file, place, "is named out of the workbook.", _ANEW)
        if name.lower() in self._parts:
            raise refused(self.file, place, "stands twice; it is needed once.", _ANEW)
        if entry.flag_bits & 1:
            raise refused(self.file, place, "is encrypted.", "Save it without a password.")
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            read = "is packed in a way that workbooks do not use."
            raise refused(self.file, place, read, _ANEW)
        self._parts[name.lower()] = entry


def joined(part: str, target: str) -> str:
    """Name of the part that a relation of another names.

    >>> joined("xl/workbook.xml", "worksheets/sheet1.xml")
    'xl/worksheets/sheet1.xml'
    >>> joined("xl/workbook.xml", "/xl/worksheets/sheet1.xml")
    'xl/worksheets/sheet1.xml'
    """
    return posixpath.normpath(posixpath.join("/", posixpath.dirname(part), target)).lstrip("/")
