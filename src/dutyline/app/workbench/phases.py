"""The phases of a cycle for a rail and a table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from dutyline.app.workbench.fields import RIGHT, Faults, choices, field_of, hint
from dutyline.app.workbench.records import FieldView, PhaseView, Wrong
from dutyline.axis.edit import shown
from dutyline.axis.edit_phases import KINDS
from dutyline.axis.fields import SECTIONS, plain
from dutyline.axis.forms import Field
from dutyline.axis.model import Axis
from dutyline.core.numbers import quantity
from dutyline.motion.pieces import Phase
from dutyline.report.sections.demand import held

_DISTANCE = ("by", "to", "turns")
_MOVED = ("move", "run", "follow")
_COLUMNS = ("do", "name", "time", "law", "carry", "hold")
_PLAIN = ("points",)
"""What no single field holds."""

Rows = Sequence[Mapping[str, Any]]


def phases(axis: Axis, faults: Faults, rows: Rows | None = None) -> tuple[PhaseView, ...]:
    """Every phase in order of time, with what can be typed into it.

    Parameters
    ----------
    axis : Axis
        That could be computed.
    faults : mapping of str to Wrong
    rows : sequence of mapping, optional
        Phases as they stand, where that is not what could be computed.
    """
    tables = list(axis.stated.get("phase", [])) if rows is None else list(rows)
    cyclic = [(n, t) for n, t in enumerate(tables, 1) if plain(str(t.get("do", ""))) != "stop"]
    run = axis.cycle.phases
    known = len(run) == len(cyclic) and all(
        phase.do == str(table.get("do")) for phase, (_, table) in zip(run, cyclic, strict=True)
    )
    return tuple(
        _Row(axis, faults, place, table, run[k] if known else None).view(k, len(cyclic))
        for k, (place, table) in enumerate(cyclic)
    )


class _Row:
    """One phase on its way to a view."""

    def __init__(
        self, axis: Axis, faults: Faults, place: int, table: Mapping[str, Any], run: Phase | None
    ) -> None:
        self.axis, self.faults, self.place, self.table, self.run = axis, faults, place, table, run
        self.name = str(table.get("name") or "")
        self.base = f"phase.{self.name or place}"
        self.do = str(table.get("do", ""))
        self.unit = "m" if axis.linear else "rad"
        self.inputs = {i.path: i for i in axis.inputs if i.path.startswith(f"{self.base}.")}

    def view(self, number: int, count: int) -> PhaseView:
        """Row and block of the phase."""
        run, do = self.run, self.do
        stands = run is None or (run.distance == 0 and run.top_speed == 0)
        echoed = "" if run is None else quantity(run.duration, "s")
        gone = "" if run is None else quantity(run.distance, self.unit)
        distance = next((n for n in _DISTANCE if n in self.table), "by")
        allowed = _allowed(do)
        also = [n for n in self.table if n in allowed and n not in (*_COLUMNS, distance, *_PLAIN)]
        stated = {*_COLUMNS, distance, *also, *_PLAIN, "force" if self.axis.linear else "torque"}
        return PhaseView(
            place=self.place,
            own=self.name or str(self.place),
            label=f"{number + 1} {self.name}" if self.name else str(number + 1),
            name=self.name,
            do=do,
            kinds=KINDS if do in KINDS else (do, *KINDS),
            time=self._field("time", echoed) if "time" in allowed else None,
            distance=self._field(distance, gone) if do in _MOVED else None,
            law=self._field("law", allowed["law"].default) if "law" in allowed else None,
            carry=self._field("carry"),
            hold=self._field("hold", held(run) if run else "") if do == "dwell" else None,
            also=tuple(self._field(n) for n in also),
            more=tuple((self._path(n), f.label) for n, f in allowed.items() if n not in stated),
            start=0.0 if run is None else run.start,
            duration=None if run is None else run.duration,
            moving=not stands,
            top="" if run is None or stands else quantity(run.top_speed, f"{self.unit}/s"),
            held="" if run is None else held(run),
            first=number == 0,
            last=number + 1 == count,
            fault=self._fault(),
        )

    def _path(self, name: str) -> str:
        return f"{self.base}.{name}"

    def _fault(self) -> str:
        told = (w.said for path, w in self.faults.items() if path.startswith(f"{self.base}."))
        return next(told, "")

    def _field(self, name: str, echo: str = "") -> FieldView:
        path = self._path(name)
        wrong, stands = self.faults.get(path, RIGHT), self.table.get(name)
        whole = stands if isinstance(stands, Mapping) else {}
        known = self.inputs.get(path)
        return _view(
            path,
            wrong.typed or shown(stands),
            echo,
            str(whole.get("status", "given")),
            str(whole.get("note", "")),
            wrong,
            known.usual if known else "",
            known.unusual if known and not wrong.typed else "",
        )


@lru_cache(maxsize=64)
def _allowed(do: str) -> Mapping[str, Field]:
    """Fields of a phase that does this, by name."""
    return {f.name: f for f in SECTIONS["phase"].fields_of(do)}


@lru_cache(maxsize=1024)
def _view(
    path: str,
    typed: str,
    echo: str,
    status: str,
    note: str,
    wrong: Wrong,
    usual: str,
    unusual: str,
) -> FieldView:
    """A field of a phase; most edits leave most of them as they are."""
    field = field_of(path)
    return FieldView(
        path=path,
        label="" if field is None else field.label,
        symbol="" if field is None else field.symbol,
        typed=typed,
        shown=echo,
        status=status if typed else "",
        note=note,
        hint=hint(field, usual),
        choices=choices(field),
        fault=wrong.said,
        meanings=wrong.meanings,
        stated=bool(typed),
        odd=unusual,
    )
