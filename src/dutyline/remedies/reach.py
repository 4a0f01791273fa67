"""Everything around one verdict, on demand."""

from __future__ import annotations

from dataclasses import replace

from dutyline.checks.records import Verdict
from dutyline.remedies.band import ratio_band
from dutyline.remedies.doubts import doubts
from dutyline.remedies.levers import levers_of
from dutyline.remedies.parts import exchanged
from dutyline.remedies.probe import Probe, everything
from dutyline.remedies.ranges import answers, effects
from dutyline.remedies.records import Answer, Effect, Range, Reach
from dutyline.remedies.smaller import smaller

_NEAR = 0.05
"""Share up to which two ends of one input, found to different widths, are the same end."""


def as_answered(found: tuple[Effect, ...], told: tuple[Answer, ...]) -> tuple[Effect, ...]:
    """Effects whose end is also an answer, in the digits of the answer."""

    def one(span: Range) -> Range:
        for answer in told:
            near = abs(answer.value - span.value) <= _NEAR * abs(answer.value)
            if answer.field == span.field and answer.binds == span.binds and near:
                return replace(span, after=answer.after, value=answer.value)
        return span

    return tuple(replace(e, ranges=tuple(one(r) for r in e.ranges)) for e in found)


def reach_of(verdict: Verdict) -> Reach:
    """How far inputs may go, smaller parts, ratios and open questions around a verdict."""
    probe = Probe(verdict.axis, verdict.line, verdict.combination)
    goal = everything(verdict.ledger)
    levers = levers_of(verdict.axis)
    options = exchanged(probe)
    meets = goal.met(probe.base)
    found = answers(probe, levers, goal)
    return Reach(
        combination=verdict.combination,
        effects=as_answered(effects(probe, levers, goal), found) if meets else (),
        answers=found,
        smaller=smaller(probe, options, levers, goal) if meets else (),
        band=ratio_band(probe, options),
        doubts=doubts(probe),
    )
