"""Whatever is wrong with a lift, a remedy that is told makes its check pass."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.axis.change import changed
from dutyline.axis.read import read_axis
from dutyline.checks.records import Combination
from dutyline.checks.verdict import verify
from dutyline.remedies.advice import advised
from support.examples import axis_file
from support.remedied import LINE, done, line_like, settles_all

pytestmark = [pytest.mark.property, pytest.mark.slow]

AXIS = read_axis(axis_file("lift"))
MOTORS = {
    "XM54-0240H": ("XD-H2", "XB54"),
    "XM72-0450H": ("XD-H4", "XB72"),
    "XM88-0800H": ("XD-H6", "XB88"),
}


@settings(max_examples=6)
@given(
    mass=st.sampled_from((20, 45, 70)),
    time=st.sampled_from((0.3, 0.5, 0.9)),
    rest=st.sampled_from((0.2, 1.5)),
    motor=st.sampled_from(sorted(MOTORS)),
    ratio=st.sampled_from((6, 9, 16, 24)),
    resistor=st.sampled_from((None, "XR-H80-90")),
)
def test_a_remedy_makes_its_check_pass(mass, time, rest, motor, ratio, resistor):
    axis = changed(AXIS, {
        "load.mass": f"{mass} kg", "phase.up.time": f"{time} s", "phase.down.time": f"{time} s",
        "phase.load.time": f"{rest} s",
    })  # fmt: skip
    drive, brake = MOTORS[motor]
    gearhead = f"XG88-{ratio}" if motor == "XM88-0800H" else f"XG72-{ratio}"
    parts = Combination(motor, gearhead, drive, brake, resistor)
    verdict = advised(verify(axis, LINE, parts))
    for line in verdict.ledger:
        for remedy in [r for r in line.remedies if r.field][:2]:
            after = done(axis, parts, remedy)
            then = line_like(after, line)
            assert then is None or then.state == "meets", remedy
            assert (after.verdict == "meets") == settles_all(remedy), remedy
