"""Files that truly lie in a folder: nothing that leaves it, and no pipes or devices."""

from __future__ import annotations

import os
import stat
from pathlib import Path, PureWindowsPath
from typing import BinaryIO

from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import quoted
from dutyline.grids.limits import MOST_BYTES

MISSING = "the file is missing; it is needed."
"""What is told of a file that is not there."""
_COPY = "Copy the file into the folder and name it from there."
_OPEN = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def inside(folder: str | os.PathLike[str], name: str) -> Path:
    """Path of a file that is named from a folder.

    Parameters
    ----------
    folder : path
        That the file must lie in, or in a folder of it.
    name : str
        As written by the user, with ``/`` between folders.

    Raises
    ------
    InputError
        The name leaves the folder, through ``..``, a root, a drive or a link; or no such file is
        there; or it is a folder, pipe or device.
    """
    found = found_inside(Path(folder), name)
    if isinstance(found, Fault):
        raise InputError(name or "The file", [found])
    return found


def found_inside(folder: Path, name: str) -> Path | Fault:
    """As :func:`inside`, with the fault handed back."""
    windows = PureWindowsPath(name)
    if not name.strip() or "\0" in name:
        return Fault(quoted(name), "", "is not the name of a file; one is needed.", _COPY)
    if name.startswith("/") or windows.drive or windows.root:
        read = "is a path from a root; a name from the folder is needed."
        return Fault(name, "", read, _COPY)
    if ".." in windows.parts:
        return Fault(name, "", "leaves the folder; a file in it is needed.", _COPY)
    path = folder / name
    try:
        true = path.resolve(strict=True)
        if not true.is_relative_to(folder.resolve()):
            read = "is a link that leaves the folder; a file in it is needed."
            return Fault(name, "", read, "Copy the file into the folder.")
        if not stat.S_ISREG(path.stat().st_mode):
            return Fault(name, "", "is not a file.", "Put the file of this name in its place.")
    except FileNotFoundError:
        return Fault(name, "", MISSING, "Check its name.")
    except (OSError, RuntimeError, ValueError) as error:
        return _unreadable(name, error)
    return path


def content(path: Path, name: str, most: int = MOST_BYTES) -> bytes | Fault:
    """Bytes of a file, one more than ``most`` at the longest; a pipe or device is never waited for.

    Parameters
    ----------
    path : Path
        Where it is.
    name : str
        What it is called in the fault.
    most : int [byte]
        What the reader accepts; a longer result says that the file is too large.
    """
    try:
        with os.fdopen(os.open(path, _OPEN), "rb") as file:
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                return Fault(name, "", "is not a file.", "Put the file of this name in its place.")
            return _read(file, most + 1)
    except FileNotFoundError:
        return Fault(name, "", MISSING, "Check its name.")
    except (OSError, ValueError) as error:
        return _unreadable(name, error)


def _read(file: BinaryIO, left: int) -> bytes:
    """Content up to so many bytes; no room is taken for what is not there."""
    pieces: list[bytes] = []
    while left and (piece := file.read(min(left, 1 << 16))):
        pieces.append(piece)
        left -= len(piece)
    return b"".join(pieces)


def _unreadable(name: str, error: Exception) -> Fault:
    read = f"cannot be read ({getattr(error, 'strerror', None) or error})."
    return Fault(name, "", read, "Check its rights.")
