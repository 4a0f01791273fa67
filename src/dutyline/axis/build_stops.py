"""Stop phases of the file: emergency ramps and loss of power, judged apart from the cycle."""

from __future__ import annotations

from dutyline.axis.fields import nearest
from dutyline.axis.model import StopRamp
from dutyline.axis.stated import Stated, Tree
from dutyline.axis.tables import FaultList

RAMPED = ("drive", "bus")
"""Means by which the drive keeps a ramp."""
CATEGORIES: dict[str, tuple[int, ...]] = {
    "drive": (1, 2),
    "bus": (1,),
    "brake": (0, 1),
    "short-circuit": (0,),
}
"""Stop categories of IEC 60204-1 (from memory) that go with each means."""


def cycle_phases(tree: Tree) -> tuple[Stated, ...]:
    """Phases of the cycle, stops left out."""
    return tuple(phase for phase in tree.many("phase") if phase.kind != "stop")


def phase_name(phase: Stated) -> str:
    """Name given, else the number of the table."""
    return phase.word("name") or phase.path.partition(".")[2]


def stops_of(tree: Tree, faults: FaultList) -> tuple[StopRamp, ...]:
    """Stops of a file; what is wrong with one is told."""
    names = [phase_name(phase) for phase in cycle_phases(tree)]
    return tuple(
        _stop(phase, names, faults) for phase in tree.many("phase") if phase.kind == "stop"
    )


def _stop(phase: Stated, names: list[str], faults: FaultList) -> StopRamp:
    means = phase.word("means") or "drive"
    start = phase.word("from") or "worst"
    if start != "worst" and start not in names:
        near = nearest(start, ("worst", *names))
        remedy = f'The nearest is "{near}".' if near else f"There are {', '.join(names[:20])}."
        _tell(phase, "from", f'there is no phase "{start}".', remedy, faults)
    _check_ramp(phase, means, faults)
    stated = phase.value("category")
    category = None if stated is None else round(stated.si)
    if category is not None and category not in CATEGORIES[means]:
        allowed = " or ".join(str(c) for c in CATEGORIES[means])
        said = {0: "removes the power at once", 1: "removes it after standstill",
                2: "keeps it"}[category]  # fmt: skip
        read = f"category {category} {said}; a stop by the {means} is of category {allowed}."
        _tell(phase, "category", read, "Change category or means.", faults)
    return StopRamp(
        name=phase_name(phase),
        start=start,
        means=means,
        category=category,
        decel=phase.number("decel"),
        time=phase.number("time"),
        reaction=phase.number("reaction") or 0.0,
    )


def _check_ramp(phase: Stated, means: str, faults: FaultList) -> None:
    stated = [name for name in ("decel", "time") if phase.has(name)]
    if means not in RAMPED:
        for name in stated:
            read = f"a stop by the {means} takes the time it takes; no ramp can be stated."
            _tell(phase, name, read, f"Leave {name} out.", faults)
    elif len(stated) != 1:
        read = "decel or time is missing." if not stated else "decel and time state the ramp twice."
        faults.add(phase.keys, f"{phase.path}.decel", read, "Give one of the two.")


def _tell(phase: Stated, name: str, read: str, remedy: str, faults: FaultList) -> None:
    keys = (*phase.keys, phase.spelled.get(name, name))
    faults.add(keys, f"{phase.path}.{name}", read, remedy)
