"""Five answers given at once, as a form gives them: each is heard for itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from dutyline.axis.new import QUESTIONS, Answers


@dataclass(frozen=True, slots=True)
class Heard:
    """What was made of one answer."""

    said: str
    """What was understood, why it was not, or what is assumed instead."""
    given: bool = False
    """True where an answer was understood."""
    refused: bool = False
    """True where an answer cannot be understood; the question counts as left open."""


def hear(answers: Sequence[str]) -> tuple[Answers, tuple[Heard, ...]]:
    """What five answers say, and what was made of each.

    Parameters
    ----------
    answers : sequence of five str
        Mechanism, load, way, rate and mains; an empty one leaves its question open.

    Examples
    --------
    >>> found, heard = hear(["belt", "12 stones", "", "", "400 V"])
    >>> heard[0].said, heard[1].refused, heard[2].said
    ('belt.', True, 'Left open; a start value will be assumed.')
    >>> heard[4].given
    True
    """
    found = Answers()
    heard = []
    for question, answer in zip(QUESTIONS, answers, strict=True):
        lines: list[str] = []
        said = question(found, iter([answer]), lines.append)
        if said is not None:
            heard.append(Heard(said, given=True))
        elif answer.strip():
            heard.append(Heard(lines[-2].strip(), refused=True))
        else:
            heard.append(Heard(lines[-1].strip()))
    return found, tuple(heard)
