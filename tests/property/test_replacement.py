"""Laws of a replacement that hold for every plate."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.catalogue.library import demo_line
from dutyline.replacement.records import Equivalent, Replacement
from dutyline.replacement.search import find
from support.plates import own_entries, plate_of, states, text_of

pytestmark = pytest.mark.property
LINE = demo_line()
MOTORS = {motor.name: motor for motor in LINE.motors}
UNSTATED = ("shaft-length", "shaft-form", "length", "connector")
"""What no product line states."""


def of(found: Replacement, name: str) -> Equivalent:
    return next(e for e in found.equivalents if e.combination.motor == name)


def own(name: str) -> dict[str, dict[str, str]]:
    return own_entries(LINE, MOTORS[name])


@pytest.mark.parametrize("name", MOTORS)
def test_a_motor_of_the_line_is_its_own_first_equivalent(name):
    found = find(plate_of(text_of(own(name))), LINE)
    best = found.equivalents[0]
    assert best.combination.motor == name
    assert best.state == "meets"
    assert {key: state for key, state in states(best).items() if state != "meets"} == dict.fromkeys(
        UNSTATED, "not-checked"
    )
    assert best.distance < 0.01
    assert best.settings == ()
    assert found.plate.contradictions == ()


def dropped(name: str, keys: set[tuple[str, str]]) -> dict[str, dict[str, str]]:
    return {
        section: {key: text for key, text in rows.items() if (section, key) not in keys}
        for section, rows in own(name).items()
    }


KEYS = [(section, key) for section, rows in own("XM72-0450H").items() for key in rows
        if not key.endswith("_form")]  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(MOTORS)), st.sets(st.sampled_from(KEYS)), st.sampled_from(KEYS))
def test_knowing_less_never_turns_not_checked_into_meets(name, less, more):
    before = find(plate_of(text_of(dropped(name, less))), LINE)
    after = find(plate_of(text_of(dropped(name, less | {more}))), LINE)
    for one in before.equivalents:
        old, new = states(one), states(of(after, one.combination.motor))
        for key, state in old.items():
            if state == "not-checked":
                assert new.get(key, "not-checked") == "not-checked", (key, more)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(sorted(MOTORS)), st.sets(st.sampled_from(KEYS), min_size=1))
def test_what_is_not_known_is_not_met(name, less):
    found = find(plate_of(text_of(dropped(name, less))), LINE)
    for one in found.equivalents:
        for row in one.rows:
            if row.state == "not-checked":
                assert row.missing
            if row.state == "meets":
                assert row.old
                assert row.new


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(["power", "torque", "stall_torque", "peak_torque"]),
       st.floats(1.01, 3.0))  # fmt: skip
def test_asking_more_never_helps(key, factor):
    """A larger figure on the plate never turns a failing row into one that meets."""
    order = ["meets", "short", "fails"]
    entries = own("XM88-0800H")
    number, unit = entries["motor"][key].strip('"').split(" ", 1)
    larger = {**entries, "motor": {**entries["motor"], key: f'"{float(number) * factor!r} {unit}"'}}
    before, after = (find(plate_of(text_of(e)), LINE) for e in (entries, larger))
    rows = {"power": "power", "torque": "torque-at-speed", "stall_torque": "stall-torque",
            "peak_torque": "peak-torque"}  # fmt: skip
    for one in before.equivalents:
        old = states(one)[rows[key]]
        new = states(of(after, one.combination.motor))[rows[key]]
        assert order.index(new) >= order.index(old)
