"""The questions of ``dutyline new`` on standard error, the answers from standard input."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import TextIO

from dutyline.app import new as verb
from dutyline.cli.screen import Screen, is_terminal, put, write
from dutyline.core.errors import legible

_INDENT = "   "


def _answers(screen: Screen) -> Iterator[str]:
    """Lines typed after a prompt; where nobody types, they are shown as if."""
    typed_by_hand = is_terminal(sys.stdin)
    while True:
        put(f"{_INDENT}> ", sys.stderr)
        line = "" if sys.stdin is None else _line(sys.stdin)
        if not (line.endswith("\n") and typed_by_hand):
            put(screen.text(legible(line.rstrip("\n"))) + "\n", sys.stderr)
        yield line


def _line(stream: TextIO) -> str:
    """The next line; bytes that are no text count as unreadable characters."""
    try:
        return stream.readline()
    except UnicodeDecodeError:
        return "\ufffd\n"


def ask_and_write(screen: Screen, target: str) -> str:
    """Ask, write the file, and say what to do next. Returns the name of the file."""

    def say(text: str) -> None:
        indent = _INDENT if text[:1].isspace() or text[:1].isdigit() else ""
        for line in text.split("\n"):
            write(screen.wrap(line, "", indent), sys.stderr)

    verb.new(_answers(screen), say, target)
    following = screen.yours(f"dutyline demand {target}")
    write([f"Wrote {screen.yours(target)}. Next: {following}"], sys.stderr)
    return target
