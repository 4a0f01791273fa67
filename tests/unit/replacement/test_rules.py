"""Tolerances at their ends."""

from __future__ import annotations

import pytest

from dutyline.replacement.records import Fact
from dutyline.replacement.rules import compared, judged, properties


@pytest.mark.parametrize(
    ("key", "old", "new", "state"),
    [
        ("peak-torque", 10.0, 9.7, "meets"),
        ("peak-torque", 10.0, 9.69, "short"),
        ("peak-torque", 10.0, 9.0, "short"),
        ("peak-torque", 10.0, 8.99, "fails"),
        ("peak-torque", 10.0, 0.0, "fails"),
        ("mass", 4.0, 4.4, "meets"),
        ("mass", 4.0, 6.01, "fails"),
        ("inertia", 2.0, 2.5, "meets"),
        ("inertia", 2.0, 1.6, "meets"),
        ("inertia", 2.0, 1.0, "short"),
        ("inertia", 2.0, 4.1, "fails"),
        ("flange", 0.08, 0.0801, "meets"),
        ("flange", 0.08, 0.0802, "fails"),
        ("gear-peak", 70.0, 70.0, "meets"),
        ("gear-peak", 70.0, 75.8, "fails"),
        ("voltage-at-speed", 200.0, 180.0, "meets"),
        ("voltage-at-speed", 200.0, 200.0, "short"),
        ("voltage-at-speed", 200.0, 201.0, "fails"),
        ("gear-backlash", 0.0, 0.0, "meets"),
        ("gear-backlash", 0.0, 0.001, "fails"),
    ],
)
def test_states(key, old, new, state):
    assert judged(properties()[key], old, new) == state


def test_every_property_has_a_source_and_a_severity():
    for rule in properties().values():
        assert rule.source, rule.key
        assert rule.severity in ("must", "caution", "note")
        assert rule.rule in ("at-least", "at-most", "same", "band", "word", "limit")


def test_a_range_counts_with_its_end_that_asks_most():
    old = Fact("", "", "N*m", 2.0, "assumed", 1.0, 3.0)
    assert compared("peak-torque", old, 2.5, "new").state == "fails"
    assert compared("peak-torque", old, 3.0, "new").state == "meets"


@pytest.mark.parametrize(
    ("old", "new"), [(None, 2.0), (Fact("", "", "N*m", 2.0), None), (None, None)]
)
def test_missing_is_never_met(old, new):
    row = compared("peak-torque", old, new, "new motor")
    assert row.state == "not-checked"
    assert row.missing
