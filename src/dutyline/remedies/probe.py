"""The same combination with something changed, judged anew by the real calculation."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from dutyline.axis.change import changed
from dutyline.axis.model import Axis
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.cases import worst_first
from dutyline.checks.ledger import TOLERANCE, Judged, judge, line_of, verdict_word
from dutyline.checks.listing import CHECKS, GRAVER
from dutyline.checks.records import Check, Combination, Line, VerdictWord
from dutyline.checks.riding import rides
from dutyline.checks.sides import Choice
from dutyline.checks.trial import Trial
from dutyline.checks.verdict import chosen, stop_trials, trials_for, trials_of
from dutyline.core.errors import InputError, RangeError
from dutyline.demand.output import OutputDemand, output_demand

Key = tuple[str, str]
"""Check and part: what names a ledger line."""
BESIDE = ("site.", "require.", "duty.hours", "duty.days", "duty.years", "duty.stops", "reserve.")
"""Inputs without which the demand at the output shaft is computed."""
_CAN_BE_MUST = tuple(c for c in CHECKS if c.severity == "must" or c.id in GRAVER)
_DEAR = ("overload-accumulated", "overload-single")
_CHEAP_FIRST = sorted(_CAN_BE_MUST, key=lambda check: check.id in _DEAR)
_CHECK = {(check.id, check.part): check for check in CHECKS}


def key_of(line: Line) -> Key:
    """What names a line in ledgers of one axis."""
    return line.check, line.part


def slack(line: Line | None) -> float:
    """Margin minus what is required; minus infinity where not checked, infinity without a line."""
    if line is None:
        return float("inf")
    return float("-inf") if line.margin is None else line.margin - line.required


class Reading:
    """The ledger of one combination on every case, each line judged when it is asked for."""

    def __init__(
        self, trials: Sequence[Trial], k: int = 0, kept: dict[Key, list[Judged]] | None = None
    ) -> None:
        self._trials, self._k = trials, k
        self._judged = {} if kept is None else kept
        self._lines: dict[Key, Line | None] = {}

    def _line(self, check: Check) -> Line | None:
        own = (check.id, check.part)
        if own not in self._lines:
            self._lines[own] = self._worst_case(check, own)
        return self._lines[own]

    def _worst_case(self, check: Check, own: Key) -> Line | None:
        if own not in self._judged:
            self._judged[own] = [judge(trial, check) for trial in self._trials]
        cases = zip(self._trials, self._judged[own], strict=True)
        lines = (line_of(trial, judged, self._k) for trial, judged in cases)
        return min((line for line in lines if line is not None), key=worst_first, default=None)

    @property
    def lines(self) -> tuple[Line, ...]:
        """All lines but the count of assumed inputs, which no verdict looks at."""
        found = (self._line(check) for check in CHECKS)
        return tuple(line for line in found if line is not None)

    @property
    def verdict(self) -> VerdictWord:
        """The word over the must lines."""
        return verdict_word(self.lines)

    def line(self, key: Key) -> Line | None:
        """The line of a key, None where the check does not apply."""
        return self._line(_CHECK[key])

    @property
    def musts(self) -> list[Line]:
        """The lines that decide the verdict."""
        return list(self.each_must(_CAN_BE_MUST))

    def each_must(self, checks: Iterable[Check] = _CHEAP_FIRST) -> Iterator[Line]:
        """The lines that decide the verdict, each judged when its turn comes, dear ones last."""
        for check in checks:
            line = self._line(check)
            if line is not None and line.severity == "must":
                yield line

    def worst(self, but: Iterable[Key] = ()) -> Line | None:
        """The must line with the least slack."""
        left = [line for line in self.musts if key_of(line) not in but]
        return min(left, key=slack, default=None)


@dataclass(frozen=True, slots=True)
class Goal:
    """What is to be met: some lines, and all must lines where ``whole``."""

    keys: tuple[Key, ...] = ()
    whole: bool = False
    but: frozenset[Key] = frozenset()
    """Lines that lack a datum as it is, and that no change of an input can settle."""
    first: tuple[Key, ...] = ()
    """Must lines that are missed as it is: looked at before all others, for the time."""

    def left(self, reading: Reading) -> float:
        """The least slack of what is to be met; zero or more meets."""
        found = [slack(reading.line(key)) for key in self.keys]
        if self.whole:
            found += [slack(ln) for ln in reading.musts if key_of(ln) not in self.but]
        return min(found, default=float("inf")) + TOLERANCE

    def narrowed(self, reading: Reading) -> Goal:
        """Only the lines that a reading does not meet: enough to find where they begin to."""
        if not self.whole:
            return self
        missed = [ln for ln in reading.musts if key_of(ln) not in self.but]
        return Goal(tuple(key_of(ln) for ln in missed if slack(ln) < -TOLERANCE))

    def met(self, reading: Reading | None) -> bool:
        """Whether all of it is met."""
        if reading is None:
            return False
        early = (reading.line(key) for key in self.first)
        if any(ln is not None and ln.severity == "must" and slack(ln) < -TOLERANCE for ln in early):
            return False
        if any(slack(reading.line(key)) < -TOLERANCE for key in self.keys):
            return False
        musts = reading.each_must() if self.whole else ()
        return not any(slack(ln) < -TOLERANCE for ln in musts if key_of(ln) not in self.but)


def everything(lines: Iterable[Line]) -> Goal:
    """All must lines but those of a ledger that lack a datum."""
    lacking = (ln for ln in lines if ln.severity == "must" and ln.state == "not-checked")
    return Goal(whole=True, but=frozenset(key_of(ln) for ln in lacking))


class Probe:
    """One combination on one axis, judged again and again; every answer is kept."""

    def __init__(self, axis: Axis, line: ProductLine, combination: Combination) -> None:
        self.axis = (
            changed(axis, {}) if rides(axis) else axis
        )  # without the parts it was judged with
        self.line, self.combination = line, combination
        self._kept: dict[tuple[tuple[str, Any], ...], Reading | None] = {}

    @property
    def base(self) -> Reading:
        """As it is."""
        found = self.at({})
        if found is None:
            raise ValueError("the axis as it is cannot be judged")
        return found

    def at(self, changes: Mapping[str, Any]) -> Reading | None:
        """The ledger with fields of the axis changed; None where the axis cannot be used so."""
        key = tuple(sorted((path, repr(item)) for path, item in changes.items()))
        if key not in self._kept:
            self._kept[key] = self._judged(changes)
        return self._kept[key]

    def _judged(self, changes: Mapping[str, Any]) -> Reading | None:
        try:
            axis = changed(self.axis, changes) if changes else self.axis
            trials = self._trials(axis, changes)
            return Reading([*trials, *stop_trials(trials)])
        except (InputError, RangeError):
            return None

    def _trials(self, axis: Axis, changes: Mapping[str, Any]) -> list[Trial]:
        """Trials on a changed axis; what only stands beside the motion leaves the demand as is."""
        if not all(path.startswith(BESIDE) for path in changes) or rides(axis):
            return trials_for(axis, self.line, self.combination)
        outs = [
            replace(out, axis=case) for out, case in zip(self.demands, axis.every_case, strict=True)
        ]
        return trials_of(axis, self.line, chosen(axis, self.line, self.combination), outs)

    def with_parts(self, others: Sequence[Combination]) -> list[Reading | None]:
        """The ledgers of other combinations on the axis as it is."""
        if not others:
            return []
        if rides(self.axis):
            return [Probe(self.axis, self.line, other).at({}) for other in others]
        choices = [chosen(self.axis, self.line, other) for other in others]
        names = Choice.__dataclass_fields__
        stacked = Choice(*(np.concatenate([getattr(c, name) for c in choices]) for name in names))
        trials = trials_of(self.axis, self.line, stacked, self.demands)
        trials += stop_trials(trials)
        kept: dict[Key, list[Judged]] = {}
        return [Reading(trials, k, kept) for k in range(stacked.size)]

    @cached_property
    def demands(self) -> list[OutputDemand]:
        """Demand of every case at the output shaft as it is."""
        return [output_demand(case) for case in self.axis.every_case]

    @property
    def demand(self) -> OutputDemand:
        """Demand of the file itself at the output shaft."""
        return self.demands[0]
