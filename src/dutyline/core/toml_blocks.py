"""Data and lines of a TOML text put together from its blocks, each read once while it stands.

A block reaches from one header of a section to the next. Blocks that are TOML by themselves are it
together too, as long as no two of them speak of one name. Whatever else a text is, is left to the
reader of the whole.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any, NamedTuple

from dutyline.core.recent import Recent
from dutyline.core.toml_lines import LineIndex, Path, line_index

_HEADER = re.compile(r"^(?=\[(\[?)([A-Za-z0-9_-]+)\](\]?)[ \t]*(?:#[^\n]*)?$)", re.MULTILINE)
LONGEST = 50_000
"""Letters of a text that is put together from blocks."""
LONGEST_KEPT = 4_000
"""Letters of a block that is remembered."""
MOST_KEPT = 256
"""Blocks that are remembered."""


class _Block(NamedTuple):
    """One block that is TOML by itself."""

    data: dict[str, Any]
    lines: tuple[tuple[Path, int], ...]
    """Path and line, both as if the block stood alone"""
    height: int
    """Lines"""


_KNOWN: Recent[_Block] = Recent(MOST_KEPT)
"""Blocks by their text."""


def from_blocks(text: str) -> tuple[dict[str, Any], LineIndex] | None:
    """Data and lines of a text; None where it has to be read as a whole."""
    if len(text) > LONGEST:
        return None
    headers = list(_HEADER.finditer(text))
    ends = [*(header.start() for header in headers), len(text)]
    head = _block(text[: ends[0]])
    if head is None:
        return None
    data: dict[str, Any] = plain_copy(head.data)
    lines = dict(head.lines)
    above, single = head.height, set(data)
    for number, header in enumerate(headers):
        block, name, many = _block(text[header.start() : ends[number + 1]]), header[2], header[1]
        if block is None or list(block.data) != [name] or name in single:
            return None
        own = plain_copy(block.data[name])
        if not many:
            if name in data:
                return None
            single.add(name)
            data[name] = own
            lines.update((path, above + line) for path, line in block.lines)
        elif len(own) != 1:  # a header that is indented, spaced or quoted stands inside
            return None
        else:
            rows = data.setdefault(name, [])
            place = (name, len(rows))
            rows += own
            lines.setdefault((name,), above + 1)
            lines.update(
                ((*place, *path[2:]), above + line) for path, line in block.lines if len(path) > 1
            )
        above += block.height
    return data, LineIndex(lines)


def _block(text: str) -> _Block | None:
    known = _KNOWN.get(text)
    if known is not None:
        return known
    index = line_index(text)
    if index.doubled or index.deep is not None:
        return None
    try:
        found = _Block(tomllib.loads(text), tuple(index.lines.items()), text.count("\n"))
    except ValueError:  # also a whole number of thousands of digits
        return None
    if len(text) <= LONGEST_KEPT:
        _KNOWN.put(text, found)
    return found


def plain_copy(held: Any) -> Any:
    """Plain data that may be changed without changing what it was taken from."""
    if isinstance(held, dict):
        return {key: plain_copy(item) for key, item in held.items()}
    return [plain_copy(item) for item in held] if isinstance(held, list) else held
