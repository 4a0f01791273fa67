"""Why a motor and gearhead do not work, in one plain sentence, and how near they come."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.ledger import CHECKS, judge, line_of
from dutyline.checks.records import Line
from dutyline.checks.trial import Trial
from dutyline.checks.verdict import named
from dutyline.core.numbers import pair, percent
from dutyline.selection.records import Rejection

Index = NDArray[np.intp]

TOLD = 3
"""Failing checks named in a sentence; the rest is counted."""
NEAR = 1.15
"""Used share up to which a failing check counts as a near miss."""


def rejections(
    trial: Trial, failing: NDArray[np.int16], pair_of: Index, lost: Index
) -> tuple[Rejection, ...]:
    """One rejection per pair of motor and gearhead that has no working combination.

    Parameters
    ----------
    trial : Trial
        All combinations tried.
    failing : (c,) ndarray
        First failing check of each.
    pair_of : (c,) ndarray
        Pair of each combination.
    lost : (p,) ndarray
        Pairs to be explained.
    """
    if lost.size == 0:
        return ()
    nearest = _latest_to_fail(failing, pair_of, lost)
    part = trial.take(nearest)
    musts = [judge(part, check) for check in CHECKS if check.severity == "must"]
    found = []
    for k in range(part.size):
        lines = [line_of(part, judged, k) for judged in musts]
        bad = [ln for ln in lines if ln is not None and ln.state == "fails" and ln.severity == "must"]
        bad.sort(key=lambda ln: (_by_yes_no(ln), -(ln.used or 0.0)))
        found.append(
            Rejection(
                combination=named(part, k),
                check=bad[0].check,
                text=_sentence(bad),
                near_miss=_near_miss(bad),
                failing=tuple(bad),
            )
        )
    found.sort(key=lambda r: (len(r.failing) > 1 or _by_yes_no(r.failing[0]) == 0, r.worst_share))
    return tuple(found)


def _latest_to_fail(failing: NDArray[np.int16], pair_of: Index, lost: Index) -> Index:
    """Of every lost pair the combination that passed most checks before it failed."""
    rows = np.nonzero(np.isin(pair_of, lost))[0]
    order = np.lexsort((rows, -failing[rows], pair_of[rows]))
    rows = rows[order]
    first = np.ones(rows.size, dtype=bool)
    first[1:] = pair_of[rows][1:] != pair_of[rows][:-1]
    result: Index = rows[first]
    return result


def _by_yes_no(line: Line) -> int:
    return 0 if line.limit == 0 and line.unit == "1" else 1


def _figures(line: Line) -> str:
    if _by_yes_no(line) == 0:
        return line.text
    if line.demand is None or line.limit is None or not np.isfinite(line.demand):
        return f"{line.title.lower()} grows until it trips"
    needed, allowed, unit = pair(line.demand, line.limit, line.unit)
    return f"{line.title.lower()} {percent(line.used or 0.0)}, {needed} of {allowed} {unit}".rstrip()


def _sentence(bad: list[Line]) -> str:
    told = "; ".join(_figures(line) for line in bad[:TOLD])
    more = len(bad) - TOLD
    return f"{told}; {more} more fail." if more > 0 else f"{told}."


def _near_miss(bad: list[Line]) -> str:
    if len(bad) != 1 or _by_yes_no(bad[0]) == 0:
        return ""
    line = bad[0]
    if line.used is None or not np.isfinite(line.used) or line.used > NEAR:
        return ""
    return f"Everything else meets or is short of reserve; only this is over, by {percent(line.used - 1)}."
