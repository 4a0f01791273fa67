"""Everything around one verdict, on demand."""

from __future__ import annotations

from dutyline.checks.records import Verdict
from dutyline.remedies.band import ratio_band
from dutyline.remedies.doubts import doubts
from dutyline.remedies.levers import levers_of
from dutyline.remedies.parts import exchanged
from dutyline.remedies.probe import Probe, everything
from dutyline.remedies.ranges import answers, effects
from dutyline.remedies.records import Reach
from dutyline.remedies.smaller import smaller


def reach_of(verdict: Verdict) -> Reach:
    """How far inputs may go, smaller parts, ratios and open questions around a verdict."""
    probe = Probe(verdict.axis, verdict.line, verdict.combination)
    goal = everything(verdict.ledger)
    levers = levers_of(verdict.axis)
    options = exchanged(probe)
    meets = goal.met(probe.base)
    return Reach(
        combination=verdict.combination,
        effects=effects(probe, levers, goal) if meets else (),
        answers=answers(probe, levers, goal),
        smaller=smaller(probe, options, levers, goal) if meets else (),
        band=ratio_band(probe, options),
        doubts=doubts(probe),
    )
