"""Results as JSON: stable names, SI quantities, null for what is not known."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from dutyline.app.demand import demand, phase_table
from dutyline.app.records_json import demand_json, dumps, number, unit_of, verdict_json
from dutyline.axis.model import Input, Question
from dutyline.core.values import Value
from support import ledgers

LINE_KEYS = {
    "check", "part", "title", "case", "demand", "limit", "margin", "required", "severity", "state",
    "at", "at_speed", "phase", "assumed", "assumed_data", "estimated", "missing", "text",
    "remedies", "formula", "source",
}  # fmt: skip


def test_verdict_keys():
    data = verdict_json(ledgers.verdict())
    assert data["schema"] == "dutyline.verdict/1"
    assert data["combination"] == {
        "motor": "XM72-0450H", "gearhead": "XG72-6", "drive": "XD-H4", "brake": "XB72",
        "resistor": None,
    }  # fmt: skip
    assert data["verdict"] == "incomplete"
    assert data["binding"] == "standstill-torque"
    assert {frozenset(line) for line in data["ledger"]} == {frozenset(LINE_KEYS)}


def test_quantities_carry_their_unit():
    data = verdict_json(ledgers.verdict())
    assert data["demand"]["motor"]["peak_torque"] == {"value": 2.6, "unit": "N*m"}
    assert data["demand"]["motor"]["rms_current"] == {"value": None, "unit": "A"}
    top = next(line for line in data["ledger"] if line["check"] == "top-speed")
    assert top["at"] == {"value": 0.2, "unit": "s"}
    assert top["demand"]["unit"] == "rad/s"


def test_missing_and_endless_are_null():
    data = verdict_json(ledgers.verdict())
    life = next(line for line in data["ledger"] if line["check"] == "gear-life")
    assert life["limit"] == {"value": None, "unit": "s"}
    settling = next(line for line in data["ledger"] if line["check"] == "settling")
    assert settling["margin"] is None
    assert settling["missing"] == ["belt stiffness"]


def test_remedies():
    data = verdict_json(ledgers.verdict())
    assert data["ledger"][0]["remedies"] == [
        {
            "field": "phase.unload.hold",
            "from": "ideal",
            "to": "brake",
            "text": "Close the brake while unloading.",
        }
    ]


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, None])
def test_numbers_that_are_none(value):
    assert number(value) is None


def test_text_is_strict_json():
    text = dumps(verdict_json(ledgers.verdict()))
    json.loads(text, parse_constant=lambda name: pytest.fail(f"{name} is not JSON"))
    assert text.endswith("}\n")


@pytest.mark.parametrize(
    ("place", "name", "unit"),
    [
        ("motor", "peak_torque", "N*m"),
        ("motor", "mean_speed", "rad/s"),
        ("motor", "inertia_ratio", "1"),
        ("motor", "energy_motoring", "J"),
        ("motor", "rms_current", "A"),
        ("output", "equivalent_torque", "N"),
        ("bus", "resistor_energy", "J"),
        ("winding", "housing_max", "degC"),
        ("winding", "ripple", "K"),
        ("winding", "first_cycle_max", "degC"),
        ("winding", "restart", "degC"),
        ("winding", "time_to_warm", "s"),
        ("winding", "time_to_cold", "s"),
        ("winding", "cycles_to_warm", "1"),
        ("overload", "use", "1"),
        ("tool", "backlash", "m"),
    ],
)
def test_units_follow_from_the_names(place, name, unit):
    assert unit_of(place, name, ledgers.axis()) == unit


def test_demand_keys():
    axis = replace(
        ledgers.axis(),
        inputs=(
            Input("load.friction", "Load", "Friction", "mu", Value(0.01, "1", status="assumed")),
            Input("load.mass", "Load", "Mass", "m", Value(12.0, "kg", "12 kg"), 5),
        ),
        questions=(Question("How stiff is the belt?", "mechanism.stiffness", "Opens 3 checks."),),
    )
    data = demand_json(demand(axis))
    assert data["schema"] == "dutyline.demand/1"
    assert data["shaft"] == "output"
    assert data["cycle_time"] == {"value": 2.0, "unit": "s"}
    assert [a["field"] for a in data["assumed"]] == ["load.friction"]
    assert data["questions"][0]["field"] == "mechanism.stiffness"
    assert data["peak_torque"]["unit"] == "N"
    assert [p["name"] for p in data["phases"]] == ["up", "2"]


def test_phase_table_adds_up_to_the_cycle():
    """The mean square of the cycle is that of its phases, weighted by time (definition)."""
    result = demand(ledgers.axis())
    rows = phase_table(result)
    squares = sum(row.rms_torque**2 * row.duration for row in rows) / result.cycle_time
    assert math.sqrt(squares) == pytest.approx(result.rms_torque, rel=1e-12)
    assert max(row.peak_torque for row in rows) == pytest.approx(result.peak_torque, rel=1e-12)


def test_phase_table_by_hand():
    """12 kg straight up: m (g + a) while it speeds up at 6 m/s², m g at rest (Newton)."""
    up, rest = phase_table(demand(ledgers.axis()))
    assert up.peak_torque == pytest.approx(117.68 + 12 * 6.0, rel=1e-12)
    assert rest.rms_torque == pytest.approx(117.68, rel=1e-12)
    assert rest.held_by == "motor"
    assert up.held_by == "moving"
