"""Texts in a CSV file that a spreadsheet must not run, and the way back."""

from __future__ import annotations

import re
from collections.abc import Callable

_MARK = "'"
_BETWEEN = re.compile(r"([,;\t\r\n])")
"""What one spreadsheet or another takes for the end of a cell, whatever the quotes say."""
_SIGNS = r"[=+\-@\uff1d\uff0b\uff0d\uff20]"
_ANY = re.compile(rf"{_SIGNS}|[\t\r\n]")
_FIRST = re.compile(rf"[\s\x00-\x20\u200b-\u200f\u2060\ufeff]*{_SIGNS}")
_LATER = re.compile(_SIGNS)
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")


def guarded(text: str) -> str:
    """A text that no spreadsheet takes for a formula, by an apostrophe where one would.

    That is a text that begins with ``= + - @``, also in full width or behind blanks, or with a tab
    or line break; and such a piece right behind a comma, semicolon, tab or line break, as a
    spreadsheet may cut a row there. Plain numbers, also negative ones, stay as they are.

    Parameters
    ----------
    text : str
        Any.

    Notes
    -----
    Apostrophes that already stand before such a text get one more, so that :func:`unguarded`
    leads back exactly, whatever the text.

    Source: common practice against formulas in CSV files; no standard.

    Examples
    --------
    >>> [guarded(text) for text in ("=1+1", "-2.5", "-2+3", "'=1", "a;=b")]
    ["'=1+1", '-2.5', "'-2+3", "''=1", "a;'=b"]
    """
    return _changed(text, lambda piece: _MARK + piece)


def unguarded(text: str) -> str:
    """The text from which :func:`guarded` made this one; others stay as they are.

    Parameters
    ----------
    text : str
        As it stands in a CSV file.

    Examples
    --------
    >>> [unguarded(text) for text in ("'=1+1", "''=1", "'tis", "-2.5")]
    ['=1+1', "'=1", "'tis", '-2.5']
    """
    if _MARK not in text:
        return text
    return _changed(text, lambda piece: piece.removeprefix(_MARK))


def runs(text: str) -> bool:
    """Whether some spreadsheet may take the text, or a piece of it, for a formula."""
    return guarded(text) != text


def _changed(text: str, change: Callable[[str], str]) -> str:
    """The text with its risky pieces changed; what a piece risks does not hang on apostrophes."""
    if not _ANY.search(text):
        return text
    pieces = _BETWEEN.split(text)
    ends = [*pieces[1::2], ""]
    for number, end in enumerate(ends):
        bare = pieces[2 * number].lstrip(_MARK)
        sign = (_LATER if number else _FIRST).match(bare)
        begins_with_break = not number and not bare.strip() and end in ("\t", "\r", "\n")
        if (sign and not _NUMBER.fullmatch(bare)) or begins_with_break:
            pieces[2 * number] = change(pieces[2 * number])
    return "".join(pieces)
