"""A folder of our files, written as a whole or not at all."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from dutyline.catalogue.columns import FORMS
from dutyline.catalogue.library import THRESHOLDS
from dutyline.catalogue.origins import TRACE
from dutyline.core.errors import Fault, InputError

LINE = "line.toml"
_OURS = frozenset({*(form.file for form in FORMS), TRACE, LINE})
_STAYS = (THRESHOLDS,)


def write_folder(files: Mapping[str, bytes], folder: Path) -> None:
    """Write files beside the folder first, then let the new folder take the old one's place.

    Raises
    ------
    InputError
        The folder holds other things than an earlier result, or cannot be written.
    """
    try:
        kept = _kept(folder)
        parent = folder.resolve().parent
        made = Path(tempfile.mkdtemp(prefix=".new-line-", dir=parent))
        try:
            for name, data in {**kept, **files}.items():
                (made / name).write_bytes(data)
            made.chmod(0o777 & ~_umask())
            _replace(folder, made)
        except BaseException:
            shutil.rmtree(made, ignore_errors=True)
            raise
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        fault = Fault("", "--to", f"this cannot be written: {reason}.", "Name another folder.")
        raise InputError(str(folder), [fault]) from None


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _kept(folder: Path) -> dict[str, bytes]:
    """What stays of an earlier result.

    Raises
    ------
    InputError
        The folder is a file, or holds things of another kind.
    """
    if not os.path.lexists(folder):
        return {}
    if folder.is_symlink() or not folder.is_dir():
        read, remedy = "is not a folder.", "Name a folder that does not exist yet."
        raise InputError(str(folder), [Fault(str(folder), "--to", read, remedy)])
    names = sorted(entry.name for entry in folder.iterdir())
    others = [name for name in names if name not in _OURS and name not in _STAYS]
    if others or (names and TRACE not in names):
        held = ", ".join(others[:3] or names[:3])
        read = f"holds {held}; a new or empty folder, or an earlier result, is needed."
        raise InputError(str(folder), [Fault(str(folder), "--to", read, "Name another folder.")])
    return {name: (folder / name).read_bytes() for name in _STAYS if name in names}


def _replace(folder: Path, made: Path) -> None:
    """The new folder in the place of the old; the old one comes back where that fails."""
    if not folder.exists():
        made.rename(folder)
        return
    aside = made.with_name(made.name.replace(".new-", ".old-"))
    folder.rename(aside)
    try:
        made.rename(folder)
    except OSError:
        with contextlib.suppress(OSError):
            aside.rename(folder)
        raise
    shutil.rmtree(aside, ignore_errors=True)
