"""Words beside marks and shares."""

from __future__ import annotations

from dutyline.core.numbers import percent

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
