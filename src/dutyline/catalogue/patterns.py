"""Names of parts as people state them: in full, or with ``*`` and ``?``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fnmatch import fnmatchcase

from dutyline.catalogue.columns import PATTERNS
from dutyline.catalogue.sheets import Faults, Row, nearest, quoted

MOST_PATTERNS = 2_000
"""Different patterns that the accessories of one line may hold."""
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
    """Every pattern of an accessory must stand for a part, where the names are known."""
    exact = {file: {name.casefold() for name in known} for file, known in names.items()}
    tried: dict[tuple[str, str], bool] = {}
    for row in rows:
        for column, file in PATTERNS.items():
            text = row.values.get(column, "")
            for pattern in listed(text) if isinstance(text, str) and file in names else ():
                key = file, pattern
                if key not in tried and len(tried) >= MOST_PATTERNS:
                    read = f"is beyond the {MOST_PATTERNS} different names that may stand here."
                    faults.add(row.number, column, read, "Use patterns: XM72-*.")
                    return
                if key not in tried:
                    tried[key] = pattern.casefold() in exact[file] or bool(
                        _WILD.search(pattern) and any(alike(n, pattern) for n in names[file])
                    )
                if not tried[key]:
                    read = f"read {quoted(pattern)}; a name or pattern from {file} is needed."
                    remedy = nearest(pattern, list(names[file])) or "Leave it empty to fit any."
                    faults.add(row.number, column, read, remedy)
