"""Rejections of an axis with several cases against the full list of checks, pair by pair."""

from __future__ import annotations

from functools import cache

import pytest

import dutyline as dl

WINDER = """schema = 1
[axis]
title = "Rewinder"
[mechanism]
kind = "winder"
core = "76.2 mm"
full = "600 mm"
width = "500 mm"
thickness = "25 um"
density = "1300 kg/m^3"
tension = "89 N"
[[phase]]
do = "run"
speed = "200 m/min"
ramp = "10 s"
time = "1800 s"
[[phase]]
do = "run"
speed = "0 m/min"
ramp = "10 s"
time = "180 s"
[site]
mains = "230 V"
phases = 3
"""


@cache
def searched(folder):
    file = folder / "winder.toml"
    file.write_text(WINDER, "utf-8")
    axis = dl.read_axis(str(file))
    return axis, dl.select(axis, dl.demo_line())


def worst_of(axis, combination):
    """Largest share over all cases of the must lines that fail, by the verdict itself."""
    verdict = dl.verify(axis, combination, dl.demo_line())
    failing = [ln for ln in verdict.ledger if ln.severity == "must" and ln.state == "fails"]
    return max(line.used for line in failing if not line.yes_no)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("cases")


def test_the_nearest_are_told_by_their_worst_case(folder):
    """The core turns 7.9 times as fast as the full roll in which pairs fall out first."""
    axis, found = searched(folder)
    assert axis.cases
    nearest = [r for r in found.rejected if r.worst_share < float("inf")][:3]
    for rejection in nearest:
        assert rejection.worst_share == pytest.approx(worst_of(axis, rejection.combination))
        assert "in case core" in rejection.text


def test_none_that_was_passed_over_is_nearer(folder):
    axis, found = searched(folder)
    far = [r for r in found.rejected if r.worst_share < float("inf")]
    first = far[0].worst_share
    assert [r.worst_share for r in far] == sorted(r.worst_share for r in far)
    for rejection in (far[len(far) // 2], far[-1]):
        assert worst_of(axis, rejection.combination) >= first
