"""What a cursor reads between its samples is what the whole trace says there.

The straight line between two samples is taken by numpy, as the page takes it.
"""

from __future__ import annotations

import numpy as np
import pytest

from dutyline.app.inputs import example_file
from dutyline.app.workbench.courses import course, plane
from dutyline.app.workbench.judged import Sheet, judge
from dutyline.catalogue.library import demo_line
from dutyline.report.sections.demand import cycle_data
from dutyline.report.sections.plots import plane_data

NEAR = 2e-3
"""Of the largest value: less than a fifth of a pixel in the plots."""


@pytest.mark.parametrize("name", ["lift", "dial", "flying-saw", "kettle"])
def test_the_samples_of_a_cursor_tell_the_whole_trace(name):
    text = example_file(name).read_text(encoding="utf-8")
    verdict = judge(Sheet(text), demo_line()).verdict
    verdict = verdict.cases[0] if verdict.cases else verdict
    with verdict.axis.reader.served():
        data, over_time = cycle_data(verdict, verdict.trace), course(verdict)
        flat, over_speed = plane_data(verdict, verdict.trace), plane(verdict)
    frame = {**over_time.frame, **over_time.motion}
    geometry = {**over_speed.frame, **over_speed.motion}
    read = [
        (frame["time"], frame["speed"], data.time, data.speed),
        (frame["time"], frame["torque"], data.time, data.torque),
        (frame["time"], frame["power"], data.time, data.power),
        (geometry["time"], geometry["speed"], verdict.trace.time, flat.speed),
        (geometry["time"], geometry["torque"], verdict.trace.time, flat.torque),
    ]
    for time, values, whole_time, whole in read:
        between = np.abs(np.diff(whole_time, prepend=-1)) > 1e-9
        between &= np.abs(np.diff(whole_time, append=1e9)) > 1e-9
        told = np.interp(whole_time[between], time, values)
        assert np.abs(told - whole[between]).max() <= NEAR * np.abs(whole).max()
    assert len(frame["time"]) < verdict.trace.time.size
