"""Small changes of words that sentences need."""

from __future__ import annotations


def lower_first(text: str) -> str:
    """The text as it stands inside a sentence."""
    return text[:1].lower() + text[1:]
