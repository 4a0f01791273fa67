"""Drive, gearhead and fit around the motor; lines and axes that tell less or more."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.replacement.on_axis import find_on_axis
from dutyline.replacement.search import MOST_MOTORS, find, with_offers
from support.command import LIFT
from support.plates import own_entries, plate_of, states, text_of

LINE = demo_line()
OWN = own_entries(LINE, LINE.motors[LINE.motor_index["XM72-0450H"]])


def of(found, name):
    return next(e for e in found.equivalents if e.combination.motor == name)


def rows(one):
    return {row.key: row for row in one.rows}


def kept_drive(current: str, feedback: str = "absolute multi-turn"):
    more = f"""[drive]
current = "{current}"
peak_current = "10 A"
feedback = ["{feedback}"]
[keep]
drive = true
"""
    return find(plate_of(text_of(OWN) + more), LINE)


def test_a_kept_drive_has_to_carry_and_to_read_the_motor():
    # XM72-0450H takes 3.222 A at stall and 8.852 A at its peak
    one = of(kept_drive("3.3 A"), "XM72-0450H")
    assert one.state == "meets"
    assert one.combination.drive is None
    assert rows(of(kept_drive("3.1 A"), "XM72-0450H"))["drive-current"].state == "short"
    assert rows(of(kept_drive("2 A"), "XM72-0450H"))["drive-current"].state == "fails"
    unread = of(kept_drive("3.3 A", "resolver"), "XM72-0450H")
    assert (rows(unread)["feedback"].state, unread.state) == ("fails", "fails")


def test_another_feedback_only_warns_with_a_new_drive():
    entries = {**OWN, "motor": {**OWN["motor"], "feedback": '"resolver"'}}
    one = of(find(plate_of(text_of(entries)), LINE), "XM72-0450H")
    assert (rows(one)["feedback"].state, one.state) == ("fails", "meets")


def test_an_adapter_turns_fit_into_a_caution():
    entries = {**OWN, "motor": {**OWN["motor"], "flange": '"80 mm"'}}
    assert of(find(plate_of(text_of(entries)), LINE), "XM72-0450H").state == "fails"
    allowed = of(find(plate_of(text_of(entries) + "[keep]\nadapter = true\n"), LINE), "XM72-0450H")
    assert allowed.state == "meets"
    assert any("adapter" in hurt.text for hurt in allowed.hurts)


@pytest.mark.parametrize(
    ("entry", "state"),
    [('flange = "72 mm"\nshaft = "14 mm"', "meets"), ('flange = "80 mm"', "fails"),
     ('shaft = "13 mm"', "fails"), ('bolt_circle = "82 mm"', "meets")],
)  # fmt: skip
def test_a_kept_gearhead_takes_the_flange_and_bore_that_it_states(entry, state):
    text = text_of(OWN) + f'[gearhead]\nratio = "5"\n{entry}\n'
    assert states(of(find(plate_of(text), LINE), "XM72-0450H"))["gear-input"] == state


def test_brake_coil_and_torque():
    entries = {**OWN, "brake": {**OWN["brake"], "voltage": '"90 V"', "torque": '"4 N*m"'}}
    found = states(of(find(plate_of(text_of(entries)), LINE), "XM72-0450H"))
    assert (found["brake-voltage"], found["brake-torque"]) == ("fails", "fails")


def test_a_line_without_data_is_never_met():
    """Motors by name alone: nothing but names and what is said in words is left."""
    kept = {"name", "brake", "encoder", "protection", "insulation_class"}
    bare = tuple(
        type(m)(**{f.name: getattr(m, f.name) for f in fields(m) if f.name in kept})
        for m in LINE.motors
    )
    line = replace(LINE, motors=bare, curves=())
    found = find(plate_of(text_of(OWN)), line)
    words = {"protection", "insulation", "brake", "drive-mains"}
    of_brake = {"brake-torque", "brake-voltage", "brake-release", "brake-engage"}
    for one in found.equivalents:
        met = {key for key, state in states(one).items() if state == "meets"}
        assert met <= words | of_brake
        assert one.state in ("incomplete", "fails")


def test_offers_have_names_of_their_own():
    text = '[motor]\n[[offer]]\nname = "XM72-0450H"\n[[offer]]\nname = "XM72-0450H"\n[[offer]]\n'
    whole = with_offers(LINE, plate_of(text))
    names = [m.name for m in whole.motors]
    assert len(set(names)) == len(names)
    assert names[-1] == "offer 3"


def test_far_motors_of_a_long_line_are_left_out_and_told():
    many = tuple(
        replace(m, name=f"{m.name}-{k}", torque_rated=(m.torque_rated or 0) * 1.01**k)
        for k in range(20) for m in LINE.motors
    )  # fmt: skip
    line = replace(LINE, motors=many, curves=(), pairings=())
    found = find(plate_of(text_of(OWN)), line)
    assert found.motors == 240
    assert found.left_out == 240 - MOST_MOTORS
    assert len({e.combination.motor for e in found.equivalents}) == MOST_MOTORS


def test_on_an_axis_the_plate_only_warns():
    axis = read_axis(LIFT)
    text = text_of(OWN) + '[gearhead]\nratio = "6"\n[keep]\ngearhead = false\ngravity = true\n'
    found = find_on_axis(plate_of(text), LINE, axis)
    one = next(e for e in found.equivalents if e.verdict is not None)
    found_rows = rows(one)
    for key in ("torque-at-speed", "stall-torque", "peak-torque", "top-speed", "brake-torque"):
        assert found_rows[key].severity == "caution", key
    assert found_rows["axis"].severity == "must"
    assert found.old_verdict is not None
    assert not any("inertia_kgcm2" in line.text for line in found.old_verdict.ledger)


def test_the_axis_tells_the_supply():
    axis = read_axis(LIFT)
    entries = {"motor": {k: v for k, v in OWN["motor"].items() if k not in ("mains", "phases")}}
    found = find_on_axis(plate_of(text_of(entries)), LINE, axis)
    assert (found.plate.supply.mains, found.plate.supply.phases) == (230.0, 3)
    assert any("from the axis" in note for note in found.notes)
    assert "keep.mains" not in {q.path for q in found.plate.questions}


def test_estimates_of_a_line_are_told():
    from dutyline.estimates.fill import estimated

    motors = tuple(replace(m, torque_constant=None) for m in LINE.motors)
    line = estimated(replace(LINE, motors=motors))
    one = of(find(plate_of(text_of(OWN)), line), "XM72-0450H")
    told = next(hurt.text for hurt in one.hurts if hurt.key == "estimates")
    assert "torque constant of XM72-0450H" in told
    judged = find_on_axis(plate_of(text_of(OWN)), line, read_axis(LIFT))
    assert of(judged, "XM72-0450H").verdict is not None


def test_watt_for_watt_is_no_equivalent():
    """450 W at 2000 r/min are 2.149 N*m; a motor of 450 W at 3200 r/min gives 1.4 N*m there."""
    entries = {**OWN, "motor": {**OWN["motor"], "power": '"450 W"', "speed": '"2000 r/min"'}}
    del entries["motor"]["torque"]
    one = of(find(plate_of(text_of(entries)), LINE), "XM72-0450H")
    found = rows(one)
    assert found["power"].state == "meets"
    assert found["torque-at-speed"].old_si == pytest.approx(2.149, abs=5e-4)
    assert (found["torque-at-speed"].state, one.state) == ("fails", "fails")


def test_without_curves_the_rated_point_counts_up_to_its_speed_and_no_further():
    bare = tuple(replace(m, resistance=None) for m in LINE.motors)
    line = replace(LINE, motors=bare, curves=())
    slow = {**OWN, "motor": {**OWN["motor"], "speed": '"3000 r/min"'}}
    fast = {**OWN, "motor": {**OWN["motor"], "speed": '"3300 r/min"'}}
    for entries, state in ((slow, "meets"), (fast, "not-checked")):
        one = of(find(plate_of(text_of(entries)), line), "XM72-0450H")
        assert rows(one)["torque-at-speed"].state == state
