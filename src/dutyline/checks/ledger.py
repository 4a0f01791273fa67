"""Margins, states and ledger lines.

A check is written once and runs on any number of combinations. Margins, states and the verdict
are formed here and nowhere else.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis, under
from dutyline.catalogue.assumed_words import path_of
from dutyline.checks.grounds import as_judged, asks, leaning
from dutyline.checks.lacking import lacking
from dutyline.checks.listing import ASSUMED, CHECKS
from dutyline.checks.records import Check, Line, Outcome, Severity, State, VerdictWord, no_line
from dutyline.checks.reserves import required_reserve
from dutyline.checks.trial import Trial
from dutyline.core.deadline import in_time

Array = NDArray[np.float64]

TOLERANCE = 1e-12
"""Margins are equal to what is required within this."""
FAILS, SHORT, UNCHECKED, MEETS, ABSENT = range(5)
STATES: tuple[State, ...] = ("fails", "short", "not-checked", "meets")
SEVERITIES: tuple[Severity, ...] = ("must", "caution", "note")


@dataclass(frozen=True, slots=True)
class Judged:
    """One check over all combinations of a trial."""

    check: Check
    outcome: Outcome
    margin: Array
    required: float
    state: NDArray[np.int8]
    """Index into :data:`STATES`, or 4 where the check does not apply."""
    must: NDArray[np.bool_]


def margin_of(demand: Array, limit: Array) -> Array:
    """``(limit - demand)/limit``; with limit 0 it is 0 if nothing is demanded, else -infinity."""
    demand = np.asarray(demand, dtype=float)
    limit = np.asarray(limit, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        margin = 1.0 - demand / limit
    none = limit == 0
    margin = np.where(none, np.where(demand > 0, -np.inf, 0.0), margin)
    endless = np.isinf(limit) & np.isfinite(demand)
    margin = np.where(endless, 1.0, np.where(np.isinf(demand), -np.inf, margin))
    return np.where(np.isnan(demand) | np.isnan(limit), np.nan, margin)


def state_of(margin: Array, required: Array | float) -> NDArray[np.int8]:
    """Index into :data:`STATES` for margins and what is required of them."""
    state = np.full(np.shape(margin), MEETS, dtype=np.int8)
    state[margin < required - TOLERANCE] = SHORT
    state[margin < -TOLERANCE] = FAILS
    state[np.isnan(margin)] = UNCHECKED
    return state


def judge(trial: Trial, check: Check) -> Judged:
    """Run one check and give every combination its margin and state."""
    return judged_by(trial, [check])[0]


def judged_by(trial: Trial, checks: Sequence[Check]) -> list[Judged]:
    """Run checks and give every combination its margins and states."""
    outcomes = [_outcome(trial, check) for check in checks]
    size = (len(checks), trial.size)
    demand, limit, applies, must = (np.empty(size, dtype=t) for t in (float, float, bool, bool))
    for k, (check, outcome) in enumerate(zip(checks, outcomes, strict=True)):
        demand[k], limit[k], applies[k] = outcome.demand, outcome.limit, outcome.applies
        severity = check.severity if outcome.severity is None else outcome.severity
        must[k] = severity == "must" if isinstance(severity, str) else np.equal(severity, "must")
    margin = margin_of(demand, limit)
    required = [required_reserve(check.id, trial.axis) for check in checks]
    state = state_of(margin, np.array(required)[:, None])
    state[~applies] = ABSENT
    rows = zip(checks, outcomes, margin, required, state, must, strict=True)
    return [Judged(*row) for row in rows]


def _outcome(trial: Trial, check: Check) -> Outcome:
    """Demand and limit of a check; it applies nowhere where this case is not judged by it."""
    in_time()
    if trial.axis.judged and check.id not in trial.axis.judged:
        return no_line(trial.size)
    return check.run(as_judged(trial, check.id))


def line_of(trial: Trial, judged: Judged, k: int) -> Line | None:
    """The ledger line of combination ``k``, or None where the check does not apply."""
    if judged.state[k] == ABSENT:
        return None
    check, outcome = judged.check, judged.outcome
    trial = as_judged(trial, check.id)
    state = STATES[int(judged.state[k])]
    open_ = state == "not-checked"
    severity = check.severity if outcome.severity is None else outcome.severity
    at, speed = _element(outcome.at, k), _element(outcome.at_speed, k)
    leans = () if open_ else leaning(trial, outcome.needs, k)
    return Line(
        check=check.id,
        part=check.part,
        title=check.title,
        group=check.group,
        unit=check.unit if outcome.unit is None else str(outcome.unit[k]),
        demand=_number(outcome.demand[k]),
        limit=_number(outcome.limit[k]),
        margin=None if open_ else float(judged.margin[k]),
        required=judged.required,
        severity=_severity(severity, k),
        state=state,
        at=None if open_ else at,
        at_speed=None if open_ else speed,
        case=trial.axis.case,
        phase=None if at is None or open_ else trial.out.phase_at(at),
        assumed=(*_assumed(trial, check), *(path_of(lean) for lean in leans)),
        leans=leans,
        missing=lacking(trial, outcome.needs, k) or outcome.missing if open_ else (),
        asks=asks(trial, outcome.needs, k) if open_ else (),
        formula=check.formula,
        source=check.source,
        text="" if outcome.text is None else outcome.text(k),
    )


def _assumed(trial: Trial, check: Check) -> tuple[str, ...]:
    """Assumed inputs of a check."""
    if "unstated" not in trial.kept:
        trial.kept["unstated"] = trial.axis.unstated
    return under(trial.kept["unstated"], check.uses)


def _severity(severity: object, k: int) -> Severity:
    word = severity if isinstance(severity, str) else str(severity[k])  # type: ignore[index]
    return SEVERITIES[SEVERITIES.index(word)]


def _element(value: Array | float | None, k: int) -> float | None:
    """Of a column, or of what is the same for every combination."""
    if value is None:
        return None
    column = np.ravel(value)
    return _number(column[k if column.size > 1 else 0])


def _number(value: object) -> float | None:
    number = float(value)  # type: ignore[arg-type]
    return None if math.isnan(number) else number


def ledgers(trial: Trial) -> list[tuple[Line, ...]]:
    """The whole ledger of every combination of a trial."""
    judged = judged_by(trial, CHECKS)
    applies = np.stack([one.state for one in judged]) != ABSENT
    result = []
    for k in range(trial.size):
        own = (judged[number] for number in np.nonzero(applies[:, k])[0])
        lines = [line for j in own if (line := line_of(trial, j, k)) is not None]
        lines.append(assumed_line(trial.axis, lines))
        result.append(tuple(lines))
    return result


def binding_line(lines: Sequence[Line]) -> Line | None:
    """The must line with the least slack: margin minus what is required."""
    decided = [line for line in lines if line.severity == "must" and line.margin is not None]
    if not decided:
        return None
    return min(decided, key=lambda line: (line.margin or 0.0) - line.required)


def assumed_line(axis: Axis, lines: Sequence[Line]) -> Line:
    """How many assumed inputs the binding check used."""
    binding = binding_line(lines)
    stated = {i.path for i in axis.inputs if getattr(i.value, "status", "") == "assumed"}
    stated |= {path_of(lean) for lean in (binding.leans if binding else ()) if not lean.safe}
    used = [path for path in (binding.assumed if binding else ()) if path in stated]
    count = float(len(used))
    return Line(
        check=ASSUMED.id,
        part=ASSUMED.part,
        title=ASSUMED.title,
        group=ASSUMED.group,
        unit=ASSUMED.unit,
        demand=count,
        limit=0.0,
        margin=float(margin_of(np.array(count), np.array(0.0))),
        required=required_reserve(ASSUMED.id, axis),
        severity="caution",
        state="meets" if count == 0 else "fails",
        case=axis.case,
        assumed=tuple(used),
        formula=ASSUMED.formula,
        source=ASSUMED.source,
        text=", ".join(used),
    )


def verdict_word(lines: Sequence[Line]) -> VerdictWord:
    """The verdict over the must lines: the first of fails, incomplete, short that applies."""
    states = {line.state for line in lines if line.severity == "must"}
    if "fails" in states:
        return "fails"
    if "not-checked" in states:
        return "incomplete"
    return "short" if "short" in states else "meets"
