"""Shares that are no numbers, in words."""

import math

import pytest

from dutyline.checks.records import Line
from dutyline.checks.sentence import clause
from dutyline.selection.rejections import _figures


def line(check, title, demand, limit, unit="N*m"):
    margin = -math.inf if limit == 0 or math.isinf(demand) else 1.0 - demand / limit
    return Line(check, "motor", title, "Motor", unit, demand, limit, margin, 0.1, "must", "fails")


@pytest.mark.parametrize("said", [clause, _figures])
@pytest.mark.parametrize(
    ("one", "words"),
    [
        (line("overload-accumulated", "Overload", math.inf, 1.0, "1"), "until the drive trips"),
        (line("winding-temperature", "Winding", math.inf, 120.0, "K"), "runs away"),
        (line("peak-torque", "Peak torque", 1.0, 0.0), "no torque left at this speed"),
        (line("peak-torque", "Peak torque", 831.0, 1.0), "over 10 times its limit"),
    ],
)
def test_no_share_without_bound_is_printed_as_a_number(said, one, words):
    assert words in said(one)
    assert "unlimited" not in said(one)
