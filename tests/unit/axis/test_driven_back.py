"""Efficiencies from load to motor that do not go with what else is stated."""

from __future__ import annotations

import math

import pytest

from dutyline.axis.read import read_axis
from support.axis_files import LIFT, edited

SCREW = ('kind = "ball-screw"\nlead = "10 mm"\ndiameter = "20 mm"\nlength = "600 mm"\n'
         "efficiency = 0.92")  # fmt: skip


def remarks(own: str) -> list[str]:
    text = edited(LIFT, (SCREW, own))
    return [n for n in read_axis("axis.toml", text=text).notes if "efficiency_back" in n]


def thread(more: str) -> str:
    return f'kind = "lead-screw"\nlead = "5 mm"\ndiameter = "24 mm"\nlength = "600 mm"\n{more}'


@pytest.mark.parametrize(
    ("more", "found"),
    [
        ("efficiency = 0.6\nefficiency_back = -0.1", True),  # 2 - 1/0.6 = 0.33
        ("efficiency = 0.4\nefficiency_back = 0.2", True),  # 2 - 1/0.4 = -0.5
        ("efficiency = 0.6\nefficiency_back = 0.3", False),
        ("efficiency = 0.4\nefficiency_back = -0.45", False),
        ("efficiency = 0.6", False),
    ],
)
def test_self_locking_goes_with_an_efficiency_below_a_half(more, found):
    assert bool(remarks(thread(more))) is found


def test_a_thread_that_locks_by_its_lead_is_asked_about():
    """tan(lead angle - friction angle)/tan(lead angle) of Tr 24x5 with 15 degrees of flank."""
    lean = math.atan(5 / (math.pi * 21.5))
    normal = math.atan(math.tan(math.radians(15)) * math.cos(lean))
    back = math.tan(lean - math.atan(0.12 / math.cos(normal))) / math.tan(lean)
    (note,) = remarks(thread("friction = 0.12\nefficiency_back = 0.2"))
    assert f"{back:.3g}, self-locking" in note
    assert note.startswith("mechanism.efficiency_back is 0.2, not self-locking")
    assert not remarks(thread(f"friction = 0.12\nefficiency_back = {back + 0.05:.3f}"))
