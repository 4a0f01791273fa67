"""A file that was not there before."""

from __future__ import annotations

from pathlib import Path


def write_new(path: Path, text: str) -> None:
    """Write a text as a new file in UTF-8: all of it, or no file is left.

    Raises
    ------
    FileExistsError
        Something of this name is there; it is kept.
    OSError
        It cannot be written.
    """
    with path.open("x", encoding="utf-8", newline="\n") as stream:
        try:
            stream.write(text)
            stream.flush()
        except BaseException:
            path.unlink(missing_ok=True)
            raise
