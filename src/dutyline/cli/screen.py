"""The screen: width, colour, ASCII fallback, and lines that hold their columns."""

from __future__ import annotations

import contextlib
import locale
import os
import re
import shutil
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TextIO

from dutyline.core.errors import Fault, InputError

NARROWEST, WIDEST, PLAIN_WIDTH = 60, 120, 80
GREEN, YELLOW, RED, MAGENTA, BOLD = 32, 33, 31, 35, 1

_ESCAPES = re.compile("\x1b\\[[0-9;]*m")
_STEERING = re.compile("\x1b(?!\\[[0-9;]*m)|[\x00-\x08\x0b-\x1a\x1c-\x1f\x7f-\x9f]")
_WIDE_LANGUAGES = ("ja", "ko", "zh")
_ASCII = str.maketrans(
    {
        "●": "+",
        "◭": "~",
        "◇": "!",
        "⊠": "x",
        "◌": "?",
        "│": "|",
        "║": "#",
        "─": "-",
        "━": "=",
        "┃": "]",
        "╋": "]",
        "░": ":",
        "·": ".",
        "×": "x",
        "²": "^2",
        "³": "^3",
        "°": "deg",
        "Ω": "ohm",
        "μ": "u",
        "Δ": "d",
        "η": "eta",
        "−": "-",
        "≤": "<=",
        "≥": ">=",
        "√": "sqrt",
        "π": "pi",
        "…": "...",
        "\u00a0": " ",
    }
)


def ascii_text(text: str) -> str:
    """The same text in ASCII alone: marks and units spelled out, groups of digits closed up.

    >>> ascii_text("⊠ 3\u202f281 of 6\u202f000\u00a0r/min, 92\u202f%, 14.2\u00a0N·m")
    'x 3281 of 6000 r/min, 92 %, 14.2 N.m'
    """
    text = re.sub("(?<=\\d)\u202f(?=\\d)", "", text).replace("\u202f", " ").translate(_ASCII)
    if text.isascii():
        return text
    text = unicodedata.normalize("NFKD", text)
    return text.encode("ascii", "ignore").decode("ascii")


def cells(text: str) -> int:
    """Width on the screen; escape sequences take none."""
    return len(_ESCAPES.sub("", text))


@dataclass(frozen=True, slots=True)
class Screen:
    """How text for people is laid out on one stream."""

    width: int = PLAIN_WIDTH
    colour: bool = False
    ascii: bool = False
    words: bool = False
    """True leaves the duty line out (screen readers)."""

    def text(self, text: str) -> str:
        """The text as this screen can carry it."""
        return ascii_text(text) if self.ascii else text

    def paint(self, text: str, code: int | None) -> str:
        """The text in a colour, where colour is on and the text is to have one."""
        text = self.text(text)
        return f"\x1b[{code}m{text}\x1b[0m" if self.colour and code and text else text

    def bold(self, text: str) -> str:
        """The text in bold: group heads and numbers of demand."""
        return self.paint(text, BOLD)

    def yours(self, text: str) -> str:
        """What belongs to the reader: variant letters, file names, commands to copy."""
        return self.paint(text, MAGENTA)

    def left(self, text: str, width: int) -> str:
        """Left in a column."""
        text = self.text(text)
        return text + " " * (width - cells(text))

    def right(self, text: str, width: int) -> str:
        """Right in a column."""
        text = self.text(text)
        return " " * (width - cells(text)) + text

    def width_of(self, texts: Sequence[str], least: int = 0) -> int:
        """Cells that the widest of some texts takes on this screen."""
        return max((cells(self.text(t)) for t in texts), default=least)

    def wrap(self, text: str, first: str = "", rest: str = "  ") -> list[str]:
        """Lines broken at plain spaces; no-break spaces hold."""
        lines, current = [], self.text(first)
        blank = True
        for word in text.split(" "):
            piece = self.text(word)
            joined = current + ("" if blank else " ") + piece
            if not blank and cells(joined) > self.width:
                lines.append(current)
                current = self.text(rest) + piece
            else:
                current = joined
            blank = False
        return [*lines, current]


def is_terminal(stream: TextIO | None) -> bool:
    """True when the stream is one that a person looks at."""
    try:
        return stream is not None and stream.isatty()
    except (AttributeError, ValueError):
        return False


def colour_wanted(stream: TextIO | None, choice: str | None) -> bool:
    """``always`` and ``never`` decide; else a terminal, no NO_COLOR, a TERM that is not dumb."""
    if choice in ("always", "never"):
        return choice == "always"
    calm = bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
    return is_terminal(stream) and not calm


def needs_ascii(stream: TextIO | None) -> bool:
    """True when the encoding has no shapes, or the language draws them two cells wide."""
    encoding = (getattr(stream, "encoding", "") or "ascii").lower().replace("-", "")
    if encoding not in ("utf8", "utf8sig"):
        return True
    language = next(
        (v for k in ("LC_ALL", "LC_CTYPE", "LANG") if (v := os.environ.get(k))),
        locale.getlocale()[0] or "",
    )
    return language.lower()[:2] in _WIDE_LANGUAGES


def screen_for(
    stream: TextIO | None, *, ascii: bool = False, colour: str | None = None, words: bool = False
) -> Screen:
    """The screen that fits a stream and the reader's options."""
    width = PLAIN_WIDTH
    if is_terminal(stream) or "COLUMNS" in os.environ:
        width = shutil.get_terminal_size((PLAIN_WIDTH, 24)).columns
    return Screen(
        width=min(max(width, NARROWEST), WIDEST),
        colour=colour_wanted(stream, colour),
        ascii=ascii or needs_ascii(stream),
        words=words,
    )


def write(lines: Sequence[str], stream: TextIO | None) -> None:
    """Lines without trailing blanks on a stream; None is one that was closed from the start.

    Nothing but colours of our own may steer the screen: other control characters become ``?``.
    """
    put("".join(_STEERING.sub("?", line.rstrip(" ")) + "\n" for line in lines), stream)


def put(text: str, stream: TextIO | None) -> None:
    """Text on a stream. A reader who has gone away is no fault; a full disk is one.

    Raises
    ------
    InputError
        The stream takes no more.
    """
    if stream is None:
        return
    encoding = getattr(stream, "encoding", None) or "utf-8"
    try:
        stream.write(text.encode(encoding, "backslashreplace").decode(encoding))
        stream.flush()
    except BrokenPipeError:
        _hush(stream)
    except OSError as error:
        _hush(stream)
        read = f"no more can be written: {error.strerror or error}."
        fault = Fault("", "", read, "Send the answer to another place.")
        raise InputError("The output", [fault]) from None


def _hush(stream: TextIO) -> None:
    """Let what is still in the buffer go nowhere, so that the end of the program is calm."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
