"""Where the motion of a cycle comes to rest: by hand, and the last deceleration from the law."""

from __future__ import annotations

import math

import pytest

from dutyline.demand.standstills import standstills
from dutyline.motion.cycle import build_cycle
from support.axes import dwell, move, run


def found(*specs, endless: bool = False):
    return standstills(build_cycle(list(specs), linear=True, endless=endless))


def test_trapezoid_there_and_back():
    """Thirds: top speed 1.5 times the mean, deceleration over a third of the time."""
    there, back = found(move(0.6, 0.3), dwell(0.2), move(-0.6, 0.3), dwell(0.5))
    assert (there.time, there.rest) == pytest.approx((0.3, 0.2))
    assert (back.time, back.rest) == pytest.approx((0.8, 0.5))
    assert there.top_speed == pytest.approx(3.0)
    assert there.deceleration_time == pytest.approx(0.1)
    assert there.deceleration == pytest.approx(30.0)
    assert (there.distance, back.distance) == pytest.approx((0.6, 0.6))


def test_law_without_a_cruise():
    """Modified sine: top speed 1.7596 times the mean (VDI 2143, from memory), at half time."""
    (one, _) = found(move(0.6, 0.4, law="modified-sine"), dwell(0.2), move(-0.6, 1.0), dwell(0.1))
    assert one.top_speed == pytest.approx(1.7596 * 1.5, rel=1e-4)
    assert one.deceleration_time == pytest.approx(0.2, rel=0.05)


def test_a_reversal_is_no_standstill():
    """The way back counts alone; the speed before the reversal does not."""
    (one,) = found(move(0.9, 0.3), move(-0.9, 0.6), dwell(0.1))
    assert one.time == pytest.approx(0.9)
    assert one.top_speed == pytest.approx(1.5 * 0.9 / 0.6)
    assert one.distance == pytest.approx(0.9)


def test_rest_and_motion_run_over_the_end_of_the_cycle():
    """A dwell at the end and one at the start are one rest; a motion may do the same."""
    (one,) = found(dwell(0.3), move(0.6, 0.3), dwell(0.2), endless=True)
    assert one.rest == pytest.approx(0.5)
    (other,) = found(
        run(2.0, 0.1), move(0.3, 0.2), dwell(0.4), move(0.3, 0.2, end_speed=2.0), endless=True
    )
    assert other.time == pytest.approx(0.3)
    assert len(other.moving) > 3
    assert other.rest == pytest.approx(0.4)


def test_what_never_rests_has_none():
    assert found(run(1.0, 2.0), endless=True) == ()
    assert found(move(0.3, 0.2), move(-0.3, 0.2)) == ()


def test_speeds_within_a_motion():
    """From a fast run into a slow one: the last deceleration is the one to rest."""
    law = [move(0.4, 0.4, end_speed=0.5), run(0.5, 0.2), move(0.05, 0.2)]
    (one,) = found(*law, dwell(0.3), endless=True)
    assert one.top_speed == pytest.approx(0.25)  # thirds: slower, along, to rest
    assert math.isclose(one.time, 0.8)
