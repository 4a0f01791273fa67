"""What is ordered for a load that several equal motors move."""

import pytest

from dutyline.app.records_json import axis_json
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.fitted import chosen
from dutyline.checks.records import Combination
from dutyline.checks.verdict import verify
from dutyline.cli.screen import Screen
from dutyline.cli.show_shortlist import _first
from dutyline.report.sections.answer import _masses
from dutyline.report.sections.order import order
from dutyline.report.tree import Table

GANTRY = """schema = 1
[axis]
title = "Gantry"
[load]
mass = "250 kg"
[mechanism]
kind = "rack"
module = "2 mm"
teeth = 20
[tandem]
motors = 2
[[phase]]
do = "move"
by = "2.5 m"
time = "2 s"
[[phase]]
do = "dwell"
time = "1 s"
[[phase]]
do = "move"
to = "0 mm"
time = "2 s"
[[phase]]
do = "dwell"
time = "1 s"
[site]
mains = "230 V"
phases = 3
"""
PARTS = Combination("XM72-0450H", "XG72-4", "XD-H4", None, "XR-H80-90")


def pieces(verdict):
    """What each row of the order list asks for, by the first word of its item."""
    table = next(block for block in order(verdict).blocks if isinstance(block, Table))
    told = [
        [run.text for c in row.cells for run in c.words if hasattr(run, "text")]
        for row in table.rows
    ]
    return {texts[2].split(" ")[0]: texts[1] for texts in told if texts[1].isdecimal()}


@pytest.mark.parametrize(
    ("text", "count"), [(GANTRY, 2), (GANTRY.replace("[tandem]\nmotors = 2\n", ""), 1)]
)
def test_every_motor_has_its_parts(text, count):
    axis = read_axis("gantry.toml", text=text)
    verdict = verify(axis, demo_line(), PARTS)
    assert axis.motors == count
    assert axis_json(axis)["motors"] == count
    ordered = pieces(verdict)
    assert {"Motor", "Gearhead", "Drive", "Braking"} <= set(ordered)
    shared = {"24\u00a0V", "Spare"}
    assert {ordered[word] for word in ordered if word not in shared} == {str(count)}
    several = "for each of 2 motors"
    assert (several in _masses(chosen(verdict), axis.motors)[0].text) == (count == 2)
    assert (several in " ".join(_first(Screen(width=100), verdict))) == (count == 2)
