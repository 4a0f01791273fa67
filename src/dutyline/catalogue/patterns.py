"""Names of parts as people state them: in full, or with ``*`` and ``?``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fnmatch import fnmatchcase

from dutyline.catalogue.columns import PATTERNS
from dutyline.catalogue.sheets import Faults, Row, nearest, quoted

_WILD = re.compile(r"[*?\[]")


def alike(name: str, pattern: str) -> bool:
    """Whether a name is one that a pattern stands for, upper and lower case alike."""
    return fnmatchcase(name.casefold(), pattern.casefold())


def listed(text: str) -> tuple[str, ...]:
    """Patterns of a cell, separated by ``;``.

    >>> listed("XM38-*; XM54-0120H")
    ('XM38-*', 'XM54-0120H')
    """
    return tuple(part.strip() for part in text.split(";") if part.strip())


def check_patterns(
    rows: Iterable[Row], names: Mapping[str, Mapping[str, int]], faults: Faults
) -> None:
    """Every name in full must be that of a part, where the names are known.

    A pattern may stand for none: a line from which a size was taken away keeps its accessories.
    """
    known = {file: {name.casefold() for name in own} for file, own in names.items()}
    for row in rows:
        for column, file in PATTERNS.items():
            text = row.values.get(column, "")
            for name in listed(text) if isinstance(text, str) and file in known else ():
                if not _WILD.search(name) and name.casefold() not in known[file]:
                    read = f"read {quoted(name)}; a name or pattern from {file} is needed."
                    remedy = nearest(name, list(names[file])) or "Leave it empty to fit any."
                    faults.add(row.number, column, read, remedy)
