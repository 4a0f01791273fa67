"""Phases and forces of the file become the cycle and the forces over it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from dutyline.axis.build_stops import cycle_phases, phase_name
from dutyline.axis.fields import nearest
from dutyline.axis.forms import CRANK_KINDS, INPUT_KINDS
from dutyline.axis.records import record_of
from dutyline.axis.samples import samples_of
from dutyline.axis.stated import Stated, Tree
from dutyline.axis.tables import FaultList
from dutyline.core.numbers import bare
from dutyline.core.values import Value
from dutyline.motion.cycle import build_cycle
from dutyline.motion.extremes import extremes
from dutyline.motion.faults import MotionFaults, said
from dutyline.motion.pieces import Cycle
from dutyline.motion.specs import PhaseSpec
from dutyline.train.records import Burden, Force, Load

ENDLESS_KINDS = (
    "conveyor",
    "rotary-table",
    "winder",
    "feed-rolls",
    "rotary-load",
    *CRANK_KINDS,
    "four-bar",
)
"""Kinds whose cycle need not come back, where the file does not say otherwise."""
TURN = 2.0 * math.pi
_CHECK = "Check the number and its unit."


def cycle_of(tree: Tree, load: Load | None, faults: FaultList) -> Cycle | None:
    """The cycle of a file, or None when something about it is at fault."""
    phases = cycle_phases(tree)
    _check_names(tree.many("phase"), faults)
    _check_payloads(tree, phases, faults)
    if not phases and tree.many("phase"):
        read = "there are stops only; they start from a cycle."
        faults.add(("phase",), "phase", read, "Add the phases of the cycle.")
    cycle_time = _cycle_time(tree, faults)
    if faults.told("phase") or faults.told("duty") or tree.linear is None:
        return None
    endless = _endless(tree)
    mechanism = tree.one("mechanism")
    bent = mechanism is not None and mechanism.kind in INPUT_KINDS
    period = TURN if not tree.linear and (bent or _depends_on_place(tree, load)) else None
    specs = [_spec(phase, period, tree.linear, faults) for phase in phases]
    if faults.told("phase"):
        return None
    travel = None if mechanism is None else mechanism.number("travel")
    try:
        cycle = build_cycle(
            specs,
            linear=tree.linear,
            endless=endless,
            period=period,
            cycle_time=cycle_time,
            travel=travel,
        )
    except MotionFaults as found:
        _place(found, phases, faults)
        return None
    if all(piece.at_rest for piece in cycle.pieces):
        read = "nothing moves in this cycle; no motor can be chosen for it."
        faults.add(("phase",), "phase", read, "Add a move or a run.")
    return cycle


def _place(found: MotionFaults, phases: Sequence[Stated], faults: FaultList) -> None:
    for fault in found.faults:
        if fault.phase_index is None:
            faults.add(("phase",), "phase", fault.read, fault.remedy or _CHECK)
            continue
        phase = phases[fault.phase_index]
        key = phase.spelled.get(fault.field)
        keys = phase.keys if key is None else (*phase.keys, key)
        where = f"{phase.path}.{fault.field}" if fault.field else phase.path
        faults.add(keys, where, fault.read, fault.remedy or _CHECK)


def _spec(phase: Stated, period: float | None, linear: bool, faults: FaultList) -> PhaseSpec:
    stated = {n: None for n in ("law", "end_speed", "hold", "force") if not phase.has(n)}
    name: dict[str, Any] = {"name": phase_name(phase)}
    if phase.kind == "table":
        name |= samples_of(phase, linear, faults)
    if phase.kind == "follow":
        name["sync"] = sync_of(phase, faults)
    spec = record_of(PhaseSpec, phase, **stated, **name)
    if period is None and spec.turns is not None and spec.by is None:
        way = math.copysign(spec.turns * TURN, spec.speed or 1.0)
        return record_of(PhaseSpec, phase, **stated, **name, turns=None, by=way)
    return spec


def sync_of(phase: Stated, faults: FaultList) -> float | None:
    """Synchronous section: an angle of a knife, whichever was stated, else a length."""
    stated, diameter = phase.value("sync"), phase.number("diameter")
    if stated is None:
        return None
    knife = phase.word("tool") == "rotary-knife"
    if knife and stated.unit == "m" and diameter is not None:
        return 2.0 * stated.si / diameter
    if not knife and stated.unit == "rad":
        keys = (*phase.keys, phase.spelled.get("sync", "sync"))
        read = f'read "{stated.typed}", an angle; a way along the line is needed.'
        faults.add(keys, f"{phase.path}.sync", read, 'Write it as in sync = "60 mm".')
    return stated.si


def _endless(tree: Tree) -> bool:
    mechanism = tree.one("mechanism")
    if mechanism is None:
        return False
    stated = mechanism.flag("endless")
    usual = mechanism.kind in ENDLESS_KINDS and mechanism.word("motion") != "load"
    return usual if stated is None else stated


def _depends_on_place(tree: Tree, load: Load | None) -> bool:
    """Whether the effort at the load differs from place to place."""
    over_travel = any(f.word("over") == "travel" or _over(f) == "travel"
                      for f in tree.many("force"))  # fmt: skip
    burdens = [] if load is None else [load.base, *load.payloads.values()]
    return over_travel or any(_turns_weight(burden) for burden in burdens)


def _turns_weight(burden: Burden) -> bool:
    size = math.hypot(burden.gravity_cos, burden.gravity_sin)
    return size > 1e-9 * max(abs(burden.friction), burden.mass, 1e-9)


def _cycle_time(tree: Tree, faults: FaultList) -> float | None:
    duty = tree.one("duty")
    if duty is None:
        return None
    cycle, rate = duty.number("cycle"), duty.number("rate")
    if cycle is not None and rate is not None and not math.isclose(cycle * rate, 1.0, rel_tol=1e-6):
        read = (
            f"a cycle of {bare(cycle)} s is {bare(60 / cycle)} /min, but rate is {bare(rate * 60)}."
        )
        faults.add((*duty.keys, duty.spelled["rate"]), "duty.rate", read, "Leave one of them out.")
    return cycle if cycle is not None or rate is None else 1.0 / rate


def _check_names(phases: Sequence[Stated], faults: FaultList) -> None:
    seen: dict[str, int] = {}
    for number, phase in enumerate(phases, 1):
        name = phase.word("name")
        if not name:
            continue
        if name in seen:
            read = f'"{name}" is the name of phase {seen[name]} too.'
            faults.add((*phase.keys, phase.spelled["name"]), f"{phase.path}.name", read,
                       "Give every phase a name of its own.")  # fmt: skip
        seen.setdefault(name, number)


def _check_payloads(tree: Tree, phases: Sequence[Stated], faults: FaultList) -> None:
    load = tree.one("load")
    if load is None or "payloads" in load.spoilt:
        return
    known = tuple(load.named("payloads"))
    for phase in phases:
        carried: set[str] = set()
        for number, name in enumerate(phase.names("carry")):
            keys = (*phase.keys, phase.spelled["carry"], number)
            if name in carried:
                remedy = "Name it once; several alike are count in load.payloads."
                faults.add(keys, f"{phase.path}.carry", f'"{name}" stands twice.', remedy)
            carried.add(name)
            if name in known:
                continue
            near = nearest(name, known)
            remedy = "State it in load.payloads."
            if known:
                remedy = f"load.payloads has {', '.join(known)}."
            if near:
                remedy = f'The nearest is "{near}".'
            read = f'there is no payload "{name}".'
            faults.add(keys, f"{phase.path}.carry", read, remedy)


def forces_of(tree: Tree, faults: FaultList) -> tuple[Force, ...]:
    """The forces of a file; those at fault are told and left out."""
    names = [phase_name(phase) for phase in cycle_phases(tree)]
    found = []
    for number, table in enumerate(tree.many("force"), 1):
        force = _force(table, number, names, faults)
        if force is not None:
            found.append(force)
    return tuple(found)


def _force(table: Stated, number: int, names: list[str], faults: FaultList) -> Force | None:
    before = len(faults.faults)
    phases = _phases(table, names, faults)
    points = _points(table)
    _check_force(table, points, faults)
    if len(faults.faults) > before or table.spoilt:
        return None
    value = table.number("value")
    values = (value,) if value is not None else tuple(v.si for _, v in points)
    return Force(
        name=table.word("name") or str(number),
        values=values,
        places=tuple(place.si for place, _ in points),
        over="constant" if value is not None else _over(table),
        between=table.word("between") or "linear",
        phases=phases,
        only=table.word("only") or "both",
        sense=table.word("sense") or "fixed",
    )


def _over(table: Stated) -> str:
    """``time`` when the places are times, else ``travel``; ``constant`` without points."""
    points = _points(table)
    if not points:
        return "constant"
    return "time" if all(place.unit == "s" for place, _ in points) else "travel"


def _points(table: Stated) -> tuple[tuple[Value, Value], ...]:
    found = table.entries.get("points")
    if not isinstance(found, tuple):
        return ()
    return tuple(p for p in found if isinstance(p, tuple) and len(p) == 2)


def _check_force(table: Stated, points: tuple[tuple[Value, Value], ...], faults: FaultList) -> None:
    stated = [n for n in ("value", "points") if table.has(n)]
    if len(stated) != 1:
        read = "value or points is missing." if not stated else "value and points stand together."
        faults.add(table.keys, table.path, read, "Give one of the two.")
        return
    _check_sense(table, points, faults)
    if not points:
        return
    keys = (*table.keys, table.spelled["points"])
    where = f"{table.path}.points"
    if len(points) < 2:
        read = "there is one point; two or more are needed."
        faults.add(keys, where, read, "Give where the force begins and where it ends, or a value.")
        return
    if len({place.unit for place, _ in points}) > 1:
        faults.add(keys, where, "some places are times and some are travels.", "Use one of them.")
        return
    over = table.word("over")
    if over is not None and over != _over(table):
        read = f"over is {over}, but the places are {_over(table)}s."
        faults.add(keys, where, read, f'Write over = "{_over(table)}", or change the places.')
    places = [place.si for place, _ in points]
    wrong = next((k for k in range(1, len(places)) if places[k] <= places[k - 1]), None)
    if wrong is not None:
        read = f'place {wrong + 1}, "{points[wrong][0].typed}", does not lie beyond the one before.'
        faults.add((*keys, wrong), where, read, "Put the points in rising order of place.")


def _check_sense(table: Stated, points: tuple[tuple[Value, Value], ...], faults: FaultList) -> None:
    """A force that opposes motion has no sign of its own."""
    value = table.number("value")
    least = min([0.0 if value is None else value, *(v.si for _, v in points)])
    if table.word("sense") == "opposing" and least < 0.0:
        keys = (*table.keys, table.spelled["sense"])
        read = "a force below 0 would drive the motion that it opposes."
        faults.add(keys, f"{table.path}.sense", read, "Leave out the minus sign.")


def check_reach(
    forces: Sequence[Force],
    tree: Tree,
    cycle: Cycle,
    travel: tuple[float, float],
    faults: FaultList,
) -> None:
    """Every force over travel or time has to act somewhere in the cycle.

    ``travel`` are the ends of the travel of the load [m or rad].
    """
    reach = {"travel": travel, "time": (0.0, cycle.duration)}
    for force, table in zip(forces, tree.many("force"), strict=True):
        if not force.places:
            continue
        low, high = reach[force.over]
        if force.over == "time" and force.phases is not None:
            high = max(cycle.phases[k].duration for k in force.phases)
        if force.places[0] < high and force.places[-1] > low:
            continue
        keys = (*table.keys, table.spelled.get("points", "points"))
        field = "time" if force.over == "time" else "by"
        ends = " to ".join(said(x, field, linear=bool(tree.load_linear)) for x in (low, high))
        read = f"the force acts nowhere: {force.over} goes from {ends} in this cycle."
        remedy = "Check the places, or leave the force out; travel counts from the cycle's start."
        faults.add(keys, f"{table.path}.points", read, remedy)


def stated_range(cycle: Cycle) -> tuple[float, float]:
    """Ends of the stated travel [m or rad]."""
    ends = [extremes(piece) for piece in cycle.pieces]
    return min(low for low, _ in ends), max(high for _, high in ends)


def _phases(table: Stated, names: list[str], faults: FaultList) -> tuple[int, ...] | None:
    if not table.has("phases"):
        return None
    found = []
    if not table.names("phases"):
        keys = (*table.keys, table.spelled.get("phases", "phases"))
        remedy = "Name them, or leave phases out for the whole cycle."
        faults.add(keys, f"{table.path}.phases", "there is no phase in the list.", remedy)
    for number, name in enumerate(table.names("phases")):
        if name in names:
            found.append(names.index(name))
            continue
        near = nearest(name, tuple(names))
        remedy = f'The nearest is "{near}".' if near else f"There are {', '.join(names[:20])}."
        keys = (*table.keys, table.spelled.get("phases", "phases"), number)
        faults.add(keys, f"{table.path}.phases", f'there is no phase "{name}".', remedy)
    return tuple(found)
