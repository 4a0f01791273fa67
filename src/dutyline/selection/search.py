"""Tries every combination of a product line on one axis.

Cheap and decisive checks run first, on everything; dear ones only on what is left. They are the
same functions that judge a single combination, so the screen can change no verdict.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.catalogue.pairing import (
    MOST_COMBINATIONS,
    GearheadWish,
    TooManyError,
    combinations,
    partners,
)
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.cases import together
from dutyline.checks.ledger import FAILS, MEETS, SHORT, UNCHECKED, judge, ledgers
from dutyline.checks.listing import CHECKS
from dutyline.checks.records import Check, Verdict
from dutyline.checks.riding import loaded, rides, riding_mass
from dutyline.checks.sides import Choice
from dutyline.checks.trial import Trial
from dutyline.checks.verdict import stop_trials, trials_of, verdicts
from dutyline.core.errors import Fault, InputError
from dutyline.core.grouping import distinct, rising
from dutyline.demand.output import OutputDemand, output_demand
from dutyline.selection.every_case import in_every_case
from dutyline.selection.rank import ESTIMATED_LAST, ORDERS, order_of
from dutyline.selection.records import Rejection, Shortlist
from dutyline.selection.rejections import nearest_first, rejections

Index = NDArray[np.intp]

SCREEN: tuple[tuple[str, ...], ...] = (
    (
        "supply-match",
        "fit",
        "top-speed",
        "gear-max-speed",
        "gear-mean-speed",
        "gear-peak",
        "gear-equivalent",
        "gear-life",
        "brake-hold",
        "gravity-without-brake",
        "encoder-resolution",
        "ambient-altitude",
        "resistor-minimum",
    ),
    ("standstill-torque", "peak-torque", "drive-peak-current"),
    ("drive-continuous-current", "continuous-use", "thermal-runaway"),
    ("overload-accumulated", "overload-single"),
)
"""Check ids of the first rounds; every other must check runs in the last."""

OF_MOTOR_SIDE = frozenset(
    {
        "fit",
        "top-speed",
        "gear-max-speed",
        "gear-mean-speed",
        "gear-peak",
        "gear-equivalent",
        "gear-life",
        "brake-hold",
        "gravity-without-brake",
        "encoder-resolution",
        "standstill-torque",
    }
)
"""Ids of checks that no drive and no resistor changes: judged once per choice of the others."""

WISHES: dict[str, GearheadWish] = {"allowed": "allowed", "none": "none", "needed": "needed"}
RANK = {MEETS: 0, SHORT: 1, UNCHECKED: 2, FAILS: 3}


@dataclass(frozen=True, slots=True)
class Decision:
    """The verdict over the must lines for every combination."""

    state: NDArray[np.int8]
    """MEETS, SHORT, UNCHECKED (incomplete) or FAILS of :mod:`dutyline.checks.ledger`"""
    failing: NDArray[np.int16]
    """Index into CHECKS of the first check found to fail, -1 where none does"""


Progress = Callable[[int, int], None]
"""Told how many combinations of how many are decided."""
PORTION = 65_536
"""Combinations decided at a time."""
MOST_CANDIDATES = 5_000
"""Combinations that work and are judged in full, some 60 kB each."""
WORTH_KEEPING = 0.6
"""Share of a round still undecided below which the rest goes on alone, without shared results."""


def decide(trial: Trial, progress: Progress | None = None) -> Decision:
    """Verdicts of all combinations of a trial, dear checks only where cheap ones do not fail."""
    trial = replace(trial, screening=True)
    if trial.size <= PORTION:
        return _decide(trial)
    parts = []
    for first in range(0, trial.size, PORTION):
        if progress is not None:
            progress(first, trial.size)
        index = np.arange(first, min(first + PORTION, trial.size))
        parts.append(_decide(trial.take(index)))
    return Decision(
        np.concatenate([p.state for p in parts]), np.concatenate([p.failing for p in parts])
    )


def _decide(trial: Trial) -> Decision:
    count = trial.size
    failing = np.full(count, -1, dtype=np.int16)
    open_, short = np.zeros(count, dtype=bool), np.zeros(count, dtype=bool)
    alive: Index = np.arange(count)
    for group in rounds():
        rows, part = alive, trial.take(alive)
        for number in group:
            if rows.size == 0:
                break
            state, must = _states(part, CHECKS[number])
            fresh = rows[must & (state == FAILS)]
            failing[fresh[failing[fresh] < 0]] = number
            open_[rows[must & (state == UNCHECKED)]] = True
            short[rows[must & (state == SHORT)]] = True
            alive = rows[failing[rows] < 0]
            if alive.size < WORTH_KEEPING * rows.size:
                rows, part = alive, trial.take(alive)
    state = np.where(short, SHORT, MEETS)
    state = np.where(open_, UNCHECKED, state)
    state = np.where(failing >= 0, FAILS, state)
    return Decision(state.astype(np.int8), failing)


def _states(trial: Trial, check: Check) -> tuple[NDArray[np.int8], NDArray[np.bool_]]:
    """State of every combination by one check, and where it counts as a must."""
    if check.id not in OF_MOTOR_SIDE:
        judged = judge(trial, check)
        return judged.state, judged.must
    judged = judge(trial.of_motor_side, check)
    return trial.at_motor(judged.state), trial.at_motor(judged.must)


def rounds() -> list[list[int]]:
    """Numbers of the must checks in the rounds in which they run."""
    named = {check_id for group in SCREEN for check_id in group}
    groups = [[k for k, c in enumerate(CHECKS) if c.id in group] for group in SCREEN]
    last = [k for k, c in enumerate(CHECKS) if c.id not in named and c.severity == "must"]
    return [*groups, last]


def select(axis: Axis, line: ProductLine, progress: Progress | None = None) -> Shortlist:
    """Candidates for an axis, best first, and why the others do not work.

    Parameters
    ----------
    axis : Axis
        With ``[site]``.
    line : ProductLine
    progress : callable, optional
        Called with the number decided so far and the number of all.

    Returns
    -------
    Shortlist
        One candidate per motor, gearhead, brake and drive, with the smallest resistor that does.

    Raises
    ------
    InputError
        The axis states no mains, or its limits leave nothing to try or too much.
    """
    demands = [output_demand(case) for case in axis.every_case]
    choice = tries(axis, line, *demands)
    found: list[Verdict] = []
    lost: list[Rejection] = []
    for some, rows in _by_riding_mass(axis, line, choice):
        trials = trials_of(some, line, choice.take(rows), demands if some is axis else None)
        candidates, rejected = _judged(trials, progress, len(found))
        found += candidates
        lost += rejected
    pairs, _ = distinct(choice.motor, choice.gearhead)
    return Shortlist(
        axis=axis,
        line=line,
        tried=choice.size,
        pairs=int(pairs.size),
        candidates=order_of(found, axis.choose.objective, line),
        rejected=nearest_first(lost),
        objective=axis.choose.objective,
        order=ORDERS[axis.choose.objective] + (ESTIMATED_LAST if line.assumed else ""),
    )


def _by_riding_mass(axis: Axis, line: ProductLine, choice: Choice) -> Iterator[tuple[Axis, Index]]:
    """The axis as each combination loads it: once for all, or once per mass that rides along.

    Combinations whose mass is not given cannot be judged on such an axis and are left out.
    """
    if not rides(axis):
        yield axis, np.arange(choice.size)
        return
    mass = riding_mass(line, choice)
    for value in rising(mass[np.isfinite(mass)]):
        yield loaded(axis, float(value)), np.nonzero(mass == value)[0]


def _judged(
    trials: list[Trial], progress: Progress | None, before: int
) -> tuple[list[Verdict], tuple[Rejection, ...]]:
    """Candidates and rejections over all cases; some candidates were found before."""
    trial = trials[0]
    every = [*trials, *stop_trials(trials)]
    decision, failings = decide_cases(every, progress)
    keep = _one_resistor_each(trial, decision)
    if before + keep.size > MOST_CANDIDATES:
        read = (
            f"leaves {before + keep.size} combinations that work, or more; at most "
            f"{MOST_CANDIDATES} are judged in full at once."
        )
        raise _too_much(trial.axis, read)
    found: list[Verdict] = []
    if keep.size:
        each = [verdicts(case.take(keep), traced=False) for case in trials]
        stops = [ledgers(stop.take(keep)) for stop in every[len(trials) :]]
        found = [
            together([one[k] for one in each], [lines[k] for lines in stops])
            for k in range(keep.size)
        ]
    first, pair_of = distinct(trial.choice.motor, trial.choice.gearhead)
    lost = np.ones(first.size, dtype=bool)
    lost[pair_of[keep]] = False
    lost_in = np.full(first.size, -1)
    for number, failing in enumerate(failings):  # where the last of its combinations fell out
        lost_in[pair_of[failing >= 0]] = number
    rejected = [
        r
        for number, (case, failing) in enumerate(zip(every, failings, strict=True))
        for r in rejections(case, failing, rounds(), pair_of,
                            np.nonzero(lost & (lost_in == number))[0])
    ]  # fmt: skip
    if len(every) == 1:
        return found, tuple(rejection for _, rejection in rejected)
    return found, in_every_case(rejected, every)


def decide_cases(
    trials: list[Trial], progress: Progress | None = None
) -> tuple[Decision, list[NDArray[np.int16]]]:
    """The worst decision over all cases, and the first failing check in each case.

    What fails in one case is not tried in the next; there it counts as not failing.
    """
    decision = decide(trials[0], progress)
    failings = [decision.failing]
    state, failing = decision.state.copy(), decision.failing.copy()
    for trial in trials[1:]:
        alive = np.nonzero(state != FAILS)[0]
        own = np.full(trial.size, -1, dtype=np.int16)
        if alive.size:
            other = decide(trial.take(alive), progress)
            state[alive] = _worse(state[alive], other.state)
            own[alive] = other.failing
        failings.append(own)
        failing = np.where(own >= 0, own, failing)
    return Decision(state, failing), failings


def _worse(one: NDArray[np.int8], other: NDArray[np.int8]) -> NDArray[np.int8]:
    rank = np.array([RANK[state] for state in range(len(RANK))])
    return np.where(rank[other] > rank[one], other, one)


def tries(axis: Axis, line: ProductLine, *demands: OutputDemand) -> Choice:
    """Every combination that the line pairs and the axis file allows."""
    wanted = axis.require.brake
    brake = any(d.gravity_acts or d.brake_holds for d in demands) if wanted is None else wanted
    choose = axis.choose
    try:
        combos = combinations(
            line,
            brake=brake,
            gearhead=WISHES[axis.require.gearhead],
            motors=choose.motors,
            gearheads=choose.gearheads,
            drives=choose.drives,
            brakes=choose.brakes,
            resistors=choose.resistors,
        )
    except TooManyError as error:
        read = (
            f"leaves {error.count} combinations of this product line to try; at most "
            f"{MOST_COMBINATIONS} are tried at once."
        )
        raise _too_much(axis, read) from None
    choice = Choice(combos.motor, combos.gearhead, combos.drive, combos.brake, combos.resistor)
    if choice.size == 0:
        raise InputError(axis.file or axis.title, [_nothing_to_try(axis, line, brake=brake)])
    return choice


def _too_much(axis: Axis, read: str) -> InputError:
    place = axis.file or axis.title
    remedy = 'Name less in [choose]: motors = ["X*"], or drives = ["Y-1", "Y-2"].'
    return InputError(place, [Fault(place, "choose", read, remedy)])


def _nothing_to_try(axis: Axis, line: ProductLine, *, brake: bool) -> Fault:
    """Why no combination is left: what the line does not state, else what the axis file asks."""
    place = axis.file or axis.title
    if brake and not any(partners(line, "motor-brake").values()):
        return Fault(
            place,
            "require.brake",
            "the axis needs a brake, and this product line states none that goes with a motor.",
            "Name it in the column brake of motors.csv, or by rows motor-brake in pairings.csv.",
        )
    return Fault(
        place,
        "choose",
        "the names and patterns stated leave no combination of this product line to try.",
        "Widen them, or leave [choose] out to try everything.",
    )


def _one_resistor_each(trial: Trial, decision: Decision) -> Index:
    """Of each motor, gearhead, brake and drive that works, the smallest resistor that does best."""
    works = np.nonzero(decision.state != FAILS)[0]
    if works.size == 0:
        return works
    choice = trial.choice.take(works)
    rank = np.array([RANK[int(s)] for s in decision.state[works]])
    mass = np.where(choice.resistor < 0, 0.0, trial.take(works).resistor("mass"))
    _, group = distinct(choice.motor, choice.gearhead, choice.drive, choice.brake)
    order = np.lexsort((choice.resistor, np.nan_to_num(mass, nan=1e9), rank, group))
    first = np.ones(order.size, dtype=bool)
    first[1:] = group[order][1:] != group[order][:-1]
    return np.sort(works[order[first]])
