"""The train from the load to the mains: drawings, shares at the motor shaft, fields."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from dutyline.app.workbench.fields import Faults, stated, unstated
from dutyline.app.workbench.records import FieldView, PartView
from dutyline.axis.fields import SECTIONS
from dutyline.axis.fields_mechanism import TITLES
from dutyline.axis.model import Axis
from dutyline.catalogue.pairing import NONE
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.fitted import Chosen, chosen
from dutyline.checks.records import Verdict
from dutyline.core.numbers import quantity
from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.strokes import STYLES
from dutyline.report.figures.symbols import SYMBOLS
from dutyline.report.parts import (
    brake_words,
    drive_words,
    gearhead_words,
    motor_words,
    resistor_words,
)
from dutyline.report.peak import PeakPoint, peak_point
from dutyline.report.sections.adds import Addition, additions
from dutyline.report.sections.answer import train_parts

_PRODUCTS = ("gearhead", "motor", "brake", "drive", "resistor")
_SECTIONS = {
    "load": ("load", "force", "balance", "tandem"),
    "mechanism": ("mechanism",),
    "motor": ("require",),
    "brake": ("stop",),
    "drive": ("site",),
    "resistor": ("duty",),
}
"""Sections of the file whose fields open under a part."""


@cache
def drawing(kind: str) -> str:
    """One part as SVG, 168 by 84 units, shaft at 46."""
    canvas = Canvas(168, 84, kind)
    for style, letters in SYMBOLS[kind]:
        colour, width, fill, dash = STYLES[style]
        canvas.path(letters, colour, width, fill, dash)
    return canvas.svg()


def parts(verdict: Verdict, faults: Faults) -> tuple[tuple[PartView, ...], str]:
    """Every part, and what they are together at the motor shaft."""
    axis, line = verdict.axis, verdict.line
    shown = verdict.cases[0] if verdict.cases else verdict
    point = peak_point(shown)
    adds = additions(point, shown) if point is not None else []
    inertia = math.fsum(a.inertia for a in adds)
    torque = math.fsum(a.torque for a in adds)
    by_name = {a.name: a for a in adds}
    own = chosen(verdict)
    found: list[PartView] = []
    stage = 0
    for n, part in enumerate(train_parts(verdict)):
        if part.kind in _PRODUCTS:
            key = part.kind
        elif n == 0:
            key = "load"
        else:
            mechanism = not any(p.key == "mechanism" for p in found)
            stage += not mechanism
            key = "mechanism" if mechanism else f"stage-{stage}"
        name = part.name
        if key == "mechanism":
            name = TITLES.get(axis.train.kind, part.name)
        add = by_name.get("Load" if key == "load" else part.name)
        here, more = _fields(axis, key, stage, faults)
        found.append(
            PartView(
                key=key,
                name=name,
                said=_said(key, axis, own, verdict, point),
                drawing=drawing(part.kind),
                electric=part.kind in ("drive", "resistor"),
                fields=here,
                more=more,
                options=_options(line, key),
                chosen=getattr(verdict.combination, key, None) or "",
                **_shares(add, inertia, torque),
            )
        )
    together = ""
    if adds and inertia > 0:
        together = f"Together {quantity(inertia, 'kg*m^2')} and {quantity(torque, 'N*m')}."
    return tuple(found), together


def _shares(add: Addition | None, inertia: float, torque: float) -> dict[str, Any]:
    if add is None or inertia <= 0 or torque == 0:
        return {}
    return {
        "inertia": quantity(add.inertia, "kg*m^2", n=2),
        "inertia_share": add.inertia / inertia,
        "torque": quantity(add.torque, "N*m", n=2),
        "torque_share": add.torque / torque,
    }


def _fields(
    axis: Axis, key: str, stage: int, faults: Faults
) -> tuple[tuple[FieldView, ...], tuple[FieldView, ...]]:
    if key.startswith("stage-"):
        base = f"stage.{stage}"
        kind = axis.stages[stage - 1].kind if stage <= len(axis.stages) else None
        name = axis.stages[stage - 1].name if stage <= len(axis.stages) else ""
        bases = [base, f"stage.{name}"] if name else [base]
        return stated(axis, bases, faults), unstated(
            axis, SECTIONS["stage"], kind, bases[-1], faults
        )
    names = _SECTIONS.get(key, ())
    here = stated(axis, names, faults)
    more: tuple[FieldView, ...] = ()
    for name in names:
        section = SECTIONS[name]
        if section.many or not section.used:
            continue
        more += unstated(axis, section, kind_of(axis, name), name, faults)
    return here, more


def kind_of(axis: Axis, section: str) -> str | None:
    """The kind by which the fields of a section are chosen."""
    kind = axis.train.kind
    if section == "mechanism":
        return kind
    if section == "load":
        if kind in ("direct", "ratio-table") and not axis.linear:
            return f"{kind} rotary"
        return kind
    return None


def _options(line: ProductLine | None, key: str) -> tuple[str, ...]:
    if line is None or key not in _PRODUCTS:
        return ()
    names = tuple(part.name for part in getattr(line, f"{key}s"))
    return names if key == "motor" else (NONE, *names)


def _said(key: str, axis: Axis, own: Chosen, verdict: Verdict, point: PeakPoint | None) -> str:
    """What a part is, in one line."""
    if key == "load":
        mass = next((i for i in axis.inputs if i.path in ("load.mass", "load.inertia")), None)
        typed = getattr(getattr(mass, "value", None), "typed", "")
        return f"{typed} moving" if typed else ""
    if key == "motor" and own.motor is not None:
        return motor_words(own.motor)
    if key == "gearhead" and own.gearhead is not None:
        return gearhead_words(own.gearhead)
    if key == "brake" and own.brake is not None:
        return brake_words(own.brake)
    if key == "drive" and own.drive is not None:
        return drive_words(own.drive)
    if key == "resistor" and own.resistor is not None:
        return resistor_words(own.resistor)
    if key == "mechanism":
        reach = getattr(verdict.extra.get("output"), "travel_per_radian", None)
        if reach is not None:
            unit = "m" if axis.linear else "rad"
            return f"{quantity(abs(reach) * 2 * math.pi, unit)} per turn"
    return ""
