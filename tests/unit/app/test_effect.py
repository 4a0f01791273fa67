"""The sentence about the last edit, over ledgers made by hand."""

from __future__ import annotations

import math
from dataclasses import replace

from dutyline.app.workbench.effect import effect, ghosts
from dutyline.checks.records import Verdict
from support.command import spaced
from support.ledgers import line, verdict


def judged(**used: float) -> Verdict:
    """A verdict in which checks use shares of a limit of 1."""
    ledger = [
        line(name.replace("_", "-"), name.replace("_", " ").capitalize(), demand=share, limit=1.0)
        for name, share in used.items()
    ]
    return verdict(tuple(ledger))


def test_the_checks_moved_most_near_their_limits_come_first_and_three_are_told() -> None:
    """Ordered by the change times the larger of both shares."""
    before = judged(a=0.20, b=0.90, c=0.50, d=0.30)
    after = judged(a=0.40, b=0.99, c=0.40, d=0.32)  # 0.080, 0.0891, 0.050, 0.0064
    told = spaced(effect(before, after, "moving mass: 34 kg"))
    assert told == "moving mass: 34 kg: b 90 % → 99 %, a 20 % → 40 %, c 50 % → 40 %"


def test_less_than_half_a_percent_is_no_change() -> None:
    before, after = judged(a=0.500, b=0.500), judged(a=0.504, b=0.496)
    assert effect(before, after, "drag: 16 N") == "drag: 16 N: no check moved"
    assert ghosts(before, after) == {}
    assert spaced(effect(before, judged(a=0.506, b=0.5), "x")) == "x: a 50 % → 51 %"


def test_without_a_result_before_the_edit_is_told_alone() -> None:
    assert effect(None, judged(a=0.5), "the text of the file") == "the text of the file"
    assert effect(judged(a=0.4), judged(a=0.5), "") == ""
    assert ghosts(None, judged(a=0.5)) == {}


def test_what_cannot_be_compared_is_left_out() -> None:
    """Open before or after, without an end, or there on one side alone."""
    open_line = line("b", "B", missing=("a datum",))
    finite = line("c", "C", demand=0.5, limit=1.0)
    endless = replace(finite, limit=0.0, margin=-math.inf, state="fails")
    before = verdict((*judged(a=0.2).ledger, open_line, endless))
    after = verdict((*judged(a=0.3, b=0.9, d=0.7).ledger, finite))
    for one, two in ((before, after), (after, before)):
        told = effect(one, two, "x")
        assert told.count("→") == 1
        assert told.startswith("x: a ")
        assert len(ghosts(one, two)) == 1
