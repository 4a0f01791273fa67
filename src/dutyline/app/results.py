"""The records that the verbs return, for those who show them."""

from dutyline.axis.model import Axis, Input, Question
from dutyline.checks.records import Combination, Line, Verdict
from dutyline.checks.sentence import VERDICT_WORDS, clause, open_lines, verdict_sentence
from dutyline.core.values import Value
from dutyline.demand.output import OutputDemand

__all__ = [
    "VERDICT_WORDS",
    "Axis",
    "Combination",
    "Input",
    "Line",
    "OutputDemand",
    "Question",
    "Value",
    "Verdict",
    "clause",
    "open_lines",
    "verdict_sentence",
]
