"""What the customer must keep, in the words of page one."""

from tests.support.axis_files import LIFT, edited

from dutyline.axis.read import read_axis
from dutyline.report.sections.conditions import _loads, _ranges, _speeds


def test_a_range_is_not_promised_to_be_at_most_its_middle():
    axis = read_axis("a.toml", text=edited(LIFT, ('"12 kg"', '"60..80 kg"')))
    (heaviest,) = _loads(axis)
    assert "70" not in heaviest
    (said,) = _ranges(axis)
    assert "judged at 70\u00a0kg, the middle of 60 to 80\u00a0kg; ask or judge" in said


WINDER = """schema = 1
[axis]
title = "Winder"
[mechanism]
kind = "winder"
core = "76 mm"
full = "600 mm"
width = "500 mm"
thickness = "25 um"
density = "1300 kg/m^3"
tension = "20 lbf"
[[phase]]
do = "run"
speed = "200 m/min"
ramp = "10 s"
time = "60 s"
[[phase]]
do = "run"
speed = "0 m/min"
ramp = "10 s"
time = "60 s"
"""


def test_a_winder_must_keep_tension_and_speed():
    """200 m/min is 3.33 m/s; neither is a mass nor a time of a move."""
    axis = read_axis("a.toml", text=WINDER)
    (pull,) = _loads(axis)
    assert pull.startswith("The web pulls with at most")
    assert "89" in pull
    (fast,) = _speeds(axis)
    assert "3.33\u00a0m/s" in fast
    assert _speeds(read_axis("a.toml", text=LIFT)) == []


def test_bodies_belong_to_what_moves():
    body = '\n[[load.body]]\nshape = "cuboid"\nmass = "3 kg"\nlength = "100 mm"\nwidth = "100 mm"\n'
    axis = read_axis("a.toml", text=LIFT + body)
    assert "and the bodies in the inputs" in _loads(axis)[0]
