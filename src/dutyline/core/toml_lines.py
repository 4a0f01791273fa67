"""Where things stand in the text of a TOML file: path to line number, and what stands twice.

The reader of the standard library keeps no positions, so the text is walked once more here. The
walk only looks for keys and never judges a value: broken text is left to the real reader.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass

Path = tuple[str | int, ...]

_SPACE = re.compile(r"[ \t]*")
_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_BARE = re.compile(r"[ \t]*([A-Za-z0-9_-]+)[ \t]*")
_PLAIN = re.compile(r"[^,\]}#\n]*")
_INSIDE = {
    '"': re.compile(r'(?:[^"\\\n]+|\\[\s\S])*'),
    "'": re.compile(r"[^'\n]*"),
    '"""': re.compile(r'(?:[^"\\]+|\\[\s\S]|"(?!""))*'),
    "'''": re.compile(r"(?:[^']+|'(?!''))*"),
}
"""What stands between quotes, by the quotes."""
_DEEPEST = 40


@dataclass(frozen=True, slots=True)
class Doubled:
    """A key or table that stands in the file a second time."""

    path: Path
    line: int
    first: int
    """Line of the first one."""
    span: tuple[int, int]
    """Offsets of the second one in the text: key and value, or the header of a table."""
    table: bool


@dataclass(frozen=True, slots=True)
class LineIndex:
    """Line of every key and table of a text, counted from 1."""

    lines: Mapping[Path, int]
    doubled: tuple[Doubled, ...] = ()
    deep: int | None = None
    """Line on which tables, lists or names nest deeper than any machine needs; None: nowhere."""

    def of(self, path: Path) -> int | None:
        """Line of a path, or of the nearest table around it."""
        for size in range(len(path), 0, -1):
            line = self.lines.get(path[:size])
            if line is not None:
                return line
        return None


class _LostError(Exception):
    """The text cannot be followed further on this line."""


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.starts = [0, *(end.end() for end in re.finditer("\n", text))]
        self.lines: dict[Path, int] = {}
        self.doubled: list[Doubled] = []
        self.counts: dict[Path, int] = {}
        self.headers: dict[Path, int] = {}
        self.deep: int | None = None

    def line(self, offset: int) -> int:
        return bisect_right(self.starts, offset)

    def peek(self, size: int = 1) -> str:
        return self.text[self.at : self.at + size]

    def skip(self, some: re.Pattern[str]) -> None:
        """Over what the pattern matches here; nothing is a match too."""
        found = some.match(self.text, self.at)
        if found is not None:
            self.at = found.end()

    def skip_line(self) -> None:
        end = self.text.find("\n", self.at)
        self.at = len(self.text) if end < 0 else end + 1

    def skip_blank(self) -> None:
        """Over white space, line ends and comments."""
        self.skip(_BLANK)

    def run(self) -> LineIndex:
        here: Path = ()
        while True:
            self.skip_blank()
            if self.at >= len(self.text):
                return LineIndex(self.lines, tuple(self.doubled), self.deep)
            try:
                if self.peek() == "[":
                    here = self.header()
                else:
                    self.pair(here, 0)
            except _LostError:
                pass
            self.skip_line()

    def header(self) -> Path:
        start = self.at
        many = self.peek(2) == "[["
        self.at += 2 if many else 1
        keys = self.keys()
        closing = "]]" if many else "]"
        if self.peek(len(closing)) != closing:
            raise _LostError
        self.at += len(closing)
        path: Path = ()
        for key in keys[:-1]:
            path = (*path, key)
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
        path = (*path, keys[-1])
        line = self.line(start)
        if many:
            number = self.counts.get(path, 0)
            self.counts[path] = number + 1
            self.lines.setdefault(path, line)
            path = (*path, number)
        elif path in self.headers:
            first = self.headers[path]
            self.doubled.append(Doubled(path, line, first, (start, self.at), table=True))
            return (f"doubled {line}",)
        else:
            self.headers[path] = line
        self.lines.setdefault(path, line)
        return path

    def keys(self) -> tuple[str, ...]:
        found = [self.key()]
        while self.peek() == ".":
            self.at += 1
            found.append(self.key())
            self.check_depth(len(found))
        return tuple(found)

    def check_depth(self, depth: int) -> None:
        if depth > _DEEPEST:
            self.deep = self.deep or self.line(self.at)
            raise _LostError

    def key(self) -> str:
        """A key with the space around it."""
        bare = _BARE.match(self.text, self.at)
        if bare is not None:
            self.at = bare.end()
            return bare[1]
        self.skip(_SPACE)
        start = self.at
        if self.peek() not in _INSIDE:
            raise _LostError
        self.string()
        quoted = self.text[start + 1 : self.at - 1]
        self.skip(_SPACE)
        return quoted

    def pair(self, here: Path, depth: int) -> None:
        start = self.at
        path = (*here, *self.keys())
        if self.peek() != "=":
            raise _LostError
        self.at += 1
        line = self.line(start)
        known = path in self.lines and path not in self.counts
        first = self.lines.get(path, line)
        for size in range(len(here) + 1, len(path) + 1):
            self.lines.setdefault(path[:size], line)
        self.value(path, depth)
        if known:
            self.doubled.append(Doubled(path, line, first, (start, self.at), table=False))

    def value(self, path: Path, depth: int) -> None:
        self.check_depth(depth)
        self.skip(_SPACE)
        first = self.peek()
        if first in _INSIDE:
            self.string()
        elif first == "[":
            self.array(path, depth + 1)
        elif first == "{":
            self.inline(path, depth + 1)
        else:
            self.skip(_PLAIN)

    def string(self) -> None:
        quote = self.peek()
        fence = quote * 3 if self.peek(3) == quote * 3 else quote
        self.at += len(fence)
        self.skip(_INSIDE[fence])
        if self.peek(len(fence)) != fence:
            raise _LostError
        self.at += len(fence)

    def array(self, path: Path, depth: int) -> None:
        self.at += 1
        number = 0
        while True:
            self.skip_blank()
            if self.peek() in ("]", ""):
                self.at += 1
                return
            self.lines.setdefault((*path, number), self.line(self.at))
            self.value((*path, number), depth)
            self.skip_blank()
            number += 1
            if self.peek() == ",":
                self.at += 1
            elif self.peek() != "]":
                raise _LostError

    def inline(self, path: Path, depth: int) -> None:
        self.at += 1
        while True:
            self.skip_blank()
            if self.peek() in ("}", ""):
                self.at += 1
                return
            self.pair(path, depth)
            self.skip_blank()
            if self.peek() == ",":
                self.at += 1
            elif self.peek() != "}":
                raise _LostError


def line_index(text: str) -> LineIndex:
    r"""Lines of all keys and tables in a TOML text.

    Parameters
    ----------
    text : str
        The whole text. It need not be correct.

    Returns
    -------
    LineIndex
        Line of every path, counted from 1, and what stands twice.

    Examples
    --------
    >>> index = line_index('[load]\nmass = "40 kg"\n')
    >>> index.of(("load", "mass"))
    2
    """
    return _Walk(text).run()
