"""Reports of parts that do not fit the duty or the mains: plots end where nothing can be drawn."""

from __future__ import annotations

import re
import warnings

import pytest

import dutyline as dl
from dutyline.report.sections.courses import warm_data

HOIST = """\
schema = 1
[axis]
title = "Winch"
[load]
mass = "80 kg"
[mechanism]
kind = "hoist"
diameter = "160 mm"
parts = 2
sheave_efficiency = 0.97
[[phase]]
do = "move"
by = "2 m"
time = "6 s"
[[phase]]
do = "dwell"
time = "10 s"
hold = "brake"
[[phase]]
do = "move"
to = "0 m"
time = "0.6 s"
[[phase]]
do = "dwell"
time = "10 s"
hold = "brake"
[site]
mains = "230 V"
phases = 3
"""


def page(parts: dl.Combination, path) -> str:
    """The report as HTML without what is not read; a warning fails."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        verdict = dl.verify(dl.read_axis("winch.toml", text=HOIST), parts)
        dl.report(verdict, path, data=path.parent / "numbers")
    text = path.read_text(encoding="utf-8")
    return re.sub(r"<(style|script)[^>]*>.*?</\1>", "", text, flags=re.DOTALL)


@pytest.mark.slow
@pytest.mark.parametrize("parts", [("XM38-0050L", None), ("XM38-0050L", "XG54-24")])
def test_a_motor_far_too_small_has_a_report(parts, tmp_path):
    """A winding that runs away, and a bus above the switching voltage all the time."""
    text = page(dl.Combination(*parts), tmp_path / "winch.html")
    assert not re.search(r"(?<![A-Za-z-])(nan|inf)(?![A-Za-z-])", text)
    for table in (tmp_path / "numbers").iterdir():
        assert "nan" not in table.read_text(encoding="utf-8")


def test_the_course_from_cold_ends_where_copper_melts():
    axis = dl.read_axis("winch.toml", text=HOIST.replace('"80 kg"', '"12 kg"'))
    data = warm_data(dl.verify(axis, dl.Combination("XM72-0450H")).extra["heat"])
    assert data is not None
    assert data.time.size == 0
    assert 1000.0 < data.up_high.max() < 1085.0
