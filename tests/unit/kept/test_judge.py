"""What becomes of a kept verdict, and in which order its lines are told."""

from __future__ import annotations

import pytest

from dutyline.checks.records import Line
from dutyline.editions.records import Item
from dutyline.editions.touch import Touched
from dutyline.kept.judge import _apart, _moved, _outcome
from dutyline.kept.words import moved_texts, summary
from support.ledgers import line, verdict

GONE = Touched(gone=(Item("gearheads", ("G",), None),))


@pytest.mark.parametrize(
    ("then", "now", "outcome"),
    [
        ("meets", "meets", "holds"),
        ("meets", "short", "lost"),
        ("meets", "incomplete", "lost"),
        ("meets", "fails", "lost"),
        ("short", "fails", "worse"),
        ("short", "short", "as before"),
        ("incomplete", "fails", "worse"),
        ("fails", "meets", "better"),
        ("fails", "fails", "as before"),
        ("", "meets", "not judged"),
    ],
)
def test_outcomes(then: str, now: str, outcome: str) -> None:
    assert _outcome(then, verdict(word=now), Touched()) == outcome


def test_where_nothing_can_be_judged_nothing_holds() -> None:
    assert _outcome("meets", None, GONE) == "lost"
    assert _outcome("fails", None, GONE) == "worse"
    assert _outcome("meets", None, Touched()) == "not judged"


def ledger(**used: float) -> tuple[Line, ...]:
    return tuple(
        line(
            name, name.title(), demand=share, limit=1.0, severity="note" if name == "d" else "must"
        )
        for name, share in used.items()
    )


def test_lines_that_moved_stand_worst_first() -> None:
    before = verdict(ledger=ledger(a=0.5, b=0.5, c=0.5, d=0.5, e=0.5, f=0.5))
    after = verdict(ledger=ledger(a=0.5, b=0.6, c=1.2, d=1.1, e=0.4, f=0.5 + 1e-6))
    moved = _moved(before, after)
    assert [pair.title for pair in moved] == ["C", "D", "B", "F", "E"]
    texts = [text.replace("\u202f", " ") for text in moved_texts(moved, None)]
    assert texts[0] == "C: 50 %, meets becomes 120 %, fails"
    assert texts[2] == "B: 50 % becomes 60 %, meets"
    assert texts[-1] == "1 line moved by less than a percent of the limit"


@pytest.mark.parametrize(
    ("recorded", "now", "apart"),
    [
        (0.2, 0.2, False),
        (0.2, 0.2 + 1e-9, False),
        (0.2, 0.21, True),
        (None, float("-inf"), False),
        (None, None, False),
        (0.2, None, True),
        (None, 0.2, True),
    ],
)
def test_what_counts_as_recorded_again(
    recorded: float | None, now: float | None, apart: bool
) -> None:
    """JSON has no number that is not finite: null stands for it."""
    assert _apart(recorded, now, 1e-6) is apart


def test_no_verdicts_no_sentence() -> None:
    assert summary(()) == ""
