"""Efficiencies from load to motor that do not go with the rest of what is stated."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import atan

from dutyline.axis.records import record_of
from dutyline.axis.stated import Stated, Tree
from dutyline.physics.screws import sliding_efficiencies
from dutyline.train.parameters import LeadScrewParams
from dutyline.train.screws import sliding
from dutyline.train.stated import back_efficiency


def driven_back(tree: Tree) -> Iterator[str]:
    """An efficiency from load to motor that does not go with the other one, or the geometry."""
    tables = [*tree.many("mechanism"), *tree.many("stage")]
    for branch in tree.many("branch"):
        own = branch.entries.get("mechanism")
        tables += [*branch.tables("stage"), *([own] if isinstance(own, Stated) else [])]
    for table in tables:
        back, forward = table.number("efficiency_back"), table.number("efficiency")
        if back is None or "efficiency_back" not in table.entries:
            continue
        given, basis = None, ""
        if forward is not None and "efficiency" in table.entries:
            given, basis = back_efficiency(forward), "a loss torque that is the same both ways"
        elif table.kind in BACKWARD:
            given, basis = BACKWARD[table.kind](table), "lead and friction"
        if given is None or ((back > 0) == (given > 0) and abs(back - given) <= APART):
            continue
        kept = "self-locking" if back <= 0 else "not self-locking"
        yield (
            f"{table.path}.efficiency_back is {back:.3g}, {kept}; from {basis} follows "
            f"{given:.3g}, {'self-locking' if given <= 0 else 'not self-locking'}. "
            "Which of the two holds? The stated one counts."
        )


def _thread(table: Stated) -> float | None:
    found = sliding(record_of(LeadScrewParams, table))
    return None if found is None else found[1]


def _worm(table: Stated) -> float | None:
    lean, rub = table.number("lead_angle"), table.number("friction")
    if lean is None or rub is None:
        return None
    return float(sliding_efficiencies(lean, atan(rub))[1])


BACKWARD: dict[str | None, Callable[[Stated], float | None]] = {
    "lead-screw": _thread,
    "worm": _worm,
}
"""Efficiency from load to motor by the geometry of sliding contacts."""
APART = 0.1
"""Difference of two efficiencies from which it is asked which one holds (own choice): scatter of
friction explains less."""
