"""What a simulation changes in a verdict: it decides in place of the estimate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import isinf

import numpy as np

from dutyline.checks.inertia import guessed
from dutyline.checks.ledger import (
    STATES,
    assumed_line,
    binding_line,
    margin_of,
    state_of,
    verdict_word,
)
from dutyline.checks.listing import ASSUMED
from dutyline.checks.records import Line, Verdict
from dutyline.core.wording import phase_name
from dutyline.studies.records import Settling


def decided(verdict: Verdict, found: Settling) -> Verdict:
    """The verdict with its settling line by the simulation.

    The line stays as it is where nothing was simulated, and where friction or the encoder keep the
    load out of the window: the simulation sees neither. The inertia ratio becomes a note where the
    time allowed is met with a stated stiffness.
    """
    line = next((ln for ln in verdict.ledger if ln.check == "settling"), None)
    beyond = line is not None and line.demand is not None and isinf(line.demand)
    if line is None or beyond or found.worst is None:
        return verdict
    simulated = _line(line, found)
    lines = [simulated if ln is line else ln for ln in verdict.ledger if ln.check != ASSUMED.id]
    met = found.allowed is not None and simulated.state == "meets"
    noted = met and not guessed(verdict.axis)
    if noted:
        lines = [_noted(ln) if ln.check == "inertia-ratio" else ln for ln in lines]
    return _judged(verdict, lines, noted=noted)


def _line(line: Line, found: Settling) -> Line:
    worst = found.worst
    assert worst is not None
    margin = margin_of(np.array([worst.settle]), np.array([line.limit]))
    state = STATES[int(state_of(margin, line.required)[0])]
    motion = phase_name(worst.phase)
    said = f"simulated; {motion} settles last"
    if found.never:
        end = "the next motion begins" if worst.cut else "the simulation ends"
        said = f"simulated; {motion} is still outside when {end}"
    return replace(
        line,
        demand=worst.settle,
        margin=float(margin[0]),
        state=state,
        at=worst.end,
        phase=worst.phase,
        case=worst.case,
        missing=(),
        remedies=(),
        text=said,
    )


def _noted(line: Line) -> Line:
    return replace(line, severity="note", text="the load settles in time by the simulation")


def _judged(verdict: Verdict, lines: Sequence[Line], *, noted: bool) -> Verdict:
    binding = binding_line(lines)
    axes = [case.axis for case in verdict.cases] or [verdict.axis]
    owner = next((a for a in axes if binding is not None and a.case == binding.case), axes[0])
    assumed = replace(assumed_line(owner, lines), case=owner.case)
    ledger = (*lines, assumed)
    dropped = [f"{ASSUMED.title}:"]
    if noted:
        dropped += [f"{ln.title}:" for ln in lines if ln.check == "inertia-ratio"]
    cautions = [c for c in verdict.cautions if not c.startswith(tuple(dropped))]
    if assumed.state != "meets":
        cautions.append(f"{assumed.title}: {assumed.text}.")
    return replace(
        verdict,
        ledger=ledger,
        verdict=verdict_word(ledger),
        binding=binding.check if binding else None,
        cautions=tuple(cautions),
    )
