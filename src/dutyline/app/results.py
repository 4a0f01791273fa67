"""The records that the verbs return, and the words for them, for those who show them."""

import math

from dutyline.axis.model import MAIN, Axis, Input, Question
from dutyline.axis.remarks import UNJUDGED
from dutyline.axis.unusual import outlying
from dutyline.catalogue.assumed_words import in_words as assumed_words
from dutyline.checks.asking import needed_by, wanted
from dutyline.checks.records import Combination, Line, Verdict
from dutyline.checks.sentence import (
    assumed_data,
    how_found,
    open_lines,
    remark,
    shares_nothing,
    state_word,
    tightest_line,
    verdict_sentence,
)
from dutyline.core.values import Value
from dutyline.demand.output import OutputDemand
from dutyline.report.words import beyond, demand_and_limit, in_words, left_and_wanted, when
from dutyline.selection.rank import moved_mass
from dutyline.selection.records import Rejection, Shortlist

__all__ = [
    "MAIN",
    "Axis",
    "Combination",
    "Input",
    "Line",
    "OutputDemand",
    "Question",
    "Rejection",
    "Shortlist",
    "Value",
    "Verdict",
    "assumed_data",
    "assumed_words",
    "beyond",
    "demand_and_limit",
    "how_found",
    "in_words",
    "left_and_wanted",
    "needed_by",
    "open_lines",
    "remark",
    "shares_nothing",
    "state_word",
    "tightest_line",
    "verdict_mass",
    "verdict_sentence",
    "wanted",
    "warned",
    "when",
]


def verdict_mass(verdict: Verdict) -> float | None:
    """Mass of motor, brake and gearhead [kg]; None where a part does not state it."""
    if verdict.line is None:
        return None
    mass = moved_mass(verdict, verdict.line)
    return mass if math.isfinite(mass) else None


def warned(axis: Axis) -> tuple[str, ...]:
    """What the notes of an axis say of wishes that no check judges, and of unusual values."""
    wishes = (note for note in axis.notes if note.startswith(UNJUDGED))
    return (*wishes, *outlying(axis.notes))
