"""Why a motor and gearhead do not work, in one plain sentence, and how near they come."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import MAIN
from dutyline.checks.ledger import FAILS, judge, line_of
from dutyline.checks.listing import CHECKS
from dutyline.checks.records import Combination, Line
from dutyline.checks.sentence import endless, nothing_left, used_share
from dutyline.checks.trial import Trial
from dutyline.checks.verdict import named
from dutyline.core.numbers import pair, percent
from dutyline.selection.records import Rejection

Index = NDArray[np.intp]

TOLD = 3
"""Failing checks named in a sentence; the rest is counted."""
NEAR = 1.15
"""Used share up to which a failing check counts as a near miss."""
Found = tuple[int, Rejection]
"""Number of a combination, and why it was turned down"""
LOOKED_AT = 24
"""Rejections of each round that are put through all checks, nearest first."""


def rejections(
    trial: Trial,
    failing: NDArray[np.int16],
    groups: list[list[int]],
    pair_of: Index,
    lost: Index,
) -> tuple[Found, ...]:
    """One rejection per pair of motor and gearhead that has no working combination.

    A pair is explained by the checks of the round in which it fell out; the nearest ones are put
    through the rest as well, to see whether anything else is wrong. Pairs whose motor does not
    suit the mains are told once per motor.

    Parameters
    ----------
    trial : Trial
        All combinations tried.
    failing : (c,) ndarray
        First failing check of each.
    groups : list of lists
        Numbers of the checks of each round.
    pair_of : (c,) ndarray
        Pair of each combination.
    lost : (p,) ndarray
        Pairs to be explained.
    """
    if lost.size == 0:
        return ()
    every = _latest_to_fail(trial, failing, pair_of, lost)
    nearest, stands_for = _once_per_motor(trial, failing, every)
    found: list[Found] = []
    alone = not trial.axis.cases and not trial.axis.stops and trial.axis.case == MAIN
    for group in groups:
        rows = nearest[np.isin(failing[nearest], group)]
        if rows.size == 0:
            continue
        bad = failing_lines(trial, rows, group)
        narrow = _nearest_few(bad)
        rest = [n for g in groups if g is not group for n in g]
        more = failing_lines(trial, rows[narrow], rest)
        extra = dict(zip(narrow, more, strict=True))
        part = trial.take(rows)
        for k, lines in enumerate(bad):
            full = _told(sorted([*lines, *extra.get(k, [])], key=_worst_first))
            whole = k in extra and len(full) == len(lines) and alone
            row = int(rows[k])
            found.append((row, _rejection(named(part, k), full, whole, stands_for[row])))
    return tuple(found)


def nearest_first(found: Iterable[Rejection]) -> tuple[Rejection, ...]:
    """Near misses first, then by the worst share; what does not go together at all comes last."""
    return tuple(sorted(found, key=nearness))


def nearness(rejection: Rejection) -> tuple[bool, bool, float]:
    """What rejections are ordered by."""
    apart = _by_yes_no(rejection.failing[0]) == 0
    return not rejection.near_miss, apart, rejection.worst_share


def retold(rejection: Rejection, lines: list[Line], most: int) -> Rejection:
    """A rejection by all lines that fail over all cases; near where ``most`` at most do."""
    full = _told(sorted(lines, key=_worst_first))
    return _rejection(rejection.combination, full, len(full) <= most, rejection.pairs)


def failing_lines(trial: Trial, rows: Index, checks: list[int]) -> list[list[Line]]:
    """The must lines that fail, for some combinations and checks."""
    if rows.size == 0:
        return []
    part = trial.take(rows)
    judged = [judge(part, CHECKS[number]) for number in checks]
    result = []
    for k in range(part.size):
        failed = [j for j in judged if j.state[k] == FAILS and j.must[k]]
        lines = [line_of(part, j, k) for j in failed]
        result.append([line for line in lines if line is not None])
    return result


def _once_per_motor(
    trial: Trial, failing: NDArray[np.int16], rows: Index
) -> tuple[Index, dict[int, int]]:
    """Only the first pair of each motor whose supply does not match; how many each stands for."""
    supply = next(k for k, check in enumerate(CHECKS) if check.id == "supply-match")
    first: dict[int, int] = {}
    count: dict[int, int] = {}
    for row in (int(r) for r in rows):
        motor = int(trial.choice.motor[row])
        own = first.setdefault(motor, row) if failing[row] == supply else row
        count[own] = count.get(own, 0) + 1
    return np.array(list(count), dtype=np.intp), count


def _worst_first(line: Line) -> tuple[int, float]:
    return (_by_yes_no(line), -(line.used if line.used is not None else 0.0))


def _told(lines: list[Line]) -> list[Line]:
    """Without lines that only repeat that the motor is too slow or on the wrong mains."""
    ids = {line.check for line in lines}
    if "supply-match" in ids:
        return [line for line in lines if line.check == "supply-match"]
    if "top-speed" in ids:
        return [line for line in lines if line.check != "peak-torque" or line.limit]
    return lines


def _nearest_few(bad: list[list[Line]]) -> list[int]:
    """Which of the rejections come nearest, so that it pays to look at everything else too."""
    shares = np.array([max((_share(line) for line in lines), default=np.inf) for lines in bad])
    order = np.argsort(shares, kind="stable")[:LOOKED_AT]
    return [int(k) for k in order if np.isfinite(shares[k])]


def _share(line: Line) -> float:
    return np.inf if line.used is None or _by_yes_no(line) == 0 else line.used


def _rejection(combination: Combination, lines: list[Line], alone: bool, pairs: int) -> Rejection:
    if lines[0].check == "supply-match":
        combination = Combination(combination.motor, None, combination.drive)
    return Rejection(
        combination=combination,
        check=lines[0].check,
        text=_sentence(lines),
        near_miss=_near_miss(lines) if alone else "",
        failing=tuple(lines),
        pairs=pairs,
    )


def _latest_to_fail(trial: Trial, failing: NDArray[np.int16], pair_of: Index, lost: Index) -> Index:
    """Of every lost pair the combination that passed most checks before it failed.

    Among equals the one with the largest resistor that the drive bears, so that a near miss is
    not told of a resistor that nobody would take.
    """
    rows = np.nonzero(np.isin(pair_of, lost))[0]
    part = trial.take(rows)
    borne = ~(part.resistor("resistance") < part.drive("resistor_min"))
    order = np.lexsort((-rows, ~borne, -failing[rows], pair_of[rows]))
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
        return endless(line)
    if line.limit == 0:
        return nothing_left(line)
    needed, allowed, unit = pair(line.demand, line.limit, line.unit)
    share = used_share(line.used or 0.0)
    return f"{line.title.lower()} {share}, {needed} of {allowed} {unit}".rstrip()


def _sentence(bad: list[Line]) -> str:
    cases = list(dict.fromkeys(line.case for line in bad[:TOLD]))
    each = len(cases) > 1
    told = "; ".join(_figures(line) + (_in_case(line) if each else "") for line in bad[:TOLD])
    case = "" if each else _in_case(bad[0])
    more = len(bad) - TOLD
    return f"{told}; {more} more fail{case}." if more > 0 else f"{told}{case}."


def _in_case(line: Line) -> str:
    return "" if line.case == MAIN else f", in case {line.case}"


def _near_miss(bad: list[Line]) -> str:
    """What is said when nothing but a narrow excess stands in the way."""
    worst = bad[0]
    if not _share(worst) <= NEAR or worst.used is None:
        return ""
    over = percent(worst.used - 1)
    if len(bad) == 1:
        return f"Nothing else fails; {worst.title.lower()} is over by {over}."
    return f"Nothing else fails; the worst is over by {over}."
