"""Files that stand beside the axis file: found in its folder and nowhere else."""

from __future__ import annotations

import hashlib
from pathlib import Path, PurePosixPath, PureWindowsPath

from dutyline.core.faults import ValueFault, quoted
from dutyline.core.toml_text import Document

LARGEST = 2_000_000
"""Bytes of a file of samples."""
_PLACE = "Put the file into the folder of the axis file and write its name alone."


def text_beside(document: Document, name: str) -> str:
    """The text of a file that the axis file names; read once, then kept with the document.

    Raises
    ------
    ValueFault
        The name leads out of the folder, or the file is missing, too large or no text.
    """
    if name not in document.files:
        document.files[name] = _text(document, name)
    return document.files[name]


def checksum_beside(text: str) -> str:
    """sha256 of the text of a file."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _text(document: Document, name: str) -> str:
    pure, windows = PurePosixPath(name), PureWindowsPath(name)
    leaves = pure.is_absolute() or windows.drive or windows.root or ".." in windows.parts
    if not name.strip() or leaves or "\0" in name:
        raise ValueFault(f"read {quoted(name)}; a file beside the axis file is needed.", _PLACE)
    if document.folder is None:
        raise ValueFault(
            f"read {quoted(name)}; the axis file has no folder, as it is not read from one.",
            "Name the axis file on the command line, or write the samples into points.",
        )
    folder = document.folder.resolve()
    path = folder / Path(*windows.parts)
    try:
        real = path.resolve()
        if not real.is_relative_to(folder):
            raise ValueFault(f"{quoted(name)} leads out of the folder of the axis file.", _PLACE)
        if not real.is_file():
            raise ValueFault(f"there is no file {quoted(name)} beside the axis file.", _PLACE)
        with real.open("rb") as stream:
            raw = stream.read(LARGEST + 1)
    except (OSError, ValueError, RuntimeError) as error:
        if isinstance(error, ValueFault):
            raise
        reason = getattr(error, "strerror", None) or "its name cannot be used"
        raise ValueFault(f"{quoted(name)} cannot be read: {reason}.", "Check its rights.") from None
    if len(raw) > LARGEST:
        size = LARGEST // 1_000_000
        raise ValueFault(f"{quoted(name)} is larger than {size} MB.", "Thin the samples out.")
    return _decoded(raw, name)


def _decoded(raw: bytes, name: str) -> str:
    if b"\0" in raw and not raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise ValueFault(f"{quoted(name)} holds zero bytes, so it is no text.", "Save it as CSV.")
    code = "utf-16" if raw.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig"
    try:
        return raw.decode(code)
    except UnicodeDecodeError:
        raise ValueFault(
            f"{quoted(name)} is not encoded as UTF-8.", "Save it as CSV in UTF-8."
        ) from None
