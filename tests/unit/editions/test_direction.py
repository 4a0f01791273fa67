"""A figure that is said to allow less makes the check that it limits tighter."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

import dutyline as dl
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.origins import KINDS
from dutyline.editions.direction import _ALLOWS, _DEMANDS, effect_of
from support.command import LIFT

PARTS = dl.Combination("XM72-0450H", "XG72-24", "XD-H4", "XB72", "XR-H80-90")
LIMITS = [
    # field, the check whose limit it states
    ("motors", "winding_limit", "winding-temperature"),
    ("motors", "brake_factor", "continuous-use"),
    ("gearheads", "torque_rated", "gear-equivalent"),
    ("gearheads", "torque_acceleration", "gear-peak"),
    ("gearheads", "torque_emergency", "gear-emergency"),
    ("gearheads", "speed_in_mean", "gear-mean-speed"),
    ("gearheads", "speed_in_max", "gear-max-speed"),
    ("gearheads", "life", "gear-life"),
    ("gearheads", "thermal_resistance", "gear-thermal"),
    ("drives", "current_rated", "drive-continuous-current"),
    ("drives", "current_peak", "drive-peak-current"),
    ("drives", "resistor_min", "resistor-minimum"),
    ("brakes", "torque_static", "brake-hold"),
    ("brakes", "engage_time", "brake-stop-energy"),
    ("brakes", "work_per_stop", "brake-stop-energy"),
    ("brakes", "work_total", "brake-life"),
    ("brakes", "speed_max", "brake-speed"),
    ("resistors", "power_mean", "resistor-mean"),
    ("resistors", "pulse_energy", "resistor-pulse"),
]


@pytest.fixture(scope="module")
def judged():
    axis = dl.read_axis(LIFT)

    def margins(line):
        return {ln.check: ln.margin for ln in dl.verify(axis, PARTS, line).ledger}

    return margins, margins(demo_line())


@pytest.mark.parametrize(("kind", "field", "check"), LIMITS)
def test_less_is_tighter(judged, kind, field, check):
    margins, before = judged
    line, one = demo_line(), kind.removesuffix("s")
    place = getattr(line, f"{one}_index")[getattr(PARTS, one)]
    part = getattr(line, kind)[place]
    grows = effect_of(kind, field, True) == "less"
    changed = replace(part, **{field: getattr(part, field) * (1.1 if grows else 0.9)})
    parts = tuple(changed if p is part else p for p in getattr(line, kind))
    assert effect_of(kind, field, grows) == "less"
    assert margins(replace(line, **{kind: parts}))[check] < before[check]


def test_the_lists_name_fields_and_are_apart():
    for kind, names in (*_ALLOWS.items(), *_DEMANDS.items()):
        known = {f.name for f in fields(KINDS[kind].record)}
        assert set(names) <= known, kind
        assert len(set(names)) == len(names)
    for kind, names in _ALLOWS.items():
        assert not set(names) & set(_DEMANDS[kind])


@pytest.mark.parametrize(
    ("kind", "field"),
    [("motors", "inertia"), ("motors", "torque_constant"), ("gearheads", "ratio"),
     ("resistors", "resistance"), ("drives", "loss_fixed"), ("motors", "price")],
)  # fmt: skip
def test_what_goes_both_ways_is_not_said(kind, field):
    assert effect_of(kind, field, True) == effect_of(kind, field, False) == ""
