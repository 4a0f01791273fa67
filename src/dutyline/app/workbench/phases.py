"""The phases of a cycle for a rail and a table."""

from __future__ import annotations

from dutyline.app.workbench.fields import RIGHT, Faults, choices, field_of, hint
from dutyline.app.workbench.records import FieldView, PhaseView
from dutyline.axis.model import Axis, Input
from dutyline.core.numbers import quantity
from dutyline.core.values import Value
from dutyline.motion.pieces import Phase
from dutyline.report.sections.demand import held, phase_name

_DISTANCE = ("by", "to", "turns")


def phases(axis: Axis, faults: Faults) -> tuple[PhaseView, ...]:
    """Every phase in order of time, with what can be typed into it."""
    numbers = _numbers(axis)
    return tuple(
        _phase(axis, n, phase, numbers.get(n, str(n)), faults)
        for n, phase in enumerate(axis.cycle.phases, start=1)
    )


def _numbers(axis: Axis) -> dict[int, str]:
    """How a phase is named in paths: its name, else its number in the file."""
    tables = axis.stated.get("phase", [])
    cyclic = [
        str(t.get("name") or n) for n, t in enumerate(tables, 1) if t.get("do") != "stop"
    ]  # fmt: skip
    return dict(enumerate(cyclic, 1))


def _phase(axis: Axis, number: int, phase: Phase, own: str, faults: Faults) -> PhaseView:
    unit = "m" if axis.linear else "rad"
    entries = {i.path: i for i in axis.inputs if i.path.startswith(f"phase.{own}.")}
    stands = phase.distance == 0 and phase.top_speed == 0
    distance = next((n for n in _DISTANCE if f"phase.{own}.{n}" in entries), "by")
    top = "" if stands else quantity(phase.top_speed, f"{unit}/s")
    moved = phase.do in ("move", "run")
    return PhaseView(
        number=number,
        name=phase_name(number, phase),
        do=phase.do,
        start=phase.start,
        duration=phase.duration,
        time=_field(f"phase.{own}.time", entries, faults, quantity(phase.duration, "s")),
        distance=(
            _field(f"phase.{own}.{distance}", entries, faults, quantity(phase.distance, unit))
            if moved
            else None
        ),
        law="" if stands else phase.law,
        carries=_carries(entries.get(f"phase.{own}.carry")),
        top=top,
        held=held(phase),
        moving=not stands,
        removable=len(axis.cycle.phases) > 1,
    )


def _carries(entry: Input | None) -> str:
    return entry.value if entry is not None and isinstance(entry.value, str) else ""


def _field(path: str, entries: dict[str, Input], faults: Faults, shown: str) -> FieldView:
    entry, field = entries.get(path), field_of(path)
    typed, status, note = "", "", ""
    if entry is not None and isinstance(entry.value, Value):
        typed, status, note = entry.value.typed, entry.value.status, entry.value.note
    elif entry is not None and isinstance(entry.value, str):
        typed, status = entry.value, "given"
    wrong = faults.get(path, RIGHT)
    typed = wrong.typed or typed
    return FieldView(
        path=path,
        label="" if field is None else field.label,
        symbol="" if field is None else field.symbol,
        typed=typed,
        shown=shown,
        status=status,
        note=note,
        hint=hint(field),
        choices=choices(field),
        fault=wrong.said,
        stated=bool(typed),
    )
