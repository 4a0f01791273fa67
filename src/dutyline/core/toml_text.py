"""From the bytes of a TOML file to plain data with line numbers; every fault of form is told."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from dutyline.core.errors import Fault, InputError
from dutyline.core.toml_blocks import from_blocks
from dutyline.core.toml_lines import LineIndex, line_index
from dutyline.core.toml_lines import Path as KeyPath

LARGEST = 1_000_000
"""Bytes of a file written by a person; more is none."""

_AT = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")
_UNQUOTED = re.compile(
    r"^(\s*[A-Za-z0-9_.-]+\s*=\s*)([+-]?[0-9][0-9 .,/%A-Za-z0-9°²³*·^µμ-]*?)(\s*(?:#.*)?)$"
)
MOST_FAULTS = 200
"""Faults told at once; a file with more is another kind of file."""
_COMMON_SLIPS = 50
AXIS_FILE = "axis file"
"""What is read where nothing else is said."""


@dataclass(frozen=True, slots=True)
class Document:
    """A file as plain data, with the line of every key and the faults of form."""

    file: str
    data: Mapping[str, Any]
    index: LineIndex
    faults: tuple[Fault, ...]
    checksum: str
    """sha256 of the file's bytes."""
    folder: Path | None = None
    """Folder of the file; None where it is not read from one."""
    files: dict[str, str] = field(default_factory=dict)
    """Texts of the files beside it that it names, as far as they have been read."""

    def place(self, path: KeyPath) -> str:
        """``lift.toml:7``, or the file alone where nothing of the path stands in it."""
        line = self.index.of(path)
        return self.file if line is None else f"{self.file}:{line}"


def read_document(
    source: str | Path,
    text: str | None = None,
    name: str | None = None,
    files: Mapping[str, str] | None = None,
    noun: str = AXIS_FILE,
) -> Document:
    """A file, or a text in its place, as plain data.

    Parameters
    ----------
    source : str or Path
        Path of the file. With ``text`` only its name is used.
    text : str, optional
        The text of the file, where it does not stand on disk.
    name : str, optional
        Name used in faults; else the last part of ``source``.
    files : mapping of str to str, optional
        Texts of files beside it, where they do not stand on disk.
    noun : str
        What the file is, for the sentences of a fault.

    Raises
    ------
    InputError
        The file cannot be read at all, or is not TOML.
    """
    file = name or Path(source).name or str(source)
    folder = Path(source).parent if text is None else None
    raw = _bytes(Path(source), file, noun) if text is None else _encoded(text)
    _check_size(raw, file, noun)
    text = _decoded(raw, file)
    data, index, faults = _parsed(text, file)
    checksum = hashlib.sha256(raw).hexdigest()
    return Document(file, data, index, faults, checksum, folder, dict(files or {}))


def _bytes(path: Path, file: str, noun: str) -> bytes:
    try:
        if path.is_dir():
            read = "this is a folder; a file is needed."
            raise InputError(file, [Fault(str(path), "", read, f"Name the {noun} in it.")])
        with path.open("rb") as stream:
            return stream.read(LARGEST + 1)
    except FileNotFoundError:
        remedy = "Check the name."
        if noun == AXIS_FILE:
            remedy = 'Check the name, or make a file with "dutyline new".'
        raise InputError(file, [Fault(str(path), "", "there is no such file.", remedy)]) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        read = f"the file cannot be read: {reason}."
        raise InputError(file, [Fault(str(path), "", read, "Check name and rights.")]) from None


def _encoded(text: str) -> bytes:
    """The bytes of a text; bytes that were no UTF-8 when it was read come back as they were."""
    try:
        return text.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:
        return text.encode("utf-8", "surrogatepass")


def _check_size(raw: bytes, file: str, noun: str) -> None:
    if len(raw) > LARGEST:
        article = "an" if noun[0] in "aeiou" else "a"
        read = f"the file is larger than 1 MB; {article} {noun} has a few kB."
        raise InputError(file, [Fault(file, "", read, "Check that it is the right file.")])


def _decoded(raw: bytes, file: str) -> str:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        read, offset = "the file is written in UTF-16; UTF-8 is needed.", 0
    elif b"\0" in raw:
        read, offset = "the file holds zero bytes, so it is not a text.", raw.index(b"\0")
    else:
        try:
            return raw.decode("utf-8-sig").replace("\r\n", "\n")
        except UnicodeDecodeError as error:
            offset = error.start
            read = f"byte {raw[offset]:#04x} is not UTF-8; the file may be in an older encoding."
    line = raw.count(b"\n", 0, offset) + 1
    remedy = "Save the file as UTF-8 in your editor."
    raise InputError(file, [Fault(f"{file}:{line}", "", read, remedy)])


def _parsed(text: str, file: str) -> tuple[dict[str, Any], LineIndex, tuple[Fault, ...]]:
    """Data, lines and the faults after which reading can go on."""
    if (found := from_blocks(text)) is not None:
        return *found, ()
    index = line_index(text)
    if index.deep is not None:
        read = "tables, lists or names nest too deeply here."
        raise InputError(file, [Fault(f"{file}:{index.deep}", "", read, "Check the brackets.")])
    doubled = index.doubled[:MOST_FAULTS]
    faults = [_doubled(file, d.path, d.line, d.first) for d in doubled]
    if len(faults) == MOST_FAULTS:
        raise InputError(file, faults)
    text = _without_doubled(text, index)
    for _ in range(_COMMON_SLIPS):
        try:
            return tomllib.loads(text), index, tuple(faults)
        except ValueError as error:  # also a whole number of thousands of digits
            fault, mended = _syntax(text, file, _said(error))
            faults.append(fault)
            if mended is None:
                raise InputError(file, faults) from None
            text = mended
            index = line_index(text)
    raise InputError(file, faults)


def _doubled(file: str, path: KeyPath, line: int, first: int) -> Fault:
    field = ".".join(str(p + 1) if isinstance(p, int) else p for p in path)
    read = f"this stands twice, first on line {first}."
    return Fault(f"{file}:{line}", field, read, "Keep one of the two.")


def _without_doubled(text: str, index: LineIndex) -> str:
    """The text with the second of doubled keys blanked, so that reading can go on."""
    pieces: list[str] = []
    last = 0
    for doubled in index.doubled:
        start, end = doubled.span
        if start < last:
            continue
        hidden = f'["doubled {doubled.line}"]' if doubled.table else ""
        pieces += [text[last:start], hidden, "\n" * text.count("\n", start, end)]
        last = end
    return "".join([*pieces, text[last:]])


def _said(error: ValueError) -> str:
    if isinstance(error, tomllib.TOMLDecodeError):
        return str(error)
    return "a whole number has thousands of digits"


def _syntax(text: str, file: str, message: str) -> tuple[Fault, str | None]:
    """The fault of a broken line, and the text mended where the slip is plain."""
    found = _AT.search(message)
    rows = text.split("\n")
    number = int(found[1]) if found and found[1] else len(rows)
    row = rows[number - 1] if number <= len(rows) else ""
    place = f"{file}:{number}"
    slip = _UNQUOTED.match(row)
    if slip:
        value = slip[2].strip()
        rows[number - 1] = f'{slip[1]}"{value}"{slip[3]}'
        read = f"read {value} without quotes; a value with a unit is a text."
        key = slip[1].split("=")[0].strip()
        return Fault(place, "", read, f'Write {key} = "{value}".'), "\n".join(rows)
    read = f"this is not TOML: {_AT.sub('', message).lower()}."
    shown = row.strip()[:60]
    remedy = f'Look at "{shown}".' if shown else "Look at the end of the file."
    if re.match(r"^\s*[A-Za-z0-9_.-]+\s*:\s", row):
        remedy = f'Look at "{shown}": name and value are joined by "=", not by ":".'
    return Fault(place, "", read, remedy), None
