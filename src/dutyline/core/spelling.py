"""The nearest known word, for messages about misspelt ones."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word most like ``word``, or empty when none is near."""
    words = list(known)
    lower = {w.lower(): w for w in reversed(words)}
    found = get_close_matches(word.lower()[:80], list(lower), n=1, cutoff=0.6)
    return lower[found[0]] if found else ""
