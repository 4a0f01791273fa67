"""Words beside marks and shares."""

from __future__ import annotations

from functools import lru_cache

from dutyline.core.numbers import percent
from dutyline.report.formula import to_html

_MARKS = {
    "meets": "meets",
    "short": "short of reserve",
    "caution": "caution",
    "fails": "fails",
    "open": "not checked",
}


def mark_word(mark: str) -> str:
    """The word that belongs to a mark."""
    return _MARKS[mark]


def spoken_share(share: float) -> str:
    """A share of a whole as printed."""
    return percent(share)


def bar_place(share: float) -> float:
    """Where a used share ends on a bar of 100 whose limit stands at 80."""
    return 80.0 * min(max(share, 0.0), 1.25)


@lru_cache(maxsize=1024)
def set_symbol(symbol: str) -> str:
    """A symbol of a field as HTML: Greek letters, indices below the line.

    >>> set_symbol("F_d"), set_symbol("mu")
    ('<i>F</i><sub><i>d</i></sub>', '<i>μ</i>')
    """
    return to_html(symbol)
