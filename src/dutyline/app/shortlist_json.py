"""A shortlist as plain data for programs."""

from __future__ import annotations

from dutyline.app.records_json import (
    Json,
    axis_json,
    combination_json,
    product_line_json,
    question_json,
    verdict_json,
)
from dutyline.selection.records import Rejection, Shortlist


def rejection_json(rejection: Rejection) -> Json:
    """One combination that was turned down, and by what."""
    return {
        "combination": combination_json(rejection.combination),
        "check": rejection.check,
        "text": rejection.text,
        "near_miss": rejection.near_miss or None,
        "pairs": rejection.pairs,
    }


def shortlist_json(shortlist: Shortlist) -> Json:
    """``dutyline.shortlist/1``"""
    return {
        "schema": "dutyline.shortlist/1",
        "axis": axis_json(shortlist.axis),
        "line": product_line_json(shortlist.line),
        "tried": shortlist.tried,
        "pairs": {
            "tried": shortlist.pairs,
            "kept": shortlist.kept,
            "rejected": shortlist.turned_down,
            "not_judged": shortlist.unjudged,
        },
        "candidates": [verdict_json(verdict, brief=True) for verdict in shortlist.candidates],
        "off_the_mains": shortlist.off_the_mains or None,
        "rejected": [rejection_json(rejection) for rejection in shortlist.rejected],
        "questions": [question_json(question) for question in shortlist.axis.questions],
        "notes": list(shortlist.axis.notes),
    }
