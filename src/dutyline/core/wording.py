"""Small changes of words that sentences need."""

from __future__ import annotations


def lower_first(text: str) -> str:
    """The text as it stands inside a sentence."""
    return text[:1].lower() + text[1:]


def upper_first(text: str) -> str:
    """The text as it begins a sentence."""
    return text[:1].upper() + text[1:]


def phase_name(name: str) -> str:
    """A phase inside a sentence: in quotes, or by its number where it has no name.

    >>> phase_name("up"), phase_name("3")
    ('“up”', 'phase 3')
    """
    return f"phase {name}" if name.isdigit() else f"“{name}”"
