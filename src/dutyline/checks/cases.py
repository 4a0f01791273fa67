"""Several cases of one axis judged together: the worst line of each check, by its case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf

from dutyline.checks.ledger import assumed_line, binding_line, verdict_word
from dutyline.checks.listing import ASSUMED, CHECKS
from dutyline.checks.records import Line, Verdict
from dutyline.core.numbers import quantity

GAINS_BEAR = 3.0
"""Largest over smallest inertia at the motor that one set of gains bears (common practice)."""
INERTIA_WORDS = (
    "Gains: motor and load together are {times} times as heavy in one state of the cycle as in "
    "another; one set of gains suits one of them. Let the drive switch its gains with the load."
)
_PLACE = {(check.id, check.part): number for number, check in enumerate(CHECKS)}
_SEVERITY = {"must": 0, "caution": 1, "note": 2}
_STATE = {"fails": 0, "not-checked": 1, "short": 2, "meets": 3}


def worst_first(line: Line) -> tuple[bool, int, int, float]:
    """Order of the lines of one check: what decides the verdict, then the least slack."""
    slack = 0.0 if line.margin is None else line.margin - line.required
    met = line.state == "meets"
    return met, 0 if met else _SEVERITY[line.severity], _STATE[line.state], slack


def worst_lines(ledgers: Sequence[Sequence[Line]]) -> tuple[Line, ...]:
    """Of every check that some case has, the line of the worst case; of equal ones the first.

    The verdict over these lines is the worst verdict of the cases: of the must lines of a check
    the one kept is what comes first of fails, not checked, short and meets.
    """
    worst: dict[tuple[str, str], Line] = {}
    for lines in ledgers:
        for line in lines:
            key = (line.check, line.part)
            if key not in worst or worst_first(line) < worst_first(worst[key]):
                worst[key] = line
    worst.pop((ASSUMED.id, ASSUMED.part), None)
    return tuple(worst[key] for key in sorted(worst, key=lambda key: _PLACE[key]))


def inertia_words(verdicts: Sequence[Verdict]) -> tuple[str, ...]:
    """A caution where motor and load together change more than the gains bear over all cases."""
    least, most = inf, 0.0
    for verdict in verdicts:
        motor = verdict.demand["motor"]
        own, load, low = (motor[n] for n in ("inertia", "load_inertia", "inertia_ratio_min"))
        if own is None or load is None or low is None:
            return ()
        least, most = min(least, own * (1 + low)), max(most, own + load)
    if not most > GAINS_BEAR * least:
        return ()
    return (INERTIA_WORDS.format(times=quantity(most / least, "1")),)


def together(verdicts: Sequence[Verdict], stops: Sequence[Sequence[Line]] = ()) -> Verdict:
    """One verdict over the cases of an axis for one combination.

    Parameters
    ----------
    verdicts : sequence of Verdict
        Of every case, the file itself first.
    stops : sequence of sequences of Line
        Lines of the emergency stops of all cases.

    Returns
    -------
    Verdict
        With the figures of the file itself; those of each case stand in ``cases``.
    """
    first = verdicts[0]
    swing = inertia_words(verdicts)
    if len(verdicts) == 1 and not stops:
        return replace(first, cautions=(*first.cautions, *swing))
    lines = worst_lines([*(verdict.ledger for verdict in verdicts), *stops])
    binding = binding_line(lines)
    owner = next(
        (v.axis for v in verdicts if binding is not None and v.axis.case == binding.case),
        first.axis,
    )
    lines = (*lines, replace(assumed_line(owner, lines), case=owner.case))
    said = [c for verdict in verdicts for c in _without_cooler(verdict, verdicts)]
    cautions = dict.fromkeys(c for c in said if not c.startswith(f"{ASSUMED.title}:"))
    if lines[-1].state != "meets":
        cautions[f"{ASSUMED.title}: {lines[-1].text}."] = None
    return replace(
        first,
        verdict=verdict_word(lines),
        binding=binding.check if binding else None,
        ledger=lines,
        cautions=(*cautions, *swing),
        cases=tuple(verdicts),
    )


def _without_cooler(verdict: Verdict, verdicts: Sequence[Verdict]) -> tuple[str, ...]:
    """Cautions of one case, those on heat only where no other case is hotter."""

    def hotness(one: Verdict, figure: str) -> float:
        return one.demand.get("winding", {}).get(figure) or 0.0

    kept = verdict.cautions
    for lead, figure in (("Hot surface", "housing_max"), ("Thermal image", "restart")):
        if verdict is not max(verdicts, key=lambda one: hotness(one, figure)):
            kept = tuple(c for c in kept if not c.startswith(lead))
    return kept
