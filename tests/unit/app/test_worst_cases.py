"""Demand tells the case in which each figure is largest."""

from __future__ import annotations

import json

import pytest

from dutyline.app.demand import worst_cases
from dutyline.axis.read import read_axis
from dutyline.demand.output import output_demand
from support.axis_files import LIFT
from support.command import dutyline

CASES = (
    LIFT
    + """
[[case]]
name = "heavy"
set = { "load.mass" = "80 kg" }
[[case]]
name = "fast"
set = { "phase.up.time" = "0.5 s", "load.mass" = "10 kg" }
"""
)


def test_the_heavy_and_the_fast_case_are_named(tmp_path):
    axis = read_axis("lift.toml", text=CASES)
    found = {one.figure: one for one in worst_cases(output_demand(axis))}
    assert found["peak_torque"].case == "heavy"
    assert found["peak_speed"].case == "fast"
    for name, one in found.items():
        every = [getattr(output_demand(case), name) for case in axis.every_case]
        assert one.value == pytest.approx(max(every, key=abs), rel=1e-12)
    file = tmp_path / "lift.toml"
    file.write_text(CASES, encoding="utf-8")
    quiet = dutyline("demand", str(file), "-q").out
    assert "More in another case" in quiet
    assert "case heavy" in quiet
    assert quiet.count("Top speed") == 2
    assert ", case main" not in quiet
    shown = dutyline("demand", str(file), "-q", "--case", "heavy").out
    assert ", case heavy" not in shown
    told = json.loads(dutyline("demand", str(file), "--json").out)["worst"]
    assert {row["figure"]: row["case"] for row in told} == {n: o.case for n, o in found.items()}
    assert {row["unit"] for row in told} == {"rad/s", "N*m", "J"}


def test_one_case_needs_no_such_lines():
    assert worst_cases(output_demand(read_axis("lift.toml", text=LIFT))) == ()
