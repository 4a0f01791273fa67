"""Open findings of the data audit on the parts of a combination."""

from __future__ import annotations

import numpy as np

from dutyline.audit.records import Finding
from dutyline.audit.run import audit
from dutyline.audit.words import shortened
from dutyline.catalogue.column_words import spoken_heading
from dutyline.checks.records import Outcome, no_line
from dutyline.checks.trial import Trial
from dutyline.core.numbers import with_unit

KINDS = ("motor", "gearhead", "drive", "brake", "resistor")


def quality(trial: Trial) -> Outcome:
    """Number of findings that concern each combination, against none."""
    if trial.screening:
        return no_line(trial.size)
    stated = trial.line.as_stated or trial.line
    found = [f for f in audit(stated).findings if f.severity == "caution"]
    concerns = np.array([_concerns(trial, f) for f in found], dtype=bool).reshape(-1, trial.size)

    def text(k: int) -> str:
        own = [f for f, hit in zip(found, concerns[:, k], strict=True) if hit]
        if not own:
            return "no finding"
        more = f"; {len(own) - 1} more" if len(own) > 1 else ""
        first = own[0]
        named, unit = spoken_heading(first.file, first.column)
        wanted = with_unit(first.proposal, unit) if unit else first.proposal
        asked = f"where {wanted} is expected" if first.proposal else "in doubt"
        comma = "" if first.proposal else ","
        return f"{named} of {first.part} is {shortened(first.raw)}{comma} {asked}{more}"

    return Outcome(demand=concerns.sum(axis=0).astype(float), limit=np.zeros(trial.size), text=text)


def _concerns(trial: Trial, finding: Finding) -> np.ndarray:
    """Combinations that hold every part of a finding."""
    hit = np.ones(trial.size, dtype=bool)
    for kind, name in finding.parts:
        index = getattr(trial.line, f"{kind}_index")[name]
        hit &= getattr(trial.choice, kind) == index
    return hit
