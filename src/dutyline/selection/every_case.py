"""Rejections of an axis with several cases: how far the nearest are off in the worst of them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from dutyline.checks.cases import worst_lines
from dutyline.checks.listing import CHECKS
from dutyline.checks.trial import Trial
from dutyline.selection.records import Rejection
from dutyline.selection.rejections import LOOKED_AT, TOLD, Found, failing_lines, nearness, retold

_MUSTS = [number for number, check in enumerate(CHECKS) if check.severity == "must"]


def in_every_case(found: Sequence[Found], trials: Sequence[Trial]) -> tuple[Rejection, ...]:
    """The same rejections, the nearest of them judged by every check in every case.

    A pair falls out in the first case that it fails, and another case may ask far more of it. What
    it is short of there is a lower bound of what it is short of in all, so the nearest are looked
    at until enough of them lie before all that were not.

    Parameters
    ----------
    found : sequence of (int, Rejection)
        Number of the combination in the trials, and its rejection by the case it fell out in.
    trials : sequence of Trial
        Of every case and emergency stop, over the same combinations.
    """
    left = sorted(found, key=lambda one: nearness(one[1]))
    told: list[Rejection] = []
    batch = LOOKED_AT
    while left and np.isfinite(left[0][1].worst_share):
        told += _looked(left[:batch], trials)
        left, batch = left[batch:], 2 * batch
        bound = left[0][1].worst_share if left else np.inf
        if sum(rejection.worst_share <= bound for rejection in told) >= LOOKED_AT:
            break
    return (*told, *(rejection for _, rejection in left))


def _looked(found: Sequence[Found], trials: Sequence[Trial]) -> list[Rejection]:
    rows = np.array([row for row, _ in found], dtype=np.intp)
    each = [failing_lines(trial, rows, _MUSTS) for trial in trials]
    result = []
    for k, (_, rejection) in enumerate(found):
        lines = list(worst_lines([case[k] for case in each]))
        result.append(retold(rejection, lines, most=TOLD) if lines else rejection)
    return result
