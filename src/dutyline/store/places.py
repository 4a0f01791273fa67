"""Where kept axes stand when nobody says otherwise."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path, PurePath

NAME = "axes.sqlite"


def data_folder(
    environment: Mapping[str, str] | None = None, platform: str = sys.platform
) -> Path | None:
    """The folder of this program's data by the rules of the platform; None where there is no home.

    Linux: ``$XDG_DATA_HOME/dutyline``, or ``~/.local/share/dutyline`` where the variable is unset
    or relative. macOS: ``~/Library/Application Support``. Windows: ``%LOCALAPPDATA%``.

    Source
    ------
    XDG Base Directory Specification 0.8, "Environment variables" and "Basics"; the other two are
    the custom of their systems.
    """
    given = os.environ if environment is None else environment
    home = given.get("USERPROFILE" if platform == "win32" else "HOME", "")
    if platform == "win32":
        stated, usual = given.get("LOCALAPPDATA", ""), ("AppData", "Local")
    elif platform == "darwin":
        stated, usual = "", ("Library", "Application Support")
    else:
        stated, usual = given.get("XDG_DATA_HOME", ""), (".local", "share")
    if stated and PurePath(stated).is_absolute():
        return Path(stated, "dutyline")
    return Path(home, *usual, "dutyline") if home and PurePath(home).is_absolute() else None
