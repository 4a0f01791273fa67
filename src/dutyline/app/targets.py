"""Names of files to be written, judged before anything is computed."""

from __future__ import annotations

from pathlib import Path

from dutyline.core.errors import Fault


def check_name(path: Path) -> Fault | None:
    """What is wrong with the name of a file to be written, or None."""
    if any(c < " " for c in str(path)):
        return Fault("", "--to", f'"{path}" holds characters no name has.', "Name it in letters.")
    try:
        folder, file = path.is_dir(), path.parent
        if folder and path.name:
            return Fault(
                "", "--to", f'"{path}" is a folder; a file is needed.', "Name a file in it."
            )
        if not file.is_dir():
            return Fault("", "--to", f'there is no folder "{file}".', "Make it first.")
    except OSError as error:
        reason = error.strerror or str(error)
        return Fault("", "--to", f"this cannot be written: {reason}.", "Give another name.")
    return None
