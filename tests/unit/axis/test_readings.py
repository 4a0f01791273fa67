"""What can be read in two ways is asked back, and what follows from it is told."""

import re

import pytest
from tests.support.axis_files import LIFT, edited

from dutyline.axis.read import read_axis

SLED = """
schema = 1
[axis]
title = "Sled"
[load]
mass = "10 kg"
friction = 0
incline = "0 deg"
[mechanism]
kind = "belt"
diameter = "50 mm"
[[phase]]
name = "there"
do = "move"
by = "300 mm"
time = "0.5 s"
[[phase]]
name = "back"
do = "move"
by = "-300 mm"
time = "0.5 s"
"""
DWELL = '[[phase]]\nname = "rest"\ndo = "dwell"\ntime = "0.1 s"\n'


def asked(text, path):
    found = [q for q in read_axis("a.toml", text=text).questions if q.path == path]
    assert len(found) <= 1
    return found[0] if found else None


def told(text, words):
    notes = read_axis("a.toml", text=text).notes
    plain = [n.replace("\u00a0", " ").replace("\u202f", " ") for n in notes]
    return next((n for n in plain if words in n), "")


def test_a_travel_without_rest_is_asked_how_strokes_are_counted():
    question = asked(SLED, "duty.rate")
    assert question.text == "Is a stroke there and back, or one way?"
    assert question.used == "60.0 times there and back per minute"


def test_with_a_rest_the_time_of_a_move_is_its_own():
    assert asked(SLED + DWELL, "duty.rate") is None


def test_ways_of_different_length_are_no_strokes():
    uneven = SLED.replace('by = "300 mm"', 'by = "400 mm"')
    uneven += '[[phase]]\ndo = "move"\nby = "-100 mm"\ntime = "0.5 s"\n'
    assert asked(uneven, "duty.rate") is None


def forced(force, name="there"):
    return SLED.replace(f'name = "{name}"', f'name = "{name}"\nforce = "{force}"')


@pytest.mark.parametrize("force", ["10 N", "54 N", "250 N"])
def test_a_force_of_the_size_of_the_inertia_is_asked_about(force):
    # 10 kg, 0.3 m in 0.5 s with ramps of a third: 5.4 m/s2, 54 N of inertia
    counted = 54 / 5 <= float(force.split()[0]) <= 54 * 5
    assert (asked(forced(force), "phase.there.force") is not None) == counted


def test_a_force_that_helps_is_not_asked_about():
    assert asked(forced("54 N", "back"), "phase.back.force") is None


def test_half_the_force_is_held_against_half_the_mass_of_two_motors():
    shared = forced("54 N") + "[tandem]\nmotors = 2\n"
    question = asked(shared, "phase.there.force")
    assert "54 N" in question.text.replace("\u00a0", " ")


def test_an_axis_without_any_force_is_asked_for_one():
    assert asked(SLED, "phase.there.force").used == "nothing"
    assert asked(forced("0 N"), "phase.there.force") is None
    assert asked(SLED + '[[force]]\nvalue = "20 N"\n', "phase.there.force") is None


PINION = SLED.replace(
    'kind = "belt"\ndiameter = "50 mm"', 'kind = "rack"\nmodule = "2 mm"\nteeth = 20'
)


def test_a_module_asks_for_the_helix():
    assert asked(PINION, "mechanism.helix") is not None
    assert (
        asked(PINION.replace("teeth = 20", 'teeth = 20\nhelix = "0 deg"'), "mechanism.helix")
        is None
    )
    assert asked(SLED, "mechanism.helix") is None


def test_several_motors_are_asked_how_they_share():
    assert asked(SLED + "[tandem]\nmotors = 2\n", "tandem.share") is not None
    assert asked(SLED + "[tandem]\nmotors = 2\nshare = 0.5\n", "tandem.share") is None


def test_a_dc_supply_is_asked_for_both_ends():
    fed = SLED + '[site]\nmains = "48 V"\nphases = "dc"\n'
    assert asked(fed, "site.mains_high") is not None
    assert asked(fed + 'mains_high = "20 %"\n', "site.mains_high") is None
    assert asked(SLED + '[site]\nmains = "230 V"\nphases = 1\n', "site.mains_high") is None


@pytest.mark.parametrize(("friction", "place"), [(0.01, None), (0.08, "late"), (0.3, "early")])
def test_breakaway_is_asked_for_earlier_the_more_it_rubs(friction, place):
    loaded = SLED.replace(
        "friction = 0\n",
        f'friction = 0\npayloads = {{ box = {{ mass = "5 kg", friction = {friction} }} }}\n',
    )
    loaded = loaded.replace('name = "there"', 'name = "there"\ncarry = ["box"]')
    questions = read_axis("a.toml", text=loaded + DWELL).questions
    rank = next((q.rank for q in questions if q.path == "load.breakaway"), None)
    if place == "early":
        assert rank == 2  # mains come first
    elif place is None:
        assert rank is None
    else:
        assert rank is None or rank > 4


CARRIED = SLED.replace("friction = 0\n", 'friction = 0\npayloads = { box = "5 kg" }\n').replace(
    'name = "there"', 'name = "there"\ncarry = ["box"]'
)


def test_a_payload_that_would_not_stay_needs_a_grip():
    note = told(CARRIED, "Payload box")
    assert "5.4 m/s²" in note  # 4.5 s/t2
    assert "27 N" in note


def test_a_payload_that_lies_by_itself_needs_none():
    slow = CARRIED.replace('time = "0.5 s"', 'time = "1 s"')  # 1.35 m/s2, friction holds 1.96
    assert told(slow, "Payload box") == ""


def test_weight_keeps_a_payload_on_a_lift():
    assert told(CARRIED.replace('"0 deg"', '"90 deg"'), "Payload box") == ""


def pushed(friction, incline="0 deg"):
    text = CARRIED.replace('box = "5 kg"', f'box = {{ mass = "5 kg", friction = {friction} }}')
    return told(text.replace('incline = "0 deg"', f'incline = "{incline}"'), "Payload box")


def test_a_payload_pushed_over_a_table_slides_on():
    note = pushed(0.3)
    assert "2.942 m/s²" in note  # 0.3 g
    assert "brakes with 5.4 m/s²" in note
    assert pushed(0.6) == ""  # 5.88 m/s2 of its own


def test_a_slope_upwards_helps_it_to_rest():
    # g (0.3 cos 20 + sin 20) = 6.12 m/s2 beyond the 5.4 of the axis
    assert pushed(0.3, "20 deg") == ""
    assert pushed(0.3, "-20 deg") != ""  # 0.3 cos 20 - sin 20 is below zero: it runs on


WINDER = """
schema = 1
[axis]
title = "Roll"
[mechanism]
kind = "winder"
core = "100 mm"
full = "1 m"
width = "500 mm"
thickness = "0.1 mm"
density = "900 kg/m^3"
tension = "200 N"
mode = "unwind"
[[phase]]
do = "run"
speed = "2 m/s"
ramp = "5 s"
time = "30 s"
[[phase]]
do = "run"
speed = "0 m/s"
ramp = "5 s"
"""


def test_a_winder_tells_its_corner():
    note = told(WINDER, "corner power")
    # 200 N x 0.5 m, 2 m/s / 0.05 m = 382.0 r/min, 400 W of web and ten times as much
    assert [re.sub(r"\s", "", n) for n in ("400 W", "100.0 N·m", "382.0 r/min", "4 000 W")] == [
        re.sub(r"\s", "", n) for n in re.findall(r"(?:4 000 W|\d[\d.]* (?:W|N·m|r/min))", note)
    ]


def test_only_what_unwinds_runs_on_without_power():
    assert told(WINDER, "Without power")
    assert not told(WINDER.replace("unwind", "wind"), "Without power")


def test_a_lift_is_not_asked_about_strokes_or_teeth():
    paths = [q.path for q in read_axis("a.toml", text=edited(LIFT)).questions]
    assert not {"duty.rate", "mechanism.helix", "tandem.share"} & set(paths)


SCREW = SLED.replace(
    'kind = "belt"\ndiameter = "50 mm"',
    'kind = "lead-screw"\npitch = "2 mm"\nstarts = 4\nmean_diameter = "9 mm"\n'
    'inertia = "1e-9 kg*m^2"\nefficiency = 0.5',
)


def test_a_steep_thread_of_one_half_does_not_hold_by_itself():
    # tan l = 8/(9 pi), l = 15.80 deg; tan(l + r) = tan l/0.5, r = 13.69 deg
    assert "lead angle of 15.8° and a friction angle of 13.7°" in told(SCREW, "The thread")
    assert "does not hold by itself" in told(SCREW, "The thread")
    assert not told(SCREW, "self-locking by calculation")


def test_a_flat_thread_holds_by_itself_and_no_more_is_claimed():
    flat = SCREW.replace("starts = 4", "starts = 1").replace("efficiency = 0.5", "friction = 0.2")
    assert "oil and shaking lower it" in told(flat, "The thread")
    assert "no safety function" in told(flat, "self-locking by calculation")


def test_without_a_diameter_no_angle_is_told():
    assert not told(SCREW.replace('mean_diameter = "9 mm"\n', ""), "The thread")


def test_a_chain_swings_with_its_teeth():
    chain = SLED.replace('diameter = "50 mm"', 'element = "chain"\nteeth = 15\npitch = "19.05 mm"')
    assert "swings by 2.2 %" in told(chain, "A chain on 15 teeth")  # 1 - cos(12 deg)
    assert asked(chain, "mechanism.belt_length").text == "How long is the whole chain?"
    assert asked(chain, "mechanism.inertia").text == "What inertia have the sprockets?"
    assert not told(SLED, "polygon")


def test_a_chain_as_a_stage_counts_its_smaller_wheel():
    stage = (
        '[[stage]]\nkind = "belt-reduction"\nelement = "chain"\nteeth = [19, 38]\npitch = "8 mm"\n'
    )
    assert told(SLED + stage, "A chain on 19 teeth")


TABLE_OF_POINTS = """
schema = 1
[axis]
title = "Dial"
[load]
body = [
  { shape = "cylinder", diameter = "1 m", length = "10 mm", mass = "20 kg" },
  { shape = "point", mass = "1 kg", radius = "400 mm" },
]
[mechanism]
kind = "rotary-table"
[[phase]]
do = "move"
by = "30 deg"
time = "0.5 s"
[[phase]]
do = "dwell"
time = "0.5 s"
"""


def test_what_is_left_out_of_a_table_is_told_and_asked():
    assert told(TABLE_OF_POINTS, "load.body 2 counts as a point")
    assert "load.body 1" not in "".join(read_axis("a.toml", text=TABLE_OF_POINTS).notes)
    assert "hub" in asked(TABLE_OF_POINTS, "mechanism.inertia").text
