"""Results as plain data for programs: stable names, SI numbers with their units.

A quantity is ``{"value": number, "unit": "N*m"}``; what is not known is ``null``, and so is what
is not finite. Fields in ``remedies`` are paths of the axis file, and so are those in ``assumed``
but for data of parts, which are named by part and column.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from dutyline.app.demand import (
    PhaseDemand,
    StopDemand,
    case_table,
    effort_unit,
    linear_shaft,
    peak_power,
    phase_table,
    speed_unit,
    stop_table,
    supply_currents,
    worst_cases,
)
from dutyline.axis.beside import checksum_beside
from dutyline.axis.model import Axis, Question
from dutyline.catalogue.assumed_words import file_of, heading
from dutyline.catalogue.assumptions import Assumption
from dutyline.catalogue.columns import UNITS
from dutyline.catalogue.content import content_hash, thresholds_checksum
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.asking import Wanted, wanted
from dutyline.checks.records import Combination, Line, Verdict
from dutyline.checks.sentence import assumed_data
from dutyline.core.version import VERSION
from dutyline.demand.output import OutputDemand

Json = dict[str, Any]

_UNITS = {
    "inertia": "kg*m^2",
    "load_inertia": "kg*m^2",
    "mean_power": "W",
    "peak_power": "W",
    "hold_torque": "N*m",
    "inertia_ratio": "1",
    "inertia_ratio_min": "1",
    "use": "1",
    "net_per_cycle": "1",
    "trip_cycle": "1",
    "max": "degC",
    "min": "degC",
    "mean": "degC",
    "housing_max": "degC",
    "ripple": "K",
    "first_cycle_max": "degC",
    "restart": "degC",
    "time_to_warm": "s",
    "time_to_cold": "s",
    "work": "J",
    "time": "s",
    "drive_heat": "W",
    "locked_frequency": "Hz",
    "resonance": "Hz",
    "velocity_bandwidth": "rad/s",
    "position_gain": "1/s",
}
"""Units of the figures in ``demand`` of a verdict that their names do not tell."""
_ENDINGS = {"torque": "N*m", "speed": "rad/s", "current": "A", "energy": "J", "power": "W"}


def number(value: float | None) -> float | None:
    """The number, or None where it is not known or not finite."""
    if value is None or not math.isfinite(value):
        return None
    return float(value)


def quantity(value: float | None, unit: str) -> Json:
    """A number with its SI unit."""
    return {"value": number(value), "unit": unit or "1"}


def unit_of(place: str, name: str, axis: Axis) -> str:
    """SI unit of one figure in ``demand`` of a verdict."""
    if place == "tool" or name in ("distance", "before_grip"):
        return "m" if axis.linear else "rad"
    if place == "output" and linear_shaft(axis):
        return "m/s" if name.endswith("speed") else "N"
    if name in _UNITS:
        return _UNITS[name]
    for ending, unit in _ENDINGS.items():
        if name.endswith("_" + ending) or name.startswith(ending + "_"):
            return unit
    return "1"


def dumps(data: Any) -> str:
    """JSON text with a line end; keys in the order given."""
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def axis_json(axis: Axis) -> Json:
    """Which axis was judged: words, and the checksum of the very bytes."""
    return {
        "title": axis.title,
        "file": axis.file,
        "checksum": axis.checksum,
        "files": {name: checksum_beside(text) for name, text in axis.files.items()},
        "variant": axis.variant or None,
        "motors": axis.motors,
    }


def product_line_json(line: ProductLine) -> Json:
    """Which product data were used: name, edition, and the hash over all they say."""
    return {
        "name": line.name,
        "folder": line.folder,
        "edition": line.edition or None,
        "date": line.date or None,
        "currency": line.currency or None,
        "content_hash": content_hash(line),
        "estimated": len(line.assumed),
        "audit_checksum": thresholds_checksum(line) or None,
    }


def question_json(question: Question) -> Json:
    """A question that is still open."""
    return {
        "text": question.text,
        "field": question.path,
        "effect": question.effect,
        "used": question.used or None,
    }


def assumed_json(axis: Axis) -> list[Json]:
    """Inputs that nobody stated: assumed ones and defaults."""
    found = []
    for item in axis.inputs:
        value = item.value
        if isinstance(value, str) or value.status not in ("assumed", "default"):
            continue
        found.append(
            {
                "field": item.path,
                "label": item.label,
                "status": value.status,
                **quantity(value.si, value.unit),
            }
        )
    return found


def _phase_json(row: PhaseDemand, axis: Axis, demand: OutputDemand) -> Json:
    travel = "m" if axis.linear else "rad"
    effort = effort_unit(demand)
    return {
        "name": row.name,
        "do": row.do,
        "start": quantity(row.start, "s"),
        "time": quantity(row.duration, "s"),
        "distance": quantity(row.distance, travel),
        "load_top_speed": quantity(row.load_top_speed, f"{travel}/s"),
        "load_top_acceleration": quantity(row.load_top_acceleration, f"{travel}/s^2"),
        "top_speed": quantity(row.top_speed, speed_unit(demand)),
        "peak_torque": quantity(row.peak_torque, effort),
        "rms_torque": quantity(row.rms_torque, effort),
        "carry": list(row.carry),
        "held_by": row.held_by,
    }


def _stop_json(row: StopDemand, demand: OutputDemand) -> Json:
    travel = "m" if demand.axis.linear else "rad"
    return {
        "name": row.name,
        "load_speed": quantity(row.speed, f"{travel}/s"),
        "distance": quantity(row.distance, travel),
        "time": quantity(row.time, "s"),
        "peak_torque": quantity(row.peak_torque, effort_unit(demand)),
        "energy_regenerated": quantity(row.returned, "J"),
    }


def demand_json(demand: OutputDemand) -> Json:
    """``dutyline.demand/1``"""
    axis, effort, speed = demand.axis, effort_unit(demand), speed_unit(demand)
    inertia = "kg" if effort == "N" else "kg*m^2"
    power, returned = peak_power(demand)
    units = {"peak_speed": speed, "peak_torque": effort, "rms_torque": effort,
             "energy_regenerated": "J"}  # fmt: skip
    return {
        "schema": "dutyline.demand/1",
        "axis": axis_json(axis),
        "case": axis.case,
        "cases": [case.case for case in axis.cases],
        "case_figures": [
            {
                "case": row.name,
                "peak_speed": quantity(row.peak_speed, speed),
                "peak_torque": quantity(row.peak_torque, effort),
                "rms_torque": quantity(row.rms_torque, effort),
                "reflected_inertia": quantity(row.inertia_max, inertia),
            }
            for row in case_table(demand)
        ],
        "cycle_time": quantity(demand.cycle_time, "s"),
        "shaft": "output",
        "peak_speed": quantity(demand.peak_speed, speed),
        "peak_torque": quantity(demand.peak_torque, effort),
        "rms_torque": quantity(demand.rms_torque, effort),
        "mean_speed": quantity(demand.mean_speed, speed),
        "peak_power": {
            "motoring": quantity(power, "W"),
            "regenerated": quantity(returned, "W"),
        },
        "supply_current": [
            {"voltage": quantity(v, "V"), "peak": quantity(i, "A")}
            for v, i in supply_currents(demand)
        ],
        "reflected_inertia": {
            "min": quantity(demand.inertia_min, inertia),
            "max": quantity(demand.inertia_max, inertia),
        },
        "worst": [
            {"figure": w.figure, **quantity(w.value, units[w.figure]), "case": w.case}
            for w in worst_cases(demand)
        ],
        "energy_motoring": quantity(demand.energy_motoring, "J"),
        "energy_regenerated": quantity(demand.energy_regenerated, "J"),
        "energy_balance": {
            "friction": quantity(demand.friction_work, "J"),
            "losses": quantity(float(demand.lost.sum()), "J"),
            "process": quantity(demand.process_work, "J"),
            "lifted": quantity(demand.lifted, "J"),
            "inertia": quantity(demand.inertia_work, "J"),
            "residue": number(demand.balance),
        },
        "phases": [_phase_json(row, axis, demand) for row in phase_table(demand)],
        "stops": [_stop_json(row, demand) for row in stop_table(demand)],
        "assumed": assumed_json(axis),
        "questions": [question_json(q) for q in axis.questions],
        "notes": list(axis.notes),
    }


def combination_json(combination: Combination) -> Json:
    """Names of the parts; ``null`` where there is none."""
    return asdict(combination)


def line_json(line: Line) -> Json:
    """One line of the ledger."""
    return {
        "check": line.check,
        "part": line.part,
        "title": line.title,
        "case": line.case,
        "demand": quantity(line.demand, line.unit),
        "limit": quantity(line.limit, line.unit),
        "margin": number(line.margin),
        "required": number(line.required),
        "severity": line.severity,
        "state": line.state,
        "at": None if line.at is None else quantity(line.at, "s"),
        "at_speed": None if line.at_speed is None else quantity(line.at_speed, "rad/s"),
        "phase": line.phase,
        "assumed": list(line.assumed),
        "assumed_data": line.on_assumed_data,
        "estimated": line.estimated,
        "missing": list(line.missing),
        "text": line.text or None,
        "remedies": [
            {"field": r.field, "from": r.before, "to": r.after, "text": r.text}
            for r in line.remedies
        ],
        "formula": line.formula,
        "source": line.source,
    }


def _figures(demand: Mapping[str, Mapping[str, float | None]], axis: Axis) -> Json:
    return {
        place: {
            name: quantity(value, unit_of(place, name, axis)) for name, value in figures.items()
        }
        for place, figures in demand.items()
    }


def _case_json(verdict: Verdict, *, brief: bool) -> Json:
    """One of several cases by itself."""
    figures = {} if brief else {"demand": _figures(verdict.demand, verdict.axis)}
    return {
        "name": verdict.axis.case,
        "note": verdict.axis.remark or None,
        "verdict": verdict.verdict,
        "binding": verdict.binding,
        **figures,
    }


def assumption_json(assumption: Assumption) -> Json:
    """A datum of a part that nobody stated, and what was taken for it."""
    unit = UNITS[heading(assumption).unit][2]
    return {
        "part": assumption.part,
        "file": file_of(assumption),
        "column": heading(assumption).name,
        **quantity(assumption.value, unit),
        "low": number(assumption.low),
        "high": number(assumption.high),
        "method": assumption.method,
        "source": assumption.source,
        "status": "assumed",
        "estimate": assumption.estimate,
        "safe": assumption.safe,
    }


def wanted_json(datum: Wanted) -> Json:
    """An empty cell that checks wait for."""
    return {
        "part": datum.ask.part,
        "file": datum.ask.file,
        "column": datum.ask.column,
        "words": datum.words,
        "must": list(datum.musts),
        "other": list(datum.others),
        "estimate": datum.estimate or None,
    }


def verdict_json(verdict: Verdict, *, brief: bool = False) -> Json:
    """``dutyline.verdict/1``; ``brief`` leaves out the figures of each of several cases."""
    return {
        "schema": "dutyline.verdict/1",
        "version": VERSION,
        "axis": axis_json(verdict.axis),
        "line": None if verdict.line is None else product_line_json(verdict.line),
        "combination": combination_json(verdict.combination),
        "verdict": verdict.verdict,
        "binding": verdict.binding,
        "demand": _figures(verdict.demand, verdict.axis),
        "cases": [_case_json(case, brief=brief) for case in verdict.cases],
        "ledger": [line_json(line) for line in verdict.ledger],
        "assumed_data": [assumption_json(a) for a in assumed_data(verdict)],
        "data_to_ask": [wanted_json(w) for w in wanted(verdict.ledger, verdict.line)],
        "cautions": list(verdict.cautions),
    }


def report_json(verdict: Verdict, path: object, data: object = None) -> Json:
    """``dutyline.report/1``"""
    return {
        "schema": "dutyline.report/1",
        "file": str(path),
        "data": None if data is None else str(data),
        "version": VERSION,
        "axis": axis_json(verdict.axis),
        "line": None if verdict.line is None else product_line_json(verdict.line),
        "combination": combination_json(verdict.combination),
        "verdict": verdict.verdict,
        "binding": verdict.binding,
    }
