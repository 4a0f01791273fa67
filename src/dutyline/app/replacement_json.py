"""A replacement for programs, ``dutyline.replacement/1``."""

from __future__ import annotations

from typing import Any

from dutyline.app.records_json import number, product_line_json
from dutyline.checks.records import Verdict
from dutyline.checks.sentence import verdict_sentence
from dutyline.replacement.records import (
    Compared,
    Equivalent,
    Fact,
    Hurt,
    MeasuredDuty,
    Replacement,
    Setting,
)


def replacement_json(found: Replacement) -> dict[str, Any]:
    """``dutyline.replacement/1``: quantities in SI."""
    plate = found.plate
    return {
        "schema": "dutyline.replacement/1",
        "title": plate.title,
        "plate": {
            "file": plate.file,
            "checksum": plate.checksum,
            "figures": [_fact(fact) for fact in plate.facts.values()],
            "words": dict(plate.words),
            "flags": dict(plate.flags),
            "ratio": None if plate.ratio is None else str(plate.ratio),
            "not_used": list(plate.open_forms),
            "contradictions": [
                {
                    "fields": list(c.paths),
                    "ratio": number(c.ratio),
                    "text": c.text,
                    "question": c.question or None,
                }
                for c in plate.contradictions
            ],
            "questions": [
                {"text": q.text, "field": q.path, "effect": q.effect, "used": q.used or None}
                for q in plate.questions
            ],
        },
        "line": product_line_json(found.line),
        "compared": found.compared,
        "left_out": found.left_out,
        "meets": found.meets,
        "equivalents": [_equivalent(e) for e in found.equivalents],
        "old_on_axis": None if found.old_verdict is None else _verdict(found.old_verdict),
        "notes": list(found.notes) + ([found.old_gap] if found.old_gap else []),
        "cautions": list(found.cautions),
    }


def _quantity(value: float | None, unit: str) -> dict[str, Any] | None:
    return None if value is None else {"value": number(value), "unit": unit}


def _fact(fact: Fact) -> dict[str, Any]:
    ends = None
    if fact.low is not None and fact.high is not None:
        ends = [number(fact.low), number(fact.high)]
    return {
        "field": fact.path,
        "value": _quantity(fact.si, fact.unit),
        "range": ends,
        "typed": fact.typed or None,
        "status": fact.status,
        "method": fact.method or None,
    }


def _equivalent(one: Equivalent) -> dict[str, Any]:
    c = one.combination
    return {
        "motor": c.motor,
        "gearhead": c.gearhead,
        "drive": c.drive,
        "brake": c.brake,
        "offered": one.offered,
        "state": one.state,
        "distance": number(one.distance),
        "hurts": [_hurt(hurt) for hurt in one.hurts],
        "properties": [_row(row) for row in one.rows],
        "on_axis": None if one.verdict is None else _verdict(one.verdict),
        "on_trace": None if one.duty is None else _duty(one.duty),
    }


def _duty(duty: MeasuredDuty) -> dict[str, Any]:
    return {
        "rms_torque": _quantity(duty.torque_rms, "N*m"),
        "peak_torque": _quantity(duty.torque_peak, "N*m"),
        "mean_speed": _quantity(duty.speed_mean, "rad/s"),
        "peak_speed": _quantity(duty.speed_peak, "rad/s"),
        "effective_speed": _quantity(duty.speed_effective, "rad/s"),
        "inertia_change": _quantity(duty.inertia_change, "kg*m^2"),
    }


def _verdict(verdict: Verdict) -> dict[str, Any]:
    """A verdict in short; "dutyline verify" tells all of it."""
    return {
        "verdict": verdict.verdict,
        "sentence": verdict_sentence(verdict),
        "binding": verdict.binding,
        "resistor": verdict.combination.resistor,
        "inertia_ratio": number(verdict.demand.get("motor", {}).get("inertia_ratio")),
    }


def _hurt(hurt: Hurt) -> dict[str, Any]:
    return {
        "kind": hurt.key,
        "text": hurt.text,
        "settings": [_setting(setting) for setting in hurt.settings],
    }


def _setting(setting: Setting) -> dict[str, Any]:
    return {
        "name": setting.name,
        "value": _quantity(setting.value, setting.unit),
        "also": list(setting.also),
    }


def _row(row: Compared) -> dict[str, Any]:
    figure = bool(row.unit)
    return {
        "property": row.key,
        "group": row.group,
        "label": row.label,
        "old": _quantity(row.old_si, row.unit) if figure else row.old or None,
        "new": _quantity(row.new_si, row.unit) if figure else row.new or None,
        "tolerance": row.tolerance,
        "state": row.state,
        "severity": row.severity,
        "assumed": row.assumed,
        "missing": list(row.missing),
        "source": row.source,
    }
